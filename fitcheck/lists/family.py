"""A list's own seal sizes as a family, so that readings are matched against what it has."""

from __future__ import annotations

from collections.abc import Iterable

from fitcheck.errors import NotKnownError, OffTableError
from fitcheck.lists.items import INCH, METRIC, MIXED, SEAL, SizeKey, dimension_system
from fitcheck.lists.lines import UM_PER_MM
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


def list_family(sizes: Iterable[SizeKey], *, name: str, case: str = "") -> Family:
    """The seals of a list as a family with the dimension model of the standard tables.

    Parameters
    ----------
    sizes : iterable of SizeKey
        The list's distinct sizes; what is no seal or lacks a dimension is passed over.
    name : str
        The list, cited as the source of each size.
    case : str
        The old seal's case, ``metal`` or ``rubber``; either where it is empty.

    Raises
    ------
    NotKnownError
        The list has no seal with shaft, bore and width.

    Notes
    -----
    Two ways to write one size, 25.4 and 1 in, are one size. Sizes beyond every tolerance table
    are passed over: nothing says what a reading of them may be.
    """
    found: dict[tuple[int, ...], Size] = {}
    for key in sorted(sizes, key=_metric_first):
        if key.kind not in (SEAL, None):
            continue
        if key.shaft_um is None or key.bore_um is None or key.width_um is None:
            continue
        values = (key.shaft_um, key.bore_um, key.width_um)
        if values in found or not 0 < key.shaft_um < key.bore_um or key.width_um <= 0:
            continue
        size = _size(values, key.system, name)
        if _covered(size):
            found[values] = size
    if not found:
        raise NotKnownError(
            value=f"list {name}",
            rule="it has no seal with shaft, bore and width",
            todo="Name another list, or leave --list out to use the standard tables",
        )
    model = seal_family(case=case)
    return Family(
        name=model.name,
        dimensions=model.dimensions,
        sizes=tuple(found[values] for values in sorted(found)),
        places=tuple(model.places.values()),
        order_group=model.order_group,
    )


def _metric_first(key: SizeKey) -> tuple[bool, str]:
    return key.system != METRIC, key.system or ""


def _size(values: tuple[int, int, int], written: str | None, name: str) -> Size:
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


def _covered(size: Size) -> bool:
    """Whether the tables say what readings of every dimension may be."""
    shaft, bore, width = (nominal for nominal in size.nominals if nominal is not None)
    try:
        shaft_limits(*shaft)
        lip_limits(*shaft)
        bore_limits(*bore)
        case_limits("metal", *bore)
        case_limits("rubber", *bore)
        width_limits(*width)
    except OffTableError:
        return False
    return True
