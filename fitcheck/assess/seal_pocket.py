"""The pocket a seal sits in, and the chamfers that lead it in."""

from __future__ import annotations

from collections.abc import Iterable

from fitcheck.assess.within import SYSTEMS, Check, checked_mm, one_of
from fitcheck.errors import InputError
from fitcheck.judging import COVERAGE, judge
from fitcheck.readings import Reading
from fitcheck.tables import Row, in_step, step_row, table

_NO_INCH_RULE = " (no inch rule is listed; the metric one is used)"


def pocket(
    *, width_mm: float, system: str, measured: Reading, widths_mm: Iterable[float] = ()
) -> Check:
    """Whether the pocket is deep enough for a seal of this width.

    Parameters
    ----------
    width_mm : float
        Nominal width of the seal [mm].
    system : str
        ``metric`` or ``inch``; inch seals are held to the metric rule.
    measured : Reading
        Depth of the pocket, from the face to the shoulder.
    widths_mm : iterable of float
        Widths the seal is listed in; the advice names those that fit [mm].

    Returns
    -------
    Check
        ``go`` from the depth of the preferred standard up; ``check`` while another standard
        allows it or the reading can't tell; ``no-go`` when the depth is surely less than any
        standard asks. ``measured_um`` is depth minus width.

    Raises
    ------
    InputError
        The width is no width, or the system is unknown.

    Notes
    -----
    Wanted depth = width + what the standard adds to it at this width.

    Source: JIS B 2402-1 (preferred), ISO 6194-1:1982 and DIN 3760, housing tables.
    """
    one_of(system, SYSTEMS, what="system of sizes")
    best, others = _depth_rows(width_mm)
    wanted = width_mm + best.number("depth_add_mm")
    least_row = min((best, *others), key=lambda row: row.number("depth_add_mm"))
    least = width_mm + least_row.number("depth_add_mm")
    depth, sure = measured.mean_mm, _sure_mm(measured)
    size = f"the pocket is {depth:.2f} mm deep for a seal of {width_mm:.6g} mm"
    advice = again = ""
    if depth - sure >= wanted and not measured.out_of_round:
        verdict = "go"
        reason = f"{size}; {best.text('edition')} asks for {wanted:.6g} mm or more"
    elif depth + sure < least:
        verdict = "no-go"
        proud = f" and it would stand {width_mm - depth:.2f} mm proud" if depth < width_mm else ""
        reason = f"{size}; the least any standard asks for is {least:.6g} mm{proud}"
        # Sure to more than its whole depth, a reading names no width.
        fitting = (
            widths_that_fit(pocket_mm=depth - sure, widths_mm=widths_mm) if depth > sure else ()
        )
        narrower = f" (listed: {', '.join(f'{w:.6g}' for w in fitting)} mm)" if fitting else ""
        advice = (
            f"choose a narrower seal{narrower}, or let it stand proud only where nothing runs near "
            "it"
        )
    elif depth - sure >= least:
        verdict = "check"
        reason = (
            f"{size}; {least_row.text('edition')} is content with {least:.6g} mm, "
            f"{best.text('edition')} asks for {wanted:.6g} mm"
        )
        advice = "a seal flush with the face is common; see that nothing runs against it"
    else:
        verdict = "check"
        reason = f"{size}, sure to {sure:.2f} mm; the least any standard asks for is {least:.6g} mm"
        again = "pocket: take it with a depth gauge at four places"
    if measured.out_of_round:
        reason += f"; the readings differ by {measured.spread_mm:.2f} mm"
        again = again or "pocket: take it with a depth gauge at four places"
    return Check(
        what="pocket",
        verdict=verdict,
        reason=reason + (_NO_INCH_RULE if system == "inch" else ""),
        source="; ".join(dict.fromkeys((best.cite(), least_row.cite()))),
        measured_um=(depth - width_mm) * 1000.0,
        advice=advice,
        read_again=again,
        holds_as_read=depth >= least and not measured.out_of_round,
    )


def widths_that_fit(*, pocket_mm: float, widths_mm: Iterable[float]) -> tuple[float, ...]:
    """The widths that a pocket takes, by the standard that asks for the least depth.

    Parameters
    ----------
    pocket_mm : float
        Depth of the pocket [mm].
    widths_mm : iterable of float
        Widths to choose from [mm].

    Returns
    -------
    tuple of float
        Those that fit, widest first [mm].

    Raises
    ------
    InputError
        The depth or a width is no number larger than zero.

    Examples
    --------
    >>> widths_that_fit(pocket_mm=8.5, widths_mm=(7, 8, 10))
    (8, 7)

    Source: DIN 3760, housing figure, or ISO 6194-1 where the width is beyond it.
    """
    checked_mm(pocket_mm, what="pocket depth")
    fitting = []
    for width in sorted(set(widths_mm), reverse=True):
        best, others = _depth_rows(width)
        # Depths are sums of decimals: a nanometre keeps an exact one in.
        if width + min(r.number("depth_add_mm") for r in (best, *others)) <= pocket_mm + 1e-6:
            fitting.append(width)
    return tuple(fitting)


