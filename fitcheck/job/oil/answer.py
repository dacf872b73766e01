"""`fitcheck oil`: how much oil, and what its growth does to the lip of a sealed hub."""

from __future__ import annotations

import math
from typing import Any

from fitcheck.errors import InputError
from fitcheck.job.lengths import shown, texts_of
from fitcheck.job.oil.hub import Hub
from fitcheck.job.oil.speed import held_words, slow_words, turning
from fitcheck.job.oil.text import (
    OilRequest,
    check_shaft,
    read_cavity,
    read_fill,
    read_length,
    read_oil_temperature,
)
from fitcheck.judging import COVERAGE
from fitcheck.quantities import plain
from fitcheck.setup.oil import (
    fill_at_pressure,
    lip_limit_row,
    lip_limit_rows,
    oil_row,
    segment_fraction,
    segment_level_mm,
)
from fitcheck.tables import table
from fitcheck.verdicts import CHECK, GO, NO_GO, worst

__all__ = ["OilRequest", "answer"]

Answer = dict[str, Any]


def answer(request: OilRequest) -> Answer:
    """The answer of `fitcheck oil` as data.

    Raises
    ------
    InputError
        A text can't be read, the cavity is given twice or by halves, or a value can't be.
    OffTableError
        The lip's limit has no step for the shaft.
    """
    hub, sources = _hub(request)
    usual = oil_row("usual_fill")
    fill, fullest, said = _fill(request, hub, usual=usual.number("value"))
    given = bool(request.fill or texts_of(request.level))
    if not given:
        sources.append(f"usual fill: {usual.cite()}")
    verdict, reasons, because = _grade(hub, fill)
    if verdict == GO and fullest > fill:
        graver, why = _judge(hub, fullest)
        if graver != GO:
            verdict = CHECK
            reasons.append(f"the level was not read closely enough: {why[0]}")
    sources += because
    reasons = [*said, *reasons, *hub.notes, *hub.assumptions]
    pressure = hub.pressure_bar(fill)
    found: Answer = {
        "verdict": verdict,
        "fill_fraction": round(fill, 4),
        "volume_l": None if hub.cavity_l is None else round(hub.cavity_l * fill, 4),
        "cavity_l": None if hub.cavity_l is None else round(hub.cavity_l, 4),
        "level_mm": None
        if hub.diameter_mm is None
        else round(segment_level_mm(fill_fraction=fill, diameter_mm=hub.diameter_mm), 2),
        "pressure_bar": round(pressure, 6) if math.isfinite(pressure) else None,
        "limit_bar": hub.limit_bar,
        "fill_at_limit": _most(hub),
        "fill_go": _most_go(hub),
        "advised_fill": _advised(hub, verdict, fill),
        "usual_fill": usual.number("value"),
        "over_usual": fill > oil_row("high_fill").number("value"),
        "level_passes": _passes(_most(hub)),
        "shaft_mm": hub.shaft_mm,
        "surface_speed_mps": None
        if hub.turning is None or hub.turning.surface_mps is None
        else round(hub.turning.surface_mps, 3),
        "vented": hub.vented,
        "from_c": round(hub.from_c, 3),
        "to_c": round(hub.to_c, 3),
        "unit": request.unit,
        "table": _table(hub),
        "reasons": reasons,
        "assumptions": [*([] if given else said), *hub.assumptions],
        "cautions": _advice(hub),
        "sources": list(dict.fromkeys(sources)),
    }
    return found


