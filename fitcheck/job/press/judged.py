"""A press fit judged: strength, hold in service, heating, running clearance, wall, readings."""

from __future__ import annotations

import math
from collections.abc import Sequence

from fitcheck.job.answers import Answer
from fitcheck.job.press.given import Given
from fitcheck.job.press.words import Cap, limit_row
from fitcheck.judging import COVERAGE, judge
from fitcheck.setup.assembly import Way
from fitcheck.setup.joint import Load, State, limit, loads, state
from fitcheck.setup.losses import Losses
from fitcheck.tables import table
from fitcheck.verdicts import GO, worst

Judged = list[tuple[str, str]]


def strength(asked: Given, tight: State, loose: State, where: str = "") -> Judged:
    """Each part against its strength.

    A part of a material nobody named is not refused: a stronger one may be there.

    Parameters
    ----------
    asked : Given
        The request as understood.
    tight, loose : State
        What stands in the joint at either limit; the same where there is one interference.
    where : str
        When it stands so, to follow the name of the part.
    """
    joint = asked.joint
    judged = []
    for load, least in zip(loads(joint, tight), loads(joint, loose), strict=True):
        material = load.material
        kind = "tension" if material.brittle else "von Mises stress"
        words, verdict = _words(load), load.verdict
        if load.verdict != "go" and load.side in asked.assumed:
            if load.verdict == "no-go":
                verdict = "check"
                words += " at the tight limit" if least.verdict != "no-go" else ""
            needed = math.ceil(load.stress_mpa / load.go_share)
            words += (
                f". But {material.name} is only taken: say the material with "
                f"--{load.side}-material. One of {needed} MPa {material.strength} strength or more "
                "would do"
            )
        judged.append(
            (
                verdict,
                f"{load.part}{where}: {kind} {load.stress_mpa:.0f} MPa. That is {load.share:.0%} "
                f"of the {material.strength} strength of {material.name}, "
                f"{material.strength_mpa:g} MPa: {words}",
            )
        )
    parts = ((joint.outer_name, joint.outer), (joint.inner_name, joint.inner))
    judged += [
        ("check", f"{part}: no strength is given for its material; add yield=... to judge it")
        for part, material in parts
        if material.strength_mpa is None
    ]
    return judged


def _words(load: Load) -> str:
    """What a load means for its part."""
    if load.verdict == "go":
        return f"within {load.go_share:.0%}"
    if load.verdict == "check":
        return f"over {load.go_share:.0%}, little to spare"
    if load.material.brittle:
        return "more than it carries"
    return f"it yields and stays {'larger' if load.side == 'outer' else 'smaller'}"


def holding(asked: Given, loose: State, in_service: tuple[State, State], left: Answer) -> Judged:
    """Whether the joint still holds at its looser limit and in service.

    Parameters
    ----------
    asked : Given
        The request as understood.
    loose : State
        What stands in the joint at the loose limit, as fitted.
    in_service : tuple of State
        What stands in it in service, at the tight and at the loose limit.
    left : dict
        What is left of the loose limit in service, as it goes into the answer.
    """
    judged: Judged = []
    tight_left = in_service[0].interference_mm - left["lost_roughness_mm"]
    if loose.interference_mm <= 0.0 and tight_left <= 0.0:
        judged.append(
            (
                "no-go",
                "in service nothing holds, not even at the tight limit of the fit "
                f"({_lost_words(left)}): take a tighter fit",
            )
        )
    elif loose.interference_mm <= 0.0:
        judged.append(
            (
                "check",
                f"at the loose limit there is {-loose.interference_mm:.3f} mm clearance and "
                "nothing holds: measure both parts and give their interference",
            )
        )
    elif left["interference_left_mm"] <= 0.0:
        judged.append(
            (
                "no-go",
                f"in service nothing holds: of {loose.interference_mm:.3f} mm interference there "
                f"is {-left['interference_left_mm']:.3f} mm clearance left ({_lost_words(left)})"
                if left["interference_left_mm"] < -5e-4
                else f"in service nothing holds: {_lost_words(left)}, and that is all of the "
                f"{loose.interference_mm:.3f} mm interference",
            )
        )
    elif _lost_words(left):
        share = left["interference_left_mm"] / loose.interference_mm
        stands = (
            f"in service {left['interference_left_mm']:.3f} mm is left of "
            f"{loose.interference_mm:.3f} mm"
            if share <= 1.0
            else f"in service the fit grows tighter, from {loose.interference_mm:.3f} to "
            f"{left['interference_left_mm']:.3f} mm"
        )
        judged.append(
            (
                "go" if share >= limit("left_share_go") else "check",
                f"{stands} ({_lost_words(left)}): it holds at least "
                f"{left['holding_force_n'] / 1000.0:.1f} kN or {left['holding_torque_nm']:.0f} N.m",
            )
        )
    if asked.service_c is not None or asked.rpm:
        graver = [item for item in strength(asked, *in_service, " in service") if item[0] != "go"]
        judged += [item for item in graver if " in service" in item[1]]
    return judged


