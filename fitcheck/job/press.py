"""`fitcheck press`: what a press or shrink fit carries, how it goes together, and what is lost."""

from __future__ import annotations

import math
from dataclasses import asdict
from typing import Any

from fitcheck import limits as iso
from fitcheck.job.press_given import Given, given
from fitcheck.job.press_sizes import PressRequest
from fitcheck.job.press_words import Cap, cautions, heating_cap, limit_row, notes, slip_on, sources
from fitcheck.judging import COVERAGE, judge
from fitcheck.setup.assembly import Way, ways
from fitcheck.setup.joint import (
    Joint,
    State,
    force_and_torque,
    largest_interference_mm,
    limit,
    loads,
    refuse_overload,
    state,
)
from fitcheck.setup.losses import Losses, lost
from fitcheck.tables import table
from fitcheck.verdicts import GO, worst

__all__ = ["PressRequest", "answer"]

Answer = dict[str, Any]

_DECIMALS = 6


def answer(request: PressRequest) -> Answer:
    """The answer of `fitcheck press` as data.

    Raises
    ------
    InputError
        The request can't be understood, or the parts can't carry the interference.
    OffTableError
        The size or the class lies outside the tables.
    """
    asked = given(request)
    joint = asked.joint
    tight = state(joint, interference_mm=asked.tight_mm)
    refuse_overload(joint, tight)
    loose = tight if asked.loose_mm is None else state(joint, interference_mm=asked.loose_mm)
    losses = lost(
        joint,
        room_c=asked.room_c,
        service_c=asked.service_c,
        rpm=asked.rpm,
        outer_rz_um=asked.outer_rz_um,
        inner_rz_um=asked.inner_rz_um,
    )
    cap = heating_cap(asked)
    clearance_mm, clearance_source = slip_on(asked)
    _, friction, high = asked.friction
    press_force, _ = force_and_torque(joint, pressure_mpa=tight.pressure_mpa, friction=high)
    found = ways(
        joint,
        interference_mm=asked.tight_mm,
        clearance_mm=clearance_mm,
        room_c=asked.room_c,
        cap_c=cap.value_c,
        press_force_n=press_force,
    )
    heat = found[1]
    hot_c = heat.heat_outer_to_c or asked.room_c
    result: Answer = {
        **_record(asked, tight),
        "press_force_n": press_force,
        "heat_outer_to_c": hot_c,
        "heat_outer_by_k": hot_c - asked.room_c,
        "cool_inner_to_c": found[2].cool_inner_to_c,
        "heat_cap_c": cap.value_c,
        "clearance_mm": clearance_mm,
        "friction": friction,
    }
    if asked.fit is not None:
        result["fit"] = _fit_record(asked.fit)
        result["tight"] = _record(asked, tight)
        result["loose"] = _record(asked, loose)
    if asked.interference_sure_mm:
        result["interference_uncertainty_mm"] = round(asked.interference_sure_mm, _DECIMALS)
    # Flattened peaks give no stress relief to count on.
    most = state(
        joint,
        interference_mm=asked.tight_mm - losses.temperature_mm - losses.speed_mm,
        spin_hoop_mpa=losses.spin_hoop_mpa,
    )
    left = _in_service(asked, loose, most, losses)
    result["in_service"] = left
    judged = [
        *_strength(joint, tight),
        *_holding(asked, loose, most, left),
        _heating(found, cap),
        *_bushing(asked, (tight, loose)),
        *_wall(asked),
        *_read_well(asked),
        *_read_closely(asked, tight, losses),
    ]
    result["largest_interference_mm"] = largest_interference_mm(joint)
    result["ways"] = [_way(way) for way in found]
    result["verdict"] = worst(*(verdict for verdict, _ in judged))
    result["reasons"] = [reason for _, reason in judged]
    result["notes"] = [*asked.notes, *_read_notes(asked), *notes(asked, tight, loose)]
    result["cautions"] = cautions(asked, found)
    result["sources"] = sources(asked, [cap.source, clearance_source])
    return result


def _record(asked: Given, found: State) -> Answer:
    """A state as data, with the force and torque at the usual friction."""
    joint = asked.joint
    force, torque = force_and_torque(
        joint, pressure_mpa=found.pressure_mpa, friction=asked.friction[1]
    )
    values: Answer = {
        name: round(value, _DECIMALS) + 0.0
        for name, value in asdict(found).items()
        if name != "bore_after_mm" or joint.inner_mm > 0.0
    }
    values["force_n"] = force
    values["torque_nm"] = torque
    if asked.pin_mm is not None:
        values["running_clearance_mm"] = round(found.bore_after_mm - asked.pin_mm, _DECIMALS)
    return values


def _fit_record(fit: iso.Fit) -> Answer:
    return {
        "hole": fit.hole.tolerance_class,
        "shaft": fit.shaft.tolerance_class,
        "kind": fit.kind,
        "interference_um": {
            "tight": round(-fit.min_clearance_um, 3) + 0.0,
            "loose": round(-fit.max_clearance_um, 3) + 0.0,
        },
    }


