"""The way back together as positions of the card: press fits, shimmed settings, the oil."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from fitcheck.job.answers import Answer
from fitcheck.job.closing import ClosingRequest
from fitcheck.job.closing import answer as closing_answer
from fitcheck.job.oil import answer as oil_answer
from fitcheck.job.oil_text import OilRequest
from fitcheck.job.positions import CLOSING, OIL, PRESS, SHIMS, answered, unique
from fitcheck.job.press import PressRequest
from fitcheck.job.press import answer as press_answer
from fitcheck.job.sheet import ClosingEntry, OilEntry, Position, PressEntry, Sheet, ShimsEntry
from fitcheck.job.shim import answer as shim_answer
from fitcheck.job.shim_text import ShimRequest
from fitcheck.quantities import plain
from fitcheck.units import MM_PER_INCH

_COMMON = frozenset({"name", "quantity", "note", "unit"})


def _options(entry: Position) -> dict[str, Any]:
    """The entry's keys that are options of its command."""
    return {key: value for key, value in entry.model_dump().items() if key not in _COMMON}


def _common(entry: Position, sheet: Sheet) -> dict[str, Any]:
    """The unit of bare numbers and the instrument of readings that name none."""
    return {"unit": entry.unit or sheet.job.unit, "instrument": sheet.job.instrument}


def press_position(entry: PressEntry, sheet: Sheet) -> Answer:
    """A press or shrink fit."""

    def ask() -> Answer:
        return press_answer(PressRequest(**_options(entry), **_common(entry, sheet)))

    def show(found: Answer) -> Answer:
        way = next((w for w in found["ways"] if w["verdict"] == "go"), None)
        unit = entry.unit or sheet.job.unit
        settings = [
            _setting(entry, f"press force at most {found['press_force_n'] / 1000:.1f} kN"),
            _setting(
                entry,
                f"holds {found['in_service']['holding_force_n'] / 1000:.1f} kN along the axle and "
                f"{found['in_service']['holding_torque_nm']:.0f} N.m in service",
            ),
        ]
        if found.get("bore_after_mm"):
            settings.append(_setting(entry, f"bore after pressing {_bore(found, unit)}"))
        return {
            "verdict": found["verdict"],
            "pick": None,
            "reasons": unique([*found["reasons"], *found["notes"], *_noted(entry)]),
            "steps": [] if way is None else [(PRESS, way["reason"])],
            "parts": [],
            "settings": settings,
            "read_again": [],
            "cautions": found["cautions"],
            "sources": found["sources"],
        }

    return answered(entry, "press", ask, show)


def _bore(found: Answer, unit: str) -> str:
    bore = found["bore_after_mm"]
    values = sorted(bore.values()) if isinstance(bore, dict) else [bore]
    return " to ".join(dict.fromkeys(length_text(value, unit=unit) for value in values))


def length_text(value_mm: float, *, unit: str) -> str:
    """A length as the sheet has it: in mm, or in inches with the mm beside them.

    Parameters
    ----------
    value_mm : float
        The length [mm].
    unit : str
        ``mm`` or ``in``.

    Examples
    --------
    >>> length_text(0.254, unit="in"), length_text(0.254, unit="mm")
    ('0.0100 in (0.254 mm)', '0.254 mm')
    """
    text = f"{plain(round(value_mm, 3))} mm"
    return f"{value_mm / MM_PER_INCH:.4f} in ({text})" if unit == "in" else text