def _lost_words(left: Answer) -> str:
    """What is lost, and what a service temperature may add."""
    names = (
        ("lost_roughness_mm", "roughness"),
        ("lost_temperature_mm", "temperature"),
        ("lost_speed_mm", "speed"),
    )
    return ", ".join(
        f"{_amount(left[key])} lost to {word}"
        if left[key] > 0.0
        else f"{word} adds {_amount(-left[key])}"
        for key, word in names
        if left[key]
    )


def _amount(value_mm: float) -> str:
    """A loss for people: what would round to nothing is said to be little.

    >>> _amount(0.0352), _amount(0.0004)
    ('0.035 mm', 'under 0.001 mm')
    """
    return f"{value_mm:.3f} mm" if value_mm >= 5e-4 else "under 0.001 mm"


def heating(found: tuple[Way, ...], cap: Cap) -> tuple[str, str]:
    """Heating against its cap; past the cap there may be another way."""
    press, heat, *others = found
    if heat.verdict == "go":
        return "go", f"{heat.reason}. Its cap is {cap.value_c:.0f} C, {cap.reason}"
    open_ways = sorted(
        (way for way in others if way.verdict != "no-go"), key=lambda way: way.verdict != "go"
    )
    instead = ", or ".join([*(way.reason for way in open_ways[:1]), press.reason])
    return "check", f"{heat.reason} ({cap.reason}). Instead {instead}"


def running_clearance(asked: Given, states: tuple[State, State]) -> Judged:
    """The running clearance of a pin in a bushing that closed in."""
    if asked.pin_mm is None:
        return _closing(asked, states)
    row = limit_row("running_clearance_share")
    low, high = row.number("low") * asked.pin_mm, row.number("high") * asked.pin_mm
    wanted = asked.pin_mm + row.number("value") * asked.pin_mm
    least, most = sorted(found.bore_after_mm - asked.pin_mm for found in states)
    span = f"{least:.3f}" if most - least < 5e-4 else f"{least:.3f} to {most:.3f}"
    words = f"running clearance {span} mm after pressing, {low:.3f} to {high:.3f} mm is usual"
    if least < low:
        binds = "it binds" if least <= 0.0 else "tight"
        return [("check", f"{words}: {binds}; ream or hone the bore to {wanted:.3f} mm")]
    if most > high:
        return [("check", f"{words}: loose; take a bushing with a smaller bore")]
    # The bore closes in by at most the interference, and so does what is not known of it.
    sure = math.hypot(asked.sure_mm("pin", "inner"), asked.interference_sure_mm)
    judged = (
        judge(
            deviation_um=clearance * 1000.0,
            lower_um=low * 1000.0,
            upper_um=high * 1000.0,
            standard_error_um=sure * 1000.0 / COVERAGE,
        )
        for clearance in (least, most)
    )
    if worst(*(found.verdict for found in judged)) == GO:
        return [("go", words)]
    best = {"pin": "micrometer", "inner": "bore-gauge"}
    finer = any(asked.sizes[name].reading.instrument != tool for name, tool in best.items())
    again = (
        "read the pin with a micrometer and the bore with a bore gauge"
        if finer
        else "read both again, and the bore once more after pressing"
    )
    return [("check", f"{words}: read to {sure:.3f} mm, which does not settle it; {again}")]


def _closing(asked: Given, states: tuple[State, State]) -> Judged:
    """What a bushing closes in, where nobody said what runs in it."""
    if not _runs(asked):
        return []
    row, bore = limit_row("running_clearance_share"), asked.joint.inner_mm
    most, allowed = bore - min(found.bore_after_mm for found in states), row.number("value") * bore
    if most <= allowed:
        return []
    return [
        (
            "check",
            f"the bore of the {asked.joint.inner_name} closes in by up to {most:.3f} mm, more than "
            f"the usual running clearance, {allowed:.3f} mm: what runs in it would bind; give "
            "--pin, or bore the bushing after pressing",
        )
    ]


def _runs(asked: Given) -> bool:
    """Whether something runs in the bore of the inner part."""
    bushing = asked.use is not None and asked.use.text("use") == "bushing"
    return bushing and asked.joint.inner_mm > 0.0