def _in_service(asked: Given, loose: State, most: State, losses: Losses) -> Answer:
    """What is left of the looser limit once everything is lost, and the stress of the tighter."""
    joint = asked.joint
    left = state(joint, interference_mm=loose.interference_mm - losses.total_mm)
    force, torque = force_and_torque(
        joint, pressure_mpa=left.pressure_mpa, friction=asked.friction[0]
    )
    values: Answer = {
        "lost_roughness_mm": losses.roughness_mm,
        "lost_temperature_mm": losses.temperature_mm,
        "lost_speed_mm": losses.speed_mm,
        "interference_left_mm": left.interference_mm,
        "pressure_mpa": left.pressure_mpa,
        "holding_force_n": force,
        "holding_torque_nm": torque,
        "von_mises_outer_bore_mpa": most.von_mises_outer_bore_mpa,
        "von_mises_inner_bore_mpa": most.von_mises_inner_bore_mpa,
    }
    if losses.speed_mm > 0.0 and asked.rpm:
        still = loose.interference_mm - losses.roughness_mm - losses.temperature_mm
        values["free_rpm"] = asked.rpm * (max(0.0, still) / losses.speed_mm) ** 0.5
    return {key: round(value, _DECIMALS) + 0.0 for key, value in values.items()}


def _strength(joint: Joint, tight: State, where: str = "") -> list[tuple[str, str]]:
    """Each part against its strength."""
    judged = []
    for load in loads(joint, tight):
        material = load.material
        kind = "tension" if material.brittle else "von Mises stress"
        words = {
            "go": f"within {load.go_share:.0%}",
            "check": f"over {load.go_share:.0%}, little to spare",
            "no-go": "more than it carries"
            if material.brittle
            else "it yields and stays larger or smaller",
        }[load.verdict]
        judged.append(
            (
                load.verdict,
                f"{load.part}{where}: {kind} {load.stress_mpa:.0f} MPa is {load.share:.0%} of the "
                f"{material.strength} strength of {material.name}, {material.strength_mpa:g} MPa: "
                f"{words}",
            )
        )
    parts = ((joint.outer_name, joint.outer), (joint.inner_name, joint.inner))
    judged += [
        ("check", f"{part}: no strength is given for its material; add yield=... to judge it")
        for part, material in parts
        if material.strength_mpa is None
    ]
    return judged


def _holding(asked: Given, loose: State, most: State, left: Answer) -> list[tuple[str, str]]:
    """Whether the joint still holds at its looser limit and in service."""
    judged: list[tuple[str, str]] = []
    joint = asked.joint
    if loose.interference_mm <= 0.0:
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
                f"in service nothing holds: {loose.interference_mm:.3f} mm less "
                f"{_lost_words(left)} leaves {left['interference_left_mm']:.3f} mm",
            )
        )
    elif _lost_words(left):
        share = left["interference_left_mm"] / loose.interference_mm
        judged.append(
            (
                "go" if share >= limit("left_share_go") else "check",
                f"in service {left['interference_left_mm']:.3f} mm is left of "
                f"{loose.interference_mm:.3f} mm ({_lost_words(left)}): it holds at least "
                f"{left['holding_force_n'] / 1000.0:.1f} kN or {left['holding_torque_nm']:.0f} N.m",
            )
        )
    if asked.service_c is not None or asked.rpm:
        graver = [item for item in _strength(joint, most, " in service") if item[0] != "go"]
        judged += [item for item in graver if " in service" in item[1]]
    return judged


def _lost_words(left: Answer) -> str:
    names = (
        ("lost_roughness_mm", "roughness"),
        ("lost_temperature_mm", "temperature"),
        ("lost_speed_mm", "speed"),
    )
    return ", ".join(f"{left[key]:.3f} to {word}" for key, word in names if left[key])


def _heating(found: tuple[Way, ...], cap: Cap) -> tuple[str, str]:
    """Heating against its cap; past the cap there may be another way."""
    press, heat, *others = found
    if heat.verdict == "go":
        return "go", f"{heat.reason}: within the cap of {cap.value_c:.0f} C, {cap.reason}"
    open_ways = sorted(
        (way for way in others if way.verdict != "no-go"), key=lambda way: way.verdict != "go"
    )
    instead = ", or ".join([*(way.reason for way in open_ways[:1]), press.reason])
    return "check", f"{heat.reason} ({cap.reason}); instead {instead}"


def _bushing(asked: Given, states: tuple[State, State]) -> list[tuple[str, str]]:
    """The running clearance of a pin in a bushing that closed in."""
    if asked.pin_mm is None:
        return []
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
    return [
        (
            "check",
            f"{words}: read to {sure:.3f} mm, which does not settle it; read the pin with a "
            "micrometer and the bore with a bore gauge",
        )
    ]


def _wall(asked: Given) -> list[tuple[str, str]]:
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


def _read_well(asked: Given) -> list[tuple[str, str]]:
    """Readings of one place that differ by more than their instrument explains."""
    return [
        ("check", line)
        for name, size in asked.sizes.items()
        if size.reading.out_of_round
        for line in size.notes(diameter=name != "length")[-1:]
    ]


def _read_notes(asked: Given) -> list[str]:
    """What else there is to say about the readings."""
    said = {line for _, line in _read_well(asked)}
    lines = [
        line
        for name, size in asked.sizes.items()
        for line in size.notes(diameter=name != "length")
        if line not in said
    ]
    if asked.interference_sure_mm:
        lines.append(
            f"interference {asked.tight_mm:.3f} mm, read to {asked.interference_sure_mm:.3f} mm"
        )
    return lines


def _read_closely(asked: Given, tight: State, losses: Losses) -> list[tuple[str, str]]:
    """Whether strength and hold stand at both ends of what the interference was read to."""
    sure = asked.interference_sure_mm
    if not sure:
        return []
    judged: list[tuple[str, str]] = []
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


def _way(way: Way) -> Answer:
    return {key: value for key, value in asdict(way).items() if value is not None}
