"""From answers to charts: the JSON of a command becomes the numbers of its chart."""

from __future__ import annotations

import math
from typing import Any

from fitcheck.errors import InputError, NotKnownError
from fitcheck.quantities import plain
from fitcheck.report.chart.curves import Curve, PlayChart, PressureChart
from fitcheck.report.chart.shares import Share, SharesChart
from fitcheck.report.chart.zones import FitChart, Zone
from fitcheck.setup.oil import head_space_pressure_bar, oil_row
from fitcheck.setup.settings import POSITIONS, shim_position
from fitcheck.tables import table

Answer = dict[str, Any]

_STEPS = 40
# The chart goes on past the working temperature by this much, to show what comes next.
_PAST_C = 10.0
# A line is drawn up to this many times the limit, or this much above the point at work, so that a
# nearly full hub, whose pressure goes beyond all bounds, doesn't press the other lines flat.
_TIMES_LIMIT = 10.0
_ABOVE_WORK = 1.25


def fit_chart(found: Answer, *, title: str = "") -> FitChart:
    """The zones of the answer of `fitcheck fit`.

    Raises
    ------
    InputError
        It is not such an answer.
    """
    zones: dict[str, Zone] = {}
    measured = found.get("measured")
    for part in ("hole", "shaft"):
        if part not in found:
            continue
        limits = _table(found, part, "fit")
        read = measured.get(part) if isinstance(measured, dict) else None
        zones[part] = Zone(
            tolerance_class=_text(limits, "class", "fit"),
            lower_um=_number(limits, "lower_um", "fit"),
            upper_um=_number(limits, "upper_um", "fit"),
            measured_um=_number(read, "deviation_um", "fit") if read else None,
            uncertainty_um=_number(read, "uncertainty_um", "fit") if read else 0.0,
        )
    if not zones:
        raise _not_it("hole and shaft", "fit")
    return FitChart(
        nominal_mm=_number(found, "nominal_mm", "fit"),
        hole=zones.get("hole"),
        shaft=zones.get("shaft"),
        title=title,
    )


def shares_chart(found: Answer, *, title: str = "", certainty: float = 0.95) -> SharesChart:
    """The candidates of the answer of `fitcheck seal` or `fitcheck bearing`.

    Parameters
    ----------
    found : dict
        The answer.
    title : str
        The position.
    certainty : float
        The share that is sure enough.

    Raises
    ------
    InputError
        It is not such an answer.
    """
    candidates = found.get("candidates")
    if not isinstance(candidates, list):
        raise _not_it("candidates", "seal")
    shares = []
    for candidate in candidates:
        if not isinstance(candidate, dict):
            raise _not_it("candidates", "seal")
        label = "size" if "size" in candidate else "designation"
        shares.append(
            Share(_text(candidate, label, "seal"), _number(candidate, "probability", "seal"))
        )
    others = _number(found, "others", "seal") if "others" in found else 0.0
    if others > 0:
        shares.append(Share("other listed sizes", others, listed=False))
    shares.append(Share("no listed size", _number(found, "unlisted", "seal"), listed=False))
    return SharesChart(shares=tuple(shares), certainty=certainty, title=title)


def pressure_points(found: Answer, *, title: str = "") -> PressureChart:
    """The pressure at every temperature up to and past the working one, for several fills.

    Raises
    ------
    InputError
        It is not an answer of `fitcheck oil`.
    NotKnownError
        The hub is vented, or cools down at work: there is no pressure to draw.
    """
    cold, warm = _number(found, "from_c", "oil"), _number(found, "to_c", "oil")
    fill = _number(found, "fill_fraction", "oil")
    if found.get("vented") or warm <= cold:
        raise NotKnownError(
            value="this hub",
            rule="a vented hub, or one that doesn't get warmer, has no pressure to draw",
            todo="Ask for a sealed hub: leave --vented out, and give --to-temp",
        )
    if not 0.0 < fill <= 1.0:
        raise _not_it("fill_fraction", "oil")
    expansion = oil_row("expansion_per_k").number("value")
    atmosphere = oil_row("atmosphere_bar").number("value")

    def pressure(share: float, temperature: float) -> float:
        return head_space_pressure_bar(
            fill_fraction=share,
            from_c=cold,
            to_c=temperature,
            expansion=expansion,
            atmosphere_bar=atmosphere,
        )

    fills = sorted({round(fill, 4), *(r.number("fill_fraction") for r in table("oil/fills").rows)})
    at_work = pressure(fill, warm)
    known = found.get("limit_bar")
    limit = None if known is None else _number(found, "limit_bar", "oil")
    most = max(
        _TIMES_LIMIT * (limit or 0.3), _ABOVE_WORK * at_work if math.isfinite(at_work) else 0.0
    )
    curves = []
    for share in fills:
        places = (cold + (warm + _PAST_C - cold) * n / _STEPS for n in range(_STEPS + 1))
        points = [(t, pressure(share, t)) for t in places]
        # Where the oil has taken the whole head-space there is no pressure any more to speak of.
        kept = [p for p in points if math.isfinite(p[1])]
        name = f"{plain(round(share * 100.0, 1))} % full"
        if len(kept) > 1 and kept[-1][1] > most:
            kept = _up_to(kept, most)
            name += ", and on up"
        elif kept and len(kept) < _STEPS + 1:
            name += ", then full"
        if len(kept) > 1:
            curves.append(Curve(name, tuple(kept)))
    return PressureChart(
        curves=tuple(curves),
        limit_bar=limit,
        working=(warm, at_work) if math.isfinite(at_work) else None,
        title=title,
        unit=_unit(found),
    )


