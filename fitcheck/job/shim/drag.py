"""The method drag: running torque from a pull or a wrench, held against its range."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from fitcheck.errors import AmbiguousError, InputError
from fitcheck.job.bare_units import bare_ways, in_pounds, refuse_bare
from fitcheck.job.lengths import Measured, measured, shown, texts_of
from fitcheck.job.shim.drag_judged import judge_drag, judge_each, judge_range, sure_of
from fitcheck.job.shim.shelf import ask_again, blank_answer
from fitcheck.job.shim.text import ShimRequest, Target, Written, setting_text
from fitcheck.job.shim.torque_words import TorqueWords
from fitcheck.quantities import Quantity, parse, plain
from fitcheck.setup.drag import drag_increase_nm, drag_torque_nm, pull_n
from fitcheck.setup.packs import Shim
from fitcheck.setup.settings import Position, Setting, setting_limit, turns_text
from fitcheck.units import FORCE, TORQUE
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
    at = _wound(request)
    # Where the range wanted is in pounds, so may be the scale it is read with.
    pounds = target is None and setting is not None and in_pounds(setting.as_written)
    radius_mm = None if at is None else at.mm / (2.0 if texts_of(request.diameter) else 1.0)
    torques, unit = _torques(request, radius_mm, pounds=pounds)
    bases = _bases_nm(request, radius_mm, pounds=pounds)
    torque = math.fsum(torques) / len(torques)
    base = math.fsum(bases) / len(bases) if bases else None
    over_base = setting.over_base if setting is not None else base is not None
    if over_base and base is None:
        raise InputError(
            value="--base-drag (not given)",
            rule="this use is set by the rise of the drag over the base drag, which a new seal "
            "makes by itself",
            todo="Slacken the nut to no torque, read the running drag, and give it with "
            "--base-drag; 0N.m where there is none",
        )
    rise = torque if base is None else drag_increase_nm(torque_nm=torque, base_nm=base)
    compared = rise if over_base else torque
    show = TorqueWords(unit)
    reasons = [f"running torque {show.text(torque)}"]
    if radius_mm is not None and request.pull:
        reasons[0] += f" = pull x radius, at {plain(round(radius_mm, 3))} mm"
    if base is not None:
        reasons.append(
            f"base drag {show.text(base)}: rise {show.text(rise)}"
            + ("" if over_base else "; the range of this use is that of the whole torque")
        )
    if at is not None:
        reasons += at.notes()
    doubtful = _spread_notes(reasons, "running torque", torques, show)
    doubtful |= _spread_notes(reasons, "base drag", bases, show)
    found = _blank(compared, torque=torque, base=base, position=position, fitted=fitted)
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
    if radius_mm is not None:
        # The scale shows the whole pull, base drag included.
        least = low + (base or 0.0 if over_base else 0.0)
        most = high + (base or 0.0 if over_base else 0.0)
        found["pull_at_target_n"] = {
            "low": round(pull_n(torque_nm=least, radius_mm=radius_mm), 2),
            "high": round(pull_n(torque_nm=most, radius_mm=radius_mm), 2),
        }
    thinnest = min((s.thickness_mm for s in (*_shims(fitted), *shelf.shims)), default=None)
    sure = sure_of(
        torque_nm=torque, base_nm=base, over_base=over_base, at=at if request.pull else None
    )
    judge_drag(
        found,
        compared,
        low=low,
        high=high,
        sure=sure,
        position=position,
        show=show,
        thinnest_mm=thinnest,
    )
    if setting is not None:
        judge_range(found, setting)
    taken_off = torque - compared
    doubtful |= judge_each(found, [t - taken_off for t in torques], low=low, high=high, show=show)
    if doubtful:
        found["sure"] = False
        found["verdict"] = worst(found["verdict"], CHECK)
        why = "the readings differ too much: turn steadily and read again"
        found["next_reading"] = {"reading": "running torque", "instrument": "", "reason": why}
    _ask_for_more(found, request, target=target, over_base=over_base, text=text, show=show)
    return found


def _ask_for_more(
    found: Answer,
    request: ShimRequest,
    *,
    target: Target | None,
    over_base: bool,
    text: str,
    show: TorqueWords,
) -> None:
    """What is doubtful about the reading or the range, and what was taken."""
    reasons: list[str] = found["reasons"]
    low, high = found["target"]["low_nm"], found["target"]["high_nm"]
    compared = found["compared_nm"]
    if target is not None and over_base:
        taken = "whether the target is that of the rise was not given: the rise is taken"
        found["assumptions"].append(taken)
        reasons.append(taken)
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
    torque: float,
    base: float | None,
    position: Position | None,
    fitted: Written | None,
) -> Answer:
    """An answer that holds what was read and nothing to hold it against yet."""
    turns = setting_limit("turns_before_reading")
    return blank_answer(method="drag", position=position) | {
        "verdict": CHECK,
        "fitted_mm": None if fitted is None else round(fitted.total_mm, 4),
        "torque_nm": round(torque, 4),
        "base_drag_nm": None if base is None else round(base, 4),
        "compared_nm": round(compared, 4),
        "sure_nm": None,
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


def _quantity(
    text: str, *dimensions: str, place: str, request: ShimRequest, pounds: bool
) -> Quantity:
    try:
        found = parse(text, *dimensions)
    except InputError as error:
        raise error.at(place) from None
    if not found.stated:
        inches = (
            pounds
            or request.unit == "in"
            or in_pounds(
                *request.measured, *request.pull, *texts_of(request.base_drag), request.target
            )
        )
        # Beside a pull a base drag may be a pull too; with a torque it is a torque.
        open_to = dimensions if request.pull else dimensions[:1]
        refuse_bare(found.amount, place=place, text=text, ways=bare_ways(*open_to, inches=inches))
    if found.value < 0:
        raise InputError(
            value=f"{place} {text}", rule="this can't be negative", todo="Give it without the sign"
        )
    return found


def _wound(request: ShimRequest) -> Measured | None:
    """The radius or the diameter the pull acts at, as measured.

    A radius so large that it looks like the diameter is asked about.
    """
    if texts_of(request.radius) and texts_of(request.diameter):
        raise InputError(
            value=f"--radius {shown(request.radius)} --diameter {shown(request.diameter)}",
            rule="the pull acts at one radius",
            todo="Give the radius or the diameter, not both",
        )
    name = "diameter" if texts_of(request.diameter) else "radius"
    found = measured(
        getattr(request, name), place=f"--{name}", unit=request.unit, tool=request.instrument
    )
    if found is not None and name == "radius":
        for radius in found.quantities:
            _check_radius(radius)
    return found


def _check_radius(radius: Quantity) -> None:
    range_mm = setting_limit("radius_mm")
    number = plain(radius.amount)
    written = radius.text() if radius.stated else number
    if radius.value < range_mm.low:
        if not radius.stated and radius.unit == "mm":
            raise AmbiguousError(
                value=f"--radius {written}", readings=(f"{number}mm", f"{number}in")
            )
        raise InputError(
            value=f"--radius {written}",
            rule=f"a pull is taken at {range_mm.low:g} mm from the middle or farther",
            todo="Check the unit, or read the torque with a wrench and give it with --measured",
        )
    if radius.value > range_mm.high:
        raise AmbiguousError(
            value=f"--radius {written}",
            readings=(
                f"a diameter: --diameter {radius.text()}, a radius of "
                f"{plain(radius.amount / 2.0)}{radius.unit}",
                f"a true radius: --diameter {plain(radius.amount * 2.0)}{radius.unit}",
            ),
        )


def _positive(value: float, place: str, text: str) -> float:
    if not value > 0:
        raise InputError(
            value=f"{place} {text}", rule="this is larger than zero", todo="Measure it again"
        )
    return value


def _torques(
    request: ShimRequest, radius_mm: float | None, *, pounds: bool
) -> tuple[list[float], str]:
    """The running torque of each reading [N.m], and the unit to show it in besides."""
    if request.measured and request.pull:
        raise InputError(
            value="--measured with --pull",
            rule="the torque is read with a wrench or worked out from a pull",
            todo="Give one of the two",
        )
    if request.measured:
        found = [
            _quantity(text, TORQUE, place="--measured", request=request, pounds=pounds)
            for text in request.measured
        ]
        for quantity, text in zip(found, request.measured, strict=True):
            _positive(quantity.value, "--measured", text)
        return [quantity.value for quantity in found], found[0].unit
    if not request.pull or radius_mm is None:
        missing = "--pull" if not request.pull else "--radius"
        raise InputError(
            value=f"{missing} (not given)",
            rule="drag needs the pull and the radius it acts at, or the torque itself",
            todo="Give --pull 24lbf --radius 8-5/16in, or --measured 16lbf.ft",
        )
    pulls = [
        _quantity(text, FORCE, place="--pull", request=request, pounds=pounds)
        for text in request.pull
    ]
    for pull, text in zip(pulls, request.pull, strict=True):
        _positive(pull.value, "--pull", text)
    unit = "lbf.ft" if pulls[0].unit == "lbf" else "N.m"
    return [drag_torque_nm(pull_n=pull.value, radius_mm=radius_mm) for pull in pulls], unit


def _bases_nm(request: ShimRequest, radius_mm: float | None, *, pounds: bool) -> list[float]:
    """The base drag of each reading [N.m], given as torques or as pulls at the same radius."""
    found = [
        _quantity(text, TORQUE, FORCE, place="--base-drag", request=request, pounds=pounds)
        for text in texts_of(request.base_drag)
    ]
    if any(base.dimension == FORCE for base in found) and radius_mm is None:
        raise InputError(
            value=f"--base-drag {shown(request.base_drag)}",
            rule="a pull becomes a torque by its radius",
            todo="Give --radius too, or the base drag as a torque",
        )
    return [
        base.value if base.dimension == TORQUE else base.value * (radius_mm or 0.0) / 1000.0
        for base in found
    ]
