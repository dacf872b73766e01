"""The readings of a worn counterface: text in, and what they say about the groove.

A value that makes sense only in the other unit is answered with that question, and a whole
difference of diameters given as the depth is recognised.
"""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.assess.counterface import groove_depth_error_mm, groove_depth_mm, mm
from fitcheck.errors import AmbiguousError, InputError
from fitcheck.job.lengths import quantities_of, texts_of
from fitcheck.judging import COVERAGE
from fitcheck.parts.size_text import SizeText, parse_size
from fitcheck.quantities import length, plain
from fitcheck.readings import Reading, read, split_instrument
from fitcheck.records import dataclass
from fitcheck.units import MM_PER_INCH

# No lip wears a groove of this depth: such a number is a diameter, or of another shaft. Own
# rule, no source.
_NOT_A_GROOVE_MM = 3.0
# A shaft outside these that was written without a unit is asked about: the smallest listed seals
# run on 6 mm, and one of 600 mm is beyond every table here.
_SMALLEST_BARE_MM, _LARGEST_BARE_MM = 5.0, 600.0
# Two diameters this close are of the same place, in one unit or the other.
_ALIKE = 0.15


@dataclass(frozen=True, slots=True)
class Worn:
    """The readings of one counterface; None is what was not measured."""

    shaft: Reading | None
    track: Reading | None
    groove_depth: Reading | None
    groove_width: Reading | None
    lip_at: Reading | None
    room: Reading | None
    shaft_end: Reading | None
    seal: SizeText | None

    def readings(self) -> tuple[Reading, ...]:
        """Everything that was measured."""
        every = (
            self.shaft,
            self.track,
            self.groove_depth,
            self.groove_width,
            self.lip_at,
            self.room,
            self.shaft_end,
        )
        return tuple(reading for reading in every if reading is not None)


@dataclass(frozen=True, slots=True)
class Depth:
    """The groove depth and its standard error; ``depth_mm`` is None where none was measured."""

    depth_mm: float | None
    error_mm: float
    cautions: tuple[str, ...] = ()
    conflicts: tuple[str, ...] = ()


def read_worn(
    *,
    shaft: str | Sequence[str],
    track: str | Sequence[str],
    groove_depth: str | Sequence[str],
    groove_width: str | Sequence[str],
    lip_at: str | Sequence[str],
    room: str | Sequence[str],
    shaft_end: str | Sequence[str] = (),
    seal: str,
    unit: str,
    tool: str,
    damaged: bool,
) -> Worn:
    """Read everything that was written about a counterface, and refuse what can't be.

    Raises
    ------
    InputError
        A text can't be read, or neither the groove nor other damage is described.
    AmbiguousError
        A value makes sense only in the other unit.
    """
    worn = Worn(
        shaft=read_place("shaft", shaft, unit=unit, tool=tool),
        track=read_place("track", track, unit=unit, tool=tool),
        groove_depth=read_place("groove-depth", groove_depth, unit=unit, tool=tool),
        groove_width=read_place("groove-width", groove_width, unit=unit, tool=tool),
        lip_at=read_place("lip-at", lip_at, unit=unit, tool=tool),
        room=read_place("room", room, unit=unit, tool=tool),
        shaft_end=read_place("shaft-end", shaft_end, unit=unit, tool=tool),
        # A size names its own unit: without one it is metric, whatever bare lengths are.
        seal=parse_size(seal) if seal else None,
    )
    _ask_units(worn)
    if worn.track is not None and worn.shaft is None:
        raise InputError(
            value=f"track {mm(worn.track.mean_mm)} mm",
            rule="the depth of a groove takes two diameters, the track and the unworn land",
            todo="Give --shaft, measured on the unworn land beside the track, too",
        )
    if worn.track is None and worn.groove_depth is None and not damaged:
        raise InputError(
            value="the groove",
            rule="nothing was measured that tells how deep it is",
            todo="Give --shaft (the unworn land) and --track, or --groove-depth",
        )
    if worn.groove_depth is not None:
        _check_depth(worn.groove_depth)
    return worn


# Nothing there is a good answer for a depth.
_MAY_BE_ZERO = frozenset({"groove-depth", "room"})


def read_place(
    place: str, given: str | Sequence[str], *, unit: str, tool: str = ""
) -> Reading | None:
    """One place of a counterface; None where it was not measured.

    Parameters
    ----------
    place : str
        The option. The depth of a groove and the room in the bore may be zero.
    given : str or sequence of str
        One or several texts.
    unit : str
        The unit of bare numbers.
    tool : str
        The instrument of texts that name none; a caliper when empty.

    Raises
    ------
    InputError
        A text can't be read.
    """
    texts = texts_of(given)
    if not texts:
        return None
    if place in _MAY_BE_ZERO and any(_is_zero(text, unit) for text in texts):
        # Zero is as sure as the instrument is. No reading may be zero, so these are read a
        # millimetre up.
        up = tuple(_raised(text, place, unit) for text in texts)
        return _moved(read(place=place, texts=up, tool=tool), -1.0)
    return read(place=place, texts=texts, unit=unit, tool=tool)


