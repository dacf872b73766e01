"""Radial shaft seals: the listed sizes and what a reading of each place says about them.

Dimensions are those of the machine, shaft x bore x width: the free lip is smaller than the shaft
and the case larger than the bore.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache, lru_cache

from fitcheck.limits import Limits, class_limits
from fitcheck.parts.family import Family, Place, Size, View, band_rules, size_weight
from fitcheck.parts.steps import Steps
from fitcheck.quantities import plain
from fitcheck.tables import Row, shop_folder, table
from fitcheck.units import MM_PER_INCH

SHAFT, BORE, WIDTH = 0, 1, 2
CASES = ("metal", "rubber")

_SERIES = {
    "seals/iso6194": "ISO 6194-1",
    "seals/din3760": "DIN 3760",
    "seals/metric_other": "",
    "seals/inch": "inch trade",
}


def inch_text(value_in: float) -> str:
    """A dimension in inches with at least three decimals, as the trade writes it.

    >>> inch_text(1.375), inch_text(0.8437), inch_text(2.0)
    ('1.375', '0.8437', '2.000')
    """
    text = f"{value_in:.4f}"
    return text[:-1] if text.endswith("0") else text


def size_label(*, shaft_mm: float, bore_mm: float, width_mm: float, system: str) -> str:
    """A seal size as it is written: ``35 x 52 x 7`` or ``1.375 x 2.125 x 0.313 in``.

    Parameters
    ----------
    shaft_mm, bore_mm, width_mm : float
        The nominal dimensions [mm].
    system : str
        ``metric`` or ``inch``; a mixed size is written in inches.

    >>> size_label(shaft_mm=35.0, bore_mm=52.0, width_mm=7.0, system="metric")
    '35 x 52 x 7'
    """
    written, end = (_metric_text, "") if system == "metric" else (_trade_text, " in")
    return f"{written(shaft_mm)} x {written(bore_mm)} x {written(width_mm)}{end}"


# A thousand sizes share some two hundred dimensions: each is written once.
@lru_cache(maxsize=4096)
def _metric_text(value_mm: float) -> str:
    return plain(round(value_mm, 4))


@lru_cache(maxsize=4096)
def _trade_text(value_mm: float) -> str:
    return inch_text(value_mm / MM_PER_INCH)


def seal_sizes() -> tuple[Size, ...]:
    """Every listed seal size, once, with the series that list it."""
    return _sizes(shop_folder())


@cache
def _sizes(_shop: str) -> tuple[Size, ...]:
    nominals: dict[tuple[float, ...], tuple[tuple[float, str], ...]] = {}
    rows: dict[tuple[float, ...], list[tuple[str, Row]]] = {}
    for name, series in _SERIES.items():
        for row in table(name).rows:
            dimensions = _row_nominals(row)
            (shaft, _), (bore, _), (width, _) = dimensions
            key = round(shaft, 4), round(bore, 4), round(width, 4)
            nominals.setdefault(key, dimensions)
            rows.setdefault(key, []).append((series or row.text("series"), row))
    weights = {system: size_weight("seal", system) for system in ("metric", "inch", "mixed")}
    return tuple(_size(nominals[key], rows[key], weights) for key in sorted(nominals))


def _row_nominals(row: Row) -> tuple[tuple[float, str], ...]:
    if row.table != "seals/inch":
        return (
            (row.number("shaft_mm"), "metric"),
            (row.number("bore_mm"), "metric"),
            (row.number("width_mm"), "metric"),
        )
    bore_mm = row.maybe("bore_mm")
    bore = (
        (bore_mm, "metric")
        if bore_mm is not None
        else (round(row.number("bore_in") * MM_PER_INCH, 5), "inch")
    )
    return (
        (round(row.number("shaft_in") * MM_PER_INCH, 5), "inch"),
        bore,
        (round(row.number("width_in") * MM_PER_INCH, 5), "inch"),
    )


def _size(
    nominals: tuple[tuple[float, str], ...],
    rows: list[tuple[str, Row]],
    weights: Mapping[str, float],
) -> Size:
    (shaft, system), (bore, of_bore), (width, of_width) = nominals
    if not system == of_bore == of_width:
        system = "mixed"
    series, first = rows[0]
    several: tuple[str, ...] = (series,)
    source, notes = first.cite(), first.text("note")
    if len(rows) > 1:
        several = tuple(dict.fromkeys(name for name, _ in rows))
        # The best attested row is cited first.
        cited = sorted({row.cite() for _, row in rows}, key=lambda text: ("memory" in text, text))
        source = "; ".join(cited)
        notes = "; ".join(dict.fromkeys(row.text("note") for _, row in rows if row.text("note")))
    return Size(
        label=size_label(shaft_mm=shaft, bore_mm=bore, width_mm=width, system=system),
        system=system,
        nominals=nominals,
        series=several,
        source=source,
        details={"note": notes} if notes else {},
        weight=weights[system],
    )


def limits_of_seat(seat: str, nominal_mm: float, system: str) -> Limits:
    """What a seal's standard asks of a seat: h11 and H8, or the inch limits.

    Parameters
    ----------
    seat : str
        ``shaft`` or ``bore``.
    nominal_mm : float
        Nominal diameter [mm].
    system : str
        ``metric`` or ``inch``.

    Raises
    ------
    OffTableError
        The standards give nothing at this size.

    Examples
    --------
    >>> limits_of_seat("bore", 76.2, "inch").upper_mm
    76.2254
    """
    return _limits_of_seat(seat, nominal_mm, system, shop_folder())


# What the limits are cached by includes the shop's folder: its rows are laid over the tables.
@lru_cache(maxsize=8192)
def _limits_of_seat(seat: str, nominal_mm: float, system: str, shop: str) -> Limits:
    steps, scale = _seat_steps(seat, system, shop), MM_PER_INCH if system == "inch" else 1.0
    row = steps.row(nominal_mm / scale, what=f"the {seat} of {system} seals")
    if system == "inch":
        return Limits(
            nominal_mm=nominal_mm,
            tolerance_class="inch limits",
            kind="hole" if seat == "bore" else "shaft",
            upper_um=row.number("upper_in") * MM_PER_INCH * 1000.0,
            lower_um=row.number("lower_in") * MM_PER_INCH * 1000.0,
            source=row.cite(),
            evidence=row.evidence,
        )
    found = class_limits(nominal_mm=nominal_mm, tolerance_class=row.text("tolerance_class"))
    return replace(found, source=f"{row.cite()}; {found.source}", evidence=row.evidence)


@cache
def _seat_steps(seat: str, system: str, _shop: str) -> Steps:
    name = "inch_seat_limits" if system == "inch" else "seat_class"
    rows = (row for row in table(f"seal_tolerances/{name}").rows if row.text("seat") == seat)
    return Steps(tuple(rows), unit="in" if system == "inch" else "mm")


def shaft_limits(nominal_mm: float, system: str) -> tuple[float, float]:
    """Limits of the counterface diameter as offsets [mm]: h11, or the inch limits."""
    return _offsets_mm(limits_of_seat("shaft", nominal_mm, system))


def bore_limits(nominal_mm: float, system: str) -> tuple[float, float]:
    """Limits of the housing bore as offsets [mm]: H8, or the inch limits."""
    return _offsets_mm(limits_of_seat("bore", nominal_mm, system))


def _offsets_mm(found: Limits) -> tuple[float, float]:
    return found.lower_um / 1000.0, found.upper_um / 1000.0


def _shaft_anywhere(nominal_mm: float, system: str) -> tuple[float, float]:
    return _seat_anywhere("shaft", nominal_mm, system, shop_folder())


def _bore_anywhere(nominal_mm: float, system: str) -> tuple[float, float]:
    return _seat_anywhere("bore", nominal_mm, system, shop_folder())


# The search may try a size past the ends of its standard: the class there goes on with ISO 286,
# which reaches 3150 mm, and the inch limits with the nearest step.
@lru_cache(maxsize=8192)
def _seat_anywhere(seat: str, nominal_mm: float, system: str, shop: str) -> tuple[float, float]:
    steps = _seat_steps(seat, system, shop)
    if system == "inch":
        row = steps.nearest(nominal_mm / MM_PER_INCH)
        return row.number("lower_in") * MM_PER_INCH, row.number("upper_in") * MM_PER_INCH
    tolerance_class = steps.nearest(nominal_mm).text("tolerance_class")
    size_mm = min(max(nominal_mm, 1.0), 3150.0)
    return _offsets_mm(class_limits(nominal_mm=size_mm, tolerance_class=tolerance_class))


def case_limits(case: str, nominal_mm: float, system: str) -> tuple[float, float]:
    """What a new seal's case measures over the nominal bore, as offsets [mm]."""
    return _case_limits(case, nominal_mm, system, shop_folder())


