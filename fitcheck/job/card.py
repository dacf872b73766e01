"""The job card: every position answered, the parts in one order, the work, what to read again.

The card is data; text, HTML, JSON and spreadsheets are views of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fitcheck.job.answers import Answer, cautions
from fitcheck.job.closing import fitting_steps, ordered_once, prompts
from fitcheck.job.matched import Matched
from fitcheck.job.merged_cautions import merged
from fitcheck.job.merged_sources import merged_sources
from fitcheck.job.part.position import family_prompts, family_steps, part_position, stage_of
from fitcheck.job.pivot import pivot_position
from fitcheck.job.positions import STAGES, bearing_position, seal_position
from fitcheck.job.setup_positions import (
    closing_position,
    oil_position,
    press_position,
    shims_position,
)
from fitcheck.job.sheet import Sheet
from fitcheck.job.shelf import on_shelf, shelf_notes
from fitcheck.verdicts import worst

# The bearings of a pivot go in and are looked at as any others.
_FITTED_AS = {"pivot": "bearing"}


def job_card(sheet: Sheet, *, matched: Matched | None = None) -> Answer:
    """The job card of a bench sheet.

    A position whose readings can't be answered at all stands on the card as ``check`` with the
    reason; the other positions are answered all the same.
    """
    positions = [
        *(seal_position(entry, sheet, matched) for entry in sheet.seal),
        *(bearing_position(entry, sheet, matched) for entry in sheet.bearing),
        *(pivot_position(entry, sheet, matched) for entry in sheet.pivot),
        *(part_position(name, entry, sheet, matched) for name, entry in sheet.parts()),
        *(press_position(entry, sheet) for entry in sheet.press),
        *(shims_position(entry, sheet) for entry in sheet.shims),
    ]
    if sheet.closing is not None:
        positions.append(closing_position(sheet.closing, sheet))
    if sheet.oil is not None:
        positions.append(oil_position(sheet.oil, sheet, seals=positions))
    ordered_once(positions)
    work, work_sources = _work(positions, sheet)
    units = {entry.name: entry.unit or sheet.job.unit for entry in sheet.positions()}
    for position in positions:
        position["unit"] = units[position["name"]]
        position["work"] = [step for _, step in position.pop("steps")]
    parts = _parts(positions, sheet)
    return {
        "verdict": worst(*(p["verdict"] for p in positions)),
        "job": _job(sheet),
        "positions": positions,
        "parts": parts,
        "shelf": shelf_notes(sheet, parts),
        "inspect": _inspect(positions, sheet),
        "work": work,
        "settings": [entry for p in positions for entry in p["settings"]],
        "read_again": [entry for p in positions for entry in p["read_again"]],
        "assumptions": [
            {"for": p["name"], "assumption": text} for p in positions for text in p["assumptions"]
        ],
        "cautions": _cautions(positions),
        "sources": merged_sources([*(s for p in positions for s in p["sources"]), *work_sources]),
    }


def _work(positions: Iterable[Answer], sheet: Sheet) -> tuple[list[Answer], list[str]]:
    """Every step of work in the order of assembly, and where the fitting steps come from."""
    positions = list(positions)
    staged = [(stage, p["name"], step) for p in positions for stage, step in p["steps"]]
    fitting, sources = _fitting(positions, sheet)
    # The sort is stable: what is done to one position's seat comes before its part goes in.
    staged = sorted([*staged, *fitting], key=lambda entry: STAGES.index(entry[0]))
    return [{"for": name, "step": step} for _, name, step in staged], sources


def _fitting(
    positions: Sequence[Answer], sheet: Sheet
) -> tuple[list[tuple[str, str, str]], list[str]]:
    """The steps of fitting bearings, seals and oil; like positions share them."""
    turning = {b.name: b.turning or sheet.job.turning for b in sheet.bearing}
    turning |= {pivot.name: "hub" for pivot in sheet.pivot}
    groups: dict[tuple[str, str], list[str]] = {}
    for position in positions:
        if position["answer"] is not None:
            key = (_fitted_as(position), turning.get(position["name"], ""))
            groups.setdefault(key, []).append(position["name"])
    steps = [
        (stage_of(kind), ", ".join(names), step, source)
        for (kind, member), names in groups.items()
        for step, source in [*fitting_steps(kind, turning=member), *family_steps(kind)]
    ]
    return [step[:3] for step in steps], [source for *_, source in steps]


def _inspect(positions: Iterable[Answer], sheet: Sheet) -> list[Answer]:
    """What to look at before the hub is closed, for the parts that the sheet names."""
    closing = sheet.closing
    extra = {
        "bushing": closing is not None and closing.bushing,
        "universal-joint": closing is not None and closing.universal_joints > 0,
    }
    kinds = [
        *dict.fromkeys(_fitted_as(p) for p in positions),
        *(k for k, named in extra.items() if named),
    ]
    return [*prompts(kinds), *(p for k in kinds if k not in extra for p in family_prompts(k))]


def _fitted_as(position: Answer) -> str:
    kind = str(position["kind"])
    return _FITTED_AS.get(kind, kind)


def _job(sheet: Sheet) -> Answer:
    job = sheet.job
    return {
        "title": job.title,
        "machine": job.machine,
        "place": job.place,
        "date": job.date,
        "note": job.note,
        "invented": job.invented,
        "turning": job.turning,
        "unit": job.unit,
    }


def _parts(positions: Iterable[Answer], sheet: Sheet) -> list[Answer]:
    """All parts in one list: same part and size on one line, what is on the shelf marked so.

    What waits stands on a line of its own: it must not hold up what can be ordered.
    """
    merged: dict[tuple[str, str, str, str, bool], Answer] = {}
    for position in positions:
        for part in position["parts"]:
            # One size with another lip is another part.
            material, made = part.get("material", ""), part.get("made", "")
            key = (part["what"], part["size"], material, made, part["order"])
            if key in merged:
                merged[key]["quantity"] += part["quantity"]
                merged[key]["for"] += part["for"]
            else:
                merged[key] = {**part, "for": list(part["for"])}
    return on_shelf(sheet, list(merged.values()))


def _cautions(positions: Sequence[Answer]) -> list[str]:
    """The cautions of the job and of its positions, in one wording each."""
    return merged([*cautions("job"), *(c for p in positions for c in p["cautions"])])
