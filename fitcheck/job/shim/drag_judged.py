"""A running torque against its range, given how sure a pull scale or a torque wrench is."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from fitcheck.job.lengths import Measured
from fitcheck.job.shim.shelf import ask_again
from fitcheck.job.shim.torque_words import TorqueWords
from fitcheck.judging import COVERAGE, judge
from fitcheck.quantities import plain
from fitcheck.records import dataclass
from fitcheck.setup.packs import Shim
from fitcheck.setup.settings import Position, Setting, setting_limit
from fitcheck.tables import step_row, table
from fitcheck.verdicts import CHECK, GO, worst

Answer = dict[str, Any]

_DUST_NM = 1e-9
_TOOLS = {"pull-scale": "pull scale", "torque-wrench": "torque wrench"}


@dataclass(frozen=True, slots=True)
class Sure:
    """How sure a torque is: half of its 95 % interval [N.m], and why in words, with the source."""

    sure_nm: float
    tool: str
    words: str
    source: str


def sure_of(
    *, torque_nm: float, base_nm: float | None, over_base: bool, at: Measured | None
) -> Sure:
    """How sure a running torque is, or its rise over the base drag.

    Parameters
    ----------
    torque_nm : float
        The whole running torque [N.m].
    base_nm : float or None
        The base drag, read with the same tool [N.m]; None where there is none.
    over_base : bool
        Whether the rise over the base drag is what counts.
    at : Measured or None
        The radius or the diameter of a pull; None where the torque was read with a wrench.

    Notes
    -----
    The tool's share of each torque that counts, and the share the radius is read to, added as
    squares.

    Source: the table ``instruments/torque``.
    """
    name = "torque-wrench" if at is None else "pull-scale"
    rows = [row for row in table("instruments/torque").rows if row.text("instrument") == name]

    def row_at(value_nm: float) -> Any:
        return step_row(rows, value=value_nm, over="over_nm", incl="incl_nm", what=_TOOLS[name])

    row = row_at(torque_nm)
    errors = [row.number("good_to_share") * torque_nm]
    if over_base and base_nm:
        errors.append(row_at(base_nm).number("good_to_share") * base_nm)
    if at is not None:
        taken_off = base_nm or 0.0 if over_base else 0.0
        radius = COVERAGE * at.reading.standard_error_mm / at.mm
        errors.append(radius * (torque_nm - taken_off))
    share = plain(round(100.0 * row.number("good_to_share"), 2))
    return Sure(
        sure_nm=math.hypot(*errors),
        tool=_TOOLS[name],
        words=f"a {_TOOLS[name]} is good to {share} % of what it shows",
        source=f"what a {_TOOLS[name]} is good to: {row.cite()}",
    )


def judge_drag(
    found: Answer,
    compared: float,
    *,
    low: float,
    high: float,
    sure: Sure,
    position: Position | None,
    show: TorqueWords,
    fitted: Sequence[Shim],
    shelf: Sequence[Shim],
) -> None:
    """Add to an answer whether the drag lies in its range, and what to turn or to change.

    Parameters
    ----------
    found : dict
        The answer, added to.
    compared : float
        The torque that counts [N.m].
    low, high : float
        The range wanted [N.m].
    sure : Sure
        How sure the torque is.
    position : Position or None
        Where the shims sit; without it the nut is what is turned.
    show : TorqueWords
        How torques are shown.
    fitted, shelf : sequence of Shim
        The shims of the pack, to take one from, and those there are besides, to add one of.
    """
    reasons: list[str] = found["reasons"]
    wanted, read = show.span(low, high), show.text(compared)
    judged = judge(
        deviation_um=compared * 1000.0,
        lower_um=low * 1000.0,
        upper_um=high * 1000.0,
        standard_error_um=sure.sure_nm * 1000.0 / COVERAGE,
        whole=True,
    )
    found["verdict"] = judged.verdict
    found["sure_nm"] = round(sure.sure_nm, 4)
    found["sources"].append(sure.source)
    if low - _DUST_NM <= compared <= high + _DUST_NM:
        found["change_mm"] = 0.0
        inside = f"{read} lies inside {wanted}"
        reasons.append(f"{inside}: the setting stays" if judged.verdict == GO else inside)
    else:
        reasons.append(
            f"{read} against {wanted} is too "
            + _outside(found, slack=compared < low, position=position, fitted=fitted, shelf=shelf)
        )
    if judged.verdict != CHECK:
        return
    found["sure"] = False
    said = f"{sure.words}, so this torque is sure to {show.text(sure.sure_nm)} only"
    if judged.fine:
        todo = (
            f"nearer than that to an end of {wanted}: prove the {sure.tool} by a known weight, or "
            "set it nearer the middle and read again"
        )
    else:
        todo = (
            f"too coarse for {wanted}: take a finer {sure.tool}; what the shop's own is good to "
            "goes into the table instruments/torque"
        )
    reasons.append(f"{said}, {todo}")
    tool = sure.tool.replace(" ", "-")
    ask_again(found, reading="running torque", instrument=tool, reason=reasons[-1])


def _outside(
    found: Answer,
    *,
    slack: bool,
    position: Position | None,
    fitted: Sequence[Shim],
    shelf: Sequence[Shim],
) -> str:
    """Which way a drag outside its range is wrong, and what is turned or changed for it."""
    word = "low, more preload is needed" if slack else "high, less preload is needed"
    if position is None:
        found["direction"] = "tighten" if slack else "loosen"
        return (
            f"{word}: {found['direction']} the nut in small steps; where shims set it, say where "
            "they sit with --position"
        )
    found["direction"] = "add" if slack == (position.adding_gives == "preload") else "remove"
    one = "the thinnest shim there is"
    shims = shelf if found["direction"] == "add" else fitted
    thinnest = min((shim.thickness_mm for shim in shims), default=None)
    found["next_shim"] = {"thickness_mm": None if thinnest is None else round(thinnest, 4)}
    if thinnest is not None:
        one += f" ({plain(round(thinnest, 4))} mm)"
    return (
        f"{word}: shims sit {position.words}, so {found['direction']} {one}, turn, and read again; "
        "torque does not tell how much"
    )


def judge_range(found: Answer, setting: Setting) -> None:
    """No torque is settled by a range that was gathered over many machines.

    Parameters
    ----------
    found : dict
        The answer, added to.
    setting : Setting
        The setting of the use.
    """
    if setting.high <= setting_limit("drag_range_most").value * setting.low:
        return
    found["verdict"], found["sure"] = worst(found["verdict"], CHECK), False
    reason = (
        f"{setting.as_written} is too wide a range to set by: take the machine's own figure and "
        "give it with --target"
    )
    found["reasons"].append(reason)
    ask_again(found, reading="target", instrument="", reason=reason)


def judge_each(
    found: Answer, values: Sequence[float], *, low: float, high: float, show: TorqueWords
) -> bool:
    """Whether the readings do not all lie inside, below or above the range; then nothing is sure.

    Parameters
    ----------
    found : dict
        The answer, added to.
    values : sequence of float
        The torque that counts, of each reading [N.m].
    low, high : float
        The range wanted [N.m].
    show : TorqueWords
        How torques are shown.
    """
    low_nm, high_nm = low - _DUST_NM, high + _DUST_NM
    inside = sum(low_nm <= value <= high_nm for value in values)
    below = sum(value < low_nm for value in values)
    if len(values) in (inside, below, len(values) - inside - below):
        return False
    found["verdict"], found["sure"] = CHECK, False
    found["reasons"].append(
        f"of {len(values)} readings {inside} lie inside {show.span(low, high)} "
        f"and {len(values) - inside} outside: the average does not decide, read again"
    )
    return True
