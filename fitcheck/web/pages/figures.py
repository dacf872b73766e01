"""The figures of a press fit, a shim pack or a fill of oil as rows to read."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fitcheck.quantities import plain

Answer = Mapping[str, Any]
Rows = list[tuple[str, list[str]]]

_PRESS = (
    ("interference_mm", "interference"),
    ("pressure_mpa", "pressure where they meet"),
    ("von_mises_outer_bore_mpa", "stress in the {outer}"),
    ("von_mises_inner_bore_mpa", "stress in the {inner}"),
    ("outer_od_after_mm", "outside after fitting"),
    ("force_n", "force to move it"),
    ("torque_nm", "torque to slip it"),
    ("running_clearance_mm", "running clearance"),
)


def figures(kind: str, found: Answer) -> tuple[list[str], Rows]:
    """The heads of the columns, and the rows.

    Parameters
    ----------
    kind : str
        The kind of part.
    found : mapping
        Its answer.

    Examples
    --------
    >>> figures("seal", {})
    ([], [])
    """
    if kind == "press":
        return _press(found)
    if kind == "shims":
        return ["figure"], _shims(found)
    if kind == "oil":
        return ["oil", "pressure", "verdict"], _oil(found)
    return [], []


def _press(found: Answer) -> tuple[list[str], Rows]:
    states = [found["tight"], found["loose"]] if "fit" in found else [found]
    rows = [
        (words.format_map(found["parts"]), [_value(key, state[key]) for state in states])
        for key, words in _PRESS
        if all(key in state for state in states)
    ]
    return (["tight", "loose"] if len(states) > 1 else ["figure"]), rows


def _value(key: str, value: float) -> str:
    if key.endswith("_mm"):
        return f"{value:.3f} mm"
    if key.endswith("_nm"):
        return f"{value:.0f} N.m"
    return f"{value / 1000.0:.1f} kN" if key.endswith("_n") else f"{value:.0f} MPa"


def _shims(found: Answer) -> Rows:
    pack = found.get("with_bought") or found
    rows: Rows = []
    if found.get("pack_mm") is not None:
        rows.append(("pack wanted", [_mm(found["pack_mm"])]))
    if found.get("change_mm") and found.get("fitted_mm") is not None:
        words = "add to what is fitted" if found["direction"] == "add" else "take out"
        rows.append((words, [_mm(abs(found["change_mm"]))]))
    if pack.get("picks"):
        shims = ", ".join(
            f"{pick['count']} x {plain(pick['thickness_mm'])}" for pick in pack["picks"]
        )
        rows.append(("take", [f"{shims} mm"]))
    if found.get("expected_mm") is not None:
        rows.append(("expected", [_mm(found["expected_mm"])]))
    return rows


def _mm(value: float) -> str:
    return f"{plain(round(value, 3))} mm"


def _oil(found: Answer) -> Rows:
    own = {
        "fill_fraction": found["fill_fraction"],
        "volume_l": found.get("volume_l"),
        "pressure_bar": found.get("pressure_bar"),
        "verdict": found["verdict"],
    }
    others = [
        line for line in found.get("table", ()) if line["fill_fraction"] != own["fill_fraction"]
    ]
    return [
        (
            f"{plain(round(line['fill_fraction'] * 100.0, 1))} % full",
            [
                "" if line["volume_l"] is None else f"{line['volume_l']:.2f} l",
                "" if line["pressure_bar"] is None else f"{line['pressure_bar']:.2f} bar",
                str(line["verdict"]).upper(),
            ],
        )
        for line in (own, *others)
    ]
