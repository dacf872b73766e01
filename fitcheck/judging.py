"""Does a measured size hold its limits? The one judge, for ISO 286 fits and for every seat alike.

A verdict takes into account how sure the reading is.
"""

from __future__ import annotations

from dataclasses import replace

from fitcheck.limits import Limits
from fitcheck.readings import Reading
from fitcheck.records import dataclass
from fitcheck.verdicts import CHECK, GO, NO_GO

# A reading is sure to twice its standard error, either way: about 95 in 100 (the coverage factor
# of JCGM 100, from memory).
COVERAGE = 2.0
# A 13 um seat can't be proved to 95 % by one reading of a good micrometer. So an instrument that
# is sure to four fifths of the band will do where the reading lies a fifth of the band inside it:
# own rule, no source.
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


def judge(
    *,
    deviation_um: float,
    lower_um: float,
    upper_um: float,
    standard_error_um: float,
    whole: bool = False,
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
    whole : bool
        Whether ``go`` takes the whole interval inside. Settings are judged so: they can be changed
        until they are, and nobody makes a setting that only probably holds.

    Returns
    -------
    Judged
        ``no-go`` when the whole 95 % interval is outside; ``go`` when all of it is inside, or when
        it is narrow enough for these limits and the reading lies well inside; else ``check``.

    Notes
    -----
    With u = 2 standard errors and a band from lower to upper: narrow enough is
    u <= 0.8 x band, well inside is at least the smaller of u and 0.2 x band from both limits.

    Examples
    --------
    >>> [judge(deviation_um=d, lower_um=-25, upper_um=-9, standard_error_um=5).verdict
    ...  for d in (-17, -10, -45)]
    ['go', 'check', 'no-go']
    >>> [judge(deviation_um=d, lower_um=0, upper_um=100, standard_error_um=20, whole=whole).verdict
    ...  for d in (30, 45) for whole in (False, True)]
    ['go', 'check', 'go', 'go']

    Source: the 95 % rule as ISO 14253-1 (from memory); the shares are common practice, no source.
    """
    # A thousandth of a um: sizes that lie exactly on an edge must not miss it by a float's last
    # digit.
    slack = 1e-3
    sure = COVERAGE * standard_error_um
    band = upper_um - lower_um
    inside = min(deviation_um - lower_um, upper_um - deviation_um)
    guard = sure if whole else min(sure, _GUARD_SHARE * band)
    fine = sure <= (band / 2.0 if whole else _FINE_SHARE * band) + slack
    if inside < -sure - slack:
        verdict = NO_GO
    elif fine and inside >= guard - slack:
        verdict = GO
    else:
        verdict = CHECK
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
    if not measured.out_of_round or found.verdict == NO_GO:
        return found
    explained = measured.roundness_limit_mm * 1000.0
    outside = [_outside(off(v), limits.lower_um, limits.upper_um) for v in measured.values_mm]
    for ends in (outside[:2], outside[:-3:-1]):
        if len(ends) == 2 and (min(ends) > explained or max(ends) < -explained):
            return replace(found, verdict=NO_GO, sure_um=explained, outside_um=ends[0], worst=True)
    return replace(found, verdict=CHECK)
