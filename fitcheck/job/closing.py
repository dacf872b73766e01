"""Closing the hub: cotter pins, lock plates, thread-locker, the cover, what to look at first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fitcheck.errors import FitcheckError, InputError
from fitcheck.job.answers import Answer
from fitcheck.job.cotter import pin_for
from fitcheck.job.lengths import Measured, Texts, measured, shown, texts_of
from fitcheck.records import dataclass
from fitcheck.tables import Row, table
from fitcheck.verdicts import CHECK, GO, worst

COVERS = ("o-ring", "gasket", "liquid")


@dataclass(frozen=True, slots=True)
class ClosingRequest:
    """What closes the hub again, as text.

    ``cotter_hole`` is the diameter of the hole, ``cotter_through`` how far the pin goes through
    nut or bolt; ``thread_locker`` counts the bolts that had it.
    """

    cotter_hole: Texts = ""
    cotter_through: Texts = ""
    cotter_pins: int = 1
    lock_plates: int = 0
    thread_locker: int = 0
    cover: str = ""
    bushing: bool = False
    universal_joints: int = 0
    unit: str = "mm"
    instrument: str = ""


def answer(request: ClosingRequest) -> Answer:
    """The single-use parts and the steps that close a hub.

    Raises
    ------
    InputError
        A text can't be read, the cover is of no known kind, what belongs to a cotter pin comes
        without its hole, or nothing was given.
    OffTableError
        The cotter hole is outside ISO 1234.
    """
    _check_given(request)
    parts: list[Answer] = []
    reasons: list[str] = []
    sources: list[str] = []
    work: list[str] = []
    verdict = GO
    again: list[Answer] = []
    if texts_of(request.cotter_hole):
        work.append("A new cotter pin, both legs bent over; never turn the nut back to the hole.")
        try:
            verdict = _cotter(request, parts, reasons, sources)
        except FitcheckError as error:
            # One reading that can't be so must not cost the mechanic the rest.
            if not any(_beside(request)):
                raise
            verdict = CHECK
            parts.append(_part("cotter pin", "to be settled", request.cotter_pins, order=False))
            reasons.append(f"cotter pin not settled: {error}")
            again.append({"reading": "cotter pin", "instrument": "", "reason": error.todo})
    if request.lock_plates:
        parts.append(_part("lock plate", "as the old one", request.lock_plates))
        reasons.append("lock plates are used once: a tab that was bent breaks")
        work.append("New lock plates, one tab to a flat.")
    if request.thread_locker:
        parts.append(_part("thread-locker", f"for {request.thread_locker} bolts", 1))
        reasons.append("thread-locker holds once: bolts that had it get it again")
        work.append("Thread-locker back on the bolts that had it, threads clean and dry.")
    if request.cover:
        row = _cover(request.cover)
        parts.append(_part(row.text("what"), row.text("size"), 1))
        reasons.append(f"{row.text('what')}: used once, the cover gets a new one")
        work.append(row.text("step"))
        sources.append(row.cite())
    if not parts:
        verdict = CHECK
        reasons.append("no part to renew is named: look at what is named before the hub is closed")
    return {
        "verdict": verdict,
        "reasons": reasons,
        "parts": parts,
        "work": work,
        "sources": sources,
        "read_again": again,
    }


def _cotter(
    request: ClosingRequest, parts: list[Answer], reasons: list[str], sources: list[str]
) -> str:
    """The pin added to parts, reasons and sources; its verdict."""
    hole, through = _reading(request, "cotter_hole"), _reading(request, "cotter_through")
    if hole is None:
        return GO
    pin = pin_for(hole)
    parts.append(_part(pin.what, pin.ordered(through), request.cotter_pins))
    reasons += [pin.reason, *hole.notes()]
    reasons += [] if through is None else through.notes(diameter=False)
    sources.append(pin.source)
    if through is None:
        reasons.append("its length is not settled: measure how far it goes through")
    return CHECK if not pin.sure or through is None or hole.reading.out_of_round else GO


def _beside(request: ClosingRequest) -> tuple[object, ...]:
    """What closes the hub beside its cotter pins."""
    return (request.lock_plates, request.thread_locker, request.cover)


def _check_given(request: ClosingRequest) -> None:
    """Refuse a position that names nothing, and what a cotter pin can't be found by."""
    hole, through = texts_of(request.cotter_hole), texts_of(request.cotter_through)
    if not hole and (through or request.cotter_pins != 1):
        raise InputError(
            value=f"cotter_through {shown(through)}"
            if through
            else f"cotter_pins {request.cotter_pins}",
            rule="the size of a cotter pin comes from its hole",
            todo="Measure the hole and give it as cotter_hole, or leave the pin out",
        )
    if not (hole or any(_beside(request)) or request.bushing or request.universal_joints):
        raise InputError(
            value="nothing filled in",
            rule="this position names nothing that closes the hub yet",
            todo="Give cotter_hole, lock_plates, thread_locker or cover, or take its table out of "
            "the sheet",
        )