def _hub(request: OilRequest) -> tuple[Hub, list[str]]:
    cavity = read_cavity(request)
    notes = cavity.notes()
    sources, assumptions = [], []
    temperatures = []
    for text, name, option, words, missing in (
        (request.from_temp, "from_c", "--from-temp", "filled at", "when it is filled"),
        (request.to_temp, "to_c", "--to-temp", "at work", "at work"),
    ):
        if text:
            temperatures.append(read_oil_temperature(request, text, option))
        else:
            row = oil_row(name)
            temperatures.append(row.number("value"))
            sources.append(f"{words} {row.number('value'):g} C: {row.cite()}")
            assumptions.append(
                f"the temperature {missing} was not given: {row.number('value'):g} C is taken"
            )
    expansion, atmosphere = oil_row("expansion_per_k"), oil_row("atmosphere_bar")
    sources += [f"growth of oil: {expansion.cite()}", f"air: {atmosphere.cite()}"]
    rows = lip_limit_rows()
    limits = [row.number("max_bar") for row in rows]
    shaft_mm = limit_bar = None
    fast = turning(request.rpm, shaft_mm=None)
    if texts_of(request.shaft):
        shaft = read_length(request, "shaft")
        notes += shaft.notes()
        # Converted inches end in binary dust; a size step must not be missed by it.
        shaft_mm = round(shaft.mm, 9)
        check_shaft(shaft_mm, request, cavity=cavity)
        row = lip_limit_row(shaft_mm=shaft_mm)
        limit_bar = row.number("max_bar")
        sources.append(f"pressure on the lip: {row.cite()}")
        fast = turning(request.rpm, shaft_mm=shaft_mm)
        if fast is not None:
            sources.append(fast.source)
            if fast.limit_bar is not None:
                limit_bar = min(limit_bar, fast.limit_bar)
        elif not request.vented:
            assumptions.append(
                f"no speed was given: one {slow_words()} is taken; a faster lip holds less"
            )
    else:
        sources.append(f"pressure on the lip: {rows[0].cite()}")
    share = oil_row("limit_share")
    sources.append(f"borderline from {_share(share.number('value'))} of the limit: {share.cite()}")
    hub = Hub(
        cavity_l=cavity.volume_l,
        diameter_mm=cavity.diameter.mm if cavity.diameter else None,
        from_c=temperatures[0],
        to_c=temperatures[1],
        vented=request.vented,
        shaft_mm=shaft_mm,
        limit_bar=limit_bar,
        turning=fast,
        strictest_bar=min(limits),
        widest_bar=max(limits),
        limit_share=share.number("value"),
        expansion=expansion.number("value"),
        atmosphere_bar=atmosphere.number("value"),
        diameter_error_mm=cavity.diameter.reading.standard_error_mm if cavity.diameter else 0.0,
        notes=tuple(notes),
        assumptions=tuple(assumptions),
    )
    return hub, sources


def _fill(request: OilRequest, hub: Hub, *, usual: float) -> tuple[float, float, list[str]]:
    """The share that is filled, the most it may be, and what to say about where it comes from."""
    given = texts_of(request.level)
    if request.fill and given:
        raise InputError(
            value=f"--fill {request.fill} --level {shown(given)}",
            rule="the oil is given by its share or by its level",
            todo="Leave one of the two out",
        )
    if given:
        if hub.diameter_mm is None:
            raise InputError(
                value=f"--level {shown(given)}",
                rule="a level becomes a share by the diameter of the cavity",
                todo="Give --diameter, and --length for the quantity",
            )
        level = read_length(request, "level")
        fill = segment_fraction(level_mm=level.mm, diameter_mm=hub.diameter_mm)
        # A cavity that is smaller than it was read is as much fuller.
        sure = COVERAGE * math.hypot(level.reading.standard_error_mm, hub.diameter_error_mm)
        fullest = segment_fraction(
            level_mm=min(level.mm + sure, hub.diameter_mm), diameter_mm=hub.diameter_mm
        )
        said = (
            f"a level of {plain(round(level.mm, 2))} mm in a cavity of "
            f"{plain(round(hub.diameter_mm, 2))} mm is {_share(fill)} of it"
        )
        return fill, fullest, [said, *level.notes(diameter=False)]
    if request.fill:
        fill = read_fill(request.fill)
        return fill, fill, []
    return usual, usual, [f"no fill was given: the usual {_share(usual)} is taken"]


