"""What ISO 286-1 prints, ready to look up: tolerances and deviations by nominal size.

The standard gives every shaft letter a deviation of its own. Holes mirror the shaft of the same
letter, K to ZC with an addition in the fine grades; the few holes that do not are a table.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable
from functools import cache

from fitcheck.errors import OffTableError
from fitcheck.records import dataclass
from fitcheck.tables import Row, shop_folder, table

GRADES = ("01", "0", *(str(n) for n in range(1, 19)))
ORDER = {grade: order for order, grade in enumerate(GRADES)}

# In the order of the standard: from the loosest fit with a basic part to the tightest.
SHAFT_LETTERS = tuple(
    "a b c cd d e ef f fg g h js j k m n p r s t u v x y z za zb zc".split()  # noqa: SIM905
)
HOLE_LETTERS = tuple(letter.upper() for letter in SHAFT_LETTERS)
LETTERS = frozenset(SHAFT_LETTERS + HOLE_LETTERS)

# From this grade on, holes of these letters are only what the table of holes gives.
_HOLES_ONLY_LISTED = {"J": "01", "K": "9", "N": "9"}
# K holes of every grade mirror the k shafts of grades 4 to 7; other k shafts start at zero.
_MIRRORED_GRADE = {"K": "7"}
_LAST_GRADE_WITH_DELTA = {"K": "8", "M": "8", "N": "8"}
_LAST_GRADE_WITH_DELTA_P_TO_ZC = "7"

# Worst first: a limit is no better known than the worst row it is made of.
_EVIDENCE = ("invented", "memory", "shop", "seen")


@dataclass(frozen=True, slots=True)
class Step:
    """One step of nominal size, over one size up to and including another."""

    over_mm: float
    incl_mm: float
    value_um: float
    bound: str
    row: Row


class Ladder:
    """Steps in rising order; a gap between two of them is a size without a value."""

    __slots__ = ("_incl_mm", "steps")

    def __init__(self, steps: Iterable[Step]) -> None:
        self.steps = tuple(sorted(steps, key=lambda step: step.incl_mm))
        self._incl_mm = [step.incl_mm for step in self.steps]

    def at(self, nominal_mm: float) -> Step | None:
        """The step a nominal size lies in, or None."""
        index = bisect_left(self._incl_mm, nominal_mm)
        if index == len(self.steps):
            return None
        step = self.steps[index]
        return step if nominal_mm > step.over_mm else None

    @property
    def over_mm(self) -> float:
        """The size the first step begins over [mm]."""
        return self.steps[0].over_mm

    @property
    def incl_mm(self) -> float:
        """The size the last step goes up to [mm]."""
        return self.steps[-1].incl_mm


@dataclass(frozen=True, slots=True)
class Band:
    """The deviations of one letter for a run of grades."""

    first: int
    last: int
    ladder: Ladder


@dataclass(frozen=True, slots=True)
class Standard:
    """The tables of the standard, by grade and by letter."""

    grades: dict[str, Ladder]
    shafts: Letters
    holes: Letters
    delta: dict[str, Ladder]
    over_mm: float
    incl_mm: float


@dataclass(frozen=True, slots=True)
class Zone:
    """A tolerance zone: its two limits and the rows they were made of."""

    upper_um: float
    lower_um: float
    rows: tuple[Row, ...]


def standard() -> Standard:
    """The tables, read on first use, with the shop's own rows laid over them."""
    return _standard(shop_folder())


@cache
def _standard(_shop: str) -> Standard:
    grades = _by_grade("iso286/it_grades", "tolerance_um")
    return Standard(
        grades=grades,
        shafts=Letters("iso286/shaft_deviations"),
        holes=Letters("iso286/hole_deviations"),
        delta=_by_grade("iso286/delta", "delta_um"),
        over_mm=min(ladder.over_mm for ladder in grades.values()),
        incl_mm=max(ladder.incl_mm for ladder in grades.values()),
    )


def _step(row: Row, column: str, bound: str) -> Step:
    # Only the symmetric zones have no deviation: half the tolerance lies either side.
    value = 0.0 if bound == "both" else row.number(column)
    return Step(row.number("over_mm"), row.number("incl_mm"), value, bound, row)