def shims_position(entry: ShimsEntry, sheet: Sheet) -> Answer:
    """A shimmed setting."""

    def ask() -> Answer:
        options = _options(entry)
        options["have"] = entry.have or sheet.shelf.shims
        return shim_answer(
            ShimRequest(**options, **_common(entry, sheet)),
        )

    def show(found: Answer) -> Answer:
        picks = found.get("picks") or []
        unit = entry.unit or sheet.job.unit
        pack = ", ".join(
            f"{p['count']} x {length_text(p['thickness_mm'], unit=unit)}" for p in picks
        )
        setting = (
            f"shims {pack}: {length_text(found['picked_mm'], unit=unit)}, "
            f"{length_text(found['pack_mm'], unit=unit)} wanted"
            if pack
            else ""
        )
        parts = [
            {
                "what": "shim",
                "size": length_text(p["thickness_mm"], unit=unit),
                "quantity": p["count"] * entry.quantity,
                "for": [entry.name],
                "order": found["verdict"] == "go",
                "on_shelf": bool(entry.have or sheet.shelf.shims),
            }
            for p in picks
        ]
        settings = [_setting(entry, setting)] if setting else []
        if found.get("measure_again"):
            settings.append(_setting(entry, f"measure again: {found['measure_again']}"))
        return {
            "verdict": found["verdict"],
            "pick": None,
            "reasons": unique([*found["reasons"], *_noted(entry)]),
            "steps": [(SHIMS, step) for step in unique(found.get("nut_procedure", []))],
            "parts": parts,
            "settings": settings,
            "read_again": [],
            "cautions": found["cautions"],
            "sources": found["sources"],
        }

    return answered(entry, "shims", ask, show)


def oil_position(entry: OilEntry, sheet: Sheet, *, seals: Iterable[Answer]) -> Answer:
    """The oil of the hub; the largest shaft of its seals sets the limit where none is given."""

    def ask() -> Answer:
        options = _options(entry)
        options["shaft"] = entry.shaft or _largest_shaft(seals)
        options["to_temp"] = entry.to_temp or sheet.job.temperature
        return oil_answer(OilRequest(**options, **_common(entry, sheet)))

    def show(found: Answer) -> Answer:
        litres = found["volume_l"]
        parts = (
            [
                {
                    "what": sheet.job.oil or "oil",
                    "size": f"{litres:.2f} l",
                    "quantity": entry.quantity,
                    "for": [entry.name],
                    "order": found["verdict"] != "no-go",
                }
            ]
            if litres is not None
            else []
        )
        fill = f"fill to {100 * found['fill_fraction']:.0f} % of the cavity"
        amount = f", {litres:.2f} l" if litres is not None else ""
        return {
            "verdict": found["verdict"],
            "pick": None,
            "reasons": unique([*found["reasons"], *_noted(entry)]),
            "steps": [(OIL, step) for step in unique(found.get("work", []))],
            "parts": parts,
            "settings": [_setting(entry, f"{fill}{amount}, cold, on level ground")],
            "read_again": [],
            "cautions": found["cautions"],
            "sources": found["sources"],
        }

    return answered(entry, "oil", ask, show)


def closing_position(entry: ClosingEntry, sheet: Sheet) -> Answer:
    """What closes the hub again."""

    def ask() -> Answer:
        return closing_answer(ClosingRequest(**_options(entry), **_common(entry, sheet)))

    def show(found: Answer) -> Answer:
        return {
            "verdict": found["verdict"],
            "pick": None,
            "reasons": unique([*found["reasons"], *_noted(entry)]),
            "steps": [(CLOSING, step) for step in found["work"]],
            "parts": [{**part, "for": [entry.name], "order": True} for part in found["parts"]],
            "read_again": [],
            "cautions": [],
            "sources": found["sources"],
        }

    return answered(entry, "closing", ask, show)


def _largest_shaft(seals: Iterable[Answer]) -> str:
    sizes = [
        position["answer"]["candidates"][0]["shaft_mm"]
        for position in seals
        if position["kind"] == "seal" and position["pick"] is not None
    ]
    return f"{max(sizes)}mm" if sizes else ""


def _setting(entry: Position, text: str) -> Answer:
    return {"for": entry.name, "setting": text}


def _noted(entry: Position) -> list[str]:
    return [f"note: {entry.note}"] if entry.note else []
