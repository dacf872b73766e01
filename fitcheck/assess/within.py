"""Does a measured size hold its limits? What the checks of all seats share.

A verdict takes into account how sure the reading is; a step of a table is found or refused.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from fitcheck.errors import InputError, NotKnownError, OffTableError
from fitcheck.limits import Limits
from fitcheck.readings import Reading
from fitcheck.tables import Row

MM_PER_INCH = 25.4
SYSTEMS = ("metric", "inch")

# 95 % of a normal scatter lies within this many standard errors, either way.
COVERAGE = 1.96
# A 13 um seat can't be proved to 95 % by one reading of a good micrometer. So an instrument that
# is sure to four fifths of the band will do where the reading lies a fifth of the band inside it:
# a rule of this program, no source.
_FINE_SHARE = 0.8
_GUARD_SHARE = 0.2


@dataclass(frozen=True, slots=True)
class Judged:
    """How a deviation stands to its limits: verdict, what it is sure to, how far it is outside.

    ``sure_um`` is half of the 95 % interval; ``outside_um`` is zero inside the limits, negative
    below them and positive above; ``fine`` tells whether the instrument can tell inside from
    outside at all, and ``worst`` that the worst readings decided, not their mean.
    """

    verdict: str
    sure_um: float
    outside_um: float
    fine: bool
    worst: bool = False


@dataclass(frozen=True, slots=True)
class Check:
    """One check of a seal's seat: what was looked at, verdict, reason, work, source.

    ``measured_um`` is the measured size minus the nominal, or None where there is none.
    ``press_um`` is the least and the greatest interference of a new case in the measured bore,
    where the check is about that; a negative one is clearance. ``holds_as_read`` tells a reading
    that only can't prove what it shows from a part that is borderline or worse.
    """

    what: str
    verdict: str
    reason: str
    source: str
    measured_um: float | None = None
    press_um: tuple[float, float] | None = None
    advice: str = ""
    read_again: str = ""
    holds_as_read: bool = False

    def as_json(self) -> dict[str, object]:
        """The check as the answer prints it."""
        press = self.press_um
        return {
            "what": self.what,
            "verdict": self.verdict,
            "reason": self.reason,
            "measured_um": None if self.measured_um is None else whole(self.measured_um),
            "press_um": press and {"least": whole(press[0]), "greatest": whole(press[1])},
            "advice": self.advice,
            "read_again": self.read_again,
            "source": self.source,
        }


def holds_as_read(*, measured: Reading, judged: Judged) -> bool:
    """Whether the reading, taken at its word, lies inside the limits and is round."""
    return not judged.outside_um and not measured.out_of_round


def whole(value_um: float) -> float:
    """A value to a tenth, as an integer where it is one, so that it prints short."""
    rounded = round(value_um, 1)
    return int(rounded) if rounded == int(rounded) else rounded


def one_of(value: str, known: Iterable[str], *, what: str) -> str:
    """The value, where it is one of those known; the error names them."""
    names = tuple(known)
    if value not in names:
        raise InputError(value=value, rule=f"no such {what}", todo=f"Use {' or '.join(names)}")
    return value


def checked_mm(value_mm: float, *, what: str) -> float:
    """The value, where it can be a diameter or a width [mm]."""
    if not (math.isfinite(value_mm) and value_mm > 0):
        raise InputError(
            value=f"{value_mm:g} mm",
            rule=f"the {what} must be a number larger than zero",
            todo=f"Give the nominal {what}",
        )
    return value_mm


def step_row(rows: Iterable[Row], *, size: float, unit: str, what: str) -> Row:
    """The row whose step holds a size: over one edge, up to and including the next.

    Parameters
    ----------
    rows : iterable of Row
        Rows with the columns ``over_`` and ``incl_`` of the unit.
    size : float
        The size that picks the step, in the unit.
    unit : str
        ``mm`` or ``in``.
    what : str
        What the rows hold, for the message.

    Raises
    ------
    OffTableError
        No step holds the size.
    """
    steps = []
    for row in rows:
        over = row.maybe(f"over_{unit}") or 0.0
        incl = row.maybe(f"incl_{unit}")
        end = math.inf if incl is None else incl
        if over < size <= end:
            return row
        steps.append((over, end, row))
    if not steps:
        raise NotKnownError(
            value=what, rule="no table holds this", todo="Run scripts/check_data on the tables"
        )
    low = min(over for over, _, _ in steps)
    _, high, last = max(steps, key=lambda step: step[1])
    note = f" ({last.text('note')})" if last.text("note") else ""
    raise OffTableError(
        value=f"{size:.6g} {unit}",
        rule=f"{what} is listed over {low:g} up to and including {high:g} {unit}{note}",
        todo="Take the limits from the drawing or the machine's manual",
    )


def in_inches(value_mm: float) -> float:
    """A length in inches, free of the last float digits so that it meets its step's edge."""
    return round(value_mm / MM_PER_INCH, 6)


