"""Plain bushings: wrapped and solid ones, by shaft, housing and length.

The nominal outside diameter is that of the housing: a bushing is made larger and pressed in. The
system of a nominal is the bushing's form, since each form has its own limits.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from fitcheck.parts.family import Limits, Size
from fitcheck.parts.limit_rules import iso_limits, tabled
from fitcheck.parts.listed import listed
from fitcheck.parts.steps import Steps
from fitcheck.quantities import plain
from fitcheck.tables import Row, shop_folder, table

FORMS = {"wrapped": "ISO 3547", "solid": "ISO 4379"}


def _size(row: Row) -> Size:
    form = row.text("form")
    shaft, outside, length = (row.number(f"{c}_mm") for c in ("shaft", "od", "length"))
    return Size(
        label=f"{plain(shaft)} x {plain(outside)} x {plain(length)} {form}",
        system="metric",
        nominals=(
            (shaft, form),
            (outside, form),
            (length, form),
        ),
        series=(FORMS[form],),
        source=row.cite(),
        details={"form": form, **{c: row.text(f"{c}_mm") for c in ("shaft", "od", "length")}},
    )


sizes = listed("bushing/sizes", _size)


def wall_limits_mm(*, shaft_mm: float) -> tuple[float, float]:
    """The thinnest and the thickest wall of a wrapped bushing.

    Parameters
    ----------
    shaft_mm : float
        Nominal diameter of the shaft [mm].

    Examples
    --------
    >>> wall_limits_mm(shaft_mm=20.0)
    (1.475, 1.505)

    Source: ISO 3547-1, from memory.
    """
    row = _steps("walls", "", shop_folder()).nearest(shaft_mm)
    return row.number("min_mm"), row.number("max_mm")


def fit_class(*, form: str, place: str, nominal_mm: float) -> Row:
    """The row of the class that a bushing asks of a place, or is made to.

    Parameters
    ----------
    form : str
        ``wrapped`` or ``solid``.
    place : str
        ``shaft``, ``housing``, ``bore fitted``, ``bore loose`` or ``od loose``.
    nominal_mm : float
        Nominal diameter [mm].

    Examples
    --------
    >>> fit_class(form="wrapped", place="shaft", nominal_mm=20.0).text("class")
    'f7'
    """
    return _steps("fits", f"{form} {place}", shop_folder()).nearest(nominal_mm)


@cache
def _steps(name: str, which: str, _shop: str) -> Steps:
    rows = table(f"bushing/{name}").rows
    if which:
        rows = tuple(r for r in rows if f"{r.text('form')} {r.text('place')}" == which)
    return Steps(rows, unit="mm")


def _form(system: str) -> str:
    return system if system in FORMS else "wrapped"


def _shaft(nominal_mm: float, system: str) -> tuple[float, float]:
    row = fit_class(form=_form(system), place="shaft", nominal_mm=nominal_mm)
    return iso_limits(row.text("class"))(nominal_mm, system)


def bore_fitted_mm(nominal_mm: float, system: str) -> tuple[float, float]:
    """What the bore of a bushing measures once pressed in, as offsets from the shaft [mm]."""
    if _form(system) == "solid":
        row = fit_class(form="solid", place="bore fitted", nominal_mm=nominal_mm)
        return iso_limits(row.text("class"))(nominal_mm, system)
    thin, thick = wall_limits_mm(shaft_mm=nominal_mm)
    nominal_wall = _steps("walls", "", shop_folder()).nearest(nominal_mm).number("wall_mm")
    lower, upper = iso_limits("H7")(nominal_mm + 2.0 * nominal_wall, system)
    return lower + 2.0 * (nominal_wall - thick), upper + 2.0 * (nominal_wall - thin)


_outside_wrapped = tabled("bushing/outside", "", "")


def od_loose_mm(nominal_mm: float, system: str) -> tuple[float, float]:
    """What a new bushing measures over its nominal outside diameter, lying loose [mm]."""
    if _form(system) == "wrapped":
        return _outside_wrapped(nominal_mm, "metric")
    row = fit_class(form="solid", place="od loose", nominal_mm=nominal_mm)
    return iso_limits(row.text("class"))(nominal_mm, system)


def _used(nominal_mm: float, system: str) -> tuple[float, float]:
    return 0.0, od_loose_mm(nominal_mm, system)[1]


def _length(nominal_mm: float, system: str) -> tuple[float, float]:
    if _form(system) == "solid":
        return iso_limits("h13")(nominal_mm, system)
    return -0.25, 0.25


LIMITS: dict[str, Limits] = {
    "shaft": _shaft,
    "bore": bore_fitted_mm,
    "loose_od": od_loose_mm,
    "used_od": _used,
    "length": _length,
}


def mark_forms(size: Size) -> Iterable[str]:
    """The ways a bushing is marked: its dimensions run together."""
    yield "".join(size.details[c].replace(".", "") for c in ("shaft", "od", "length"))
    yield "".join(size.details[c].replace(".", "") for c in ("shaft", "length"))
