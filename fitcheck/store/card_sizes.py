"""The sizes of a job card as they are searched for: by name, or by their dimensions."""

from __future__ import annotations

from typing import NamedTuple

from fitcheck.errors import FitcheckError, InputError
from fitcheck.lists.lines import UM_PER_MM
from fitcheck.parts.bearing import bearing_sizes
from fitcheck.parts.size_text import parse_size
from fitcheck.quantities import length_mm

# Two lengths are one when they differ by no more than inches of three decimals do [um].
SAME_UM = 15

_SLEEVE = "sleeve"
_TIMES = "x"


class Dimensions(NamedTuple):
    """Shaft or cone bore, housing bore or cup outside, and width [um]; None is any or unknown."""

    shaft_um: int | None = None
    bore_um: int | None = None
    width_um: int | None = None


def size_key(text: str) -> str:
    """A size or designation as it is compared by name.

    Parameters
    ----------
    text : str
        The size.

    Examples
    --------
    >>> size_key("lm11949 / LM11910")
    'LM11949/LM11910'
    """
    return "".join(text.upper().split())


def dimensions_of(text: str) -> Dimensions:
    """The dimensions of a part on a card, by its size or its designation; none where unknown.

    Parameters
    ----------
    text : str
        The size as the card has it.

    Examples
    --------
    >>> dimensions_of("35 x 52 x 7")
    Dimensions(shaft_um=35000, bore_um=52000, width_um=7000)
    >>> dimensions_of("30206")
    Dimensions(shaft_um=30000, bore_um=62000, width_um=17250)
    """
    try:
        return _three(text.strip().removeprefix(_SLEEVE), "mm")
    except InputError:
        key = size_key(text)
    for size in bearing_sizes():
        if size_key(size.label) == key:
            return Dimensions(*(None if v is None else _um(v[0]) for v in size.nominals[:3]))
    return Dimensions()


def asked_dimensions(text: str, *, unit: str) -> Dimensions:
    """The dimensions somebody searches for; none where the text is a designation.

    Parameters
    ----------
    text : str
        Three lengths with ``x`` between them, or two where the width is not known; or a name.
    unit : str
        ``mm`` or ``in``, of lengths that name none.

    Raises
    ------
    InputError
        It begins like a size and can't be read as one.

    Examples
    --------
    >>> asked_dimensions("35 x 52", unit="mm")
    Dimensions(shaft_um=35000, bore_um=52000, width_um=None)
    >>> asked_dimensions("LM11949/LM11910", unit="mm")
    Dimensions(shaft_um=None, bore_um=None, width_um=None)
    """
    lengths = text.lower().replace("×", _TIMES).split(_TIMES)
    if len(lengths) == 2:
        try:
            first, second = (_um(length_mm(one, unit=unit)) for one in lengths)
        except FitcheckError:
            return Dimensions()
        return Dimensions(first, second)
    if len(lengths) == 1:
        return Dimensions()
    return _three(text, unit)


def _three(text: str, unit: str) -> Dimensions:
    size = parse_size(text, unit=unit)
    lengths = (size.shaft_mm, size.bore_mm, size.width_mm)
    return Dimensions(*map(_um, lengths))


def _um(value_mm: float) -> int:
    return round(value_mm * UM_PER_MM)
