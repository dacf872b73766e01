"""ISO 286 limits and fits: what a class such as H7 allows at a nominal size.

Limits are computed from the standard's own steps, tolerances and deviations. A class that the
standard does not define at a size is refused by name; no neighbour is taken in its place.
"""

from __future__ import annotations

import math
from functools import lru_cache

from fitcheck import limits_tables
from fitcheck.errors import AmbiguousError, InputError, OffTableError
from fitcheck.records import dataclass

_SHOWN = 40
_DIGITS = "0123456789"


@dataclass(frozen=True, slots=True)
class ToleranceClass:
    """A tolerance class as written: its letter, its grade, and whether it is a hole or a shaft."""

    letter: str
    grade: str
    kind: str

    @property
    def text(self) -> str:
        """The class as it is written on a drawing."""
        return f"{self.letter}{self.grade}"


@dataclass(frozen=True, slots=True)
class Limits:
    """The limits of one class at one nominal size; ``kind`` is ``hole`` or ``shaft``."""

    nominal_mm: float
    tolerance_class: str
    kind: str
    upper_um: float
    lower_um: float
    source: str
    evidence: str

    @property
    def upper_mm(self) -> float:
        """The upper limit of size [mm]."""
        return self.nominal_mm + self.upper_um / 1000.0

    @property
    def lower_mm(self) -> float:
        """The lower limit of size [mm]."""
        return self.nominal_mm + self.lower_um / 1000.0


@dataclass(frozen=True, slots=True)
class Fit:
    """A hole and a shaft of one nominal size; a negative clearance is an interference.

    ``kind`` is ``clearance``, ``transition`` or ``interference``.
    """

    hole: Limits
    shaft: Limits
    max_clearance_um: float
    min_clearance_um: float
    kind: str
    source: str


@lru_cache(maxsize=4096)
def parse_class(text: str) -> ToleranceClass:
    """Read one tolerance class.

    Parameters
    ----------
    text : str
        The class as written; capitals are holes, small letters are shafts.

    Returns
    -------
    ToleranceClass

    Raises
    ------
    AmbiguousError
        Capitals and small letters are mixed.
    InputError
        The text is no letter and grade.
    OffTableError
        The standard has no such letter or no such grade.

    Examples
    --------
    >>> parse_class("H7").kind, parse_class("js6").letter
    ('hole', 'js')
    """
    written = text.strip()
    letter = written.rstrip(_DIGITS)
    grade = written[len(letter) :]
    if not (grade and letter.isascii() and letter.isalpha() and len(letter) <= 2):
        raise InputError(
            value=_shown(text),
            rule="a tolerance class is one or two letters and a grade",
            todo="Write it like H7 for a hole or g6 for a shaft",
        )
    if not (letter.isupper() or letter.islower()):
        raise AmbiguousError(
            value=text, readings=(f"{letter.upper()}{grade}", letter.lower() + grade)
        )
    if letter not in limits_tables.LETTERS:
        raise OffTableError(
            value=_shown(text),
            rule=f"ISO 286-1 has no letter {letter}",
            todo="The letters are " + _letters(letter.isupper()) + "; check the drawing",
        )
    if grade not in limits_tables.ORDER:
        raise OffTableError(
            value=_shown(text),
            rule=f"ISO 286-1 has no grade {_shown(grade)}",
            todo="The grades are 01, 0 and 1 to 18; check the drawing",
        )
    return ToleranceClass(letter, grade, "hole" if letter.isupper() else "shaft")


def _shown(text: str) -> str:
    """The text as a message repeats it: never empty and never long."""
    if not text.strip():
        return "(empty)"
    return text if len(text) <= _SHOWN else text[:_SHOWN] + "..."


def _letters(holes: bool) -> str:
    return " ".join(limits_tables.HOLE_LETTERS if holes else limits_tables.SHAFT_LETTERS)


@lru_cache(maxsize=4096)
def parse_fit(text: str) -> tuple[ToleranceClass, ToleranceClass]:
    """Read a fit, the hole's class before the shaft's.

    Parameters
    ----------
    text : str
        The fit as written.

    Returns
    -------
    tuple of ToleranceClass
        The hole and the shaft.

    Raises
    ------
    InputError
        The text is not a hole's class, a stroke and a shaft's class.
    OffTableError
        The standard has no such letter or no such grade.

    Examples
    --------
    >>> [part.text for part in parse_fit("H7/g6")]
    ['H7', 'g6']
    """
    parts = text.split("/")
    if len(parts) != 2:
        raise InputError(
            value=_shown(text),
            rule="a fit is the class of a hole, a stroke and the class of a shaft",
            todo="Write it like H7/g6",
        )
    hole, shaft = parse_class(parts[0]), parse_class(parts[1])
    if (hole.kind, shaft.kind) == ("shaft", "hole"):
        raise InputError(
            value=_shown(text),
            rule="the hole comes first in a fit",
            todo=f"Write {shaft.text}/{hole.text}",
        )
    if hole.kind == shaft.kind:
        raise InputError(
            value=_shown(text),
            rule=f"both classes are those of a {hole.kind}; capitals are holes, small letters are "
            "shafts",
            todo="Write it like H7/g6",
        )
    return hole, shaft


