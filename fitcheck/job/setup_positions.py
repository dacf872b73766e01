"""The way back together as positions of the card: press fits, shimmed settings, the oil."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from msgspec.structs import asdict

from fitcheck.errors import FitcheckError
from fitcheck.job.answers import Answer
from fitcheck.job.closing import ClosingRequest
from fitcheck.job.closing import answer as closing_answer
from fitcheck.job.lengths import Texts, texts_of
from fitcheck.job.oil.answer import answer as oil_answer
from fitcheck.job.oil.lips import Lip, graver, lips_of
from fitcheck.job.oil.order import add_no_cavity, fill_words, oil_parts, vent_doubt
from fitcheck.job.oil.text import OilRequest
from fitcheck.job.positions import (
    CLOSING,
    OIL,
    PRESS,
    SHIMS,
    answered,
    job_temperature,
    unique,
)
from fitcheck.job.press.answer import PressRequest
from fitcheck.job.press.answer import answer as press_answer
from fitcheck.job.press.position import holds_words, press_parts
from fitcheck.job.sheet import ClosingEntry, OilEntry, Position, PressEntry, Sheet, ShimsEntry
from fitcheck.job.shim.answer import answer as shim_answer
from fitcheck.job.shim.beside import add_contradictions, add_job_heat
from fitcheck.job.shim.nut import steps_to_do
from fitcheck.job.shim.position import (
    added_shim,
    length_text,
    share_of,
    shim_parts,
    shim_written,
    turn_steps,
)
from fitcheck.job.shim.text import ShimRequest, read_shims
from fitcheck.tables import table
from fitcheck.verdicts import CHECK, NO_GO, worst

_COMMON = frozenset({"name", "quantity", "note", "unit"})


def _options(entry: Position) -> dict[str, Any]:
    """The entry's keys that are options of its command."""
    return {key: value for key, value in asdict(entry).items() if key not in _COMMON}


def _common(entry: Position, sheet: Sheet) -> dict[str, Any]:
    """The unit of bare numbers and the instrument of readings that name none."""
    return {"unit": entry.unit or sheet.job.unit, "instrument": sheet.job.instrument}


def press_position(entry: PressEntry, sheet: Sheet) -> Answer:
    """A press or shrink fit."""

    def ask() -> Answer:
        options = _options(entry)
        options["service_temp"] = entry.service_temp or job_temperature(sheet)
        found = press_answer(PressRequest(**options, **_common(entry, sheet)))
        if not entry.service_temp and found["in_service"]["lost_temperature_mm"]:
            taken = (
                "the service temperature was not given: that of the job, "
                f"{options['service_temp'].removesuffix('C')} C, is taken"
            )
            found["assumptions"].append(taken)
            found["notes"].append(taken)
        return found

    def show(found: Answer) -> Answer:
        ways = [w["reason"] for w in found["ways"] if w["verdict"] == "go"]
        unit = entry.unit or sheet.job.unit
        settings = [
            _setting(entry, f"press force at most {found['press_force_n'] / 1000:.1f} kN"),
            _setting(entry, holds_words(found)),
        ]
        if found.get("bore_after_mm"):
            settings.append(_setting(entry, f"bore after pressing {_bore(found, unit)}"))
        work = found["work"]
        # Parts that can't carry it are not pressed together, nor those that may not.
        tight, most = found["interference_mm"], found["largest_interference_mm"]
        if found["verdict"] == NO_GO or (most is not None and tight > most):
            ways, work, settings = [], [], []
        elif found["only_after"]:
            ways, settings = [], []
            work = [f"Only after {found['only_after']}: fit it, as a new card then says"]
        return {
            "verdict": found["verdict"],
            "pick": None,
            "reasons": unique([*found["reasons"], *found["notes"], *_noted(entry)]),
            "steps": [
                (_stage(entry), step) for step in (["; or ".join(ways)] if ways else []) + work
            ],
            "parts": press_parts(
                found,
                name=entry.name,
                use=entry.use,
                fit=entry.fit,
                faces=_faces(entry),
                quantity=entry.quantity,
            ),
            "settings": settings,
            "read_again": [{"for": entry.name, **again} for again in found["read_again"]],
            "cautions": found["cautions"],
            "sources": found["sources"],
        }

    return answered(entry, "press", ask, show)


