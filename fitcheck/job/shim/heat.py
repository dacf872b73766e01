"""What the setting becomes when housing and shaft warm up."""

from __future__ import annotations

from typing import Any

from fitcheck.errors import FitcheckError, InputError
from fitcheck.job.bare_units import read_temperature, writes_inches
from fitcheck.job.lengths import measured, shown, texts_of
from fitcheck.job.shim.shelf import DUST_MM, Lengths, ask_again
from fitcheck.job.shim.text import ShimRequest
from fitcheck.quantities import plain
from fitcheck.setup.materials import Material, material, material_names
from fitcheck.setup.settings import Method, Position, setting_limit
from fitcheck.setup.shims import end_play_growth_mm
from fitcheck.verdicts import CHECK, worst

Answer = dict[str, Any]

# Names that a housing has on the sheet, and the material they are reckoned as.
_HOUSINGS = {"light-alloy": "cast-aluminium", "iron": "grey-iron"}


def is_light_alloy(housing: str) -> bool:
    """Whether a housing's material is a light alloy.

    >>> is_light_alloy("cast-aluminium"), is_light_alloy("steel"), is_light_alloy("")
    (True, False, False)
    """
    name = housing.strip().lower()
    return bool(name) and (name in ("light-alloy", "magnesium") or "alumin" in name)


def _material(name: str, place: str) -> Material:
    try:
        return material(_HOUSINGS.get(name, name))
    except FitcheckError as error:
        raise InputError(
            value=f"{place} {name}",
            rule=error.rule,
            todo=f"Use one of {', '.join((*_HOUSINGS, *material_names()))}",
        ) from None


def _temperature(text: str, option: str, *, inches: bool) -> float:
    found = read_temperature(text, place=option, inches=inches)
    allowed = setting_limit("temperature_c")
    if not allowed.low <= found <= allowed.high:
        raise InputError(
            value=f"{option} {text}",
            rule=f"a hub is between {allowed.low:g} and {allowed.high:g} C",
            todo="Check the unit: Fahrenheit is written 176F",
        )
    return found


def add_heat(
    found: Answer, request: ShimRequest, position: Position | None, *, method: Method
) -> None:
    """Add to an answer what heat does to the setting; only where that was asked.

    Parameters
    ----------
    found : dict
        The answer, added to.
    request : ShimRequest
        The options as text.
    position : Position or None
        Where the shims sit, which tells how the pair is mounted where that was not said.
    method : Method
        How it was measured.

    Raises
    ------
    InputError
        Some of what is needed was not given, a text can't be read, or a temperature is none of a
        hub.
    """
    asked = {
        "--span": shown(request.span),
        "--service-temp": request.service_temp,
        "--housing": request.housing,
    }
    if not (asked["--span"] or asked["--service-temp"]):
        if is_light_alloy(request.housing):
            _ask_heat(found)
        return
    missing = [option for option, text in asked.items() if not text]
    if missing:
        raise InputError(
            value=f"{', '.join(missing)} (not given)",
            rule="what heat does to the setting needs the span between the cups, the housing's "
            "material and the temperature at work",
            todo="Give --span, --housing and --service-temp together",
        )
    housing = _material(request.housing, "--housing")
    shaft = _material(request.shaft_material, "--shaft-material")
    inches = request.unit == "in" or writes_inches(*texts_of(request.span), *request.measured)
    room_c = (
        _temperature(request.room_temp, "--room-temp", inches=inches)
        if request.room_temp
        else setting_limit("room_c").value
    )
    if not request.room_temp:
        taken = f"no room temperature was given: {room_c:g} C is taken"
        found["assumptions"].append(taken)
        found["reasons"].append(taken)
    warm_c = _temperature(request.service_temp, "--service-temp", inches=inches)
    between = measured(request.span, place="--span", unit=request.unit, tool=request.instrument)
    assert between is not None, "it is not missing"
    mounting = request.mounting or (position.mounting if position else "")
    growth = end_play_growth_mm(
        span_mm=between.mm,
        housing_alpha=housing.alpha,
        shaft_alpha=shaft.alpha,
        warmer_k=warm_c - room_c,
        mounting=mounting,
    )
    found["end_play_growth_mm"] = round(growth, 4)
    found["expected_hot_mm"] = None
    gained = "end play" if growth >= 0 else "preload"
    found["reasons"].append(
        f"heat: ({housing.alpha * 1e6:.1f} - {shaft.alpha * 1e6:.1f}) millionths x "
        f"{plain(round(between.mm, 3))} mm x {plain(round(warm_c - room_c, 1))} K = "
        f"{abs(growth):.3f} mm more {gained}, pair mounted {mounting}; housing and shaft taken as "
        "equally warm"
    )
    found["reasons"] += between.notes(diameter=False)
    found["sources"] += [f"{housing.name}: {housing.source}", f"{shaft.name}: {shaft.source}"]
    text = Lengths(request.unit == "in" or any(q.unit == "in" for q in between.quantities))
    _judge_warm(found, growth, warm_c=warm_c, method=method, text=text)


def _ask_heat(found: Answer) -> None:
    """A light alloy moves the setting as it warms, and nobody can say how far."""
    reason = (
        "a light alloy moves the setting as it warms, and how far was not asked: give --span, cup "
        "to cup, and --service-temp"
    )
    found["verdict"] = worst(found["verdict"], CHECK)
    found["only_after"] = found["only_after"] or "it is reckoned what heat does"
    found["reasons"].append(reason)
    ask_again(found, reading="span", instrument="caliper", reason=reason)


def _judge_warm(
    found: Answer, growth: float, *, warm_c: float, method: Method, text: Lengths
) -> None:
    """The warm setting against the range; a range is stated cold, so outside means ask."""
    reasons: list[str] = found["reasons"]
    cold, allowed = found["expected_mm"], found["allowed_mm"]
    if cold is None or allowed is None:
        if method.name in ("drag", "lead") and abs(growth) > setting_limit("warm_shift_mm").value:
            found["verdict"] = worst(found["verdict"], CHECK)
            reasons.append(
                f"{method.name} does not tell the setting in mm, so whether the warm one holds "
                "can't be told: ask the manual for a cold figure that allows for it"
            )
        return
    hot = cold + growth
    found["expected_hot_mm"] = round(hot, 4)
    wanted = text.play_span(allowed["low"], allowed["high"])
    ends = (allowed["low"], allowed["high"])
    said = f"cold {text.play(cold)} becomes {text.play(hot, *ends)} at {plain(round(warm_c, 1))} C"
    if allowed["low"] - DUST_MM <= hot <= allowed["high"] + DUST_MM:
        reasons.append(f"{said}, still inside {wanted}")
        return
    found["verdict"] = worst(found["verdict"], CHECK)
    found["only_after"] = (
        found["only_after"] or "it is asked whether the range is meant cold or warm"
    )
    low = max(allowed["low"], allowed["low"] - growth)
    high = min(allowed["high"], allowed["high"] - growth)
    todo = (
        f"a cold setting of {text.play_span(low, high)} stays inside cold and warm"
        if low < high
        else "no cold setting stays inside both cold and warm"
    )
    reasons.append(
        f"{said}, outside {wanted}: ask the manual whether its range is meant cold or warm; {todo}"
    )
