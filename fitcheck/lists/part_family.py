"""The parts of one described family in a list, as a family of its own sizes."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from fitcheck.errors import NotKnownError
from fitcheck.lists.family import ListFamily
from fitcheck.lists.items import OTHER, SizeKey
from fitcheck.lists.named_parts import NamedPart, named_part
from fitcheck.parts.family import Size
from fitcheck.parts.kind import Kind, kind, kind_family, with_sizes
from fitcheck.units import MM_PER_INCH

# What a table says of rows that are made up.
_INVENTED = "(invented)"
_NUMBER = re.compile(r"[0-9]+(?:\.[0-9]+)?")


def part_list(sizes: Mapping[SizeKey, int], *, family: str, name: str) -> ListFamily:
    """The parts of one family in a list, with the dimension model of its tables.

    Parameters
    ----------
    sizes : mapping of SizeKey to int
        The list's distinct sizes, each with its number of lines.
    family : str
        The family's name.
    name : str
        The list, cited as the source of each size.

    Raises
    ------
    NotKnownError
        The list has no part of the family.

    Notes
    -----
    A size of the tables brings its dimensions along. Of another one those are known that the list
    writes, in the order the trade writes them.
    """
    told, model = kind(family), kind_family(family)
    found: dict[str, Size] = {}
    lines = no_size = other_parts = 0
    for key, count in sizes.items():
        part = named_part(key.designation) if key.kind == OTHER and key.designation else None
        if part is None or part.family != family:
            other_parts += count
            continue
        size = _size(told, part, name)
        if size is None:
            no_size += count
            continue
        found.setdefault(size.label, size)
        lines += count
    if not found:
        raise NotKnownError(
            value=f"list {name}",
            rule=f"it has no {told.title} with a size that can be read",
            todo="Name another list, or leave --list out to use the standard tables",
        )
    listed = with_sizes(model, tuple(found[label] for label in sorted(found)))
    return ListFamily(name, listed, lines, no_size, 0, other_parts)


def _known(told: Kind, size: Size, name: str) -> Size:
    """A size of the tables in a list; of one that is made up counts what the list writes."""
    of_tables = replace(size, source=f"list {name}; dimensions: {size.source}")
    if _INVENTED not in size.source:
        return of_tables
    written = [told.dimensions.index(names) for names in told.order if names in told.dimensions]
    nominals = [size.nominals[n] for n in written]
    if any(nominal is None or "@" in nominal[1] for nominal in nominals):
        # A range that is made up stays so.
        return of_tables
    kept = (nominal if n in written else None for n, nominal in enumerate(size.nominals))
    return replace(size, nominals=tuple(kept), source=f"list {name}")


def _size(told: Kind, part: NamedPart, name: str) -> Size | None:
    """The size of a list's part: that of the tables, or what the list writes of it."""
    if part.size is not None:
        return _known(told, part.size, name)
    label = part.name.removeprefix(f"{told.title} ")
    inches = label.endswith(" in")
    values = [float(n) * (MM_PER_INCH if inches else 1.0) for n in _NUMBER.findall(label)]
    # What may be one of two dimensions, and the like, is not guessed.
    if len(values) != len(told.order) or any("/" in names for names in told.order):
        return None
    system = "inch" if inches else "metric"
    by_name = {names: (value, system) for names, value in zip(told.order, values, strict=True)}
    return Size(
        label=label,
        system=system,
        nominals=tuple(by_name.get(dimension) for dimension in told.dimensions),
        series=(),
        source=f"list {name}",
    )