def _grade(hub: Hub, fill: float) -> tuple[str, list[str], list[str]]:
    """The verdict on a fill by pressure and by level, with its reasons and sources."""
    verdict, reasons = _judge(hub, fill)
    low, usual, high = (oil_row(name) for name in ("low_fill", "usual_fill", "high_fill"))
    if fill < low.number("value"):
        reasons.append(
            f"{_share(fill)} is little: oil may not reach every roller; check it against the "
            "machine's level mark"
        )
        return worst(verdict, CHECK), reasons, [f"low fill: {low.cite()}"]
    if fill > usual.number("value") + 0.005 and verdict != NO_GO:
        reasons.append(
            f"fuller than the usual {_share(usual.number('value'))}: more churning and heat; "
            + (
                "above half only if the machine's manual or its level mark says so"
                if fill > high.number("value")
                else "the machine's level mark decides"
            )
        )
        if fill > high.number("value"):
            return CHECK, reasons, [f"high fill: {high.cite()}"]
    return verdict, reasons, []


def _judge(hub: Hub, fill: float) -> tuple[str, list[str]]:
    """The verdict on a fill, with its reasons."""
    heat = f"from {plain(round(hub.from_c, 1))} to {plain(round(hub.to_c, 1))} C"
    warm = hub.warm(fill)
    if warm >= 1.0:
        return NO_GO, [
            f"{_share(fill)} filled leaves no head-space: {heat} the oil grows to {warm:.3f} of "
            f"the cavity and {'runs out of the vent' if hub.vented else 'goes out past the lip'}"
        ]
    if hub.vented:
        blocked = hub.sealed_bar(fill)
        return GO, [
            "vented: the head-space stays at the pressure of the air as long as the breather is "
            f"open; blocked, it would reach {blocked:.2f} bar {heat}"
        ]
    pressure = hub.sealed_bar(fill)
    said = _bar(pressure, hub.limit_bar)
    reached = f"sealed and {_share(fill)} full the head-space reaches {said} bar {heat}"
    if pressure < 0:
        return CHECK, [f"{reached}: a vacuum, which draws water and dirt in past the lip; vent it"]
    if pressure == 0:
        return GO, [reached]
    limit = hub.limit_bar
    if limit is None:
        return _judge_any(hub, pressure, reached)
    held = held_words(hub.shaft_mm or 0.0, limit, hub.turning)
    if pressure > limit:
        return NO_GO, [f"{reached}, and {held}: {_way_out(hub)}"]
    if pressure > limit * hub.limit_share:
        return CHECK, [f"{reached}, and {held}: borderline; fill a little less, or vent the hub"]
    if hub.turning is not None and pressure > (hub.turning.range_bar or 0.0):
        return CHECK, [
            f"{reached}, and {held}, but the standards go up to {hub.turning.range_bar:g} bar "
            "only: fill a little less, or vent the hub"
        ]
    return GO, [f"{reached}, and {held}"]


def _way_out(hub: Hub) -> str:
    """What to do about too much pressure: the level that passes, or what else there is."""
    most, least = _most(hub), oil_row("low_fill").number("value")
    if _passes(most):
        share = _share(most or 0.0)
        usual = oil_row("usual_fill").number("value")
        better = f", better the usual {_share(usual)}" if (most or 0.0) > usual else ""
        return (
            f"too full, oil is pushed past the lip; fill no more than {share}{better}, or vent the "
            "hub"
        )
    why = "the heat of the air alone is too much"
    if most:
        why = f"at most {_share(most)} would, under the {_share(least)} that the rollers need"
    return (
        f"oil is pushed past the lip, and no level passes: {why}. Vent the hub with a breather; "
        "where none can be fitted, take a lip made for pressure, and look for what makes the hub "
        "so hot"
    )


