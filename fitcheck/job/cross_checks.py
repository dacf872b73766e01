"""Second opinions in the answers: what contradicts itself is a CHECK, and is named.

A digit that slipped at the bench or in an edited table makes values disagree that hang together by
physics or by the standard's own rules.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from typing import Any

from fitcheck.assess.cross_checks import (
    bore_against_designation,
    bore_told,
    shape_against_series,
    width_against_pocket,
)
from fitcheck.job.misfit import UNLISTED_LEADS
from fitcheck.judging import COVERAGE
from fitcheck.marks import compact
from fitcheck.parts.bearing import BORE, OD, WIDTH, bearing_sizes
from fitcheck.parts.family import Family, Size
from fitcheck.quantities import plain
from fitcheck.readings import Reading
from fitcheck.tables import SHOP_EVIDENCE, shop_folder, table
from fitcheck.verdicts import CHECK, worst

Answer = dict[str, Any]
# The shortest metric designation of a tapered bearing, and the digits of its series.
_METRIC, _SERIES = len("30206"), len("302")
# A worn or a badly read bore is off by tenths, another bore code by millimetres: own rule [mm].
_MISREAD_MM = 0.5
# Families whose designations tell the bore, beside tapered bearings.
_TELLING = ("ball", "roller")
# The tables with rows of rolling bearings.
_TABLES = ("tapered/metric", "tapered/inch", *(f"{name}/sizes" for name in _TELLING))


def add_bearing_doubts(
    result: Answer, size: Size | None, *, marks: Sequence[str], readings: Mapping[str, Reading]
) -> None:
    """Hold a tapered bearing's tabled size, and its mark, against their own rules.

    Parameters
    ----------
    result : dict
        The answer so far; a contradiction is added to it and makes it a ``check`` at best.
    size : Size or None
        The leading size.
    marks : sequence of str
        What can be read on the bearing.
    readings : mapping of str to Reading
        The readings by place.
    """
    if size is not None:
        said = tabled_doubts(size, bearing_sizes())
        _add(result, [f"{size.label}: {words}; {_mend(size)}" for words in said])
    _add(result, mark_doubts(marks, readings))


def add_rolling_doubts(
    result: Answer, size: Size | None, *, family: str, sizes: Sequence[Size]
) -> None:
    """Hold the tabled bore of a ball or roller bearing against its designation.

    Parameters
    ----------
    result : dict
        The answer so far.
    size : Size or None
        The leading size.
    family : str
        The family; others than those whose designations tell the bore are left alone.
    sizes : sequence of Size
        All its sizes.
    """
    if size is None or family not in _TELLING:
        return
    said = tabled_doubts(size, sizes)
    _add(result, [f"{size.label}: {words}; {_mend(size)}" for words in said])


def tabled_doubts(size: Size, sizes: Sequence[Size]) -> list[str]:
    """What speaks against a bearing's dimensions: its designation, its series code, its series.

    Parameters
    ----------
    size : Size
        A size of a rolling bearing.
    sizes : sequence of Size
        All sizes of its family.
    """
    bore, od = size.nominals[BORE], size.nominals[OD]
    said = []
    if bore is not None and _tells_bore(size):
        said.append(bore_against_designation(designation=size.label, bore_mm=bore[0]))
    code = size.details.get("iso355_series", "")
    if code and bore is not None and od is not None:
        width = size.nominals[WIDTH]
        wrong = shape_against_series(
            code=code,
            bore_mm=bore[0],
            od_mm=od[0],
            width_mm=None if width is None else width[0],
            e_factor=None,
            steps=_steps(shop_folder()),
        )
        given = {"od": od[0], "width": 0.0 if width is None else width[0]}
        said += [
            f"its {dimension}, {plain(given[dimension])} mm, {words} (ISO 355, from memory)"
            for dimension, words in wrong.items()
        ]
    if not any(said):
        said += _out_of_series(size, sizes)
    return [words for words in said if words]


def _tells_bore(size: Size) -> bool:
    """Whether a size's designation tells its bore: 336/332 is a cone and a cup in inches."""
    return size.system == "metric" and bore_told(size.label) is not None


def _out_of_series(size: Size, sizes: Sequence[Size]) -> Iterator[str]:
    """In a series of one sort the diameter and the width grow with the bore."""
    bore = size.nominals[BORE]
    if bore is None or not _tells_bore(size):
        return
    group = [s for s in sizes if s.series == size.series and s.system == size.system]
    # The shop's row is held against the shipped ones, and never the other way round: of the two it
    # is the one that was typed in.
    group = [s for s in group if not _is_shops(s)] or group
    for dimension, name in ((OD, "od"), (WIDTH, "width")):
        own = size.nominals[dimension]
        for other in group if own is not None else ():
            its, its_bore = other.nominals[dimension], other.nominals[BORE]
            if own is None or its is None or its_bore is None or its_bore[0] == bore[0]:
                continue
            is_larger = its_bore[0] > bore[0]
            if (own[0] > its[0]) if is_larger else (own[0] < its[0]):
                yield (
                    f"its {name}, {plain(own[0])} mm, is {'more' if is_larger else 'less'} than "
                    f"that of {other.label} of the same series, {plain(its[0])} mm"
                )
                break


@cache
def _steps(_shop: str) -> dict[tuple[str, str], tuple[float, float]]:
    return {
        (row.text("of"), row.text("sign")): (row.number("over"), row.number("incl"))
        for row in table("tapered/codes").rows
    }


