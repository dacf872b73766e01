"""From answers to drawings: what a seal's, a bearing's or a shim's answer gives to draw."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from typing import Any

from fitcheck.errors import FitcheckError, NotKnownError, OffTableError
from fitcheck.marks import compact
from fitcheck.parts.bearing import bearing_sizes
from fitcheck.parts.family import Size
from fitcheck.quantities import percent
from fitcheck.report.drawing.bearing import bearing_svg
from fitcheck.report.drawing.bearing_shape import BearingDrawing
from fitcheck.report.drawing.pair import pair_svg
from fitcheck.report.drawing.pair_drawing import PairDrawing
from fitcheck.report.drawing.seal import seal_svg
from fitcheck.report.drawing.seal_layout import SealDrawing, SleeveDrawing, Standard
from fitcheck.report.drawing.shims import PackDrawing, ShimDrawing, pack_svg
from fitcheck.tables import Row, step_row, table

Answer = dict[str, Any]

# A size that leads by less is one of several, and none of them is drawn.
_LEADS = 0.5
_FLANGES = {
    "cap": ("cap flange", "housing"),
    "retainer": ("retainer flange", "housing"),
    "behind-cup": ("cup", "shoulder"),
    "spacer": ("spacer", "cone"),
}


def standard_seat(*, shaft_mm: float, width_mm: float) -> Standard:
    """What the preferred standard asks of a seal's seat, as far as its tables reach.

    Parameters
    ----------
    shaft_mm, width_mm : float
        Shaft and width of the seal [mm].

    Examples
    --------
    >>> standard_seat(shaft_mm=35.0, width_mm=7.0)
    Standard(pocket_mm=8.2, bore_chamfer_mm=0.7, shaft_end_mm=32.0)

    Source: the rows marked preferred of seal_tolerances/pocket_depth and shaft_chamfer.
    """
    depth = _preferred("pocket_depth", width_mm)
    end = _preferred("shaft_chamfer", shaft_mm)
    return Standard(
        pocket_mm=width_mm + depth.number("depth_add_mm") if depth else None,
        bore_chamfer_mm=depth.number("chamfer_min_mm") if depth else None,
        shaft_end_mm=shaft_mm - end.number("reduction_min_mm") if end else None,
    )


def _preferred(name: str, value: float) -> Row | None:
    rows = [row for row in table(f"seal_tolerances/{name}").rows if row.flag("preferred")]
    try:
        return step_row(rows, value=value, over="over_mm", incl="incl_mm", what=name)
    except OffTableError:
        return None


def seal_drawing(
    found: Answer,
    *,
    title: str = "",
    unit: str = "mm",
    rubber_case: bool = False,
    shaft_end_mm: float | None = None,
    bore_chamfer_mm: float | None = None,
) -> SealDrawing | None:
    """What the answer of `fitcheck seal` gives to draw; None where no size leads.

    Parameters
    ----------
    found : dict
        The answer.
    title : str
        The position.
    unit : str
        The unit of the figures.
    rubber_case : bool
        Whether the case is covered with rubber.
    shaft_end_mm, bore_chamfer_mm : float, optional
        The lead-in chamfers as read: small end of the shaft, length in the bore [mm].
    """
    leading = found["candidates"][0] if found["candidates"] else None
    if leading is None or leading["probability"] < _LEADS:
        return None
    reads = {reading["place"]: reading["mean_mm"] for reading in found["readings"]}
    worn = found.get("counterface") or {}
    seat = worn.get("counterface") or {}
    way = worn["ways"][0] if worn.get("ways") else None
    remarks = []
    if leading["verdict"] != "go" or found["verdict"] != "go":
        remarks.append(f"{leading['size']} stands at {percent(leading['probability'])}.")
    if way is not None:
        remarks.append(f"First way out of the worn track: {way['way'].replace('-', ' ')}.")
    shift = _shift(way, seat.get("lip_at_mm"))
    land = seat.get("land_mm") or reads.get("shaft")
    return SealDrawing(
        size=leading["size"],
        shaft_mm=leading["shaft_mm"],
        bore_mm=leading["bore_mm"],
        width_mm=leading["width_mm"],
        title=title,
        unit="in" if leading["size"].endswith(" in") else unit,
        rubber_case=rubber_case,
        land_mm=land,
        groove_depth_mm=worn.get("groove_depth_mm") or None,
        groove_width_mm=seat.get("groove_width_mm"),
        filled=way is not None and any("epoxy" in part["what"] for part in way["parts"]),
        lip_at_mm=seat.get("lip_at_mm"),
        pocket_mm=reads.get("pocket"),
        room_mm=seat.get("room_mm"),
        shift_mm=shift,
        sleeve=_sleeve(way),
        shaft_end_mm=shaft_end_mm,
        bore_chamfer_mm=bore_chamfer_mm,
        standard=standard_seat(shaft_mm=leading["shaft_mm"], width_mm=leading["width_mm"]),
        remarks=tuple(remarks),
    )


def _shift(way: Answer | None, lip_at_mm: float | None) -> float | None:
    if way is None or way["way"] != "move-lip":
        return None
    sizes = way["dimensions_mm"]
    if "new_lip_at" in sizes and lip_at_mm is not None:
        return float(sizes["new_lip_at"] - lip_at_mm)
    shift = sizes.get("shift")
    return None if shift is None else float(shift)


def _sleeve(way: Answer | None) -> SleeveDrawing | None:
    if way is None:
        return None
    sizes = way["dimensions_mm"]
    if way["way"] == "thin-sleeve" and "sleeve_width" in sizes:
        return SleeveDrawing(
            wall_mm=sizes["wall"],
            width_mm=sizes["sleeve_width"],
            near_mm=sizes.get("near_edge_from_end"),
        )
    if way["way"] == "thick-sleeve" and "turned" in sizes and "ring_length_min" in sizes:
        return SleeveDrawing(
            wall_mm=sizes["wall"], width_mm=sizes["ring_length_min"], turned_mm=sizes["turned"]
        )
    return None


def bearing_size(designation: str) -> Size:
    """A listed bearing by its designation, however it is spaced.

    Raises
    ------
    NotKnownError
        No listed bearing is called so.
    """
    wanted = compact(designation)
    sizes = bearing_sizes()
    for size in sizes:
        if compact(size.label) == wanted:
            return size
    from difflib import get_close_matches

    near = get_close_matches(designation.upper(), [size.label for size in sizes], n=3, cutoff=0.6)
    raise NotKnownError(
        value=designation[:60],
        rule="no listed bearing is called so",
        todo=(f"Nearest: {', '.join(near)}. " if near else "")
        + "An inch bearing is written cone/cup; `fitcheck bearing --mark` reads damaged numbers",
    )


def bearing_drawing(size: Size, *, unit: str = "mm") -> BearingDrawing:
    """A listed bearing as it is to be drawn, in the unit asked for; an inch bearing in inches.

    Raises
    ------
    NotKnownError
        The list doesn't give all five dimensions.
    """
    values = [nominal[0] for nominal in size.nominals if nominal is not None]
    if len(values) < len(size.nominals):
        raise NotKnownError(
            value=size.label,
            rule="the list doesn't give all of d, D, T, B and C",
            todo="Measure the missing ones and add them to the table",
        )
    bore, od, width, cone, cup = values
    return BearingDrawing(
        designation=size.label,
        bore_mm=bore,
        od_mm=od,
        width_mm=width,
        cone_width_mm=cone,
        cup_width_mm=cup,
        e_factor=_e_factor(size.label),
        unit="in" if size.system == "inch" else unit,
    )


def _e_factor(designation: str) -> float | None:
    for row in table("tapered/metric").rows:
        if row.text("designation") == designation:
            return row.maybe("e_factor")
    return None


def bodies(position: str) -> tuple[str, str]:
    """What lies on a pack and what lies under it, by where the shims sit.

    >>> bodies("cap"), bodies("")
    (('cap flange', 'housing'), ('flange', 'housing'))
    """
    return _FLANGES.get(position, ("flange", "housing"))


def pack_drawing(found: Answer, *, title: str = "", unit: str = "mm") -> PackDrawing | None:
    """What the answer of `fitcheck shim` gives to draw; None where it picks no shims.

    Parameters
    ----------
    found : dict
        The answer.
    title : str
        The position.
    unit : str
        The unit of the figures.
    """
    bought = found.get("with_bought")
    picks = (bought or found)["picks"]
    if not picks:
        return None
    flange, seat = bodies(found.get("position") or "")
    return PackDrawing(
        shims=tuple(
            ShimDrawing(pick["thickness_mm"], pick["count"], pick.get("label_mm")) for pick in picks
        ),
        title=title,
        flange=flange,
        seat=seat,
        unit=unit,
        remarks=("Some of these shims have to be bought.",) if bought else (),
    )


def pivot_drawing(
    found: Answer, *, pick: str | None, title: str = "", unit: str = "mm"
) -> PairDrawing | None:
    """What the answer on a pivot gives to draw; None where its bearings are not both decided.

    Parameters
    ----------
    found : dict
        The answer: ``upper``, ``lower`` and, where it was measured, ``setting``.
    pick : str, optional
        The bearings, the upper one first; one designation where both ends take the same.
    title : str
        The position.
    unit : str
        The unit of the figures.

    Raises
    ------
    NotKnownError
        A bearing is not listed, or not with all its dimensions.

    Notes
    -----
    The upper bearing stands at the shaft end. Where the setting was not measured, the shims are
    under the cap, as a pivot's are.
    """
    if not pick:
        return None
    names = pick.split(" and ")
    upper, lower = (bearing_drawing(bearing_size(n), unit=unit) for n in (names[0], names[-1]))
    setting = found.get("setting")
    pack = None if setting is None else pack_drawing(setting)
    remarks = ["The upper bearing of the pivot is on the left, the lower one on the right."]
    if setting is None:
        remarks.append("The setting of the two was not measured yet.")
    return PairDrawing(
        outer=upper,
        inner=lower,
        title=title,
        position=str((setting or {}).get("position") or "cap"),
        pack_mm=None if pack is None else pack.total_mm,
        remarks=(*remarks, *(() if pack is None else pack.remarks)),
    )


def card_drawings(card: Answer, *, unit: str = "mm", extra: Answer | None = None) -> dict[str, str]:
    """Every drawing that a job card gives, by the name of its position.

    Parameters
    ----------
    card : dict
        The job card, as `job_card` gives it.
    unit : str
        The unit of the figures; an inch size is drawn in inches anyway.
    extra : dict, optional
        By the name of a position: what its answer doesn't hold, as keyword arguments of
        `seal_drawing`; ``unit`` where the position has one of its own.

    Returns
    -------
    dict of str to str
        SVG documents. A pivot's two bearings stand together, with its shims under the cap. Two
        decided bearings of the hub stand together too, under ``bearings together``, with
        the shims where the card has one setting.
    """
    drawn: dict[str, str] = {}
    bearings: list[BearingDrawing] = []
    packs: list[tuple[Answer, PackDrawing]] = []
    for position in card["positions"]:
        found, name = position["answer"], position["name"]
        if found is None:
            continue
        given = {"unit": unit, **(extra or {}).get(name, {})}
        # What can't be drawn must not cost the other positions their drawings.
        with suppress(FitcheckError):
            if position["kind"] == "seal":
                seal = seal_drawing(found, title=name, **given)
                if seal is not None:
                    drawn[name] = seal_svg(seal)
            elif position["kind"] == "bearing" and position["pick"]:
                bearing = bearing_drawing(bearing_size(position["pick"]), unit=given["unit"])
                drawn[name] = bearing_svg(bearing, title=name)
                bearings.append(bearing)
            elif position["kind"] == "pivot":
                pivot = pivot_drawing(found, pick=position["pick"], title=name, unit=given["unit"])
                if pivot is not None:
                    drawn[name] = pair_svg(pivot)
            elif position["kind"] == "shims":
                pack = pack_drawing(found, title=name, unit=given["unit"])
                if pack is not None:
                    drawn[name] = pack_svg(pack)
                    packs.append((found, pack))
    if len(bearings) == 2:
        pair = _together(bearings, packs)
        if pair is not None:
            drawn.setdefault("bearings together", pair_svg(pair))
    return drawn


def _together(
    bearings: Iterable[BearingDrawing], packs: list[tuple[Answer, PackDrawing]]
) -> PairDrawing | None:
    """The larger bearing stands inside, as it does on a stepped shaft.

    None where shims are in several places, as one drawing can't tell which of them sets the two.
    """
    outer, inner = sorted(bearings, key=lambda b: b.bore_mm)
    positions = {str(found.get("position") or "") for found, _ in packs}
    if len(positions) > 1:
        return None
    position = positions.pop() if positions else ""
    # One place with several packs has a pack for each setting: none of them is the one.
    pack = packs[0][1] if len(packs) == 1 else None
    return PairDrawing(
        outer=outer,
        inner=inner,
        title="Bearings together",
        position=position,
        pack_mm=pack.total_mm if pack is not None and position else None,
        remarks=("Which of the two stands at the shaft end was not said: the smaller is taken.",),
    )
