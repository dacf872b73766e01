"""`fitcheck shim`: from a measured setting to the pack of shims that brings it to its target."""

from __future__ import annotations

from typing import Any

from fitcheck.errors import InputError
from fitcheck.job.bare_units import INCH_UNITS, in_pounds, refuse_mixed
from fitcheck.job.lengths import Measured, measured, shown, texts_of
from fitcheck.job.shim.drag import drag_answer
from fitcheck.job.shim.heat import add_heat, is_light_alloy
from fitcheck.job.shim.nut import nut_answer
from fitcheck.job.shim.pack import GapWay, PlayWay, pack_answer
from fitcheck.job.shim.text import (
    ShimRequest,
    Target,
    Written,
    read_measured,
    read_shims,
    read_target,
    setting_text,
)
from fitcheck.quantities import Quantity, length
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
from fitcheck.units import LENGTH, TORQUE

__all__ = ["ShimRequest", "answer"]

Answer = dict[str, Any]


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
    own = (
        next((s.position for s in use_settings(request.use) if s.position), "")
        if (request.use)
        else ""
    )
    if name and own and name != own:
        raise InputError(
            value=f"--use {request.use} --position {name}",
            rule=f"the shims of this use sit {shim_position(own).words}",
            todo=f"Say --position {own}, or leave --use out and give the manual's --target",
        )
    name = name or own
    if not name:
        if method.name == "end-play" and not _by_nut(request):
            raise InputError(
                value="--position (not given)",
                rule="where the shims sit decides whether one is added or removed",
                todo="Say --position cap, retainer, behind-cup or spacer"
                + ("; where the nut sets it, leave the shims out" if request.use else ""),
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


def _by_nut(request: ShimRequest) -> bool:
    """Whether the nut sets it: the use has a nut procedure, and there are no shims."""
    shims = request.fitted or any(text.strip() for text in request.have)
    return bool(request.use and nut_steps(request.use) and not shims)


def _target(request: ShimRequest, method: Method) -> Target | None:
    if not request.target:
        return None
    wanted = LENGTH if method.name == "end-play" else TORQUE
    pounds = in_pounds(*request.measured, *request.pull, *texts_of(request.base_drag))
    target = read_target(request.target, unit=request.unit, dimension=wanted, pounds=pounds)
    if target.dimension == wanted:
        most = setting_limit("end_play_most_mm").value
        if wanted == LENGTH and max(abs(target.low), abs(target.high)) > most:
            raise InputError(
                value=f"--target {request.target}",
                rule=f"an end play over {most:g} mm is no setting",
                todo="Check the unit and the decimal point",
            )
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
        wanted = target or setting
        if wanted is None:
            raise InputError(
                value="--target (not given)",
                rule="end play is set to a range",
                todo="Give the manual's range with --target LOW..HIGH, or --use NAME",
            )
        inches = unit == "in" or any(q.unit in INCH_UNITS for q in quantities)
        if position is None:
            return nut_answer(reading=reading, method=method, wanted=wanted, inches=inches)
        way = PlayWay(
            reading=reading, method=method, position=position, target=target, setting=setting
        )
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
        inches=unit == "in" or any(q.unit in INCH_UNITS for q in quantities),
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
            f"target {setting_text(setting)} for: {setting.words}"
            + (f" ({setting.note})" if setting.note else "")
        )
    elif request.use:
        found["reasons"].append("the target that was given is used, not that of the use")
    add_heat(found, request, position, method=method)
    steps = _nut_steps(found, request, method=method, position=position)
    found["nut_procedure"] = [step for step, _ in steps]
    sources += [f"nut procedure: {source}" for _, source in steps]
    whens = [method.name, *(["used"] if request.condition == "used" else [])]
    if is_light_alloy(request.housing):
        whens.append("light-alloy")
    if position is not None or method.name not in ("end-play", "drag"):
        whens.append("shims")
    found["cautions"] = [*found["cautions"], *setting_cautions(*whens)]
    found["sources"] = list(dict.fromkeys(sources))


def _nut_steps(
    found: Answer, request: ShimRequest, *, method: Method, position: Position | None
) -> tuple[tuple[str, str], ...]:
    """The nut procedure that goes with the way it is set: by the nut, or by shims where they sit.

    Two ways of setting in one answer would undo each other.
    """
    if not request.use:
        return ()
    if position is None and method.name in ("end-play", "drag"):
        return nut_steps(request.use)
    steps = nut_steps(request.use, position=position.name) if position else ()
    if not steps and nut_steps(request.use):
        found["reasons"].append(
            "shims set it here: the nut procedure of this use, for hubs that the nut sets, is "
            "left out"
        )
    return steps