def _reading(request: ClosingRequest, key: str) -> Measured | None:
    return measured(
        getattr(request, key),
        place=key.replace("_", " "),
        unit=request.unit,
        tool=request.instrument,
    )


def _part(what: str, size: str, quantity: int, *, order: bool = True) -> Answer:
    return {"what": what, "size": size, "quantity": quantity, "order": order}


def ordered_once(positions: Sequence[Answer]) -> None:
    """Order once what stands on the card twice: one hole takes one pin, one cover one O-ring.

    Parameters
    ----------
    positions : sequence of dict
        The positions of the card; those of cotter pins, O-rings and closing are changed.

    Notes
    -----
    A pin is ordered by what closes the hub, where its length is worked out; an O-ring by its own
    position, where its size is. Pins of different sizes stay, and have to be looked at.
    """
    closing = next((p for p in positions if p["kind"] == "closing"), None)
    if closing is None:
        return
    pin = next((part for part in closing["parts"] if part["what"].startswith("cotter pin")), None)
    if pin is not None:
        for one in (p for p in positions if p["kind"] == "cotter"):
            _once(pin, one, closing)
    rings = [p["name"] for p in positions if p["kind"] == "oring"]
    if rings and any(part["what"] == "O-ring" for part in closing["parts"]):
        closing["parts"] = [part for part in closing["parts"] if part["what"] != "O-ring"]
        closing["reasons"].append(
            f"the cover's O-ring is taken as that of {' and '.join(rings)} and ordered there"
        )


def _once(pin: Answer, one: Answer, closing: Answer) -> None:
    """Hold the pin of a position against that of closing."""
    size = (one["pick"] or "").rpartition(" ")[2]
    if size and size != pin["size"].split(" ")[0] and pin["order"]:
        closing["verdict"] = worst(closing["verdict"], CHECK)
        closing["reasons"].append(
            f"{one['name']} is a pin of another size, {one['pick']}: both are listed; where they "
            "are of one hole, measure it again and leave one of the two out"
        )
        return
    pin["quantity"] = max(pin["quantity"], *(part["quantity"] for part in one["parts"]), 1)
    one["parts"] = []
    said = "one hole takes one pin: where each has a hole of its own, give cotter_pins"
    one["reasons"].append(f"ordered once, for {closing['name']}, with its length; {said}")
    closing["reasons"].append(f"the pin of {one['name']} is taken as this one; {said}")


def _cover(name: str) -> Row:
    for row in table("closing/covers").rows:
        if row.text("cover") == name:
            return row
    raise InputError(
        value=name, rule="this is no kind of cover seal", todo=f"Use {', '.join(COVERS)}"
    )


def fitting_steps(kind: str, *, turning: str = "") -> list[tuple[str, str]]:
    """The steps of fitting what a position holds, in their order, each with its source.

    Parameters
    ----------
    kind : str
        The kind of position.
    turning : str
        The member that turns, ``hub`` or ``shaft``; empty where it is not known.
    """
    return [
        (row.text("step"), row.cite())
        for row in table("closing/steps").rows
        if row.text("kind") == kind and row.text("turning") in ("", turning)
    ]


def prompts(parts: Iterable[str]) -> list[Answer]:
    """What to look at before the hub is closed, for the parts that are in it."""
    rows = table("closing/prompts").rows
    return [
        {"part": part, "prompt": row.text("prompt"), "source": row.cite()}
        for part in parts
        for row in rows
        if row.text("part") == part
    ]
