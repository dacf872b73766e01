"""Closing the hub: cotter pins, lock plates, thread-locker, the cover, what to look at first."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from fitcheck.errors import InputError, OffTableError
from fitcheck.job.answers import Answer
from fitcheck.quantities import plain
from fitcheck.readings import read
from fitcheck.tables import Row, table

COVERS = ("o-ring", "gasket", "liquid")

# A cotter hole is drilled a little over nominal and wears; further over, the hole is another size.
_HOLE_OVER_SHARE = 0.12
# What is bent over on both legs beyond the nut, in pin sizes: common practice, no source.
_LEGS = 2.0


@dataclass(frozen=True, slots=True)
class ClosingRequest:
    """What closes the hub again, as text.

    ``cotter_hole`` is the diameter of the hole, ``cotter_through`` how far the pin goes through
    nut or bolt; ``thread_locker`` counts the bolts that had it.
    """

    cotter_hole: str = ""
    cotter_through: str = ""
    cotter_pins: int = 1
    lock_plates: int = 0
    thread_locker: int = 0
    cover: str = ""
    bushing: bool = False
    universal_joints: int = 0
    unit: str = "mm"


def answer(request: ClosingRequest) -> Answer:
    """The single-use parts and the steps that close a hub.

    Raises
    ------
    InputError
        A text can't be read, or the cover is of no known kind.
    OffTableError
        The cotter hole is outside ISO 1234.
    """
    parts: list[Answer] = []
    reasons: list[str] = []
    sources: list[str] = []
    work: list[str] = []
    verdict = "go"
    if request.cotter_hole:
        row, sure, reason = cotter_pin(request.cotter_hole, unit=request.unit)
        length = _length(request, row)
        size = f"{plain(row.number('size_mm'))} x {length}" if length else _open_length(row)
        parts.append(_part("cotter pin ISO 1234", size, request.cotter_pins))
        reasons.append(reason)
        sources.append(row.cite())
        work.append("A new cotter pin, both legs bent over; never turn the nut back to the hole.")
        if not (sure and length):
            verdict = "check"
    if request.lock_plates:
        parts.append(_part("lock plate", "as the old one", request.lock_plates))
        work.append("New lock plates, one tab to a flat.")
    if request.thread_locker:
        parts.append(_part("thread-locker", f"for {request.thread_locker} bolts", 1))
        work.append("Thread-locker back on the bolts that had it, threads clean and dry.")
    if request.cover:
        row = _cover(request.cover)
        parts.append(_part(row.text("what"), row.text("note") or "for the cover", 1))
        work.append(row.text("step"))
        sources.append(row.cite())
    return {
        "verdict": verdict,
        "reasons": reasons,
        "parts": parts,
        "work": work,
        "sources": sources,
    }


def _part(what: str, size: str, quantity: int) -> Answer:
    return {"what": what, "size": size, "quantity": quantity}


def cotter_pin(text: str, *, unit: str = "mm") -> tuple[Row, bool, str]:
    """The cotter pin for a hole, whether that is sure, and why.

    The nominal size of a cotter pin is the diameter of its hole.

    Raises
    ------
    InputError
        The text is no length.
    OffTableError
        The hole is smaller than the smallest or larger than the largest pin's.
    """
    hole = read(place="cotter hole", texts=(text,), unit=unit)
    rows = table("closing/cotter_pins").rows
    slack = 2.0 * hole.standard_error_mm
    fitting = [row for row in rows if row.number("shank_max_mm") < hole.mean_mm]
    largest = rows[-1].number("size_mm")
    if not fitting or hole.mean_mm > largest * (1.0 + _HOLE_OVER_SHARE) + slack:
        raise OffTableError(
            value=f"cotter hole {plain(round(hole.mean_mm, 3))} mm",
            rule=f"ISO 1234 has pins for holes of {plain(rows[0].number('size_mm'))} to "
            f"{plain(largest)} mm",
            todo="Measure the hole again",
        )
    nominal = max(
        (row for row in rows if row.number("size_mm") <= hole.mean_mm + slack),
        key=lambda row: row.number("size_mm"),
        default=fitting[-1],
    )
    size = nominal.number("size_mm")
    sure = hole.mean_mm <= size * (1.0 + _HOLE_OVER_SHARE) + slack
    given = f"a hole of {plain(round(hole.mean_mm, 3))} mm takes a {plain(size)} mm cotter pin"
    if not sure:
        given += ", which stands loose in it: look whether the hole is worn"
    return nominal, sure, given


def _length(request: ClosingRequest, row: Row) -> str:
    """The next standard length over the way through and both legs bent over."""
    if not request.cotter_through:
        return ""
    through = read(place="cotter through", texts=(request.cotter_through,), unit=request.unit)
    wanted = through.mean_mm + _LEGS * row.number("size_mm")
    lengths = [r.number("length_mm") for r in table("closing/pin_lengths").rows]
    for length in lengths:
        if length >= wanted:
            return plain(length)
    raise OffTableError(
        value=f"cotter through {plain(round(through.mean_mm, 3))} mm",
        rule=f"the longest standard pin is {plain(lengths[-1])} mm",
        todo="Measure again how far the pin goes through",
    )


def _open_length(row: Row) -> str:
    return f"{plain(row.number('size_mm'))} mm, length as the old one"


def _cover(name: str) -> Row:
    for row in table("closing/covers").rows:
        if row.text("cover") == name:
            return row
    raise InputError(
        value=name, rule="this is no kind of cover seal", todo=f"Use {', '.join(COVERS)}"
    )


def prompts(parts: Iterable[str]) -> list[Answer]:
    """What to look at before the hub is closed, for the parts that are in it."""
    rows = table("closing/prompts").rows
    return [
        {"part": part, "prompt": row.text("prompt"), "source": row.cite()}
        for part in parts
        for row in rows
        if row.text("part") == part
    ]
