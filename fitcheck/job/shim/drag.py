"""The method drag: running torque from a pull or a wrench, held against its range."""

from __future__ import annotations

import math
from collections.abc import Sequence
from copy import deepcopy
from typing import Any

from fitcheck.errors import InputError
from fitcheck.job.bare_units import in_pounds
from fitcheck.job.lengths import texts_of
from fitcheck.job.shim.base_drag import Torques, no_base_drag, seal_turns_it, which_is_meant
from fitcheck.job.shim.drag_judged import judge_drag, judge_each, judge_range, sure_of
from fitcheck.job.shim.drag_read import DragRead, read_drag
from fitcheck.job.shim.shelf import ask_again, blank_answer
from fitcheck.job.shim.text import ShimRequest, Target, Written, setting_text
from fitcheck.job.shim.torque_words import TorqueWords
from fitcheck.quantities import plain
from fitcheck.setup.drag import pull_n
from fitcheck.setup.packs import Shim
from fitcheck.setup.settings import Position, Setting, setting_limit, turns_text
from fitcheck.verdicts import CHECK, worst

Answer = dict[str, Any]

_DUST_NM = 1e-9


def drag_answer(
    request: ShimRequest,
    *,
    target: Target | None,
    setting: Setting | None,
    position: Position | None,
    fitted: Written | None,
    shelf: Written,
) -> Answer:
    """The answer of the method drag.

    Parameters
    ----------
    request : ShimRequest
        The options as text.
    target : Target or None
        The range that was given, in N.m.
    setting : Setting or None
        The range of the use, where none was given.
    position : Position or None
        Where the shims sit; without it the nut is what is turned.
    fitted : Written or None
        The pack that is fitted, where it was given.
    shelf : Written
        The shims there are besides it.

    Raises
    ------
    InputError
        Pull, radius or torque are missing, doubled or can't be, or the use needs a base drag.
    """
    # Where the range wanted is in pounds, so may be the scale it is read with.
    pounds = target is None and setting is not None and in_pounds(setting.as_written)
    read = read_drag(request, pounds=pounds)
    over_base = _over_base(read, target=target, setting=setting)
    compared = read.rise_nm if over_base else read.torque_nm
    show = TorqueWords(read.unit)
    reasons, doubtful = _said(read, request, target=target, over_base=over_base, show=show)
    found = _blank(compared, read=read, position=position, fitted=fitted)
    found["reasons"] = reasons
    wanted = _wanted(target, setting)
    if wanted is None:
        reasons.append(
            "nothing to hold it against: give the manual's range with --target LOW..HIGH, or --use"
        )
        return found
    low, high, text, said = wanted
    found["target"] = {"low_nm": round(low, 4), "high_nm": round(high, 4), "text": text}
    kind = "rise over the base drag" if over_base else "running torque"
    found["measure_again"] = f"{kind}, {turns_text()}: expect {said}"
    if read.radius_mm is not None:
        # The scale shows the whole pull, base drag included.
        base = (read.base_nm or 0.0) if over_base else 0.0
        found["pull_at_target_n"] = {
            name: round(pull_n(torque_nm=end + base, radius_mm=read.radius_mm), 2)
            for name, end in (("low", low), ("high", high))
        }

    def held(value: float, *, of_rise: bool) -> Answer:
        one = deepcopy(found)
        judge_drag(
            one,
            value,
            low=low,
            high=high,
            sure=sure_of(
                torque_nm=read.torque_nm, base_nm=read.base_nm, over_base=of_rise, at=read.pulled_at
            ),
            position=position,
            show=show,
            fitted=_shims(fitted),
            shelf=shelf.shims,
        )
        return one

    judged = held(compared, of_rise=over_base)
    if read.base_nm is None:
        no_base_drag(judged)
    else:
        torques = Torques(read.torque_nm, read.base_nm, low, high)
        if target is not None and not target.of:
            total = held(read.torque_nm, of_rise=False)
            judged = which_is_meant(
                judged,
                total,
                target=target,
                written=request.target.strip(),
                read=torques,
                before=reasons,
                show=show,
            )
        elif not over_base:
            judged = seal_turns_it(judged, read=torques, before=reasons, show=show)
    if setting is not None:
        judge_range(judged, setting)
    if not judged["only_after"]:
        each = [torque - (read.torque_nm - compared) for torque in read.torques_nm]
        doubtful |= judge_each(judged, each, low=low, high=high, show=show)
    if doubtful:
        judged["sure"] = False
        judged["verdict"] = worst(judged["verdict"], CHECK)
        why = "the readings differ too much: turn steadily and read again"
        judged["next_reading"] = {"reading": "running torque", "instrument": "", "reason": why}
    _ask_for_more(judged, request, target=target, text=text, show=show)
    return judged