def _up_to(points: list[tuple[float, float]], most: float) -> list[tuple[float, float]]:
    """A rising line as far as it stays below a height, its last point at that height.

    >>> _up_to([(0.0, 0.0), (1.0, 2.0), (2.0, 6.0)], 4.0)
    [(0.0, 0.0), (1.0, 2.0), (1.5, 4.0)]
    """
    below = [p for p in points if p[1] <= most]
    (x, y), (next_x, next_y) = below[-1], points[len(below)]
    return [*below, (x + (next_x - x) * (most - y) / (next_y - y), most)]


def play_points(found: Answer, *, title: str = "") -> PlayChart:
    """End play against the pack, from the answer of `fitcheck shim`.

    Raises
    ------
    InputError
        It is not such an answer.
    NotKnownError
        The method measures no length that end play follows from, or the pack is not known.
    """
    method = _text(found, "method", "shim")
    if method not in ("end-play", "free-gap", "solder"):
        raise NotKnownError(
            value=f"method {method}",
            rule="it gives no end play to draw: only end-play, free-gap and solder do",
            todo="Measure the end play with the pack fitted and use --method end-play",
        )
    position = found.get("position") or "cap"
    if position not in POSITIONS:
        raise _not_it("position", "shim")
    slope = 1.0 if shim_position(position).adding_gives == "end-play" else -1.0
    read = _number(found, "measured_mm", "shim")
    measured = None
    if method == "end-play":
        if found.get("fitted_mm") is None:
            raise NotKnownError(
                value="the pack that is fitted",
                rule="end play is drawn against the pack it was measured with, and that is not "
                "known",
                todo="Count the shims out and give them with --fitted",
            )
        measured = (_number(found, "fitted_mm", "shim"), read)
        through = measured
    else:
        # Shims that just fill the gap leave neither play nor preload.
        through = (read, 0.0)
    return PlayChart(
        slope=slope,
        through=through,
        measured=measured,
        chosen=_chosen(found, through, slope),
        target_mm=_target(found),
        title=title,
        unit=_unit(found),
    )


def _chosen(
    found: Answer, through: tuple[float, float], slope: float
) -> tuple[float, float] | None:
    bought = found.get("with_bought")
    if isinstance(bought, dict):
        pack = _number(bought, "total_mm", "shim")
    elif found.get("picked_mm") is not None:
        pack = _number(found, "picked_mm", "shim")
    elif found.get("pack_mm") is not None:
        pack = _number(found, "pack_mm", "shim")
    else:
        return None
    return pack, through[1] + slope * (pack - through[0])


def _target(found: Answer) -> tuple[float, float] | None:
    target = found.get("target")
    if not isinstance(target, dict) or "low_mm" not in target:
        return None
    return _number(target, "low_mm", "shim"), _number(target, "high_mm", "shim")


def _unit(found: Answer) -> str:
    """What the one who asked reads in."""
    return "in" if found.get("unit") == "in" else "mm"


def _not_it(key: str, command: str) -> InputError:
    return InputError(
        value=f"the answer's {key}",
        rule=f"this is no answer of `fitcheck {command}`",
        todo=f"Give what `fitcheck {command} ... --json` prints",
    )


def _table(found: Answer, key: str, command: str) -> Answer:
    value = found.get(key)
    if not isinstance(value, dict):
        raise _not_it(key, command)
    return value


def _number(found: Any, key: str, command: str) -> float:
    value = found.get(key) if isinstance(found, dict) else None
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise _not_it(key, command)
    return float(value)


def _text(found: Answer, key: str, command: str) -> str:
    value = found.get(key)
    if not isinstance(value, str):
        raise _not_it(key, command)
    return value