def _mend(size: Size) -> str:
    """Where a wrong value is put right."""
    if _is_shops(size):
        return (
            f"a digit slipped in the row of {size.source}: correct it there, and see "
            "`fitcheck tables check`"
        )
    return "a digit slipped in the table: measure the bearing, and see `fitcheck tables check`"


def _is_shops(size: Size) -> bool:
    return bool(shop_folder()) and size.source in _shop_sources(shop_folder())


@cache
def _shop_sources(_shop: str) -> frozenset[str]:
    rows = (row for name in _TABLES for row in table(name).rows)
    return frozenset(row.cite() for row in rows if row.evidence == SHOP_EVIDENCE)


def mark_doubts(marks: Sequence[str], readings: Mapping[str, Reading]) -> list[str]:
    """A metric designation that no table lists, and a bore that is not the one it tells.

    Parameters
    ----------
    marks : sequence of str
        What can be read on a tapered bearing.
    readings : mapping of str to Reading
        The readings by place.
    """
    bore = readings.get("bore")
    # Every listed bearing is looked at: not where there is no mark to look for.
    if bore is None or not marks:
        return []
    rings, series = _listed(shop_folder())
    said = []
    for mark in marks:
        # What parts a cone from a cup in an inch mark stands before a bore in a metric one.
        text = mark.strip().upper()
        metric = text[:_SERIES] in series and len(text) >= _METRIC and "/" not in text
        told = bore_told(text) if metric else None
        if told is None or compact(mark) in rings:
            continue
        if abs(bore.mean_mm - told) > COVERAGE * bore.standard_error_mm + _MISREAD_MM:
            said.append(
                f"the mark {mark.strip()} tells a bore of {plain(told)} mm, and "
                f"{plain(round(bore.mean_mm, 3))} mm was read: read the mark and the bore again"
            )
    return said


@cache
def _listed(_shop: str) -> tuple[frozenset[str], frozenset[str]]:
    """The numbers of all rings as marks are compared, and the series of metric designations."""
    sizes = bearing_sizes()
    rings = (s.details[ring] for s in sizes for ring in ("designation", "cone", "cup"))
    metric = (s.label for s in sizes if _tells_bore(s) and len(s.label) >= _METRIC)
    return frozenset(map(compact, rings)), frozenset(label[:_SERIES] for label in metric)


def add_seal_doubts(result: Answer, readings: Mapping[str, Reading], *, family: Family) -> None:
    """Hold the old seal's width, and the listed ones, against the pocket.

    Parameters
    ----------
    result : dict
        The answer so far.
    readings : mapping of str to Reading
        The readings by place, those that are believed.
    family : Family
        The sizes.
    """
    pocket, old = readings.get("pocket"), readings.get("old-width")
    if pocket is None:
        return
    said = ""
    if old is not None:
        errors = (pocket.standard_error_mm**2 + old.standard_error_mm**2) ** 0.5
        said = width_against_pocket(
            width_mm=old.mean_mm, pocket_mm=pocket.mean_mm, sure_mm=COVERAGE * errors
        )
        if said:
            said += "; read old-width and pocket again"
    elif result["unlisted"] >= UNLISTED_LEADS:
        said = _no_room(readings, pocket, family)
    following = result["next_reading"]
    # Where the other readings name one size, the pocket is asked for with better reason.
    if not said or (following is not None and following["reading"] == "pocket"):
        return
    _add(result, [said])
    if result["next_reading"] is None:
        result["next_reading"] = {
            "reading": "pocket",
            "instrument": "depth-gauge",
            "reason": "read the pocket again, to its shoulder: a digit may have slipped",
            "expected_certainty": 0.0,
        }


# How far the shaft and the bore of a seat are from the seal that belongs there [mm].
_NEAR_MM = 0.3


def _no_room(readings: Mapping[str, Reading], pocket: Reading, family: Family) -> str:
    """A pocket that is too shallow for every width listed for the shaft and the bore."""
    shaft, bore = readings.get("shaft"), readings.get("bore")
    if shaft is None or bore is None:
        return ""
    widths = set()
    for size in family.sizes:
        inside, outside, width = size.nominals[:3]
        if inside is None or outside is None or width is None:
            continue
        near = abs(inside[0] - shaft.mean_mm) < _NEAR_MM
        if near and abs(outside[0] - bore.mean_mm) < _NEAR_MM:
            widths.add(round(width[0], 3))
    room = pocket.mean_mm + COVERAGE * pocket.standard_error_mm
    if not widths or min(widths) <= room:
        return ""
    listed = ", ".join(plain(width) for width in sorted(widths))
    return (
        f"the pocket is {plain(round(pocket.mean_mm, 3))} mm deep, and for this shaft and bore "
        f"seals are listed {listed} mm wide, which leaves none of them room: read the pocket again"
    )


def _add(result: Answer, doubts: Sequence[str]) -> None:
    if not doubts:
        return
    result["verdict"] = worst(result["verdict"], CHECK)
    for entry in result["candidates"][:1]:
        entry["verdict"] = worst(entry["verdict"], CHECK)
    result["reasons"] += [said for said in doubts if said not in result["reasons"]]


# --- the shop's own tables ------------------------------------------------------------------------


def shop_doubts() -> list[str]:
    """What the shop's own rows of rolling bearings have against their designations and codes."""
    if not shop_folder():
        return []
    # Imported here: only the check of the tables looks at other families.
    from fitcheck.parts.kind import kind

    families = [bearing_sizes(), *(kind(name).sizes() for name in _TELLING)]
    return [
        f"{size.label}: {said}"
        for sizes in families
        for size in sizes
        if _is_shops(size)
        for said in tabled_doubts(size, sizes)
    ]