def judge(
    *, deviation_um: float, lower_um: float, upper_um: float, standard_error_um: float
) -> Judged:
    """Whether a measured deviation holds its limits, given how sure the reading is.

    Parameters
    ----------
    deviation_um : float
        Measured size minus nominal [um].
    lower_um : float
        Lower limit deviation [um].
    upper_um : float
        Upper limit deviation [um].
    standard_error_um : float
        Standard error of the measured size [um].

    Returns
    -------
    Judged
        ``no-go`` when the whole 95 % interval is outside; ``go`` when all of it is inside, or when
        it is narrow enough for these limits and the reading lies well inside; else ``check``.

    Notes
    -----
    With u = 1.96 standard errors and a band from lower to upper: narrow enough is
    u <= 0.8 x band, well inside is at least the smaller of u and 0.2 x band from both limits.

    Examples
    --------
    >>> [judge(deviation_um=d, lower_um=-25, upper_um=-9, standard_error_um=5).verdict
    ...  for d in (-17, -10, -45)]
    ['go', 'check', 'no-go']

    Source: the 95 % rule as ISO 14253-1 (from memory); the shares are common practice, no source.
    """
    # A thousandth of a um: sizes that lie exactly on an edge must not miss it by a float's last
    # digit.
    slack = 1e-3
    sure = COVERAGE * standard_error_um
    band = upper_um - lower_um
    inside = min(deviation_um - lower_um, upper_um - deviation_um)
    fine = sure <= _FINE_SHARE * band
    if inside < -sure - slack:
        verdict = "no-go"
    elif fine and inside >= min(sure, _GUARD_SHARE * band) - slack:
        verdict = "go"
    else:
        verdict = "check"
    outside = _outside(deviation_um, lower_um, upper_um)
    return Judged(verdict=verdict, sure_um=sure, outside_um=outside, fine=fine)


def _outside(deviation_um: float, lower_um: float, upper_um: float) -> float:
    return min(deviation_um - lower_um, 0.0) + max(deviation_um - upper_um, 0.0)


def judge_reading(*, measured: Reading, limits: Limits) -> Judged:
    """Whether a reading holds the limits; where it is out of round, its worst places count too.

    Parameters
    ----------
    measured : Reading
        The place as measured.
    limits : Limits
        What is allowed.

    Returns
    -------
    Judged
        As :func:`judge`, but never ``go`` when out of round, and ``no-go`` when two readings or
        more lie outside on one side by more than the instrument explains: the mean of a spindle
        that is worn underneath hides that.

    Source: common practice, no source.
    """

    def off(value_mm: float) -> float:
        return (value_mm - limits.nominal_mm) * 1000.0

    found = judge(
        deviation_um=off(measured.mean_mm),
        lower_um=limits.lower_um,
        upper_um=limits.upper_um,
        standard_error_um=measured.standard_error_mm * 1000.0,
    )
    if not measured.out_of_round or found.verdict == "no-go":
        return found
    explained = measured.roundness_limit_mm * 1000.0
    outside = [_outside(off(v), limits.lower_um, limits.upper_um) for v in measured.values_mm]
    for ends in (outside[:2], outside[:-3:-1]):
        if len(ends) == 2 and (min(ends) > explained or max(ends) < -explained):
            return replace(
                found, verdict="no-go", sure_um=explained, outside_um=ends[0], worst=True
            )
    return replace(found, verdict="check")


def band_text(limits: Limits) -> str:
    """A class with its limits, as a reason names it: ``g6 (-25 to -9 um)``."""

    def signed(value_um: float) -> str:
        return f"{whole(value_um):+g}" if whole(value_um) else "0"

    return f"{limits.tolerance_class} ({signed(limits.lower_um)} to {signed(limits.upper_um)} um)"


def put_in_words(
    *,
    place: str,
    how: str,
    measured: Reading,
    nominal_mm: float,
    band: str,
    judged: Judged,
    holds: str,
    meaning: str,
) -> tuple[str, str, str]:
    """The verdict on a measured place, its reason, and how to read the place again.

    Parameters
    ----------
    place : str
        The place, as the user knows it.
    how : str
        How this place is best read.
    measured : Reading
        The reading; readings that differ too much are never better than ``check``.
    nominal_mm : float
        Nominal size [mm].
    band : str
        What is allowed, in words.
    judged : Judged
        How the reading stands to what is allowed.
    holds : str
        What follows where it holds.
    meaning : str
        What follows where it does not.

    Returns
    -------
    tuple of str
        Verdict, reason, and the reading to take again (empty where none would settle it).
    """
    verdict, outside = judged.verdict, f"{abs(judged.outside_um):.0f}"
    off = whole((measured.mean_mm - nominal_mm) * 1000.0)
    side = "over" if off > 0 else "under"
    size = f"the {place} measures {nominal_mm:.6g} mm"
    if off:
        size = f"the {place} measures {abs(off):g} um {side} {nominal_mm:.6g} mm"
    sure = f"the reading is sure to {judged.sure_um:.0f} um only"
    if judged.worst:
        reason = f"{size} on average and is {outside} um outside {band} at its worst: {meaning}"
    elif verdict == "no-go":
        reason = f"{size}, {outside} um outside {band}: {meaning}"
    elif verdict == "go":
        reason = f"{size}, inside {band}: {holds}"
    elif judged.outside_um:
        reason = f"{size}, {outside} um outside {band}, but {sure}; if so, {meaning}"
    elif judged.fine and not measured.out_of_round:
        reason = f"{size}, at the edge of {band}, and {sure}: {holds}"
    elif judged.fine:
        reason = f"{size} on average, inside {band}: {holds}"
    else:
        reason = f"{size}, inside {band}, but {sure}: too coarse for these limits"
    if measured.out_of_round:
        reason += f"; the readings differ by {measured.spread_mm:.3f} mm: out of round or worn"
    again = ""
    if verdict == "check":
        best = "micrometer" in measured.instrument or "bore-gauge" in measured.instrument
        more = f"take three readings or more with the {measured.instrument}, and in all directions"
        again = f"{place}: {more if best else how}"
    return verdict, reason, again
