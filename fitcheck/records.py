"""`dataclass` for records, made so that a class costs next to nothing until it is used.

The standard decorator compiles six methods for every class at once, a good part of a look-up's
imports: it imports some forty records and makes objects of a few. Here `__init__` is compiled
when the first object is made, and the other methods are plain functions that all records share.
What is written, and what `dataclasses.replace`, `fields`, `asdict` and `is_dataclass` do with a
record, is the same.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import MISSING, Field, FrozenInstanceError, field
from operator import attrgetter
from typing import TYPE_CHECKING, Any

__all__ = ["dataclass"]

# What dataclasses.fields() knows a field by; it has no public name.
_IS_FIELD = dataclasses._FIELD  # type: ignore[attr-defined]


def _record(*, frozen: bool = False, slots: bool = True, eq: bool = True) -> Callable[[type], type]:
    """As ``dataclasses.dataclass``; every record has slots.

    Parameters
    ----------
    frozen : bool
        Whether the fields of an object can't be set again.
    slots : bool
        Always true; named so that what is written says it.
    eq : bool
        Whether objects with equal fields are equal; otherwise each is equal to itself alone.
    """
    if not slots:
        raise TypeError("a record has slots")
    return lambda cls: _with_methods(cls, frozen=frozen, eq=eq)


# Types are checked as if this were the standard decorator.
if TYPE_CHECKING:
    from dataclasses import dataclass
else:
    dataclass = _record


def _with_methods(cls: type, *, frozen: bool, eq: bool) -> type:
    """The class again, with slots for its fields and the methods of a record."""
    body = dict(cls.__dict__)
    inherited: dict[str, Field[Any]] = {}
    for base in reversed(cls.__mro__[1:]):
        inherited.update(base.__dict__.get("__dataclass_fields__", {}))
    own = [(name, _field(name, body, cls)) for name in body.get("__annotations__", {})]
    found = {**inherited, **dict(own)}
    names = tuple(found)
    # A slot and a class attribute can't share a name: defaults live in the fields.
    for name in ("__dict__", "__weakref__", *names):
        body.pop(name, None)
    body["__dataclass_fields__"] = found
    body["__slots__"] = tuple(name for name, _ in own if name not in inherited)
    body["__match_args__"] = names
    body["__qualname__"] = cls.__qualname__
    body.setdefault("__repr__", _repr)
    if frozen:
        body["__setattr__"], body["__delattr__"] = _refuse_set, _refuse_delete
    body["__getstate__"], body["__setstate__"] = _state, _restore
    if eq:
        # For one field this gives the value itself, for several a tuple: either compares.
        compared = [name for name in names if found[name].compare]
        values: Callable[[Any], Any] = attrgetter(*compared) if compared else lambda _: ()
        _add_equality(body, values, frozen=frozen)
    made: type = type(cls)(cls.__name__, cls.__bases__, body)
    made.__init__ = _first_init(made, frozen=frozen)  # type: ignore[misc]
    return made


def _field(name: str, body: dict[str, Any], cls: type) -> Field[Any]:
    given = body.get(name, MISSING)
    found: Any = given if isinstance(given, Field) else field(default=given)
    found.name, found.type = name, cls.__annotations__[name]
    found._field_type = _IS_FIELD
    return found  # type: ignore[no-any-return]


def _first_init(cls: type, *, frozen: bool) -> Callable[..., None]:
    """An ``__init__`` that writes the real one when the first object is made, and steps aside."""

    def init(self: Any, *args: Any, **named: Any) -> None:
        real = cls.__init__ = _compiled_init(cls, frozen=frozen)  # type: ignore[misc]
        real(self, *args, **named)

    return init


def _compiled_init(cls: Any, *, frozen: bool) -> Callable[..., None]:
    """``__init__`` as somebody would write it by hand, from the fields."""
    known: dict[str, Any] = {"MISSING": MISSING}
    parameters, lines = ["self"], []
    for name, one in cls.__dataclass_fields__.items():
        if not one.init:
            continue  # What __post_init__ sets.
        value = name
        if one.default is not MISSING:
            known[f"default_{name}"] = one.default
            parameters.append(f"{name}=default_{name}")
        elif one.default_factory is not MISSING:
            known[f"new_{name}"] = one.default_factory
            parameters.append(f"{name}=MISSING")
            value = f"new_{name}() if {name} is MISSING else {name}"
        else:
            parameters.append(name)
        if frozen:
            # The slot itself takes a value where setting the attribute is refused.
            known[f"set_{name}"] = getattr(cls, name).__set__
            lines.append(f"    set_{name}(self, {value})")
        else:
            lines.append(f"    self.{name} = {value}")
    if hasattr(cls, "__post_init__"):
        lines.append("    self.__post_init__()")
    source = f"def __init__({', '.join(parameters)}):\n" + ("\n".join(lines) or "    pass")
    exec(source, known)
    made: Callable[..., None] = known["__init__"]
    made.__qualname__ = f"{cls.__qualname__}.__init__"
    return made


def _add_equality(body: dict[str, Any], values: Callable[[Any], Any], *, frozen: bool) -> None:
    def equal(self: Any, other: Any) -> Any:
        if other.__class__ is self.__class__:
            return values(self) == values(other)
        return NotImplemented

    def hashed(self: Any) -> int:
        return hash(values(self))

    body["__eq__"] = equal
    # What can change has no hash.
    body["__hash__"] = hashed if frozen else None


def _repr(self: Any) -> str:
    shown = ", ".join(f"{name}={getattr(self, name)!r}" for name in self.__dataclass_fields__)
    return f"{self.__class__.__qualname__}({shown})"


def _refuse_set(_self: Any, name: str, _value: Any) -> None:
    raise FrozenInstanceError(f"cannot assign to field {name!r}")


def _refuse_delete(_self: Any, name: str) -> None:
    raise FrozenInstanceError(f"cannot delete field {name!r}")


def _state(self: Any) -> list[Any]:
    """The values, for copies and other processes."""
    return [getattr(self, name) for name in self.__dataclass_fields__]


def _restore(self: Any, state: list[Any]) -> None:
    for name, value in zip(self.__dataclass_fields__, state, strict=True):
        # Also where the attributes of an object can't be set.
        object.__setattr__(self, name, value)