def _by_grade(name: str, column: str) -> dict[str, Ladder]:
    found: dict[str, list[Step]] = {}
    for row in table(name).rows:
        found.setdefault(row.text("grade"), []).append(_step(row, column, ""))
    return {grade: Ladder(steps) for grade, steps in found.items()}


class Letters:
    """The deviations of a table by letter; a letter's ladders are built when it is asked for.

    A table has thousands of steps in some thirty letters, and a look-up asks for one or two.
    """

    __slots__ = ("_built", "_rows")

    def __init__(self, name: str) -> None:
        self._built: dict[str, tuple[Band, ...]] = {}
        self._rows: dict[str, list[Row]] = {}
        for row in table(name).rows:
            self._rows.setdefault(row.text("letter"), []).append(row)

    def __contains__(self, letter: str) -> bool:
        return letter in self._rows

    def get(self, letter: str) -> tuple[Band, ...]:
        """The bands of a letter, none for one that the table has not."""
        found = self._built.get(letter)
        if found is None:
            found = self._built[letter] = _bands(self._rows.get(letter, []))
        return found


def _bands(rows: Iterable[Row]) -> tuple[Band, ...]:
    runs: dict[tuple[int, int], list[Step]] = {}
    for row in rows:
        run = ORDER[row.text("from_grade")], ORDER[row.text("to_grade")]
        runs.setdefault(run, []).append(_step(row, "deviation_um", row.text("bound")))
    return tuple(Band(first, last, Ladder(steps)) for (first, last), steps in runs.items())


def _deviation(bands: tuple[Band, ...], grade: str, nominal_mm: float) -> Step | None:
    order = ORDER[grade]
    for band in bands:
        if band.first <= order <= band.last:
            step = band.ladder.at(nominal_mm)
            if step is not None:
                return step
    return None


def zone(
    *, letter: str, grade: str, nominal_mm: float, known: Standard | None = None
) -> Zone | None:
    """The tolerance zone of a class at a nominal size, or None where the standard has none.

    Parameters
    ----------
    letter : str
        A letter of the standard; capitals are holes.
    grade : str
        A grade of the standard, without IT.
    nominal_mm : float
        Nominal size [mm].
    known : Standard, optional
        The tables, where the caller has them at hand.

    Notes
    -----
    Holes A to H begin at minus the shaft's deviation. Holes K, M, N up to IT8 and P to ZC up to
    IT7 end at minus the shaft's deviation plus a delta, IT(n) less IT(n-1), so that hole and
    shaft basis give the same fit; coarser ones end at minus the shaft's deviation.

    Source: ISO 286-1:2010, clause 4.3 and Tables 1 to 5 (from memory).
    """
    known = known or standard()
    tolerance = known.grades[grade].at(nominal_mm)
    if tolerance is None:
        return None
    found = (
        _hole(known, letter, grade, nominal_mm)
        if letter.isupper()
        else _shaft(known, letter, grade, nominal_mm)
    )
    if found is None:
        return None
    bound, value, rows = found
    width = tolerance.value_um
    if bound == "both":
        upper, lower = width / 2.0, -width / 2.0
    elif bound == "upper":
        upper, lower = value, value - width
    else:
        upper, lower = value + width, value
    # Hundredths of a micrometre are exact for every printed value; adding 0.0 drops a minus zero.
    return Zone(round(upper, 3) + 0.0, round(lower, 3) + 0.0, (tolerance.row, *rows))


_Found = tuple[str, float, tuple[Row, ...]]


def _shaft(known: Standard, letter: str, grade: str, nominal_mm: float) -> _Found | None:
    step = _deviation(known.shafts.get(letter), grade, nominal_mm)
    return None if step is None else (step.bound, step.value_um, (step.row,))


def _hole(known: Standard, letter: str, grade: str, nominal_mm: float) -> _Found | None:
    listed = _deviation(known.holes.get(letter), grade, nominal_mm)
    if listed is not None:
        return listed.bound, listed.value_um, (listed.row,)
    order = ORDER[grade]
    if letter in _HOLES_ONLY_LISTED and order >= ORDER[_HOLES_ONLY_LISTED[letter]]:
        return None
    mirrored = _MIRRORED_GRADE.get(letter, grade)
    shaft = _deviation(known.shafts.get(letter.lower()), mirrored, nominal_mm)
    if shaft is None:
        return None
    if shaft.bound == "both":
        return "both", 0.0, (shaft.row,)
    if shaft.bound == "upper":
        return "lower", -shaft.value_um, (shaft.row,)
    last = _LAST_GRADE_WITH_DELTA.get(letter, _LAST_GRADE_WITH_DELTA_P_TO_ZC)
    if order > ORDER[last]:
        return "upper", -shaft.value_um, (shaft.row,)
    ladder = known.delta.get(grade)
    delta = ladder.at(nominal_mm) if ladder is not None else None
    if delta is None:
        return None
    return "upper", delta.value_um - shaft.value_um, (shaft.row, delta.row)


