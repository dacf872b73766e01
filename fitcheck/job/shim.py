"""`fitcheck shim`: from a measured setting to the pack of shims that brings it to its target."""

from __future__ import annotations

from typing import Any

from fitcheck.errors import FitcheckError, InputError
from fitcheck.job.lengths import Measured, measured, shown, texts_of
from fitcheck.job.shim_drag import drag_answer
from fitcheck.job.shim_pack import GapWay, PlayWay, pack_answer
from fitcheck.job.shim_text import (
    ShimRequest,
    Target,
    Written,
    read_measured,
    read_shims,
    read_target,
    refuse_mixed,
)
from fitcheck.quantities import Quantity, length, plain, temperature_c
from fitcheck.setup.materials import Material, material, material_names
from fitcheck.setup.settings import (
    CONDITIONS,
    METHODS,
    Method,
    Position,
    Setting,
    nut_steps,
    setting_cautions,
    setting_for,
    setting_limit,
    shim_method,
    shim_position,
    use_settings,
)
from fitcheck.setup.shims import end_play_growth_mm
from fitcheck.units import LENGTH, TORQUE

__all__ = ["ShimRequest", "answer"]

Answer = dict[str, Any]

# Names that a housing has on the sheet, and the material they are reckoned as.
_HOUSINGS = {"light-alloy": "cast-aluminium", "iron": "grey-iron"}


def answer(request: ShimRequest) -> Answer:
    """The answer of `fitcheck shim` as data.

    Raises
    ------
    InputError
        A text can't be read, what the method needs is missing, or options contradict each other.
    NotKnownError
        The use or the material is not listed.
    """
    method = _method(request)
    setting = _setting(request, method)
    position = _position(request, method)
    target = _target(request, method)
    if method.name == "drag":
        found = _drag_answer(request, setting=setting, position=position, target=target)
    else:
        found = _measured_answer(
            request, method=method, setting=setting, position=position, target=target
        )
    _finish(found, request, method=method, setting=setting, position=position)
    return found


def _method(request: ShimRequest) -> Method:
    if not request.method:
        raise InputError(
            value="--method (not given)",
            rule="the five ways to find a pack differ in what is taken off, so the way is needed",
            todo=f"Use one of {', '.join(METHODS)}",
        )
    method = shim_method(request.method)
    if method.name != "drag":
        for option in ("pull", "radius", "diameter", "base_drag"):
            if texts_of(getattr(request, option)):
                raise InputError(
                    value=f"--{option.replace('_', '-')}",
                    rule=f"this belongs to the method drag, and {method.name} takes no torque",
                    todo="Leave it out, or use --method drag",
                )
    if request.condition and request.condition not in CONDITIONS:
        raise InputError(
            value=request.condition,
            rule="bearings are new or used",
            todo="Use --condition new or --condition used",
        )
    return method


def _setting(request: ShimRequest, method: Method) -> Setting | None:
    """What the use is set to: by end play for that method, by drag for the others."""
    if not request.use:
        return None
    if request.target:
        use_settings(request.use)
        return None
    wanted = "end-play" if method.name == "end-play" else "drag"
    return setting_for(use=request.use, method=wanted, condition=request.condition)


def _position(request: ShimRequest, method: Method) -> Position | None:
    name = request.position
    if not name and request.use:
        name = next((s.position for s in use_settings(request.use) if s.position), "")
    if not name:
        if method.name == "end-play":
            raise InputError(
                value="--position (not given)",
                rule="where the shims sit decides whether one is added or removed",
                todo="Say --position cap, retainer, behind-cup or spacer",
            )
        return None
    position = shim_position(name)
    if name not in method.positions:
        raise InputError(
            value=f"--method {method.name} --position {name}",
            rule=f"{method.name} takes its pack for shims {' or '.join(method.positions)}; "
            f"{position.words} a thinner pack would give play",
            todo="Use --method end-play or drag there, or check where the shims sit",
        )
    return position


def _target(request: ShimRequest, method: Method) -> Target | None:
    if not request.target:
        return None
    wanted = LENGTH if method.name == "end-play" else TORQUE
    target = read_target(request.target, unit=request.unit, dimension=wanted)
    if target.dimension == wanted:
        return target
    if wanted == LENGTH:
        todo = "Give the end play in mm or in, or use --method drag"
    else:
        todo = "Give the running torque in N.m or lbf.ft, or use --method end-play"
    rule = f"{method.name} is checked by a {wanted}, and this is a {target.dimension}"
    if method.name in ("free-gap", "lead", "solder"):
        rule += f"; {method.name} finds its pack by its own rule and takes no end play for a target"
    raise InputError(value=f"--target {request.target}", rule=rule, todo=todo)


def _drag_answer(
    request: ShimRequest,
    *,
    setting: Setting | None,
    position: Position | None,
    target: Target | None,
) -> Answer:
    for option in ("tolerance", "pack_measured"):
        if texts_of(getattr(request, option)):
            raise InputError(
                value=f"--{option.replace('_', '-')} {shown(getattr(request, option))}",
                rule="torque finds no thickness, so drag has no use for this",
                todo="Leave it out",
            )
    fitted = read_shims([request.fitted], unit=request.unit, place="--fitted")
    return drag_answer(
        request,
        target=target,
        setting=setting,
        position=position,
        fitted=fitted if request.fitted else None,
        shelf=read_shims(request.have, unit=request.unit, place="--have"),
    )