def bore_work(asked: Given, states: tuple[State, State]) -> list[str]:
    """What is done to a part that has another size once it is pressed."""
    name = asked.use.text("use") if asked.use else ""
    if name == "sleeve":
        joint = asked.joint
        growth = max(found.outer_od_after_mm for found in states) - joint.outer_mm
        return [
            f"Measure the outside of the {joint.outer_name} once it is on, up to {growth:.3f} mm "
            "larger, and grind it in place to the size the lip wants"
        ]
    if asked.pin_mm is None:
        closing = _closing(asked, states)
        return [
            f"Measure the bore of the {asked.joint.inner_name} once it is pressed, and bore it "
            "out for what runs in it"
        ] * bool(closing)
    row = limit_row("running_clearance_share")
    if min(found.bore_after_mm for found in states) - asked.pin_mm >= (
        row.number("low") * asked.pin_mm
    ):
        return []
    wanted = asked.pin_mm + row.number("value") * asked.pin_mm
    return [
        f"Measure the bore of the {asked.joint.inner_name} once it is pressed, and ream or hone it "
        f"to {wanted:.3f} mm"
    ]


def sleeve_wall(asked: Given) -> Judged:
    """The wall of a thick repair sleeve."""
    if asked.use is None or asked.use.text("use") != "sleeve":
        return []
    rows = {row.text("name"): row for row in table("counterface/limits").rows}
    wall = (asked.joint.outer_mm - asked.joint.interface_mm) / 2.0
    least = rows["thick_sleeve_wall_min_mm"].number("value")
    usual = rows["thick_sleeve_wall_mm"]
    low, high = usual.number("low"), usual.number("high")
    words = f"wall of {wall:.2f} mm; {low:g} to {high:g} mm is usual, {least:g} mm the least"
    sure = asked.sure_mm("outer", "interface") / 2.0
    if wall < least - sure:
        return [("no-go", f"{words}: too thin, turn the shaft down further")]
    if wall < least:
        return [("check", f"{words}: too thin as read, to {sure:.2f} mm; measure both again")]
    return [("go" if wall >= low else "check", words)]


def read_well(asked: Given) -> Judged:
    """Readings of one place that differ by more than their instrument explains."""
    return [
        ("check", line)
        for name, size in asked.sizes.items()
        if size.reading.out_of_round
        for line in size.notes(diameter=name != "length")[-1:]
    ]


def read_closely(asked: Given, tight: State, losses: Losses) -> Judged:
    """Whether strength and hold stand at both ends of what the interference was read to."""
    sure = asked.interference_sure_mm
    if not sure:
        return []
    judged: Judged = []
    high, low = asked.tight_mm + sure, asked.tight_mm - sure
    before = [load.verdict for load in loads(asked.joint, tight)]
    for load, verdict in zip(
        loads(asked.joint, state(asked.joint, interference_mm=high)), before, strict=True
    ):
        if load.verdict != verdict:
            judged.append(
                (
                    "check",
                    f"{load.part}: the interference may be {high:.3f} mm, and then stands at "
                    f"{load.share:.0%} of the strength: read both parts more closely",
                )
            )
    left = low - losses.total_mm
    if left <= 0.0 < asked.tight_mm - losses.total_mm:
        judged.append(
            (
                "check",
                f"the interference may be {max(low, 0.0):.3f} mm, and then nothing holds: read "
                "both parts more closely",
            )
        )
    return judged


def read_again(
    asked: Given, tight: State, in_service: State, closely: Sequence[str]
) -> list[Answer]:
    """What has to be read or said again before this is pressed together.

    Parameters
    ----------
    asked : Given
        The request as understood.
    tight : State
        What stands in the joint at the tight limit, as fitted.
    in_service : State
        What stands in it at the tight limit in service.
    closely : sequence of str
        Why the interference has to be read more closely.
    """
    grave = {
        load.side: load
        for found in (in_service, tight)
        for load in loads(asked.joint, found)
        if load.verdict != GO and load.side in asked.assumed
    }
    wanted = [
        {
            "reading": f"material of the {load.part}",
            "instrument": "",
            "reason": f"{load.material.name} is only taken, and stands at {load.share:.0%} of its "
            "strength: say what it is",
        }
        for load in grave.values()
    ]
    wanted += [
        {"reading": name, "instrument": size.reading.instrument, "reason": line}
        for name, size in asked.sizes.items()
        if size.reading.out_of_round
        for line in size.notes(diameter=name != "length")[-1:]
    ]
    if asked.loose_mm is not None and asked.loose_mm <= 0.0:
        words = "at the loose limit of the fit nothing holds: measure both parts"
        closely = [*closely, words]
    return [
        *wanted,
        *({"reading": "interference", "instrument": "", "reason": line} for line in closely),
    ]