@cache
def cite(rows: tuple[Row, ...]) -> tuple[str, str]:
    """The sources of some rows in one line, and the weakest evidence among them."""
    sources = "; ".join(dict.fromkeys(row.cite() for row in rows))
    evidence = {row.evidence for row in rows}
    return sources, next((kind for kind in _EVIDENCE if kind in evidence), "memory")


@cache
def joined(one: str, two: str) -> str:
    """Two lines of sources as one, each source once."""
    return "; ".join(dict.fromkeys(f"{one}; {two}".split("; ")))


def grade_refusal(*, asked: str, grade: str, nominal_mm: float) -> OffTableError:
    """Why a grade has no tolerance at a size, and which grades exist there.

    Parameters
    ----------
    asked : str
        The class or the grade that was asked for.
    grade : str
        A grade of the standard, without IT.
    nominal_mm : float
        Nominal size, within the range of the standard [mm].
    """
    grades = standard().grades
    there = [g for g in GRADES if grades[g].at(nominal_mm) is not None]
    return OffTableError(
        value=f"{asked} at {nominal_mm:.10g} mm",
        rule=f"ISO 286-1 gives grade IT{grade} only over {grades[grade].over_mm:g} up to and "
        f"including {grades[grade].incl_mm:g} mm",
        todo=f"At {nominal_mm:.10g} mm take a grade from IT{there[0]} to IT{there[-1]}",
    )


def refusal(*, letter: str, grade: str, nominal_mm: float) -> OffTableError:
    """Why a class has no limits at a size, what exists there, and what to do.

    Parameters
    ----------
    letter : str
        A letter of the standard.
    grade : str
        A grade of the standard, without IT.
    nominal_mm : float
        Nominal size, within the range of the standard [mm].
    """
    known = standard()
    size = f"{nominal_mm:.10g} mm"
    if known.grades[grade].at(nominal_mm) is None:
        return grade_refusal(asked=f"{letter}{grade}", grade=grade, nominal_mm=nominal_mm)
    grades = [g for g in GRADES if zone(letter=letter, grade=g, nominal_mm=nominal_mm) is not None]
    if grades:
        nearest = min(grades, key=lambda g: abs(ORDER[g] - ORDER[grade]))
        rule = f"ISO 286-1 gives {letter} at this size only in {_run(grades)}"
        todo = f"Take {letter}{nearest}, or with grade {grade} " + _neighbours(
            letter, grade, nominal_mm
        )
    else:
        steps = [band.ladder for band in known.shafts.get(letter.lower())]
        if letter in known.holes and letter.lower() == "j":
            steps = [band.ladder for band in known.holes.get(letter)]
        rule = (
            f"ISO 286 gives the letter {letter} only over {min(s.over_mm for s in steps):g} up to "
            f"and including {max(s.incl_mm for s in steps):g} mm"
        )
        todo = f"At {size} take " + _neighbours(letter, grade, nominal_mm)
    return OffTableError(value=f"{letter}{grade} at {size}", rule=rule, todo=todo)


def _run(grades: list[str]) -> str:
    if len(grades) == 1:
        return f"grade {grades[0]}"
    return f"grades {grades[0]} to {grades[-1]}"


def _neighbours(letter: str, grade: str, nominal_mm: float) -> str:
    """The nearest looser and the nearest tighter class that exist with this grade."""
    letters = HOLE_LETTERS if letter.isupper() else SHAFT_LETTERS
    place = letters.index(letter)
    ways = (letters[:place][::-1], letters[place + 1 :])
    found = [
        next((f"{x}{grade}" for x in way if zone(letter=x, grade=grade, nominal_mm=nominal_mm)), "")
        for way in ways
    ]
    return " or ".join(name for name in found if name)