def _raised(text: str, place: str, unit: str) -> str:
    _, mark, name = text.partition("@")
    (quantity,) = quantities_of(text, place=place, unit=unit)
    return f"{plain(quantity.value + 1.0)}mm{mark}{name}"


def _is_zero(text: str, unit: str) -> bool:
    try:
        return length(split_instrument(text)[0], unit=unit).value == 0.0
    except InputError:
        return False


def _moved(reading: Reading, by_mm: float) -> Reading:
    from dataclasses import replace

    return replace(
        reading,
        values_mm=tuple(value + by_mm for value in reading.values_mm),
        mean_mm=reading.mean_mm + by_mm,
        strays_mm=tuple(value + by_mm for value in reading.strays_mm),
    )


def _other_unit(reading: Reading) -> float:
    """The reading as if its bare number stood in the other unit [mm]."""
    if reading.unit == "in":
        return reading.mean_mm / MM_PER_INCH
    return reading.mean_mm * MM_PER_INCH


def _ask_units(worn: Worn) -> None:
    """Ask where a bare number makes sense only in the other unit."""
    beside = [
        value
        for value in (
            worn.seal.shaft_mm if worn.seal else None,
            worn.shaft.mean_mm if worn.shaft else None,
            worn.track.mean_mm if worn.track else None,
        )
        if value is not None
    ]
    for reading in (worn.shaft, worn.track):
        if reading is None or reading.stated or reading.unit not in ("mm", "in"):
            continue
        other = _other_unit(reading)
        near = any(
            abs(other - value) <= _ALIKE * value and abs(reading.mean_mm - value) > value / 2.0
            for value in beside
        )
        alone = not _SMALLEST_BARE_MM <= reading.mean_mm <= _LARGEST_BARE_MM and (
            _SMALLEST_BARE_MM <= other <= _LARGEST_BARE_MM
        )
        if near or alone:
            raise _unit_question(reading)


def _unit_question(reading: Reading) -> AmbiguousError:
    scale = MM_PER_INCH if reading.unit == "in" else 1.0
    number = plain(round(reading.mean_mm / scale, 5))
    return AmbiguousError(
        value=f"{reading.place} {number}", readings=(f"{number}in", f"{number}mm")
    )


def _check_depth(depth: Reading) -> None:
    if depth.mean_mm >= _NOT_A_GROOVE_MM:
        raise InputError(
            value=f"groove-depth {mm(depth.mean_mm)} mm",
            rule=f"no lip wears a groove of {mm(_NOT_A_GROOVE_MM)} mm; this is a diameter, or in "
            "another unit",
            todo="Give the diameter in the track with --track, or write the unit: 12thou, 0.3mm",
        )


def groove(worn: Worn) -> Depth:
    """The groove depth from two diameters, from what was given, or from both.

    Raises
    ------
    InputError
        The two diameters can't be of the same place.
    """
    given = worn.groove_depth
    if worn.shaft is None or worn.track is None:
        if given is None:
            return Depth(None, 0.0)
        return Depth(given.mean_mm, given.standard_error_mm)
    half = groove_depth_mm(land_mm=worn.shaft.mean_mm, track_mm=worn.track.mean_mm)
    if half >= _NOT_A_GROOVE_MM:
        raise InputError(
            value=f"land {mm(worn.shaft.mean_mm)} mm and track {mm(worn.track.mean_mm)} mm",
            rule=f"no lip wears a groove of {mm(half)} mm",
            todo="Measure both again, on the same shaft and in the same unit",
        )
    error = groove_depth_error_mm(
        land_error_mm=worn.shaft.standard_error_mm, track_error_mm=worn.track.standard_error_mm
    )
    if half < 0.0 and given is None:
        return Depth(
            0.0,
            error,
            cautions=(
                f"The track reads {mm(-2.0 * half)} mm over the land, no more than the instruments "
                "explain: taken as no groove.",
            ),
        )
    half = max(half, 0.0)
    if given is None:
        return Depth(half, error)
    return _both(given, half=half, error=error)


def _both(given: Reading, *, half: float, error: float) -> Depth:
    """The depth as given beside half the difference of the diameters."""
    depth, own = given.mean_mm, given.standard_error_mm
    off_half, off_whole = abs(depth - half), abs(depth - 2.0 * half)
    if off_whole < off_half and off_whole <= COVERAGE * (own**2 + (2.0 * error) ** 2) ** 0.5:
        return Depth(
            half,
            error,
            cautions=(
                f"The groove depth given, {mm(depth)} mm, is the whole difference of the two "
                f"diameters; the groove is half of it, {mm(half)} mm.",
            ),
        )
    if off_half <= COVERAGE * (own**2 + error**2) ** 0.5:
        return Depth(half, error) if error <= own else Depth(depth, own)
    deeper, its_error = max((half, error), (depth, own))
    return Depth(
        deeper,
        its_error,
        conflicts=(
            f"the groove depth given, {mm(depth)} mm, and the two diameters, {mm(half)} mm, do not "
            "agree; the deeper is taken",
        ),
    )
