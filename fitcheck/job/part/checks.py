"""What is checked beside a part's size: its seats by class, and what some families add.

A seat is judged where the first limits of its place are an ISO 286 class, a ring's by the member
that turns. ``ADDED`` has the checks that need more arithmetic; a family that is not in it has its
seats judged and nothing else.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from fitcheck.assess.part_seat import class_seat, ring_seat
from fitcheck.assess.within import Check
from fitcheck.errors import OffTableError
from fitcheck.identify import Identification
from fitcheck.job.part.bushing import clearance_checks, seat_classes
from fitcheck.job.part.gland import fitting_rings, oring_checks
from fitcheck.job.part.play import play_checks
from fitcheck.limits import parse_class
from fitcheck.parts.asked import options
from fitcheck.parts.family import Family, Size
from fitcheck.readings import Reading
from fitcheck.tables import table

Readings = Mapping[str, Reading]
Choices = Mapping[str, str]


def checks_of(
    name: str, size: Size, family: Family, readings: Readings, choices: Choices
) -> list[Check]:
    """Every check of a part, seats first.

    Parameters
    ----------
    name : str
        The family's name.
    size : Size
        The size to judge against.
    family : Family
        The family.
    readings : mapping of str to Reading
        What was read, by place and by option.
    choices : mapping of str to str
        The words chosen, by option.
    """
    found = _seats(name, size, family, readings, choices)
    added = ADDED.get(name)
    return [*found, *(added(size, readings, choices) if added else ())]


def _seats(
    name: str, size: Size, family: Family, readings: Readings, choices: Choices
) -> list[Check]:
    classes = SEATS[name](size) if name in SEATS else _first_classes(name)
    # Where a family asks which member turns, its rings sit by that.
    is_ring = any(option.name == "turning" for option in options(name))
    checks = []
    for place, reading in readings.items():
        known = family.places.get(place)
        if known is None or known.part != "seat":
            continue
        nominal = size.nominals[known.views[0].dimension]
        # What is this far off is explained by something else than the seat's wear.
        if nominal is None or abs(reading.mean_mm - nominal[0]) > _ANOTHER_MM:
            continue
        if place in ("journal", "housing") and is_ring:
            if choices.get("turning"):
                checks.append(
                    ring_seat(
                        place=place,
                        nominal_mm=nominal[0],
                        turning=choices["turning"],
                        measured=reading,
                    )
                )
        elif place in classes:
            tolerance_class, source = classes[place]
            try:
                checks.append(
                    class_seat(
                        place=place,
                        nominal_mm=nominal[0],
                        tolerance_class=tolerance_class,
                        source=source,
                        measured=reading,
                    )
                )
            except OffTableError:
                continue
    return checks


# No seat wears this far and still runs: own rule, no source.
_ANOTHER_MM = 1.5


def _first_classes(name: str) -> dict[str, tuple[str, str]]:
    """For each place the ISO 286 class its first band names, with its source."""
    found: dict[str, tuple[str, str]] = {}
    for row in table(f"{name}/bands").rows:
        place, limits = row.text("place"), row.text("limits")
        if place not in found:
            found[place] = (limits if _is_class(limits) else "", row.cite())
    return {place: named for place, named in found.items() if named[0]}


def _is_class(text: str) -> bool:
    letters = text.rstrip("0123456789")
    if letters == text or len(letters) > 2 or "_" in text:
        return False
    return parse_class(text).text == text


# The classes of a family's seats, where they go by more than the place.
SEATS: dict[str, Callable[[Size], dict[str, tuple[str, str]]]] = {"bushing": seat_classes}
ADDED: dict[str, Callable[[Size, Readings, Choices], Sequence[Check]]] = {
    "oring": oring_checks,
    "bushing": clearance_checks,
    "ujoint": play_checks,
}
# What else a family says of the sizes still in question.
ALSO: dict[str, Callable[[Identification, Readings, Choices], list[dict[str, str]]]] = {
    "oring": fitting_rings,
}
