"""Tapered roller bearings: the listed cones and cups and what readings say about them.

Metric bearings are designated as a whole (30206); inch bearings as cone/cup. Metric bores and
outside diameters are minus-toleranced, inch ones plus-toleranced. A bearing's width limits go by
the step its bore falls in, so a width's system carries the bore: ``metric@62``.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache, lru_cache

from fitcheck.parts.family import Family, Limits, Place, Size, View, band_rules, size_weight
from fitcheck.parts.steps import Steps
from fitcheck.tables import Row, shop_folder, table
from fitcheck.units import MM_PER_INCH

BORE, OD, WIDTH, CONE_WIDTH, CUP_WIDTH = range(5)
_COLUMNS = ("bore", "od", "width", "cone_width", "cup_width")
METRIC_CLASS, INCH_CLASS = "Normal", "4"

# The bore step that stands in while searching for a size no table lists: the middle of the trade.
_USUAL_BORE_MM = 45.0


def bearing_sizes() -> tuple[Size, ...]:
    """Every listed tapered bearing, metric first, then inch cone/cup pairs."""
    return _sizes(shop_folder())


@cache
def _sizes(_shop: str) -> tuple[Size, ...]:
    metric = [_metric_size(row) for row in table("tapered/metric").rows]
    return (*metric, *(_inch_size(row) for row in table("tapered/inch").rows))


def _metric_size(row: Row) -> Size:
    designation = row.text("designation")
    return Size(
        label=designation,
        system="metric",
        nominals=nominals_of([row.maybe(f"{c}_mm") for c in _COLUMNS], "metric"),
        series=(f"ISO 355, {row.text('series')}",),
        source=row.cite(),
        details={
            "designation": designation,
            "cone": designation,
            "cup": designation,
            "iso355_series": row.text("iso355_series"),
            "note": row.text("note"),
        },
        weight=size_weight("bearing", "metric"),
    )


def _inch_size(row: Row) -> Size:
    cone, cup = row.text("cone"), row.text("cup")
    native_mm = row.text("native_unit") == "mm"
    values = [
        row.maybe(f"{c}_mm") if native_mm else _from_inch(row.maybe(f"{c}_in")) for c in _COLUMNS
    ]
    system = "metric" if native_mm else "inch"
    return Size(
        label=f"{cone}/{cup}",
        system=system,
        nominals=nominals_of(values, system),
        series=("ABMA 19.2 inch series" if not native_mm else "ABMA 19.2, J series in mm",),
        source=row.cite(),
        details={
            "designation": f"{cone}/{cup}",
            "cone": cone,
            "cup": cup,
            "iso355_series": "",
            "note": row.text("note"),
        },
        weight=size_weight("bearing", "inch"),
    )


def _from_inch(value: float | None) -> float | None:
    return None if value is None else round(value * MM_PER_INCH, 5)


def nominals_of(
    values: Sequence[float | None], system: str
) -> tuple[tuple[float, str] | None, ...]:
    """The five dimensions of a bearing as nominals; widths carry the step of the bore.

    Parameters
    ----------
    values : sequence of float or None
        Bore, outside diameter, assembled width, cone width and cup width [mm].
    system : str
        ``metric`` or ``inch``.

    Raises
    ------
    OffTableError
        No width tolerance is listed for the bore.
    """
    bore = values[BORE]
    by_bore = _by_bore(bore, system, shop_folder()) if bore is not None else system
    return tuple(
        None if value is None else (value, system if number in (BORE, OD) else by_bore)
        for number, value in enumerate(values)
    )


# Seven hundred bearings share some hundred bores.
@lru_cache(maxsize=4096)
def _by_bore(bore_mm: float, system: str, shop: str) -> str:
    """The system of a bearing's widths: with the upper end of its bore's step, in mm.

    Bearings of one step share their width limits.
    """
    unit, scale = ("in", MM_PER_INCH) if system == "inch" else ("mm", 1.0)
    row = _steps("width", system, unit, shop).row(
        bore_mm / scale, what="the width tolerance of a tapered bearing, by its bore,"
    )
    return f"{system}@{row.number(f'incl_{unit}') * scale:g}"


def tolerance_rows(dimension: str, system: str) -> tuple[Row, ...]:
    """The tolerance steps of one dimension: ISO 492 class Normal, or inch class 4."""
    return _tolerance_rows(dimension, system, shop_folder())


@cache
def _tolerance_rows(dimension: str, system: str, _shop: str) -> tuple[Row, ...]:
    name, wanted = (
        ("bearing_tolerances/inch", INCH_CLASS)
        if system == "inch"
        else ("bearing_tolerances/metric", METRIC_CLASS)
    )
    return tuple(
        row
        for row in table(name).rows
        if row.text("dimension") == dimension and row.text("bearing_class") == wanted
    )


def dimension_limits(dimension: str, nominal_mm: float, system: str) -> tuple[float, float]:
    """Limits of one dimension of a tapered bearing, as offsets from nominal [mm].

    Parameters
    ----------
    dimension : str
        ``bore``, ``od``, ``width``, ``cone_width`` or ``cup_width``.
    nominal_mm : float
        The nominal [mm].
    system : str
        ``metric`` or ``inch``; for widths followed by ``@`` and the bore [mm].
    """
    return _dimension_limits(dimension, nominal_mm, system, shop_folder())


@lru_cache(maxsize=8192)
def _dimension_limits(
    dimension: str, nominal_mm: float, system: str, shop: str
) -> tuple[float, float]:
    base, _, bore = system.partition("@")
    by = nominal_mm if dimension in ("bore", "od") else float(bore or _USUAL_BORE_MM)
    unit, scale, deviation = ("in", MM_PER_INCH, "in") if base == "inch" else ("mm", 1.0, "um")
    # A size imagined while searching may lie past the table's end; its step is the last one.
    row = _steps(dimension, base, unit, shop).nearest(by / scale)
    factor = MM_PER_INCH if deviation == "in" else 0.001
    return row.number(f"lower_{deviation}") * factor, row.number(f"upper_{deviation}") * factor


@cache
def _steps(dimension: str, base: str, unit: str, shop: str) -> Steps:
    return Steps(_tolerance_rows(dimension, base, shop), unit=unit)


def _limits(dimension: str) -> Limits:
    def limits(nominal_mm: float, system: str) -> tuple[float, float]:
        return dimension_limits(dimension, nominal_mm, system)

    return limits


def bearing_family() -> Family:
    """The family of tapered roller bearings."""
    return _family(shop_folder())


@cache
def _family(_shop: str) -> Family:
    from fitcheck.accounts import prior

    def view(dimension: int, share: float, state: str = "") -> View:
        name = _COLUMNS[dimension]
        return View(
            dimension,
            share,
            _limits(name),
            band_rules("bearing", name.replace("_", "-")),
            state,
        )

    cup, cone, whole = prior("cup-width-given"), prior("cone-width-given"), prior("width-given")
    ring = prior("ring-mistaken")
    return Family(
        name="bearing",
        dimensions=_COLUMNS,
        sizes=bearing_sizes(),
        order_group=("bore", "od", "width"),
        places=(
            Place(
                "bore",
                (view(BORE, 1.0),),
                "the bore of the cone",
                ("caliper", "bore-gauge"),
                part="old bearing",
            ),
            Place(
                "od",
                (view(OD, 1.0),),
                "the outside diameter of the cup",
                ("caliper", "micrometer"),
                part="old bearing",
            ),
            Place(
                "width",
                (
                    view(WIDTH, 1.0 - cup - cone),
                    view(CUP_WIDTH, cup, "cup-width-given"),
                    view(CONE_WIDTH, cone, "cone-width-given"),
                ),
                "the assembled width, cone seated in the cup",
                ("caliper", "depth-gauge"),
                part="old bearing",
            ),
            Place(
                "cone-width",
                (
                    view(CONE_WIDTH, 1.0 - whole - ring),
                    view(WIDTH, whole, "width-given"),
                    view(CUP_WIDTH, ring, "cup-width-given"),
                ),
                "the width of the cone",
                ("caliper", "micrometer"),
                part="old bearing",
            ),
            Place(
                "cup-width",
                (
                    view(CUP_WIDTH, 1.0 - whole - ring),
                    view(WIDTH, whole, "width-given"),
                    view(CONE_WIDTH, ring, "cone-width-given"),
                ),
                "the width of the cup",
                ("caliper", "micrometer"),
                part="old bearing",
            ),
            Place(
                "thickness",
                (view(WIDTH, 0.5), view(CONE_WIDTH, 0.25), view(CUP_WIDTH, 0.25)),
                "a width, and say which",
                (),
                part="old bearing",
            ),
        ),
    )


def look_alikes(label: str) -> list[dict[str, str]]:
    """The bearings that read the same or nearly so, what differs, and how to tell."""
    found = []
    for row in table("tapered/look_alikes").rows:
        pair = (row.text("one"), row.text("other"))
        if row.text("part") == "bearing" and label in pair:
            found.append(
                {
                    "other": pair[1] if pair[0] == label else pair[0],
                    "differs": row.text("differs"),
                    "how_to_tell": row.text("how_to_tell"),
                    "source": row.cite(),
                }
            )
    return found