def _judge_any(hub: Hub, pressure: float, reached: str) -> tuple[str, list[str]]:
    """The verdict where the shaft is not known: by the strictest and the widest limit."""
    if pressure <= hub.strictest_bar * hub.limit_share:
        if hub.turning is not None:
            return CHECK, [
                f"{reached}; what a lip holds at {hub.turning.text} goes by its shaft: give --shaft"
            ]
        return GO, [f"{reached}; a plain lip on any shaft holds {hub.strictest_bar:g} bar"]
    if pressure > hub.widest_bar:
        return NO_GO, [
            f"{reached}; no plain lip holds more than {hub.widest_bar:g} bar: oil is pushed past "
            "it; fill less, or vent the hub, and give --shaft to learn how much it holds"
        ]
    return CHECK, [
        f"{reached}; a plain lip holds {hub.strictest_bar:g} to {hub.widest_bar:g} bar by its "
        "shaft: give --shaft"
    ]


def _most(hub: Hub) -> float | None:
    """The most that may be filled, rounded down to a hundredth; None where nothing limits it."""
    if hub.vented or hub.limit_bar is None or hub.to_c <= hub.from_c:
        return None
    most = fill_at_pressure(
        pressure_bar=hub.limit_bar,
        from_c=hub.from_c,
        to_c=hub.to_c,
        expansion=hub.expansion,
        atmosphere_bar=hub.atmosphere_bar,
    )
    return math.floor(most * 100.0) / 100.0


def _most_go(hub: Hub) -> float | None:
    """The most that may be filled for a go, in whole hundredths; None where no level is one."""
    high, low = (round(oil_row(n).number("value") * 100) for n in ("high_fill", "low_fill"))
    shares = (hundredths / 100.0 for hundredths in range(high, low - 1, -1))
    return next((share for share in shares if _grade(hub, share)[0] == GO), None)


def _advised(hub: Hub, verdict: str, fill: float) -> float | None:
    """The share to fill: as asked, or where that is refused the usual or the most that passes."""
    if verdict != NO_GO:
        return fill
    usual, most = oil_row("usual_fill").number("value"), _most_go(hub)
    if _grade(hub, usual)[0] != NO_GO:
        return usual
    most = _most(hub) if most is None else most
    return most if most is not None and _passes(most) else None


def _passes(most: float | None) -> bool:
    """Whether a level passes that still oils the rollers."""
    return most is None or most >= oil_row("low_fill").number("value")


def _table(hub: Hub) -> list[Answer]:
    """What other fills would do."""
    rows = []
    for row in table("oil/fills").rows:
        fill = row.number("fill_fraction")
        pressure = hub.pressure_bar(fill)
        rows.append(
            {
                "fill_fraction": fill,
                "volume_l": None if hub.cavity_l is None else round(hub.cavity_l * fill, 4),
                "pressure_bar": round(pressure, 6) if math.isfinite(pressure) else None,
                "verdict": _grade(hub, fill)[0],
            }
        )
    return rows


def _advice(hub: Hub) -> list[str]:
    whens = ["fill", "vented" if hub.vented else "sealed"]
    if not hub.vented and hub.to_c < hub.from_c:
        whens.append("vacuum")
    rows = table("oil/advice").rows
    return [
        row.text("text") for when in (*whens, "any") for row in rows if row.text("when") == when
    ]


def _share(fill: float) -> str:
    return f"{plain(round(fill * 100.0, 1))} %"


def _bar(pressure_bar: float, limit_bar: float | None) -> str:
    """A pressure with the digits that tell it from the limit.

    >>> _bar(0.2612, 0.3), _bar(0.3004, 0.3)
    ('0.26', '0.3004')
    """
    digits = 2
    while limit_bar is not None and digits < 6 and round(pressure_bar, digits) == limit_bar:
        digits += 1
    return f"{pressure_bar:.{digits}f}"