def _checked_nominal(nominal_mm: float, known: limits_tables.Standard) -> float:
    if isinstance(nominal_mm, bool) or not math.isfinite(nominal_mm):
        raise InputError(
            value=str(nominal_mm),
            rule="a nominal size is a number of mm",
            todo="Give the nominal diameter, for example 30",
        )
    if not known.over_mm < nominal_mm <= known.incl_mm:
        raise OffTableError(
            value=f"{nominal_mm:.10g} mm",
            rule=f"ISO 286 covers nominal sizes over {known.over_mm:g} up to and including "
            f"{known.incl_mm:g} mm",
            todo="Check the size and its unit; outside this range the drawing gives the limits",
        )
    return float(nominal_mm)


def class_limits(*, nominal_mm: float, tolerance_class: str) -> Limits:
    """The limits of a tolerance class at a nominal size.

    Parameters
    ----------
    nominal_mm : float
        Nominal size, over 0 up to 3150 [mm].
    tolerance_class : str
        The class as written; capitals are holes, small letters are shafts.

    Returns
    -------
    Limits
        Upper and lower limit deviation from the nominal size [um], with source and evidence.

    Raises
    ------
    InputError
        The class or the size can't be understood.
    OffTableError
        The standard has no such class, or not at this size.

    Notes
    -----
    Steps are over one size, up to and including the next. Limits of js and JS are plus and minus
    half the tolerance with halves kept; earlier editions let odd tolerances of grades 7 to 11 be
    rounded down to even before halving.

    Examples
    --------
    >>> found = class_limits(nominal_mm=30, tolerance_class="H7")
    >>> found.upper_um, found.lower_um
    (21.0, 0.0)

    Source: ISO 286-1:2010, Tables 1 to 5, and ISO 286-2:2010; the rows used are cited in
    ``source``.
    """
    found = parse_class(tolerance_class)
    known = limits_tables.standard()
    nominal_mm = _checked_nominal(nominal_mm, known)
    zone = limits_tables.zone(
        letter=found.letter, grade=found.grade, nominal_mm=nominal_mm, known=known
    )
    if zone is None:
        raise limits_tables.refusal(letter=found.letter, grade=found.grade, nominal_mm=nominal_mm)
    source, evidence = limits_tables.cite(zone.rows)
    return Limits(
        nominal_mm=nominal_mm,
        tolerance_class=found.text,
        kind=found.kind,
        upper_um=zone.upper_um,
        lower_um=zone.lower_um,
        source=source,
        evidence=evidence,
    )


def it_grade_um(*, nominal_mm: float, grade: str | int) -> float:
    """The standard tolerance of a grade at a nominal size.

    Parameters
    ----------
    nominal_mm : float
        Nominal size, over 0 up to 3150 [mm].
    grade : str or int
        The grade, with or without IT: 7, ``"7"``, ``"IT7"``, ``"01"``.

    Returns
    -------
    float
        The tolerance [um].

    Raises
    ------
    InputError
        The size is no number, or the grade no whole number.
    OffTableError
        The standard has no such grade, or not at this size.

    Examples
    --------
    >>> it_grade_um(nominal_mm=30, grade=7)
    21.0

    Source: ISO 286-1:2010, Table 1 (some grades seen in published tables, the rest from memory).
    """
    name = str(grade).strip().removeprefix("IT")
    if name not in limits_tables.ORDER:
        # A whole number is a grade that the standard lacks; anything else is no grade at all.
        kind = OffTableError if name.isdigit() else InputError
        raise kind(
            value=_shown(str(grade)),
            rule="ISO 286-1 has no such grade",
            todo="The grades are IT01, IT0 and IT1 to IT18",
        )
    known = limits_tables.standard()
    nominal_mm = _checked_nominal(nominal_mm, known)
    step = known.grades[name].at(nominal_mm)
    if step is None:
        raise limits_tables.grade_refusal(asked=f"IT{name}", grade=name, nominal_mm=nominal_mm)
    return step.value_um


def fit(*, nominal_mm: float, hole_class: str, shaft_class: str) -> Fit:
    """The clearances of a hole and a shaft of one nominal size.

    Parameters
    ----------
    nominal_mm : float
        Nominal size, over 0 up to 3150 [mm].
    hole_class : str
        The class of the hole, in capitals.
    shaft_class : str
        The class of the shaft, in small letters.

    Returns
    -------
    Fit
        Largest and smallest clearance [um], negative for an interference, and the kind of fit.

    Raises
    ------
    InputError
        A class or the size can't be understood, or the classes are not a hole and a shaft.
    OffTableError
        The standard has no such class, or not at this size.

    Notes
    -----
    Largest clearance = upper limit of the hole - lower limit of the shaft; smallest = lower limit
    of the hole - upper limit of the shaft. A smallest clearance of zero is still a clearance fit,
    a largest clearance of zero already an interference fit.

    Examples
    --------
    >>> found = fit(nominal_mm=30, hole_class="H7", shaft_class="g6")
    >>> found.max_clearance_um, found.min_clearance_um, found.kind
    (41.0, 7.0, 'clearance')

    Source: ISO 286-1:2010, clause 3.3 (from memory).
    """
    parse_fit(f"{hole_class}/{shaft_class}")
    hole = class_limits(nominal_mm=nominal_mm, tolerance_class=hole_class)
    shaft = class_limits(nominal_mm=nominal_mm, tolerance_class=shaft_class)
    largest = round(hole.upper_um - shaft.lower_um, 3)
    smallest = round(hole.lower_um - shaft.upper_um, 3)
    if smallest >= 0:
        kind = "clearance"
    elif largest <= 0:
        kind = "interference"
    else:
        kind = "transition"
    return Fit(
        hole=hole,
        shaft=shaft,
        max_clearance_um=largest,
        min_clearance_um=smallest,
        kind=kind,
        source=limits_tables.joined(hole.source, shaft.source),
    )
