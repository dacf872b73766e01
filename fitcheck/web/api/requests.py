"""Request bodies made from the commands: the same options, with ``_`` for ``-``, and no others."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable, Mapping
from functools import lru_cache
from typing import Annotated, Any, Literal

import click
from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    StrictBool,
    StrictInt,
    ValidationError,
    WithJsonSchema,
    create_model,
)
from pydantic_core import PydanticCustomError

from fitcheck.errors import printable
from fitcheck.web.refusals import NOT_UNDERSTOOD, Refusal

LONGEST_TEXT = 500
MOST_READINGS = 100
_SHOWN = 80
_NOT_JSON = frozenset({"json_invalid"})


def _text(value: Any) -> str:
    """One value as it would be typed; a number is taken as its digits."""
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise PydanticCustomError("text_wanted", "a text or a number is wanted here")
    text = value.strip() if isinstance(value, str) else repr(value)
    if len(text) > LONGEST_TEXT:
        raise PydanticCustomError(
            "text_too_long", f"a text of at most {LONGEST_TEXT} characters is wanted here"
        )
    return text


def _texts(value: Any) -> tuple[str, ...]:
    """One or several readings of a place; blank ones were left out."""
    items = value if isinstance(value, list | tuple) else [value]
    if len(items) > MOST_READINGS:
        raise PydanticCustomError(
            "too_many", f"at most {MOST_READINGS} are taken here; leave the rest out"
        )
    return tuple(text for text in map(_text, items) if text)


def _number(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise PydanticCustomError("number_wanted", "a number is wanted here")
    return float(value)


_ONE = {"anyOf": [{"type": "string", "maxLength": LONGEST_TEXT}, {"type": "number"}]}
Text = Annotated[str, BeforeValidator(_text), WithJsonSchema(_ONE)]
Texts = Annotated[
    tuple[str, ...],
    BeforeValidator(_texts),
    WithJsonSchema(
        {"anyOf": [*_ONE["anyOf"], {"type": "array", "items": _ONE, "maxItems": MOST_READINGS}]}
    ),
]
Number = Annotated[
    float, BeforeValidator(_number), Field(allow_inf_nan=False), WithJsonSchema({"type": "number"})
]


class Body(BaseModel):
    """What every request body has in common: nothing unknown is let in."""

    model_config = ConfigDict(extra="forbid", frozen=True, protected_namespaces=())


def request_model(
    command: click.Command,
    name: str,
    *,
    without: Collection[str] = (),
    more: Mapping[str, tuple[Any, Any]] | None = None,
) -> type[Body]:
    """The body of a request, made from a command's own options.

    Parameters
    ----------
    command : click.Command
        The command.
    name : str
        What the model is called.
    without : collection of str
        Fields that have no place in a request, such as files.
    more : mapping, optional
        Further fields: type and default, or a pydantic field.

    Returns
    -------
    type
        A model whose fields carry the names that `field_names` gives.
    """
    left_out = {"json", *without}
    fields: dict[str, Any] = {
        field: _field(param)
        for field, param in field_names(command).items()
        if field not in left_out
    }
    fields |= more or {}
    return create_model(name, __base__=Body, **fields)


@lru_cache(maxsize=200)
def field_names(command: click.Command) -> Mapping[str, click.Parameter]:
    """The parameters of a command by the name of their field.

    Parameters
    ----------
    command : click.Command
        The command.
    """
    found: dict[str, click.Parameter] = {}
    for param in command.params:
        if isinstance(param, click.Argument):
            found[(param.metavar or param.name or "").strip(".").lower()] = param
        else:
            long = next(text for text in param.opts if text.startswith("--"))
            found[long[2:].replace("-", "_")] = param
    return found


def _field(param: click.Parameter) -> tuple[Any, Any]:
    """A field's type, and its default or what says that it is needed."""
    kind, default = _kind(param)
    needed = param.required and default is None
    return kind, Field(... if needed else default, description=getattr(param, "help", None) or "")


def _kind(param: click.Parameter) -> tuple[Any, Any]:
    given = param.default
    if isinstance(param, click.Option) and param.is_flag:
        return StrictBool, False
    if param.multiple or param.nargs == -1:
        return Texts, ()
    if isinstance(param.type, click.Choice):
        choices = tuple(map(str, param.type.choices))
        if isinstance(given, str):
            return Literal[choices], given
        return Literal[(*choices, "")], ""
    if isinstance(param.type, click.types.IntParamType):
        bounds = _bounds(param.type)
        return Annotated[StrictInt, Field(**bounds)], given if isinstance(given, int) else None
    # A sum of money is read more strictly where it is typed; as JSON it is a number.
    if isinstance(param.type, click.types.FloatParamType) or param.type.name == "money":
        bounds = _bounds(param.type)
        number: Any = Annotated[Number, Field(**bounds)] if bounds else Number
        if isinstance(given, int | float):
            return number, float(given)
        return number | None, None
    if param.required:
        return Text, None
    return Text, given if isinstance(given, str) else ""


