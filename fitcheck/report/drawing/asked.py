"""Drawings of what somebody names: a seal, one or two bearings, a pack of shims."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from fitcheck.errors import InputError
from fitcheck.job.bare_units import INCH_UNITS, refuse_mixed
from fitcheck.job.drawn import seal_to_draw
from fitcheck.job.shim.text import Written, read_shims
from fitcheck.report.drawing.answers import bearing_drawing, bearing_size, bodies, standard_seat
from fitcheck.report.drawing.bearing import bearing_svg
from fitcheck.report.drawing.pair import pair_svg
from fitcheck.report.drawing.pair_drawing import PairDrawing
from fitcheck.report.drawing.seal import seal_svg
from fitcheck.report.drawing.seal_doubts import seal_doubts
from fitcheck.report.drawing.seal_layout import SealDrawing, SleeveDrawing, seal_layout
from fitcheck.report.drawing.shims import PackDrawing, ShimDrawing, pack_svg


def asked_seal(
    *,
    size: str,
    readings: Mapping[str, Sequence[str]],
    move: str = "",
    sleeve: str = "",
    filled: bool = False,
    case: str = "metal",
    title: str = "",
    unit: str = "mm",
) -> tuple[str, list[str]]:
    """A lip seal in its bore, half of it in section.

    Parameters
    ----------
    size : str
        The seal: shaft x bore x width.
    readings : mapping of str to sequence of str
        What was measured, by place.
    move : str
        How much deeper it is seated.
    sleeve : str
        A listed thin sleeve, or ``auto``.
    filled : bool
        Whether the groove is filled.
    case : str
        ``metal`` or ``rubber``.
    title : str
        What stands above it.
    unit : str
        ``mm`` or ``in``, of lengths that name none.

    Returns
    -------
    svg : str
        The SVG document.
    doubts : list of str
        What readings and size say against each other, as sentences.

    Raises
    ------
    InputError
        A text can't be read.
    """
    found = seal_to_draw(size=size, readings=readings, move=move, sleeve=sleeve, unit=unit)
    fitted = found.sleeve
    drawing = SealDrawing(
        size=found.size.label,
        shaft_mm=found.size.shaft_mm,
        bore_mm=found.size.bore_mm,
        width_mm=found.size.width_mm,
        title=title,
        unit="in" if found.size.system == "inch" else unit,
        rubber_case=case == "rubber",
        land_mm=found.land_mm,
        groove_depth_mm=found.groove_depth_mm,
        groove_width_mm=found.lengths["groove-width"],
        filled=filled,
        lip_at_mm=found.lengths["lip-at"],
        pocket_mm=found.lengths["pocket"],
        room_mm=found.lengths["room"],
        shift_mm=found.shift_mm,
        sleeve=SleeveDrawing(wall_mm=fitted.wall_mm, width_mm=fitted.width_mm) if fitted else None,
        shaft_end_mm=found.lengths["shaft-end"],
        bore_chamfer_mm=found.lengths["bore-chamfer"],
        standard=standard_seat(shaft_mm=found.size.shaft_mm, width_mm=found.size.width_mm),
        remarks=(f"Sleeve: {fitted.designation.removeprefix('sleeve ')}.",) if fitted else (),
    )
    return seal_svg(drawing), seal_doubts(drawing, seal_layout(drawing))


def asked_bearings(
    *,
    designations: Sequence[str],
    position: str = "",
    pack: str = "",
    title: str = "",
    unit: str = "mm",
) -> str:
    """A tapered bearing, or a pair on a shaft and in a hub with its shims.

    Parameters
    ----------
    designations : sequence of str
        One or two, the one at the shaft end first.
    position : str
        Where the shims of a pair sit.
    pack : str
        The shims there.
    title : str
        What stands above it.
    unit : str
        ``mm`` or ``in``, of thicknesses that name none.

    Returns
    -------
    str
        The SVG document.

    Raises
    ------
    InputError
        A text can't be read, or the texts don't go together.
    """
    if not 1 <= len(designations) <= 2:
        raise InputError(
            value=" ".join(designations)[:80] or "no bearing",
            rule="a drawing shows one bearing, or the two of a pair",
            todo="Name one or two bearings",
        )
    bearings = [bearing_drawing(bearing_size(name), unit=unit) for name in designations]
    if len(bearings) == 1:
        if position or pack:
            raise InputError(
                value="--position" if position else "--pack",
                rule="shims set a pair of bearings, and one is named",
                todo="Name both bearings, the one at the shaft end first",
            )
        return bearing_svg(bearings[0], title=title)
    if pack and not position:
        raise InputError(
            value=f"--pack {pack}",
            rule="where the shims sit is not said",
            todo="Say --position cap, retainer, behind-cup or spacer",
        )
    pair = PairDrawing(
        outer=bearings[0],
        inner=bearings[1],
        title=title,
        position=position,
        pack_mm=_pack(pack, unit).total_mm if pack else None,
    )
    return pair_svg(pair)


def asked_shims(*, pack: str, position: str = "", title: str = "", unit: str = "mm") -> str:
    """A pack of shims, the thickest next to the flange.

    Parameters
    ----------
    pack : str
        The shims.
    position : str
        Where they sit.
    title : str
        What stands above it.
    unit : str
        ``mm`` or ``in``, of thicknesses that name none.

    Returns
    -------
    str
        The SVG document.

    Raises
    ------
    InputError
        A text can't be read.
    """
    flange, seat = bodies(position)
    written = _pack(pack, unit)
    in_inches = any(quantity.unit in INCH_UNITS for quantity in written.quantities)
    drawing = PackDrawing(
        shims=tuple(
            ShimDrawing(shim.thickness_mm, shim.count, shim.label_mm) for shim in written.shims
        ),
        title=title,
        flange=flange,
        seat=seat,
        unit="in" if in_inches else "mm",
        remarks=tuple(f"Check: {note}." for note in written.notes),
    )
    return pack_svg(drawing)


def _pack(text: str, unit: str) -> Written:
    written = read_shims([text], unit=unit, place="--pack")
    refuse_mixed([("--pack", written.quantities)], unit=unit)
    return written
