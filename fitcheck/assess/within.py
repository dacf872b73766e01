"""What the checks of all seats share: a check as a record, its words, what may be asked."""

from __future__ import annotations

import math
from collections.abc import Iterable

from fitcheck.errors import InputError
from fitcheck.judging import Judged
from fitcheck.limits import Limits
from fitcheck.readings import Reading
from fitcheck.records import dataclass

SYSTEMS = ("metric", "inch")


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
    if outside == "0":
        outside = "less than 1"
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