def shaft_chamfer(*, shaft_mm: float, measured_small_end: Reading) -> Check:
    """Whether the chamfer at the shaft's end lets a lip slide on.

    Parameters
    ----------
    shaft_mm : float
        Nominal shaft diameter [mm].
    measured_small_end : Reading
        Diameter of the small end of the chamfer.

    Returns
    -------
    Check
        Never ``no-go``: a lip can be led over any end with a fitting sleeve.

    Raises
    ------
    InputError
        The small end is larger than the shaft.
    OffTableError
        The shaft is beyond the standard's table.

    Notes
    -----
    Small end at most = shaft - least reduction of the standard at this diameter.

    Source: JIS B 2402-1, Table 1 (ISO 6194-1 alike); DIN 3760, Table 1, asks more below 40 mm.
    """
    row = step_row(
        (r for r in table("seal_tolerances/shaft_chamfer").rows if r.flag("preferred")),
        value=checked_mm(shaft_mm, what="shaft diameter"),
        over="over_mm",
        incl="incl_mm",
        what="the lead-in chamfer of a shaft",
    )
    end, sure = measured_small_end.mean_mm, _sure_mm(measured_small_end)
    if end - sure > shaft_mm:
        raise InputError(
            value=f"{end:.6g} mm",
            rule=f"the small end of the chamfer can't be larger than the {shaft_mm:.6g} mm shaft",
            todo="Measure the end of the chamfer, not the shaft",
        )
    most = shaft_mm - row.number("reduction_min_mm")
    source = row.cite()
    size = f"the small end is {end:.2f} mm; it should be {most:.6g} mm or less"
    met = f"the small end is {end:.2f} mm, as it should be: {most:.6g} mm or less"
    din = next(
        (
            r
            for r in table("seal_tolerances/shaft_end_din").rows
            if r.number("shaft_mm") == shaft_mm
        ),
        None,
    )
    advice = again = ""
    if end + sure <= most:
        verdict, reason = "go", met
        if din is not None and end > din.number("end_max_mm"):
            reason += f" (DIN 3760 asks for {din.number('end_max_mm'):.6g} mm)"
            source += f"; {din.cite()}"
    elif end - sure > most:
        verdict = "check"
        reason = f"{size}: the lip can be cut or turned over when it is pushed on"
        advice = (
            "fit over a smooth fitting sleeve or tape, or turn the chamfer longer and polish it"
        )
    else:
        verdict = "check"
        reason = f"{size}, and the reading is sure to {sure:.2f} mm only"
        again = "small end of the chamfer: take it with a caliper three times or more"
    return Check(
        what="shaft chamfer",
        verdict=verdict,
        reason=reason,
        source=source,
        measured_um=(end - shaft_mm) * 1000.0,
        advice=advice,
        read_again=again,
        holds_as_read=end <= most,
    )


def bore_chamfer(*, width_mm: float, measured_length: Reading) -> Check:
    """Whether the chamfer of the bore leads the case in and leaves it enough straight bore.

    Parameters
    ----------
    width_mm : float
        Nominal width of the seal [mm].
    measured_length : Reading
        Length of the chamfer along the bore.

    Returns
    -------
    Check
        Never ``no-go``: a chamfer can be dressed, and a long one only shortens the hold.

    Raises
    ------
    InputError
        The width is no width.

    Source: JIS B 2402-1, housing table.
    """
    row, _ = _depth_rows(width_mm)
    low, high = row.number("chamfer_min_mm"), row.number("chamfer_max_mm")
    length, sure = measured_length.mean_mm, _sure_mm(measured_length)
    judged = judge(
        deviation_um=length * 1000.0,
        lower_um=low * 1000.0,
        upper_um=high * 1000.0,
        standard_error_um=measured_length.standard_error_mm * 1000.0,
    )
    size = f"the chamfer of the bore is {length:.2f} mm long, wanted {low:g} to {high:g} mm"
    advice = again = ""
    if judged.verdict == "go":
        verdict, reason = "go", size
    elif judged.verdict == "check":
        verdict, reason = "check", f"{size}, and the reading is sure to {sure:.2f} mm only"
        again = "bore chamfer: take its length three times or more"
    elif length < low:
        verdict, reason = "check", f"{size}: the case can shave or start askew"
        advice = "dress the edge and press the seal in square"
    else:
        verdict, reason = "check", f"{size}: less straight bore is left to hold the case"
        advice = "set the seal deeper, fully past the chamfer"
    return Check(
        what="bore chamfer",
        verdict=verdict,
        reason=reason,
        source=row.cite(),
        advice=advice,
        read_again=again,
        holds_as_read=low <= length <= high,
    )


def _depth_rows(width_mm: float) -> tuple[Row, list[Row]]:
    """The preferred standard's row for a seal width, and those of the others that reach it."""
    checked_mm(width_mm, what="width")
    rows = table("seal_tolerances/pocket_depth").rows
    best = step_row(
        (row for row in rows if row.flag("preferred")),
        value=width_mm,
        over="over_mm",
        incl="incl_mm",
        what="the pocket of a seal by its width",
    )
    others = [
        row
        for row in rows
        if not row.flag("preferred")
        and in_step(row, value=width_mm, over="over_mm", incl="incl_mm")
    ]
    return best, others


def _sure_mm(measured: Reading) -> float:
    """Half of the 95 % interval of a reading [mm]."""
    return COVERAGE * measured.standard_error_mm