@lru_cache(maxsize=8192)
def _case_limits(case: str, nominal_mm: float, system: str, shop: str) -> tuple[float, float]:
    steps, scale = _preferred(f"{system}_case_allowance", system, ("case", case), shop)
    row = steps.nearest(nominal_mm / scale)
    return (
        row.number(f"allowance_min_{steps.unit}") * scale,
        row.number(f"allowance_max_{steps.unit}") * scale,
    )


def lip_limits(nominal_mm: float, system: str) -> tuple[float, float]:
    """What a new seal's free lip measures under the shaft, as (negative) offsets [mm]."""
    return _lip_limits(nominal_mm, system, shop_folder())


@lru_cache(maxsize=8192)
def _lip_limits(nominal_mm: float, system: str, shop: str) -> tuple[float, float]:
    name = "inch_lip_interference" if system == "inch" else "lip_interference"
    steps, scale = _preferred(name, system, ("lip", "main"), shop)
    row = steps.nearest(nominal_mm / scale)
    return -row.number(f"max_{steps.unit}") * scale, -row.number(f"min_{steps.unit}") * scale


def width_limits(nominal_mm: float, system: str) -> tuple[float, float]:
    """Limits of the seal's width as offsets [mm]."""
    return _width_limits(nominal_mm, system, shop_folder())


