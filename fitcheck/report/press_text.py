"""A press or shrink fit as text, 80 columns wide. Nothing is decided here."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fitcheck.report.inch_text import in_inches
from fitcheck.report.text import bullets, cautions_text, heading, paragraph, verdict_text
from fitcheck.units import MM_PER_INCH

_N_PER_LBF = 4.4482216152605
_NM_PER_LBF_FT = 1.3558179483314004

_ROWS = (
    ("interference_mm", "interference"),
    ("pressure_mpa", "pressure at the interface"),
    ("hoop_outer_bore_mpa", "hoop, {outer}, bore"),
    ("hoop_outer_od_mpa", "hoop, {outer}, outside"),
    ("hoop_inner_interface_mpa", "hoop, {inner}, interface"),
    ("hoop_inner_bore_mpa", "hoop, {inner}, bore"),
    ("von_mises_outer_bore_mpa", "von Mises, {outer}, bore"),
    ("von_mises_inner_bore_mpa", "von Mises, {inner}, bore"),
    ("outer_od_after_mm", "outside after fitting"),
    ("bore_after_mm", "bore after fitting"),
    ("running_clearance_mm", "running clearance"),
    ("force_n", "axial force to move it"),
    ("force_range_n", "  {friction}"),
    ("torque_nm", "torque to slip it"),
    ("torque_range_nm", "  {friction}"),
)


def press_text(found: Mapping[str, Any], *, unit: str = "mm") -> str:
    """The answer of `fitcheck press` for a person.

    Parameters
    ----------
    found : mapping
        The answer as data.
    unit : str
        ``in`` to add inches, pounds and degrees Fahrenheit.
    """
    inches = unit == "in"
    if inches:
        found = in_inches(found)
    lines = [f"Press fit: {verdict_text(found['verdict'])}", *bullets(found["reasons"])]
    states = [found["tight"], found["loose"]] if "fit" in found else [found]
    names = ["tight", "loose"] if "fit" in found else [""]
    spread = found.get("friction_range", {"low": 0.0, "high": 0.0})
    friction = f"by friction {spread['low']:g} to {spread['high']:g}"
    lines.append(heading("What stands in it"))
    if "fit" in found:
        lines.append(" " * 32 + "".join(f"{name:>18}" for name in names))
    for key, words in _ROWS:
        if key in found:
            # At a limit that holds nothing there is no range by friction.
            rows = [[_value(key, part[key], inches) if key in part else "-" for part in states]]
            name = words.format_map({**found["parts"], "friction": friction})
            if inches:
                # The unit the shop reads first, the metric one below it.
                rows.insert(0, [_inches(key, part[key]) if key in part else "" for part in states])
            for start, values in zip((f"  {name:<30}", " " * 32), rows, strict=False):
                lines.append(start + "".join(f"{value:>18}" for value in values))
    # What can't carry it is not pressed together.
    if found["verdict"] != "no-go":
        lines.append(heading("Ways to fit it"))
        if found["only_after"]:
            lines.append(paragraph(f"only after {found['only_after']}:", indent="  "))
        for way in found["ways"]:
            lines += bullets([way["reason"]], mark=f"{verdict_text(way['verdict']):<6}")
    lines += _service(found["in_service"], inches)
    if found["notes"]:
        lines += [heading("Notes"), *bullets(found["notes"])]
    lines.append(cautions_text(found["cautions"]))
    lines += [heading("Sources"), *bullets(found["sources"])]
    return "\n".join(line for line in lines if line)


def _value(key: str, value: Any, inches: bool) -> str:
    if key == "force_range_n":
        return f"{value['low'] / 1000.0:.1f}-{value['high'] / 1000.0:.1f} kN"
    if key == "torque_range_nm":
        return f"{value['low']:.0f}-{value['high']:.0f} N.m"
    if key.endswith("_mm"):
        return f"{value:.4f} mm" if inches else f"{value:.3f} mm"
    if key.endswith("_n"):
        return f"{value / 1000.0:.1f} kN"
    if key.endswith("_nm"):
        return f"{value:.0f} N.m"
    return f"{value:.1f} MPa"


def _inches(key: str, value: Any) -> str:
    if key == "force_range_n":
        return f"{value['low'] / _N_PER_LBF:.0f}-{value['high'] / _N_PER_LBF:.0f} lbf"
    if key == "torque_range_nm":
        ends = (value[end] / _NM_PER_LBF_FT for end in ("low", "high"))
        return f"{'-'.join(f'{end:.0f}' for end in ends)} lbf.ft"
    if key.endswith("_mm"):
        return f"{value / MM_PER_INCH:.5f} in"
    if key.endswith("_n"):
        return f"{value / _N_PER_LBF:.0f} lbf"
    if key.endswith("_nm"):
        return f"{value / _NM_PER_LBF_FT:.0f} lbf.ft"
    return f"{value * MM_PER_INCH**2 / _N_PER_LBF:.0f} psi"


def _service(left: Mapping[str, Any], inches: bool) -> list[str]:
    lost = [
        (f"lost to {cause}" if left[key] > 0.0 else f"added by {cause}", abs(left[key]))
        for key, cause in (
            ("lost_roughness_mm", "roughness"),
            ("lost_temperature_mm", "temperature"),
            ("lost_speed_mm", "speed"),
        )
        if left[key]
    ]
    if not lost:
        return []

    def row(words: str, key: str, value: float, metric: str) -> str:
        return f"  {words:<30}{_inches(key, value) if inches else '':>12}{metric:>16}"

    rows = [*lost, ("interference in service", left["interference_left_mm"])]
    pressure, force = left["pressure_mpa"], left["holding_force_n"]
    lines = [heading("In service")]
    lines += [row(words, "x_mm", value, f"{value:.4f} mm") for words, value in rows]
    lines.append(row("pressure in service", "x_mpa", pressure, f"{pressure:.1f} MPa"))
    lines.append(row("holds at least", "x_n", force, f"{force / 1000.0:.1f} kN"))
    if "free_rpm" in left:
        lines.append(f"  {'comes free at':<30}{left['free_rpm']:>24.0f} rpm")
    return lines
