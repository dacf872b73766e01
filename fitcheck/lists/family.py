"""A list's own sizes as a family, so that readings are matched against what it has."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial

from fitcheck.errors import NotKnownError, OffTableError
from fitcheck.lists.items import (
    BEARING,
    INCH,
    METRIC,
    MIXED,
    SEAL,
    SizeKey,
    dimension_system,
    size_text,
)
from fitcheck.lists.lines import UM_PER_MM
from fitcheck.marks import compact
from fitcheck.parts.bearing import bearing_family, bearing_sizes, nominals_of
from fitcheck.parts.family import Family, Size, size_weight
from fitcheck.parts.seal import (
    bore_limits,
    case_limits,
    lip_limits,
    seal_family,
    shaft_limits,
    size_label,
    width_limits,
)
from fitcheck.records import dataclass

# What is given of a bearing, and what decides whether two entries are one size.
_Identity = tuple[str | int, ...]
_Made = tuple[_Identity, Size] | None
# Lists round inch dimensions to tenths of a mm; no two bearings of one number are nearer.
_SAME_MM = 0.1


@dataclass(frozen=True, slots=True)
class ListFamily:
    """The sizes of one list as a family, and the lines that gave none.

    ``lines`` gave the sizes of the family, ``no_size`` ones have no readable size, those
    ``off_table`` lie beyond every tolerance table, and ``other_parts`` are parts of another kind.
    """

    name: str
    family: Family
    lines: int
    no_size: int
    off_table: int
    other_parts: int


def seal_list(
    sizes: Mapping[SizeKey, int], *, name: str, case: str = "", bare_shaft: bool = False
) -> ListFamily:
    """The seals of a list as a family with the dimension model of the standard tables.

    Parameters
    ----------
    sizes : mapping of SizeKey to int
        The list's distinct sizes, each with its number of lines.
    name : str
        The list, cited as the source of each size.
    case : str
        The old seal's case, ``metal`` or ``rubber``; either where it is empty.
    bare_shaft : bool
        Whether somebody has looked that neither a sleeve nor a ring is on the shaft.

    Raises
    ------
    NotKnownError
        The list has no seal with shaft, bore and width.

    Notes
    -----
    Two ways to write one size, 25.4 and 1 in, are one size. Sizes beyond every tolerance table
    are left out: nothing says what a reading of them may be.
    """
    return _list_family(
        sizes,
        name=name,
        model=seal_family(case=case, bare_shaft=bare_shaft),
        kinds=(SEAL, None),
        make=_seal,
        wanted="seal with shaft, bore and width",
    )


def bearing_list(sizes: Mapping[SizeKey, int], *, name: str) -> ListFamily:
    """The tapered bearings of a list as a family with the dimension model of the standard tables.

    Parameters
    ----------
    sizes : mapping of SizeKey to int
        The list's distinct sizes, each with its number of lines.
    name : str
        The list, cited as the source of each size.

    Raises
    ------
    NotKnownError
        The list has no bearing with a listed designation or a size.

    Notes
    -----
    A designation of the standard tables brings its dimensions along. Of another one the bore, the
    outside diameter and the assembled width are known at most.
    """
    return _list_family(
        sizes,
        name=name,
        model=bearing_family(),
        kinds=(BEARING,),
        make=partial(_bearing, {compact(size.label): size for size in bearing_sizes()}),
        wanted="tapered bearing with a listed designation, or with bore and outside diameter",
    )


def _list_family(
    sizes: Mapping[SizeKey, int],
    *,
    name: str,
    model: Family,
    kinds: tuple[str | None, ...],
    make: Callable[[SizeKey, str], _Made],
    wanted: str,
) -> ListFamily:
    found: dict[_Identity, Size] = {}
    lines = no_size = off_table = other_parts = 0
    for key in sorted(sizes, key=_metric_first):
        count = sizes[key]
        if key.kind not in kinds:
            other_parts += count
            continue
        try:
            made = make(key, name)
        except OffTableError:
            off_table += count
            continue
        if made is None:
            no_size += count
            continue
        found.setdefault(*made)
        lines += count
    if not found:
        raise NotKnownError(
            value=f"list {name}",
            rule=f"it has no {wanted}",
            todo="Name another list, or leave --list out to use the standard tables",
        )
    family = Family(
        name=model.name,
        dimensions=model.dimensions,
        sizes=tuple(found[identity] for identity in sorted(found, key=_in_order)),
        places=tuple(model.places.values()),
        order_group=model.order_group,
    )
    return ListFamily(name, family, lines, no_size, off_table, other_parts)


def _metric_first(key: SizeKey) -> tuple[bool, str]:
    return key.system != METRIC, key.system or ""


def _in_order(identity: _Identity) -> tuple[tuple[bool, str | int], ...]:
    return tuple((isinstance(part, str), part) for part in identity)


def _seal(key: SizeKey, name: str) -> _Made:
    if key.shaft_um is None or key.bore_um is None or key.width_um is None:
        return None
    if not 0 < key.shaft_um < key.bore_um or key.width_um <= 0:
        return None
    values = (key.shaft_um, key.bore_um, key.width_um)
    size = _seal_size(values, key.system, name)
    _refuse_uncovered(size)
    return values, size


def _seal_size(values: tuple[int, int, int], written: str | None, name: str) -> Size:
    nominals = tuple((value / UM_PER_MM, dimension_system(value, written)) for value in values)
    systems = {system for _, system in nominals}
    system = systems.pop() if len(systems) == 1 else MIXED
    shaft, bore, width = (value for value, _ in nominals)
    label_system = METRIC if written == METRIC else (INCH if system != METRIC else METRIC)
    return Size(
        label=size_label(shaft_mm=shaft, bore_mm=bore, width_mm=width, system=label_system),
        system=system,
        nominals=nominals,
        series=(),
        source=f"list {name}",
        weight=size_weight("seal", system),
    )


def _refuse_uncovered(size: Size) -> None:
    """Refuse a size where no table says what readings of every dimension may be."""
    shaft, bore, width = (nominal for nominal in size.nominals if nominal is not None)
    shaft_limits(*shaft)
    lip_limits(*shaft)
    bore_limits(*bore)
    case_limits("metal", *bore)
    case_limits("rubber", *bore)
    width_limits(*width)


def _bearing(listed: Mapping[str, Size], key: SizeKey, name: str) -> _Made:
    number = compact(key.designation or "")
    size = listed.get(number)
    if size is not None and _agrees(key, size):
        return (number,), replace(size, source=f"list {name}; dimensions: {size.source}")
    if key.shaft_um is None or key.bore_um is None or not 0 < key.shaft_um < key.bore_um:
        return None
    system = dimension_system(key.shaft_um, key.system)
    width = None if key.width_um is None else key.width_um / UM_PER_MM
    cone, _, cup = (key.designation or "").partition("/")
    size = Size(
        label=key.designation or size_text(key),
        system=system,
        nominals=nominals_of(
            [key.shaft_um / UM_PER_MM, key.bore_um / UM_PER_MM, width, None, None], system
        ),
        series=(),
        source=f"list {name}",
        details={
            "designation": key.designation or "",
            "cone": cone,
            "cup": cup or cone,
            "iso355_series": "",
            "note": "",
        },
        weight=size_weight("bearing", system),
    )
    return (number, key.shaft_um, key.bore_um, key.width_um or 0), size


def _agrees(key: SizeKey, size: Size) -> bool:
    """Whether a list's own dimensions, if it gives any, are those of the tables."""
    given = (key.shaft_um, key.bore_um)
    return all(
        um is None or nominal is None or abs(um / UM_PER_MM - nominal[0]) <= _SAME_MM
        for um, nominal in zip(given, size.nominals, strict=False)
    )