@lru_cache(maxsize=1024)
def _width_limits(nominal_mm: float, system: str, shop: str) -> tuple[float, float]:
    name = "inch_width" if system == "inch" else "width"
    steps, scale = _preferred(name, system, ("preferred", "true"), shop)
    row = steps.nearest(nominal_mm / scale)
    return row.number(f"lower_{steps.unit}") * scale, row.number(f"upper_{steps.unit}") * scale


@cache
def _preferred(name: str, system: str, wanted: tuple[str, str], _shop: str) -> tuple[Steps, float]:
    """The steps of the preferred edition, and what their unit is in mm."""
    column, value = wanted
    rows = (
        row
        for row in table(f"seal_tolerances/{name}").rows
        if row.flag("preferred") and row.text(column) == value
    )
    unit, scale = ("in", MM_PER_INCH) if system == "inch" else ("mm", 1.0)
    return Steps(tuple(rows), unit=unit), scale


def _no_limits(_nominal_mm: float, _system: str) -> tuple[float, float]:
    return 0.0, 0.0


def _metal_limits(nominal_mm: float, system: str) -> tuple[float, float]:
    return case_limits("metal", nominal_mm, system)


def _rubber_limits(nominal_mm: float, system: str) -> tuple[float, float]:
    return case_limits("rubber", nominal_mm, system)


# What can sit on a shaft that is not bare.
_ON_THE_SHAFT = ("earlier-sleeve", "ring-left-on")


def seal_family(*, case: str = "", bare_shaft: bool = False) -> Family:
    """The family of radial shaft seals.

    Parameters
    ----------
    case : str
        The old seal's case, ``metal`` or ``rubber``; either where it is empty.
    bare_shaft : bool
        Whether somebody has looked that neither a sleeve nor a ring is on the shaft.
    """
    return _family(case, bare_shaft, shop_folder())


@cache
def _family(case: str, bare_shaft: bool, _shop: str) -> Family:
    without = _ON_THE_SHAFT if bare_shaft else ()
    metal = {"metal": 1.0, "rubber": 0.0}.get(case, 0.5)
    cases = tuple(
        View(BORE, share, limits, band_rules("seal", f"old-od {name}"))
        for name, share, limits in (
            ("metal", metal, _metal_limits),
            ("rubber", 1.0 - metal, _rubber_limits),
        )
        if share
    )
    return Family(
        name="seal",
        dimensions=("shaft", "bore", "width"),
        sizes=seal_sizes(),
        order_group=("shaft", "bore", "old-width"),
        places=(
            Place(
                "shaft",
                (View(SHAFT, 1.0, _shaft_anywhere, band_rules("seal", "shaft", without=without)),),
                "the unworn land of the shaft, beside the track",
                ("caliper", "micrometer"),
            ),
            Place(
                "track",
                (View(SHAFT, 1.0, _shaft_anywhere, band_rules("seal", "track", without=without)),),
                "the worn track",
                ("caliper", "micrometer"),
            ),
            Place(
                "bore",
                (View(BORE, 1.0, _bore_anywhere, band_rules("seal", "bore")),),
                "the housing bore, in two directions",
                ("caliper", "bore-gauge"),
            ),
            Place(
                "old-width",
                (View(WIDTH, 1.0, width_limits, band_rules("seal", "old-width")),),
                "the width of the old seal's case, without dust lip or nose",
                ("caliper",),
                part="old seal",
            ),
            Place(
                "pocket",
                (View(WIDTH, 1.0, _no_limits, band_rules("seal", "pocket")),),
                "the depth of the pocket, from the face to the shoulder",
                ("depth-gauge",),
            ),
            Place(
                "old-od",
                cases,
                "the outside of the old seal's case, in four directions",
                ("caliper",),
                part="old seal",
            ),
            Place(
                "old-lip",
                (View(SHAFT, 1.0, lip_limits, band_rules("seal", "old-lip")),),
                "the free inside diameter of the old lip",
                ("caliper",),
                part="old seal",
            ),
        ),
    )