def _bounds(kind: Any) -> dict[str, Any]:
    """What a range allows, as pydantic says it; a whole number is never beyond a machine's."""
    found: dict[str, Any] = {}
    if isinstance(kind, click.types.IntParamType):
        found = {"ge": -(2**31), "le": 2**62}
    low, high = getattr(kind, "min", None), getattr(kind, "max", None)
    if low is not None:
        found.pop("ge", None)
        found["gt" if getattr(kind, "min_open", False) else "ge"] = low
    if high is not None:
        found.pop("le", None)
        found["lt" if getattr(kind, "max_open", False) else "le"] = high
    return found


def options_of(command: click.Command, body: BaseModel) -> dict[str, Any]:
    """A body as the command's own parameters, by the names the command hands them over.

    Parameters
    ----------
    command : click.Command
        The command.
    body : BaseModel
        The body.
    """
    return {name: getattr(body, field) for field, name in _handed_over(command, type(body))}


@lru_cache(maxsize=200)
def _handed_over(command: click.Command, model: type[BaseModel]) -> tuple[tuple[str, str], ...]:
    """For each field of a body the parameter that it is."""
    names = {field: str(param.name) for field, param in field_names(command).items()}
    return tuple((field, names.get(field, field)) for field in model.model_fields)


def parsed(model: type[Body], content: bytes, content_type: str) -> Body:
    """A body, once it is known to be JSON and nothing but what the model knows.

    Parameters
    ----------
    model : type
        The model.
    content : bytes
        The body as it came.
    content_type : str
        What it says that it is.

    Raises
    ------
    Refusal
        It is something else.
    """
    if content_type.partition(";")[0].strip().lower() != "application/json":
        raise Refusal(
            415,
            value=f"Content-Type: {content_type[:_SHOWN]}",
            rule="the request is wanted as JSON",
            todo="Send it as application/json",
        )
    try:
        return model.model_validate_json(content or b"{}")
    except ValidationError as error:
        raise refused(error) from None
    except (ValueError, RecursionError) as error:
        raise _not_json(str(error)) from None


def from_items(command: click.Command, model: type[Body], items: Iterable[tuple[str, str]]) -> Body:
    """A body out of the texts of an address or of a form.

    Parameters
    ----------
    command : click.Command
        The command.
    model : type
        The model.
    items : iterable of tuple of str
        Names and texts; a name may come several times where several readings are taken.

    Raises
    ------
    Refusal
        They are not what the model knows.
    """
    found: dict[str, Any] = {}
    several = {name for name, field in model.model_fields.items() if field.annotation == _SEVERAL}
    for name, text in items:
        kind = model.model_fields[name].annotation if name in model.model_fields else str
        if name in several:
            found.setdefault(name, []).append(text)
        elif name in found:
            raise Refusal(
                NOT_UNDERSTOOD,
                value=printable(name[:_SHOWN]),
                rule="it was given twice, and takes one value",
                todo="Leave one of the two out",
            )
        else:
            found[name] = _plain(text, kind)
    try:
        return model.model_validate(found)
    except ValidationError as error:
        raise refused(error) from None


_SEVERAL = tuple[str, ...]
_FLAGS = {"true": True, "false": False, "1": True, "0": False, "on": True, "": False}


def _plain(text: str, kind: Any) -> Any:
    """A text as a flag or a number where one is wanted and it is one."""
    if kind is bool:
        return _FLAGS.get(text.lower(), text)
    if kind is int and text.isascii() and text.removeprefix("-").isdigit():
        return int(text) if len(text) < 20 else text
    if kind in (float, float | None):
        if kind is not float and not text:
            return None
        try:
            return float(text)
        except ValueError:
            return text
    return text


def refused(error: ValidationError) -> Refusal:
    """The first complaint about a request, and how many more there are.

    Parameters
    ----------
    error : ValidationError
        What pydantic found.
    """
    complaints = error.errors(include_url=False, include_context=False)
    first = complaints[0]
    if first["type"] in _NOT_JSON:
        return _not_json(first["msg"])
    place = ".".join(map(str, first["loc"])) or "the request"
    more = f" ({len(complaints) - 1} more)" if len(complaints) > 1 else ""
    given = first.get("input")
    value = place if isinstance(given, dict | list) else f"{place} = {_shown(given)}"
    if first["type"] == "extra_forbidden":
        rule, value = f"there is no such field here{more}", place
    elif first["type"] == "missing":
        rule, value = f"this field is needed{more}", place
    else:
        rule = f"{first['msg'][:1].lower()}{first['msg'][1:]}{more}"
    return Refusal(
        NOT_UNDERSTOOD,
        value=printable(value[: 2 * _SHOWN]),
        rule=rule,
        todo="See /api/openapi.json for the fields",
    )


def _shown(given: Any) -> str:
    try:
        text = json.dumps(given)
    # Python refuses to write a number of thousands of digits.
    except (TypeError, ValueError):
        text = type(given).__name__
    return text if len(text) <= _SHOWN else f"{text[:_SHOWN]}..."


def _not_json(why: str) -> Refusal:
    return Refusal(
        400,
        value="the request",
        rule=f"this is not readable JSON ({printable(why)[:_SHOWN]})",
        todo="Send one JSON object, in UTF-8",
    )