def _faces(entry: PressEntry) -> list[str]:
    """The faces of a press fit that were measured."""
    given = {"measured-hole": entry.measured_hole, "measured-shaft": entry.measured_shaft}
    return [name for name, texts in given.items() if texts_of(texts)]


def _stage(entry: PressEntry) -> str:
    """When a press fit is made: a collar goes on after the bearing it keeps in its place."""
    for row in table("press/uses").rows:
        if row.text("use") == entry.use:
            return row.text("stage")
    return PRESS


def _bore(found: Answer, unit: str) -> str:
    states = [found["tight"], found["loose"]] if "fit" in found else [found]
    values = sorted(state["bore_after_mm"] for state in states)
    return " to ".join(dict.fromkeys(length_text(value, unit=unit) for value in values))


def shims_position(entry: ShimsEntry, sheet: Sheet) -> Answer:
    """A shimmed setting."""

    def ask() -> Answer:
        shelf = tuple(sheet.shelf.shims)
        for earlier in sheet.shims[: sheet.shims.index(entry)]:
            shelf = _shelf_after(earlier, sheet, shelf)
        request = _shim_request(entry, sheet, shelf)
        found = shim_answer(request)
        add_job_heat(found, entry, temperature=job_temperature(sheet) if entry.housing else "")
        add_contradictions(found, entry, others=sheet.shims)
        return found

    def show(found: Answer) -> Answer:
        unit = entry.unit or sheet.job.unit
        bought = found["with_bought"]
        picks = (bought or found)["picks"]
        pack = ", ".join(
            f"{p['count']} x {length_text(p['thickness_mm'], unit=unit)}" for p in picks
        )
        setting = ""
        # A pack worked out from what has to be measured again is no step to be done yet.
        first = f"Only after {found['only_after']}: " if found["only_after"] else ""
        if pack:
            total = bought["total_mm"] if bought else found["picked_mm"]
            setting = f"shims {pack}: {length_text(total, unit=unit)}"
            if found["pack_mm"] is not None:
                setting += f", {length_text(found['pack_mm'], unit=unit)} wanted"
            if first:
                setting += f"; only after {found['only_after']}"
        at_hand = bool(entry.have or sheet.shelf.shims)
        parts = shim_parts(
            found, name=entry.name, quantity=entry.quantity, unit=unit, at_hand=at_hand
        )
        settings = [_setting(entry, setting)] if setting else []
        steps = steps_to_do(found)
        if pack and not steps:
            fit = "fit" if first else "Fit"
            steps = [
                f"{first}{fit} the pack, {pack}, the thickest next to the flange; then "
                f"measure again: {found['measure_again']}"
            ]
        steps = [*steps, *turn_steps(found, unit=unit)]
        if found.get("measure_again"):
            settings.append(_setting(entry, f"measure again: {found['measure_again']}"))
        return {
            "verdict": found["verdict"],
            "pick": None,
            "reasons": unique([*found["reasons"], *_sets(entry, sheet), *_noted(entry)]),
            "steps": [(SHIMS, step) for step in steps],
            "parts": parts,
            "settings": settings,
            "read_again": [{"for": entry.name, **found["next_reading"]}]
            if found["next_reading"]
            else [],
            "cautions": found["cautions"],
            "sources": found["sources"],
        }

    return answered(entry, "shims", ask, show)


def _sets(entry: ShimsEntry, sheet: Sheet) -> list[str]:
    """What is said where the shims at hand have to do for several packs."""
    if entry.quantity == 1 or not (entry.have or sheet.shelf.shims):
        return []
    return [
        f"{entry.quantity} packs of these are wanted: each is made of its equal share of the shims "
        "at hand"
    ]


def _shim_request(entry: ShimsEntry, sheet: Sheet, shelf: tuple[str, ...]) -> ShimRequest:
    options = _options(entry)
    have = entry.have or (() if _nut_sets(entry) else shelf)
    # Without the span nobody can say what heat does, and a housing alone asks for nothing.
    if entry.housing and entry.span and not entry.service_temp:
        options["service_temp"] = job_temperature(sheet)
    options["have"] = share_of(have, entry.quantity, unit=_common(entry, sheet)["unit"])
    return ShimRequest(**options, **_common(entry, sheet))


