"""Endpoints for one part at a time: seals, bearings, fits, shims, and each family of parts."""

from __future__ import annotations

from functools import partial
from typing import Any

from fastapi import APIRouter

from fitcheck.cli.bearing import bearing as bearing_command
from fitcheck.cli.fit import fit as fit_command
from fitcheck.cli.offers import (
    bearing_offers,
    beyond,
    list_family,
    matched_against,
    seal_offers,
    sleeve_offers,
)
from fitcheck.cli.oil import oil as oil_command
from fitcheck.cli.part import asked_of, part_command
from fitcheck.cli.press import press as press_command
from fitcheck.cli.seal import seal as seal_command
from fitcheck.cli.shim import shim as shim_command
from fitcheck.cli.sleeve import sleeve as sleeve_command
from fitcheck.job import bearing as bearing_job
from fitcheck.job import fit as fit_job
from fitcheck.job import seal as seal_job
from fitcheck.job import sleeve as sleeve_job
from fitcheck.job.oil import answer as oil_job
from fitcheck.job.press import answer as press_job
from fitcheck.job.shim import answer as shim_job
from fitcheck.parts.kind import kind, kind_names
from fitcheck.web.api.routes import Answer, answering

router = APIRouter(tags=["one part"])


def seal(*, name: str, no_offers: bool, case: str, **options: Any) -> Answer:
    """The answer of `fitcheck seal`.

    Parameters
    ----------
    name : str
        A stored list to choose from.
    no_offers : bool
        Whether the shop's lists are left alone.
    case : str
        The old seal's case.
    **options
        The other options of the command.
    """
    listed = None
    if name:
        from fitcheck.lists.family import seal_list

        bare = bool(options["bare_shaft"])
        listed = list_family(
            name, lambda sizes, of: seal_list(sizes, name=of, case=case, bare_shaft=bare)
        )
    readings = {place: options.pop(place.replace("-", "_")) for place in seal_job.PLACES}
    request = seal_job.SealRequest(readings=readings, case=case, **options)
    with beyond(listed):
        found = seal_job.answer(request, family=listed.family if listed else None)
    if listed:
        found = matched_against(found, listed)
    if not no_offers:
        seal_offers(found, case=case, oil=request.oil)
    return found


def bearing(*, name: str, no_offers: bool, **options: Any) -> Answer:
    """The answer of `fitcheck bearing`.

    Parameters
    ----------
    name : str
        A stored list to choose from.
    no_offers : bool
        Whether the shop's lists are left alone.
    **options
        The other options of the command.
    """
    listed = None
    if name:
        from fitcheck.lists.family import bearing_list

        listed = list_family(name, lambda sizes, of: bearing_list(sizes, name=of))
    places = (*bearing_job.PLACES, *bearing_job.SEATS)
    readings = {place: options.pop(place.replace("-", "_")) for place in places}
    with beyond(listed):
        found = bearing_job.answer(
            bearing_job.BearingRequest(readings=readings, **options),
            family=listed.family if listed else None,
        )
    if listed:
        found = matched_against(found, listed)
    if not no_offers:
        bearing_offers(found)
    return found


def sleeve(*, no_offers: bool = False, **options: Any) -> Answer:
    """The answer of `fitcheck sleeve`.

    Parameters
    ----------
    no_offers : bool
        Whether the shop's lists are left alone.
    **options
        The other options of the command.
    """
    found = sleeve_job.answer(sleeve_job.SleeveRequest(**options))
    if not no_offers:
        sleeve_offers(found)
    return found


def fit(
    *,
    nominal: str,
    tolerance_class: str,
    hole_texts: tuple[str, ...],
    shaft_texts: tuple[str, ...],
    unit: str,
) -> Answer:
    """The answer of `fitcheck fit`.

    Parameters
    ----------
    nominal, tolerance_class : str
        Size and class.
    hole_texts, shaft_texts : tuple of str
        What was measured.
    unit : str
        ``mm`` or ``in``, of lengths that name none.
    """
    return fit_job.answer(
        fit_job.FitRequest(nominal, tolerance_class, hole_texts, shaft_texts, unit)
    )


def press(**options: Any) -> Answer:
    """The answer of `fitcheck press`.

    Parameters
    ----------
    **options
        The options of the command.
    """
    return press_job.answer(press_job.PressRequest(**options))


def shim(**options: Any) -> Answer:
    """The answer of `fitcheck shim`.

    Parameters
    ----------
    **options
        The options of the command.
    """
    return shim_job.answer(shim_job.ShimRequest(**options))


def oil(**options: Any) -> Answer:
    """The answer of `fitcheck oil`.

    Parameters
    ----------
    **options
        The options of the command.
    """
    return oil_job.answer(oil_job.OilRequest(**options))


def _example(line: str) -> dict[str, str]:
    """A line of options as the body of a request."""
    words = line.split()
    return {
        flag.removeprefix("--").replace("-", "_"): value
        for flag, value in zip(words[::2], words[1::2], strict=True)
    }


def warm() -> None:
    """Read the tables of sizes once, so that nobody waits for them."""
    seal_job.answer(seal_job.SealRequest(readings={"shaft": ("35",)}))
    bearing_job.answer(bearing_job.BearingRequest(readings={"bore": ("30",)}))


answering(
    router,
    "/seal",
    seal,
    command=seal_command,
    example={"shaft": "34.92mm@micrometer", "bore": ["52.02", "52.04"]},
    kept=True,
    quick=True,
)
answering(
    router,
    "/bearing",
    bearing,
    command=bearing_command,
    example={"bore": "30", "od": "62", "width": "17.3"},
    kept=True,
    quick=True,
)
answering(
    router,
    "/sleeve",
    sleeve,
    command=sleeve_command,
    without=("all",),
    example={"shaft": "34.97mm@micrometer", "track": "34.71mm@micrometer"},
    kept=True,
    quick=True,
)
answering(
    router,
    "/fit",
    fit,
    command=fit_command,
    example={"nominal": "30", "class": "H7/g6"},
    kept=True,
    quick=True,
)
answering(
    router,
    "/press",
    press,
    command=press_command,
    example={"interface": "60", "outer": "90", "length": "30", "fit": "H7/s6", "use": "collar"},
    kept=True,
    quick=True,
)
answering(
    router,
    "/shim",
    shim,
    command=shim_command,
    example={"method": "free-gap", "measured": ["0.50", "0.52"], "use": "kingpin-cap"},
    kept=True,
    quick=True,
)
answering(
    router,
    "/oil",
    oil,
    command=oil_command,
    example={"volume": "4l", "shaft": "80"},
    kept=True,
    quick=True,
)
# Every family that its tables describe has an endpoint of its own.
for _name in kind_names():
    answering(
        router,
        f"/part/{_name}",
        partial(asked_of, _name),
        command=part_command(_name),
        example=_example(kind(_name).example),
        kept=True,
    )