def _measured_answer(
    request: ShimRequest,
    *,
    method: Method,
    setting: Setting | None,
    position: Position | None,
    target: Target | None,
) -> Answer:
    unit = request.unit
    reading, quantities = read_measured(
        request.measured, method=method, unit=unit, tool=request.instrument
    )
    fitted = read_shims([request.fitted], unit=unit, place="--fitted")
    shelf = read_shims(request.have, unit=unit, place="--have")
    whole = _reading(request, "pack_measured")
    tolerance = _length(request.tolerance, "--tolerance", unit)
    given = [
        ("--measured", quantities),
        ("--target", target.ends if target else ()),
        ("--fitted", fitted.quantities),
        ("--have", shelf.quantities),
        ("--pack-measured", whole.quantities if whole else ()),
        ("--tolerance", tolerance),
    ]
    refuse_mixed(given, unit=unit)
    _check_fitted(request, fitted)
    way: PlayWay | GapWay
    if method.name == "end-play":
        if tolerance:
            raise InputError(
                value=f"--tolerance {request.tolerance}",
                rule="end play has its range in the target",
                todo="Leave it out",
            )
        if position is None or (target is None and setting is None):
            raise InputError(
                value="--target (not given)",
                rule="end play is set to a range",
                todo="Give the manual's range with --target LOW..HIGH, or --use NAME",
            )
        way = PlayWay(reading=reading, position=position, target=target, setting=setting)
    else:
        way = GapWay(
            reading=reading,
            method=method,
            position=position,
            target=target,
            setting=setting,
            tolerance_mm=tolerance[0].value if tolerance else None,
        )
    found = pack_answer(
        way,
        fitted=fitted if request.fitted else None,
        shelf=shelf,
        pack_measured_mm=whole.mm if whole else None,
        inches=unit == "in" or any(q.unit in ("in", "thou") for q in quantities),
    )
    if whole is not None:
        found["reasons"] += whole.notes(diameter=False)
    return found


def _reading(request: ShimRequest, name: str) -> Measured | None:
    """One or several readings of a length of the request, by the name of its key."""
    return measured(
        getattr(request, name),
        place=f"--{name.replace('_', '-')}",
        unit=request.unit,
        tool=request.instrument,
    )


def _length(text: str, place: str, unit: str) -> tuple[Quantity, ...]:
    if not text:
        return ()
    try:
        return (length(text, unit=unit),)
    except InputError as error:
        raise error.at(place) from None


def _check_fitted(request: ShimRequest, fitted: Written) -> None:
    if texts_of(request.pack_measured) and not (request.fitted and fitted.counted):
        raise InputError(
            value=f"--pack-measured {shown(request.pack_measured)}",
            rule="a measured pack is held against the shims in it",
            todo="Count the shims out with --fitted, like 0.10x4,0.20x2; a pack of unknown shims "
            "goes in as --fitted alone, like 0.80mm",
        )


def _finish(
    found: Answer,
    request: ShimRequest,
    *,
    method: Method,
    setting: Setting | None,
    position: Position | None,
) -> None:
    """Add what every way has: method, heat, nut procedure, cautions, sources."""
    sources: list[str] = found["sources"]
    sources.append(f"{method.name}: {method.source}")
    if position is not None:
        sources.append(f"shims {position.words}: {position.source}")
    if setting is not None:
        sources.append(f"{setting.words}: {setting.source}")
        found["reasons"].append(
            f"target {setting.as_written} for: {setting.words}"
            + (f" ({setting.note})" if setting.note else "")
        )
    elif request.use:
        found["reasons"].append("the target that was given is used, not that of the use")
    _add_heat(found, request, position)
    steps = nut_steps(request.use) if request.use else ()
    found["nut_procedure"] = [step for step, _ in steps]
    sources += [f"nut procedure: {source}" for _, source in steps]
    whens = [method.name, *(["used"] if request.condition == "used" else [])]
    if _alloy(request.housing):
        whens.append("light-alloy")
    found["cautions"] = [*found["cautions"], *setting_cautions(*whens)]
    found["sources"] = list(dict.fromkeys(sources))


def _alloy(housing: str) -> bool:
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


def _add_heat(found: Answer, request: ShimRequest, position: Position | None) -> None:
    """What the setting becomes when housing and shaft warm up; only where that was asked."""
    asked = {"--span": shown(request.span), "--service-temp": request.service_temp}
    if not any(asked.values()):
        return
    asked["--housing"] = request.housing
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
    room = setting_limit("room_c")
    room_c = temperature_c(request.room_temp) if request.room_temp else room.value
    warmer = temperature_c(request.service_temp) - room_c
    between = _reading(request, "span")
    assert between is not None, "it is not missing"
    span = between.mm
    mounting = request.mounting or (position.mounting if position else "")
    growth = end_play_growth_mm(
        span_mm=span,
        housing_alpha=housing.alpha,
        shaft_alpha=shaft.alpha,
        warmer_k=warmer,
        mounting=mounting,
    )
    found["end_play_growth_mm"] = round(growth, 4)
    gained = "end play" if growth >= 0 else "preload"
    found["reasons"].append(
        f"heat: ({housing.alpha * 1e6:.1f} - {shaft.alpha * 1e6:.1f}) millionths x "
        f"{plain(round(span, 3))} mm x {warmer:g} K = {abs(growth):.3f} mm more {gained}, "
        f"pair mounted {mounting}; housing and shaft taken as equally warm"
    )
    found["reasons"] += between.notes(diameter=False)
    found["sources"] += [f"{housing.name}: {housing.source}", f"{shaft.name}: {shaft.source}"]
    if found["expected_mm"] is None:
        return
    hot = found["expected_mm"] + growth
    found["expected_hot_mm"] = round(hot, 4)
    if found["expected_mm"] >= 0 > hot:
        found["verdict"] = "check" if found["verdict"] == "go" else found["verdict"]
        found["reasons"].append(
            f"warm, the end play turns into {-hot:.3f} mm of preload: ask the manual for a cold "
            "setting that allows for it"
        )
