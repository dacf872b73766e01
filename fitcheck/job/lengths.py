"""Measured lengths of a setting: one or several texts of an option become one reading."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.errors import InputError
from fitcheck.quantities import Quantity, length, plain
from fitcheck.readings import Reading, read, split_instrument
from fitcheck.records import dataclass

# What an option or a key of the sheet gives: one text, or several readings of one place.
Texts = str | Sequence[str]


@dataclass(frozen=True, slots=True)
class Measured:
    """A place as measured: the reading, and the quantities it was read from, as written."""

    reading: Reading
    quantities: tuple[Quantity, ...]

    @property
    def mm(self) -> float:
        """The mean of the readings [mm]."""
        return self.reading.mean_mm

    def notes(self, *, diameter: bool = True) -> list[str]:
        """What a person should know about these readings, in plain words.

        Parameters
        ----------
        diameter : bool
            Whether readings that differ speak of a part out of round.
        """
        reading = self.reading
        count = len(reading.values_mm)
        place = reading.place.removeprefix("--")
        lines = [line.removeprefix("--") for line in reading.notes()]
        if reading.out_of_round and not diameter:
            lines[-1] = (
                f"{place}: the readings differ by {reading.spread_mm:.3f} mm, more than the "
                f"{reading.instrument} explains ({reading.roundness_limit_mm:.3f} mm); measure "
                "it again"
            )
        if count > 1 and not reading.out_of_round:
            lines.append(
                f"{place}: {count} readings, {plain(round(reading.mean_mm, 4))} mm on average; "
                f"they differ by {reading.spread_mm:.3f} mm"
            )
        return lines


def texts_of(given: Texts) -> tuple[str, ...]:
    """The texts that were given; blank ones are readings left out.

    >>> texts_of("60"), texts_of(["60.01", " ", "60.02"]), texts_of("")
    (('60',), ('60.01', '60.02'), ())
    """
    texts = (given,) if isinstance(given, str) else given
    return tuple(text.strip() for text in texts if text.strip())


def shown(given: Texts) -> str:
    """The texts as they may stand in a message."""
    return " ".join(texts_of(given))


def quantities_of(
    given: Texts, *, place: str, unit: str = "mm", signed: bool = False
) -> tuple[Quantity, ...]:
    """The lengths as written, without their instruments.

    Parameters
    ----------
    given : str or sequence of str
        One or several texts.
    place : str
        The option or key, for messages.
    unit : str
        The unit of bare numbers.
    signed : bool
        Whether a length may be negative.

    Raises
    ------
    InputError
        A text is no length.
    """
    try:
        return tuple(
            length(split_instrument(text)[0], unit=unit, signed=signed) for text in texts_of(given)
        )
    except InputError as error:
        raise error.at(place) from None


def measured(given: Texts, *, place: str, unit: str = "mm", tool: str = "") -> Measured | None:
    """One or several readings of a place as one; None where none was given.

    Parameters
    ----------
    given : str or sequence of str
        One or several texts, each with or without ``@instrument``.
    place : str
        The option or key.
    unit : str
        The unit of bare numbers.
    tool : str
        The instrument of texts that name none; a caliper when empty.

    Raises
    ------
    InputError
        A text is no length, is zero or negative, or names no known instrument.
    """
    texts = texts_of(given)
    if not texts:
        return None
    quantities = quantities_of(texts, place=place, unit=unit)
    return Measured(read(place=place, texts=texts, unit=unit, tool=tool), quantities)
