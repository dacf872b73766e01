"""`fitcheck press`: what a press or shrink fit carries, how it goes together, and what is lost."""

from __future__ import annotations

from dataclasses import asdict

from fitcheck import limits as iso
from fitcheck.job.answers import Answer
from fitcheck.job.press.faces import faces_again, faces_against, faces_first
from fitcheck.job.press.given import Given, given
from fitcheck.job.press.judged import (
    bore_work,
    heating,
    holding,
    read_again,
    read_closely,
    read_well,
    running_clearance,
    sleeve_wall,
    strength,
)
from fitcheck.job.press.sizes import PressRequest
from fitcheck.job.press.warm import grow_alike, unasked_heat, unasked_roughness
from fitcheck.job.press.words import cautions, heating_cap, notes, slip_on, sources
from fitcheck.setup.assembly import Way, ways
from fitcheck.setup.joint import (
    State,
    force_and_torque,
    largest_interference_mm,
    refuse_overload,
    state,
)
from fitcheck.setup.losses import Losses, lost
from fitcheck.verdicts import NO_GO, VERDICTS, worst

__all__ = ["PressRequest", "answer"]

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
    refuse_overload(joint, tight, assumed=asked.assumed)
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
    low, friction, high = asked.friction
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
        "parts": {"outer": joint.outer_name, "inner": joint.inner_name},
        "sizes_mm": {
            "interface": joint.interface_mm,
            "outer": joint.outer_mm,
            "inner": joint.inner_mm,
            "length": joint.length_mm,
        },
        "press_force_n": press_force,
        "heat_outer_to_c": hot_c,
        "heat_outer_by_k": hot_c - asked.room_c,
        "cool_inner_to_c": found[2].cool_inner_to_c,
        "heat_cap_c": cap.value_c,
        "clearance_mm": clearance_mm,
        "friction": friction,
        "friction_range": {"low": low, "high": high},
    }
    if asked.fit is not None:
        result["fit"] = _fit_record(asked.fit)
        result["tight"] = _record(asked, tight)
        result["loose"] = _record(asked, loose)
    if asked.interference_sure_mm:
        result["interference_uncertainty_mm"] = round(asked.interference_sure_mm, _DECIMALS)
    # Flattened peaks give no stress relief to count on.
    most, least = (
        state(
            joint,
            interference_mm=found.interference_mm - losses.temperature_mm - losses.speed_mm,
            spin_hoop_mpa=losses.spin_hoop_mpa,
        )
        for found in (tight, loose)
    )
    left = _in_service(asked, loose, most, losses)
    result["in_service"] = left
    # Without it what stands in the joint is known cold only.
    result["service_known"] = asked.service_c is not None or grow_alike(asked)
    judged = [
        *strength(asked, tight, loose),
        *holding(asked, loose, (most, least), left),
        *unasked_heat(asked, tight, loose),
        *unasked_roughness(asked, loose),
        *running_clearance(asked, (tight, loose)),
        *sleeve_wall(asked),
        *read_well(asked),
        *faces_against(asked),
    ]
    closely = read_closely(asked, tight, losses)
    judged += closely
    # What can't be pressed together needs no word on how.
    if all(verdict != NO_GO for verdict, _ in judged):
        judged.append(heating(found, cap))
    result["largest_interference_mm"] = largest_interference_mm(joint)
    result["ways"] = [_way(way) for way in found]
    result["verdict"] = worst(*(verdict for verdict, _ in judged))
    # What decides comes first.
    judged.sort(key=lambda found: -VERDICTS.index(found[0]))
    result["reasons"] = [reason for _, reason in judged]
    # What is worked out for an interference that the faces don't have is nothing to go by yet.
    result["only_after"] = faces_first(asked)
    result["work"] = bore_work(asked, (tight, loose))
    result["read_again"] = [
        *faces_again(asked),
        *read_again(asked, tight, most, [reason for _, reason in closely]),
    ]
    result["assumptions"] = list(asked.assumptions)
    result["notes"] = [
        *asked.assumptions,
        *asked.notes,
        *_read_notes(asked),
        *notes(asked, tight, loose),
    ]
    result["cautions"] = cautions(asked, found)
    result["sources"] = sources(asked, [cap.source, clearance_source])
    return result


def _record(asked: Given, found: State) -> Answer:
    """A state as data, with the force and torque at the usual friction and over its range."""
    joint = asked.joint
    (least, least_turn), (force, torque), (most, most_turn) = (
        force_and_torque(joint, pressure_mpa=found.pressure_mpa, friction=friction)
        for friction in asked.friction
    )
    values: Answer = {
        name: round(value, _DECIMALS) + 0.0
        for name, value in asdict(found).items()
        if name != "bore_after_mm" or joint.inner_mm > 0.0
    }
    values["force_n"] = force
    values["torque_nm"] = torque
    if least < most:
        values["force_range_n"] = {"low": least, "high": most}
        values["torque_range_nm"] = {"low": least_turn, "high": most_turn}
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


def _read_notes(asked: Given) -> list[str]:
    """What else there is to say about the readings."""
    said = {line for _, line in read_well(asked)}
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


def _way(way: Way) -> Answer:
    return {key: value for key, value in asdict(way).items() if value is not None}