def _over_base(read: DragRead, *, target: Target | None, setting: Setting | None) -> bool:
    """Whether the rise over the base drag is what counts, and not the whole torque."""
    of = target.of if target is not None else ""
    over_base = setting.over_base if setting is not None else read.base_nm is not None
    if of:
        over_base = of == "rise"
    if over_base and read.base_nm is None:
        raise InputError(
            value="--base-drag (not given)",
            rule=f"this {'target' if of else 'use'} is set by the rise of the drag over the base "
            "drag, which a new seal makes by itself",
            todo="Slacken the nut to no torque, read the running drag, and give it with "
            "--base-drag; 0N.m where there is none",
        )
    return over_base


def _said(
    read: DragRead,
    request: ShimRequest,
    *,
    target: Target | None,
    over_base: bool,
    show: TorqueWords,
) -> tuple[list[str], bool]:
    """What was read, in words, and whether the readings have to be taken again."""
    reasons = [f"running torque {show.text(read.torque_nm)}"]
    if read.radius_mm is not None and request.pull:
        reasons[0] += f" = pull x radius, at {plain(round(read.radius_mm, 3))} mm"
    if read.base_nm is not None:
        what = "range of this use" if target is None else "target"
        reasons.append(
            f"base drag {show.text(read.base_nm)}: rise {show.text(read.rise_nm)}"
            + ("" if over_base else f"; the {what} is that of the whole torque")
        )
    if read.at is not None:
        reasons += read.at.notes()
    doubtful = _spread_notes(reasons, "running torque", read.torques_nm, show)
    return reasons, _spread_notes(reasons, "base drag", read.bases_nm, show) or doubtful


def _ask_for_more(
    found: Answer,
    request: ShimRequest,
    *,
    target: Target | None,
    text: str,
    show: TorqueWords,
) -> None:
    """What is doubtful about the reading or the range, and what was taken."""
    reasons: list[str] = found["reasons"]
    low, high = found["target"]["low_nm"], found["target"]["high_nm"]
    compared = found["compared_nm"]
    if request.condition == "used" and target is not None:
        share = setting_limit("used_share")
        reasons.append(
            f"used bearings get a third to a half of the figure for new ones: if {text} is that of "
            f"new ones, {show.span(low * share.low, high * share.high)} is wanted"
        )
        found["sources"].append(f"share for used bearings: {share.source}")
    if request.pull and not texts_of(request.diameter) and compared > high >= compared / 2.0 >= low:
        half = "half of this torque would be inside the range: was the radius given, or a diameter?"
        reasons.append(half)
        ask_again(found, reading="radius", instrument="", reason=half)


def _wanted(target: Target | None, setting: Setting | None) -> tuple[float, float, str, str] | None:
    """The range wanted [N.m], as it was written and as it is said; None where there is none."""
    if target is not None:
        return target.low, target.high, target.text, target.text
    if setting is not None:
        return setting.low, setting.high, setting.as_written, setting_text(setting)
    return None


def _blank(
    compared: float,
    *,
    read: DragRead,
    position: Position | None,
    fitted: Written | None,
) -> Answer:
    """An answer that holds what was read and nothing to hold it against yet."""
    turns = setting_limit("turns_before_reading")
    return blank_answer(method="drag", position=position) | {
        "verdict": CHECK,
        "fitted_mm": None if fitted is None else round(fitted.total_mm, 4),
        "torque_nm": round(read.torque_nm, 4),
        "base_drag_nm": None if read.base_nm is None else round(read.base_nm, 4),
        "compared_nm": round(compared, 4),
        "sure_nm": None,
        "next_shim": None,
        "pull_at_target_n": None,
        "measure_again": f"running torque, {turns_text()}",
        "sources": [f"turns before the drag is read: {turns.source}"],
    }


def _spread_notes(
    reasons: list[str], what: str, values: Sequence[float], show: TorqueWords
) -> bool:
    """Say how several readings differ; whether it is so much that they have to be taken again."""
    if len(values) < 2:
        return False
    mean, spread = math.fsum(values) / len(values), max(values) - min(values)
    said = (
        f"{what}: {len(values)} readings, {show.text(mean)} on average; they differ by "
        f"{show.text(spread)}"
    )
    wide = spread > setting_limit("drag_spread_share").value * mean + _DUST_NM
    if wide:
        said += (
            f", {plain(round(100.0 * spread / mean))} % of it: not turned steadily, or a bearing "
            "that catches; turn and read again"
        )
    reasons.append(said)
    return wide


def _shims(fitted: Written | None) -> tuple[Shim, ...]:
    return fitted.shims if fitted is not None and fitted.counted else ()
