"""Endpoints for drawings to scale and for charts of answers."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter
from pydantic import Field

from fitcheck.cli import chart as charts
from fitcheck.cli import draw as draws
from fitcheck.errors import FitcheckError, InputError
from fitcheck.extras import import_needed
from fitcheck.report.drawing.asked import asked_bearings, asked_seal, asked_shims
from fitcheck.web.api.routes import SVG, Answer, answering

router = APIRouter(tags=["drawings and charts"])

ANSWER = (
    Annotated[dict[str, Any], Field(description="The answer, as its endpoint gave it.")],
    ...,
)
_PLACES = tuple(place.replace("-", "_") for place in draws._READINGS)


def seal(**options: Any) -> str:
    """The drawing of `fitcheck draw seal`.

    Parameters
    ----------
    **options
        The options of the command.
    """
    readings = {place: options.pop(place) for place in _PLACES}
    drawn, _ = asked_seal(readings=readings, **options)
    return drawn


def bearing(*, designations: tuple[str, ...], **options: str) -> str:
    """The drawing of `fitcheck draw bearing`.

    Parameters
    ----------
    designations : tuple of str
        One bearing or two.
    **options
        The other options of the command.
    """
    return asked_bearings(designations=designations, **options)


def shims(**options: str) -> str:
    """The drawing of `fitcheck draw shims`.

    Parameters
    ----------
    **options
        The options of the command.
    """
    return asked_shims(**options)


def places(*, panels: tuple[str, ...]) -> str:
    """The drawing of `fitcheck draw places`.

    Parameters
    ----------
    panels : tuple of str
        The parts that are shown; all of them when empty.

    Raises
    ------
    InputError
        There is no such part.
    """
    from fitcheck.report.drawing.places import PANELS, places_svg

    for panel in panels:
        if panel not in PANELS:
            raise InputError(
                value=panel,
                rule="no part of the drawing is called so",
                todo=f"There are: {', '.join(PANELS)}",
            )
    return places_svg(panels or tuple(PANELS))


def _drawn(answer: Answer, make: Any) -> Any:
    """A chart of an answer; what is no answer is refused, however it is made up."""
    try:
        return make(answer)
    except FitcheckError:
        raise
    except (KeyError, TypeError, ValueError, AttributeError, IndexError, ArithmeticError) as error:
        raise InputError(
            value="answer",
            rule=f"this is no answer that this chart can be drawn of ({type(error).__name__})",
            todo="Send the answer as its endpoint gave it",
        ) from error


def fit_chart(*, answer: Answer, title: str) -> str:
    """The chart of `fitcheck chart fit`.

    Parameters
    ----------
    answer : dict
        An answer of `fitcheck fit`.
    title : str
        What stands above it.
    """
    from fitcheck.report.chart.answers import fit_chart as chart
    from fitcheck.report.chart.zones import fit_svg

    return str(_drawn(answer, lambda found: fit_svg(chart(found, title=title))))


def candidates_chart(*, answer: Answer, title: str, certainty: float) -> str:
    """The chart of `fitcheck chart candidates`.

    Parameters
    ----------
    answer : dict
        An answer of `fitcheck seal` or `fitcheck bearing`.
    title : str
        What stands above it.
    certainty : float
        The share a size needs to be sure.
    """
    from fitcheck.report.chart.answers import shares_chart
    from fitcheck.report.chart.shares import shares_svg

    return str(
        _drawn(
            answer,
            lambda found: shares_svg(shares_chart(found, title=title, certainty=certainty)),
        )
    )


def oil_chart(*, answer: Answer, title: str) -> bytes:
    """The chart of `fitcheck chart oil`.

    Parameters
    ----------
    answer : dict
        An answer of `fitcheck oil`.
    title : str
        What stands above it.
    """
    import_needed("matplotlib", what="this chart")
    from fitcheck.report.chart.answers import pressure_points
    from fitcheck.report.chart.curves import pressure_chart

    drawn = _drawn(
        answer, lambda found: pressure_chart(pressure_points(found, title=title), kind="svg")
    )
    return bytes(drawn)


def shim_chart(*, answer: Answer, title: str) -> bytes:
    """The chart of `fitcheck chart shim`.

    Parameters
    ----------
    answer : dict
        An answer of `fitcheck shim`.
    title : str
        What stands above it.
    """
    import_needed("matplotlib", what="this chart")
    from fitcheck.report.chart.answers import play_points
    from fitcheck.report.chart.curves import play_chart

    drawn = _drawn(answer, lambda found: play_chart(play_points(found, title=title), kind="svg"))
    return bytes(drawn)


_NO_FILE = ("output",)
answering(
    router,
    "/draw/seal",
    seal,
    command=draws.seal,
    without=_NO_FILE,
    example={"size": "90 x 120 x 12", "land": "89.98", "track": "89.60", "sleeve": "auto"},
    kept=True,
    media=SVG,
)
answering(
    router,
    "/draw/bearing",
    bearing,
    command=draws.bearing,
    without=_NO_FILE,
    example={"bearing": ["30206", "32208"], "position": "cap", "pack": "0.10x3"},
    kept=True,
    media=SVG,
)
answering(
    router,
    "/draw/shims",
    shims,
    command=draws.shims,
    without=_NO_FILE,
    example={"pack": "0.10x4,0.50x1"},
    kept=True,
    media=SVG,
)
answering(
    router,
    "/draw/places",
    places,
    command=draws.places,
    how="query",
    without=_NO_FILE,
    media=SVG,
)
for _name, _work, _command in (
    ("fit", fit_chart, charts.fit),
    ("candidates", candidates_chart, charts.candidates),
    ("oil", oil_chart, charts.oil),
    ("shim", shim_chart, charts.shim),
):
    answering(
        router,
        f"/chart/{_name}",
        _work,
        command=_command,
        without=(*_NO_FILE, "answer"),
        more={"answer": ANSWER},
        heavy=_name in ("oil", "shim"),
        media=SVG,
    )
