"""Thickness of a shim pack, by the way the gap was found.

The ways look alike and must never share a formula: what was measured under the real load holds
the preload already, what was measured lightly or open does not. So each has a function of its own.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from fitcheck.errors import InputError

PRELOAD, END_PLAY = "preload", "end-play"


def end_play_change_mm(*, measured_mm: float, target_mm: float) -> float:
    """How much end play has to go: the measured one less the one wanted.

    Parameters
    ----------
    measured_mm : float
        End play measured with the pack fitted [mm].
    target_mm : float
        End play wanted [mm]; negative for a preload.

    Returns
    -------
    float
        End play to take out [mm]; negative where some has to be let in.

    Notes
    -----
    change = measured - target. Nothing else is taken off: the target says all. Whether a shim is
    added or removed for it is decided by where the shim sits, see :func:`pack_change_mm`.

    Examples
    --------
    >>> round(end_play_change_mm(measured_mm=0.30, target_mm=0.08), 3)
    0.22

    Source: common practice, no source.
    """
    return measured_mm - target_mm


def pack_change_mm(*, end_play_out_mm: float, adding_gives: str) -> float:
    """How the pack changes so that some end play goes out.

    Parameters
    ----------
    end_play_out_mm : float
        End play to take out [mm]; negative where some has to be let in.
    adding_gives : str
        What a thicker pack gives more of: ``end-play`` under a cap, a retainer or beside a
        spacer, ``preload`` behind a cup.

    Returns
    -------
    float
        Thickness to add to the pack [mm]; negative where it has to be removed.

    Examples
    --------
    >>> pack_change_mm(end_play_out_mm=0.2, adding_gives="end-play")
    -0.2
    >>> pack_change_mm(end_play_out_mm=0.2, adding_gives="preload")
    0.2

    Source: agency maintenance manuals (cap, retainer, behind a cup).
    """
    return end_play_out_mm if adding_gives == PRELOAD else -end_play_out_mm


def end_play_after_mm(*, measured_mm: float, pack_added_mm: float, adding_gives: str) -> float:
    """End play to expect once the pack has been changed.

    Parameters
    ----------
    measured_mm : float
        End play before [mm].
    pack_added_mm : float
        Thickness added to the pack [mm]; negative where it was removed.
    adding_gives : str
        As in :func:`pack_change_mm`.

    Returns
    -------
    float
        End play [mm]; negative is preload.

    Examples
    --------
    >>> round(end_play_after_mm(measured_mm=0.30, pack_added_mm=-0.2, adding_gives="end-play"), 3)
    0.1
    """
    return measured_mm + (-pack_added_mm if adding_gives == PRELOAD else pack_added_mm)


def free_gap_pack_mm(*, gap_mm: float, preload_mm: float) -> float:
    """Pack for a gap measured open, with no shims under the cap.

    Parameters
    ----------
    gap_mm : float
        Gap, the mean of two opposite places [mm].
    preload_mm : float
        Preload of the method, by which the pack is thinner: 0.10 in its manual [mm].

    Returns
    -------
    float
        Thickness of the pack [mm].

    Raises
    ------
    InputError
        The gap is negative, or no wider than the preload.

    Notes
    -----
    pack = gap - preload.

    Examples
    --------
    >>> round(free_gap_pack_mm(gap_mm=0.508, preload_mm=0.10), 3)
    0.408

    Source: US Army TM 5-3805-260-24 (0.10 mm); TM 9-2320-364-34-4 picks the same.
    """
    return _less(gap_mm, preload_mm, what="gap")


def lead_pack_mm(*, pieces_mm: Sequence[float]) -> float:
    """Pack from soft lead crushed under the real load: as thick as the mean piece.

    Parameters
    ----------
    pieces_mm : sequence of float
        Thickness of each crushed piece [mm].

    Returns
    -------
    float
        Thickness of the pack [mm].

    Raises
    ------
    InputError
        No piece was measured, or a piece has no thickness.

    Notes
    -----
    Nothing is taken off: the preload is in the crush already.

    Examples
    --------
    >>> round(lead_pack_mm(pieces_mm=(1.20, 1.24)), 3)
    1.22

    Source: US Army TM 10-3930-659-34.
    """
    if not pieces_mm or min(pieces_mm) <= 0:
        raise InputError(
            value=", ".join(f"{p:g}" for p in pieces_mm) or "(no piece)",
            rule="a crushed piece of lead has a thickness",
            todo="Measure each piece with a micrometer",
        )
    return math.fsum(pieces_mm) / len(pieces_mm)


def solder_pack_mm(*, crushed_mm: float, preload_mm: float) -> float:
    """Pack from solder crushed lightly.

    Parameters
    ----------
    crushed_mm : float
        Thickness of the crushed solder [mm].
    preload_mm : float
        Preload of the method, by which the pack is thinner: 0.127 (0.005 in) in its manual [mm].

    Returns
    -------
    float
        Thickness of the pack [mm].

    Raises
    ------
    InputError
        The solder is negative, or no thicker than the preload.

    Notes
    -----
    pack = crushed thickness - preload.

    Examples
    --------
    >>> round(solder_pack_mm(crushed_mm=1.1938, preload_mm=0.127) / 25.4, 3)
    0.042

    Source: US Army TM 5-2420-222-34.
    """
    return _less(crushed_mm, preload_mm, what="crushed thickness")


def _less(measured_mm: float, preload_mm: float, *, what: str) -> float:
    if measured_mm < 0:
        raise InputError(
            value=f"{measured_mm:g} mm",
            rule=f"a {what} can't be negative",
            todo="Check the sign; where the cap is down already, put a known shim in, measure "
            "again and count it",
        )
    if measured_mm <= preload_mm:
        raise InputError(
            value=f"{measured_mm:g} mm",
            rule=f"the {what} is no larger than the {preload_mm:g} mm of preload, so no shim "
            "could be thin enough",
            todo="Check the unit and that the bearings are seated; else machine the cap or put a "
            "thicker part in",
        )
    return measured_mm - preload_mm


def side_packs_mm(
    *, gear_side_mm: float, other_side_mm: float, move_mm: float, preload_each_mm: float
) -> tuple[float, float]:
    """Packs of the two side bearings of a differential, from the gauge stacks.

    Parameters
    ----------
    gear_side_mm, other_side_mm : float
        Gauge stacks that just fill the room, on the ring gear's side and on the other [mm].
    move_mm : float
        How far the ring gear is moved away from its own side for the backlash [mm].
    preload_each_mm : float
        Added on each side for preload [mm].

    Returns
    -------
    tuple of float
        Packs on the gear's side and on the other side [mm].

    Examples
    --------
    The worked table of the manual, in inches: 0.244 and 0.279. Matches.

    >>> packs = side_packs_mm(gear_side_mm=0.250 * 25.4, other_side_mm=0.265 * 25.4,
    ...                       move_mm=0.010 * 25.4, preload_each_mm=0.004 * 25.4)
    >>> [round(pack / 25.4, 3) for pack in packs]
    [0.244, 0.279]

    Source: US Army TM 9-2320-289-34.
    """
    return (gear_side_mm - move_mm + preload_each_mm, other_side_mm + move_mm + preload_each_mm)


def mark_change_mm(*, old_mark_mm: float, new_mark_mm: float) -> float:
    """Change of a pinion's pack when the pinion is replaced by one with another mark.

    Parameters
    ----------
    old_mark_mm, new_mark_mm : float
        Marks on the old and the new pinion; one mark is 0.001 in [mm].

    Returns
    -------
    float
        Thickness to add [mm]; negative where it has to be removed.

    Examples
    --------
    >>> round(mark_change_mm(old_mark_mm=4 * 0.0254, new_mark_mm=-4 * 0.0254) / 25.4, 3)
    0.008

    Source: US Army TM 9-2320-266-34.
    """
    return old_mark_mm - new_mark_mm


def end_play_growth_mm(
    *,
    span_mm: float,
    housing_alpha: float,
    shaft_alpha: float,
    warmer_k: float,
    mounting: str,
) -> float:
    """How much end play a pair gains when housing and shaft grow by different amounts.

    Parameters
    ----------
    span_mm : float
        Distance between the two cups, along the shaft [mm].
    housing_alpha, shaft_alpha : float
        Expansion of housing and shaft [1/K].
    warmer_k : float
        How much warmer than at setting, the same for both [K].
    mounting : str
        ``face-to-face`` (cups pushed together from outside, as by a cap) or ``back-to-back``
        (cups against shoulders between them, as in a wheel hub).

    Returns
    -------
    float
        End play gained [mm]; negative where preload is gained.

    Raises
    ------
    InputError
        The span is not positive or the mounting is not one of the two.

    Notes
    -----
    growth = (housing_alpha - shaft_alpha) * span * warmer, gained face-to-face and lost
    back-to-back. Left out: both members at one temperature only, and the cup that gets slacker in
    a light-alloy bore as it warms, which lets in a little more end play either way.

    Examples
    --------
    >>> round(end_play_growth_mm(span_mm=100, housing_alpha=21.5e-6, shaft_alpha=11.7e-6,
    ...                          warmer_k=60, mounting="back-to-back"), 4)
    -0.0588

    Source: linear expansion; no source for the case.
    """
    if not span_mm > 0:
        raise InputError(
            value=f"{span_mm:g} mm",
            rule="the span between two cups is larger than zero",
            todo="Measure from cup to cup along the shaft",
        )
    growth = (housing_alpha - shaft_alpha) * span_mm * warmer_k
    if mounting == "face-to-face":
        return growth
    if mounting == "back-to-back":
        return -growth
    raise InputError(
        value=mounting or "(mounting not given)",
        rule="whether heat adds end play or preload depends on how the pair is mounted",
        todo="Say --mounting face-to-face (a cap pushes the cups together) or back-to-back "
        "(a nut pulls the cones together)",
    )
