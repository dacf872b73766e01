"""What was asked to be drawn, read from text: a seal with what was measured of its seat."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from fitcheck.errors import AmbiguousError, InputError, NotKnownError
from fitcheck.job.lengths import Measured, measured
from fitcheck.parts.size_text import INCH, SizeText, parse_size
from fitcheck.parts.sleeve import Sleeve, gripping, sleeves
from fitcheck.quantities import length_mm, plain
from fitcheck.records import dataclass

if TYPE_CHECKING:
    from fitcheck.job.sheet import Sheet

PLACES = (
    "land",
    "track",
    "groove-depth",
    "groove-width",
    "lip-at",
    "pocket",
    "room",
    "shaft-end",
    "bore-chamfer",
)


@dataclass(frozen=True, slots=True)
class SealToDraw:
    """A seal and what was measured of its seat; ``lengths`` are in mm, None where not given."""

    size: SizeText
    lengths: Mapping[str, float | None]
    groove_depth_mm: float | None
    shift_mm: float | None
    sleeve: Sleeve | None

    @property
    def land_mm(self) -> float | None:
        """The unworn land [mm]."""
        return self.lengths["land"]


def seal_to_draw(
    *,
    size: str,
    readings: Mapping[str, Sequence[str]],
    move: str = "",
    sleeve: str = "",
    unit: str = "mm",
) -> SealToDraw:
    """Read a seal and its seat.

    Parameters
    ----------
    size : str
        The seal, such as ``35 x 52 x 7``.
    readings : mapping
        Texts by place (see ``PLACES``), with ``_`` for ``-``.
    move : str
        How much deeper it is seated.
    sleeve : str
        A listed thin sleeve, or ``auto`` for the one that grips the land.
    unit : str
        The unit of bare lengths.

    Raises
    ------
    InputError
        A text can't be read, or readings contradict each other.
    NotKnownError
        There is no such sleeve, or none grips the land.

    Examples
    --------
    >>> found = seal_to_draw(size="35x52x7", readings={"land": ["34.98"], "track": ["34.70"]})
    >>> round(found.groove_depth_mm, 3)
    0.14
    """
    parsed = parse_size(size, unit=unit)
    lengths: dict[str, float | None] = {}
    for place in PLACES:
        found = measured(readings.get(place.replace("-", "_"), ()), place=f"--{place}", unit=unit)
        lengths[place] = None if found is None else found.mm
        if found is not None and parsed.system == INCH and unit == "mm":
            _refuse_bare(found, place=f"--{place}")
    return SealToDraw(
        size=parsed,
        lengths=lengths,
        groove_depth_mm=_depth(lengths),
        shift_mm=length_mm(move, unit=unit, signed=True) if move else None,
        sleeve=_sleeve(sleeve, lengths["land"]) if sleeve else None,
    )


def _refuse_bare(found: Measured, *, place: str) -> None:
    """Beside a size in inches a length without a unit may be either."""
    for quantity in found.quantities:
        if not quantity.stated:
            number = plain(quantity.amount)
            raise AmbiguousError(
                value=f"{place} {number}, beside a size in inches",
                readings=(f"{number}mm", f"{number}in"),
            )


def _depth(lengths: Mapping[str, float | None]) -> float | None:
    """The depth of the groove: as given, or half the difference of land and track."""
    land, track, depth = lengths["land"], lengths["track"], lengths["groove-depth"]
    if track is None:
        return depth
    if depth is not None or land is None:
        raise InputError(
            value=f"--track {track:g} mm",
            rule="the groove is drawn from land and track, or from its depth",
            todo="Give --land with it, and leave --groove-depth out",
        )
    if track > land:
        raise InputError(
            value=f"--track {track:g} mm",
            rule=f"a worn track is no larger than its land of {land:g} mm",
            todo="Check which reading is which",
        )
    return (land - track) / 2.0


def _sleeve(name: str, land_mm: float | None) -> Sleeve:
    if name.strip().lower() == "auto":
        if land_mm is None:
            raise InputError(
                value="--sleeve auto",
                rule="a sleeve is chosen by the unworn land",
                todo="Give --land, or name the sleeve",
            )
        found = gripping(land_mm=land_mm)
        if not found:
            raise NotKnownError(
                value=f"--sleeve auto, land {land_mm:g} mm",
                rule="no listed sleeve grips it",
                todo="`fitcheck sleeve` says what else can be done",
            )
        return found[0]
    wanted = "".join(name.lower().removeprefix("sleeve").split())
    for sleeve in sleeves():
        if "".join(sleeve.designation.removeprefix("sleeve").split()) == wanted:
            return sleeve
    raise NotKnownError(
        value=f"--sleeve {name[:60]}",
        rule="no listed sleeve is called so",
        todo="`fitcheck tables show sleeves/thin` lists them; auto takes the one that grips",
    )


def sheet_extras(sheet: Sheet) -> dict[str, dict[str, float | bool | str | None]]:
    """By the name of a position: its unit, and a seal's chamfers as read [mm] and kind of case.

    Raises
    ------
    InputError
        A chamfer can't be read.
    """
    found: dict[str, dict[str, float | bool | str | None]] = {}
    for other in (*sheet.bearing, *sheet.shims, *sheet.pivot):
        found[other.name] = {"unit": other.unit or sheet.job.unit}
    for entry in sheet.seal:
        unit = entry.unit or sheet.job.unit
        values: dict[str, float | bool | str | None] = {
            "unit": unit,
            "rubber_case": entry.case == "rubber",
        }
        for key in ("shaft_end", "bore_chamfer"):
            read = measured(getattr(entry, key), place=f"{entry.name} {key}", unit=unit)
            values[f"{key}_mm"] = None if read is None else read.mm
        found[entry.name] = values
    return found
