"""A press or shrink fit as text, 80 columns wide. Nothing is decided here."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fitcheck.report.inch_text import in_inches
from fitcheck.report.text import bullets, cautions_text, heading, verdict_text
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
    ("torque_nm", "torque to slip it"),
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
    lines.append(heading("What stands in it"))
    if "fit" in found:
        lines.append(" " * 32 + "".join(f"{name:>18}" for name in names))
    for key, words in _ROWS:
        if key in found:
            values = [_value(key, part[key], inches) for part in states]
            name = words.format_map(found["parts"])
            lines.append(f"  {name:<30}" + "".join(f"{value:>18}" for value in values))
            if inches:
                extra = [_inches(key, part[key]) for part in states]
                if any(extra):
                    lines.append(" " * 32 + "".join(f"{value:>18}" for value in extra))
    lines.append(heading("Ways to fit it"))
    for way in found["ways"]:
        lines += bullets([way["reason"]], mark=f"{verdict_text(way['verdict']):<6}")
    lines += _service(found["in_service"])
    if found["notes"]:
        lines += [heading("Notes"), *bullets(found["notes"])]
    lines.append(cautions_text(found["cautions"]))
    lines += [heading("Sources"), *bullets(found["sources"])]
    return "\n".join(line for line in lines if line)


def _value(key: str, value: float, inches: bool) -> str:
    if key.endswith("_mm"):
        return f"{value:.4f} mm" if inches else f"{value:.3f} mm"
    if key.endswith("_n"):
        return f"{value / 1000.0:.1f} kN"
    if key.endswith("_nm"):
        return f"{value:.0f} N.m"
    return f"{value:.1f} MPa"


def _inches(key: str, value: float) -> str:
    if key.endswith("_mm"):
        return f"{value / MM_PER_INCH:.5f} in"
    if key.endswith("_n"):
        return f"{value / _N_PER_LBF:.0f} lbf"
    if key.endswith("_nm"):
        return f"{value / _NM_PER_LBF_FT:.0f} lbf.ft"
    return f"{value * MM_PER_INCH**2 / _N_PER_LBF:.0f} psi"


def _service(left: Mapping[str, Any]) -> list[str]:
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
    rows = [*lost, ("interference in service", left["interference_left_mm"])]
    lines = [heading("In service")]
    lines += [f"  {words:<30}{value:>15.4f} mm" for words, value in rows]
    lines.append(f"  {'pressure in service':<30}{left['pressure_mpa']:>14.1f} MPa")
    lines.append(f"  {'holds at least':<30}{left['holding_force_n'] / 1000.0:>15.1f} kN")
    if "free_rpm" in left:
        lines.append(f"  {'comes free at':<30}{left['free_rpm']:>14.0f} rpm")
    return lines