def _shelf_after(entry: ShimsEntry, sheet: Sheet, shelf: tuple[str, ...]) -> tuple[str, ...]:
    """The shims that are left on the shelf for the next setting once this one has its pack."""
    if entry.have or not shelf:
        return shelf
    try:
        found = shim_answer(_shim_request(entry, sheet, shelf))
    except FitcheckError:
        return shelf
    taken: dict[float, int] = {}
    for shims, sign in (
        ((found["with_bought"] or found)["picks"], 1),
        (found["reused"], -1),
        (found["buy"], -1),
        (added_shim(found), 1),
    ):
        for shim in shims:
            size = shim["thickness_mm"]
            taken[size] = taken.get(size, 0) + sign * shim["count"]
    if not any(taken.values()):
        return shelf
    left = []
    for shim in read_shims(shelf, unit=_common(entry, sheet)["unit"], place="shelf").shims:
        size = round(shim.thickness_mm, 4)
        used = max(0, min(shim.count, taken.get(size, 0) * entry.quantity))
        taken[size] = taken.get(size, 0) - used // entry.quantity
        if shim.count > used:
            left.append(shim_written(shim.thickness_mm, shim.label_mm, shim.count - used))
    return tuple(left)


def _nut_sets(entry: ShimsEntry) -> bool:
    """Whether no shims were named, so that those on the shelf are not for this position."""
    return entry.method == "end-play" and not (entry.position or entry.fitted)


def oil_position(entry: OilEntry, sheet: Sheet, *, seals: Iterable[Answer]) -> Answer:
    """The oil of the hub; the lip of its seals that holds least sets the limit."""

    def ask() -> Answer:
        options = _options(entry)
        options["to_temp"] = entry.to_temp or job_temperature(sheet)

        def for_lip(shaft: Texts, speed: str) -> Answer:
            asked = {**options, "shaft": shaft, "rpm": speed}
            return oil_answer(OilRequest(**asked, **_common(entry, sheet)))

        lips = lips_of(seals, speeds={s.name: s.rpm or sheet.job.speed for s in sheet.seal})
        given = None
        if entry.shaft or not lips:
            found = for_lip(entry.shaft, sheet.job.speed)
            if not lips:
                return found
            given = Lip(entry.name, found["shaft_mm"], found["shaft_mm"], sheet.job.speed)
        return graver(for_lip, lips, given=given)

    def show(found: Answer) -> Answer:
        doubt = vent_doubt(_pressures(sheet), inches=sheet.job.unit == "in")
        if entry.vented and doubt:
            found["verdict"] = worst(found["verdict"], CHECK)
            found["reasons"] = [doubt, *found["reasons"]]
        asked = add_no_cavity(found, name=entry.name)
        what = sheet.job.oil or "oil"
        return {
            "verdict": found["verdict"],
            "pick": None,
            "reasons": unique([*found["reasons"], *_noted(entry)]),
            "steps": [(OIL, step) for step in unique(found.get("work", []))],
            "parts": oil_parts(found, what=what, name=entry.name, quantity=entry.quantity),
            "settings": [_setting(entry, fill_words(found))],
            "read_again": asked,
            "cautions": found["cautions"],
            "sources": found["sources"],
        }

    return answered(entry, "oil", ask, show)


def _pressures(sheet: Sheet) -> list[tuple[str, str]]:
    """Every pressure that the sheet gives, and where it stands."""
    return [
        ("[job]", sheet.job.pressure),
        *((f"[[seal]] {seal.name}", seal.pressure) for seal in sheet.seal),
    ]


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
            "parts": [{**part, "for": [entry.name]} for part in found["parts"]],
            "read_again": [{"for": entry.name, **again} for again in found["read_again"]],
            "cautions": [],
            "sources": found["sources"],
        }

    return answered(entry, "closing", ask, show)


def _setting(entry: Position, text: str) -> Answer:
    return {"for": entry.name, "setting": text}


def _noted(entry: Position) -> list[str]:
    return [f"note: {entry.note}"] if entry.note else []
