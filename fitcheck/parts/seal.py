"""Radial shaft seals: the listed sizes and what a reading of each place says about them.

Dimensions are those of the machine, shaft x bore x width: the free lip is smaller than the shaft
and the case larger than the bore.
"""

from __future__ import annotations

from functools import cache, lru_cache

from fitcheck.errors import OffTableError
from fitcheck.limits import class_limits
from fitcheck.parts.family import Family, Place, Size, View, band_rules, size_weight
from fitcheck.quantities import plain
from fitcheck.tables import Row, shop_folder, step_row, table

MM_PER_INCH = 25.4
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
    values = (shaft_mm, bore_mm, width_mm)
    if system == "metric":
        return " x ".join(plain(round(v, 4)) for v in values)
    return " x ".join(inch_text(v / MM_PER_INCH) for v in values) + " in"


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
            key = tuple(round(value, 4) for value, _ in dimensions)
            nominals.setdefault(key, dimensions)
            rows.setdefault(key, []).append((series or row.text("series"), row))
    return tuple(_size(nominals[key], rows[key]) for key in sorted(nominals))


def _row_nominals(row: Row) -> tuple[tuple[float, str], ...]:
    if row.table != "seals/inch":
        return tuple((row.number(f"{c}_mm"), "metric") for c in ("shaft", "bore", "width"))
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


def _size(nominals: tuple[tuple[float, str], ...], rows: list[tuple[str, Row]]) -> Size:
    systems = {system for _, system in nominals}
    system = systems.pop() if len(systems) == 1 else "mixed"
    label = size_label(
        shaft_mm=nominals[SHAFT][0],
        bore_mm=nominals[BORE][0],
        width_mm=nominals[WIDTH][0],
        system=system,
    )
    series = tuple(dict.fromkeys(name for name, _ in rows))
    # The best attested row is cited first.
    cited = sorted({row.cite() for _, row in rows}, key=lambda text: ("memory" in text, text))
    notes = "; ".join(dict.fromkeys(row.text("note") for _, row in rows if row.text("note")))
    return Size(
        label=label,
        system=system,
        nominals=nominals,
        series=series,
        source="; ".join(cited),
        details={"note": notes} if notes else {},
        weight=size_weight("seal", system),
    )


def _preferred(name: str, **wanted: str) -> list[Row]:
    return [
        row
        for row in table(name).rows
        if row.flag("preferred") and all(row.text(c) == v for c, v in wanted.items())
    ]


@lru_cache(maxsize=8192)
def _seat_limits(seat: str, nominal_mm: float, system: str) -> tuple[float, float]:
    if system == "inch":
        rows = [r for r in table("seal_tolerances/inch_seat_limits").rows if r.text("seat") == seat]
        nominal_in = nominal_mm / MM_PER_INCH
        row = step_row(
            rows, value=nominal_in, over="over_in", incl="incl_in", what=f"the inch {seat} limit"
        )
        return row.number("lower_in") * MM_PER_INCH, row.number("upper_in") * MM_PER_INCH
    rows = [
        r
        for r in table("seal_tolerances/seat_class").rows
        if r.text("system") == "metric" and r.text("seat") == seat
    ]
    tolerance_class = rows[0].text("tolerance_class")
    try:
        found = class_limits(nominal_mm=nominal_mm, tolerance_class=tolerance_class)
    except OffTableError:
        # The standards' own class ends at 500 mm; a few listed bores lie just beyond it, and a
        # virtual size while searching may lie anywhere: keep the nearest step's relative width.
        edge = min(max(nominal_mm, 3.0), 500.0)
        found = class_limits(nominal_mm=edge, tolerance_class=tolerance_class)
    return found.lower_um / 1000.0, found.upper_um / 1000.0


def shaft_limits(nominal_mm: float, system: str) -> tuple[float, float]:
    """Limits of the counterface diameter as offsets [mm]: h11, or the inch limits."""
    return _seat_limits("shaft", nominal_mm, system)


def bore_limits(nominal_mm: float, system: str) -> tuple[float, float]:
    """Limits of the housing bore as offsets [mm]: H8, or the inch limits."""
    return _seat_limits("bore", nominal_mm, system)


@lru_cache(maxsize=8192)
def case_limits(case: str, nominal_mm: float, system: str) -> tuple[float, float]:
    """What a new seal's case measures over the nominal bore, as offsets [mm]."""
    name, unit, scale = (
        ("seal_tolerances/inch_case_allowance", "in", MM_PER_INCH)
        if system == "inch"
        else ("seal_tolerances/metric_case_allowance", "mm", 1.0)
    )
    rows = _preferred(name, case=case)
    row = step_row(
        rows,
        value=_inside(rows, nominal_mm / scale, f"incl_{unit}"),
        over=f"over_{unit}",
        incl=f"incl_{unit}",
        what="the case allowance",
    )
    return (
        row.number(f"allowance_min_{unit}") * scale,
        row.number(f"allowance_max_{unit}") * scale,
    )


@lru_cache(maxsize=8192)
def lip_limits(nominal_mm: float, system: str) -> tuple[float, float]:
    """What a new seal's free lip measures under the shaft, as (negative) offsets [mm]."""
    name, unit, scale = (
        ("seal_tolerances/inch_lip_interference", "in", MM_PER_INCH)
        if system == "inch"
        else ("seal_tolerances/lip_interference", "mm", 1.0)
    )
    rows = _preferred(name, lip="main")
    row = step_row(
        rows,
        value=_inside(rows, nominal_mm / scale, f"incl_{unit}", f"over_{unit}"),
        over=f"over_{unit}",
        incl=f"incl_{unit}",
        what="the lip interference",
    )
    return -row.number(f"max_{unit}") * scale, -row.number(f"min_{unit}") * scale


def _inside(rows: list[Row], value: float, incl: str, over: str = "") -> float:
    """The value, or the table's end where the search looks a little past it."""
    highest = max(row.maybe(incl) or float("inf") for row in rows)
    lowest = min(row.maybe(over) or 0.0 for row in rows) if over else 0.0
    return min(max(value, lowest * 1.0001 if lowest else value), highest)


@lru_cache(maxsize=1024)
def width_limits(nominal_mm: float, system: str) -> tuple[float, float]:
    """Limits of the seal's width as offsets [mm]."""
    name, unit, scale = (
        ("seal_tolerances/inch_width", "in", MM_PER_INCH)
        if system == "inch"
        else ("seal_tolerances/width", "mm", 1.0)
    )
    row = step_row(
        _preferred(name),
        value=nominal_mm / scale,
        over=f"over_{unit}",
        incl=f"incl_{unit}",
        what="the width tolerance",
    )
    return row.number(f"lower_{unit}") * scale, row.number(f"upper_{unit}") * scale


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
                (View(SHAFT, 1.0, shaft_limits, band_rules("seal", "shaft", without=without)),),
                "the unworn land of the shaft, beside the track",
                ("caliper", "micrometer"),
            ),
            Place(
                "track",
                (View(SHAFT, 1.0, shaft_limits, band_rules("seal", "track", without=without)),),
                "the worn track",
                ("caliper", "micrometer"),
            ),
            Place(
                "bore",
                (View(BORE, 1.0, bore_limits, band_rules("seal", "bore")),),
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
