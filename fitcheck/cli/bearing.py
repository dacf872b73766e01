"""`fitcheck bearing`: which tapered bearing it is, and whether its seats still hold."""

from __future__ import annotations

from typing import Any

import click

from fitcheck.cli.common import Command, json_option, print_json, reading_option, unit_option
from fitcheck.cli.offers import (
    bearing_offers,
    beyond,
    list_family,
    matched_against,
    no_offers_option,
)
from fitcheck.identify import CERTAINTY
from fitcheck.job.answers import DEFAULT_TOP
from fitcheck.job.bearing import PLACES, SEATS, BearingRequest, answer
from fitcheck.report.offers_text import candidate_offers, list_text
from fitcheck.report.text import cautions_text, checks_text, identification_text, sources_text

EXAMPLES = """\b
Examples:
  fitcheck bearing --bore 30 --od 62 --width 17.3
  fitcheck bearing --bore 1.25in --od 2.328in
  fitcheck bearing --mark "L?670?8"
  fitcheck bearing --mark LM11949 --mark LM11710
  fitcheck bearing --bore 30 --od 62 --width 17.3 --turning hub \\
      --journal 29.986@micrometer --housing 61.97@bore-gauge
  fitcheck lists add quay data/demo/lists/north_quay_invented.csv && \\
      fitcheck bearing --bore 30 --od 62 --list quay

Where suppliers' lists are stored (see fitcheck lists), each bearing shows
what they offer for it; with --list only that list's bearings are looked at.

Inch bearings are a cone and a cup with a number each; give --mark once for
each number that can be read. A reading may name its instrument.
"""

_HELP = {
    "bore": "Bore of the cone.",
    "od": "Outside diameter of the cup.",
    "width": "Assembled width T, cone seated in the cup.",
    "cone-width": "Width B of the cone.",
    "cup-width": "Width C of the cup.",
    "thickness": "A width, not known which.",
    "journal": "Diameter of the journal the cone sits on.",
    "housing": "Diameter of the housing bore the cup sits in.",
}


def _reading_options(command: Any) -> Any:
    for place in reversed((*PLACES, *SEATS)):
        command = reading_option(f"--{place}", place.replace("-", "_"), help=_HELP[place])(command)
    return command


@click.command(name="bearing", cls=Command, epilog=EXAMPLES)
@_reading_options
@click.option(
    "--mark", multiple=True, metavar="TEXT", help="What can be read on it; ? for a lost character."
)
@click.option("--turning", type=click.Choice(["hub", "shaft"]), help="The member that turns.")
@click.option(
    "--housing-material",
    type=click.Choice(["steel", "iron", "light-alloy"]),
    default="steel",
    show_default=True,
    help="Material of the housing or hub.",
)
@click.option("--temperature", default="", metavar="TEMP", help="Of the hub at work, such as 80C.")
@click.option(
    "--list", "name", default="", metavar="NAME", help="Choose from a stored list's bearings."
)
@no_offers_option
@click.option("--top", default=DEFAULT_TOP, show_default=True, help="Bearings to list at most.")
@click.option(
    "--certainty", default=CERTAINTY, show_default=True, help="Share one needs to be sure."
)
@unit_option
@json_option
def bearing(
    *,
    mark: tuple[str, ...],
    turning: str | None,
    housing_material: str,
    temperature: str,
    name: str,
    no_offers: bool,
    top: int,
    certainty: float,
    unit: str,
    as_json: bool,
    **readings: tuple[str, ...],
) -> None:
    """Find the tapered bearing, from its dimensions or its marks.

    With --journal or --housing the seats are judged too: the class wanted by
    which member turns, the fit it gives, and whether the measured seat holds.
    A cone and a cup that do not belong together are refused with the right
    partners named.
    """
    listed = None
    if name:
        from fitcheck.lists.family import bearing_list

        listed = list_family(name, lambda sizes, of: bearing_list(sizes, name=of))
    with beyond(listed):
        found = answer(
            BearingRequest(
                readings={place: readings[place.replace("-", "_")] for place in (*PLACES, *SEATS)},
                mark=mark,
                turning=turning or "",
                housing_material=housing_material,
                temperature=temperature,
                unit=unit,
                top=top,
                certainty=certainty,
            ),
            family=listed.family if listed else None,
        )
    if listed:
        found = matched_against(found, listed)
    if not no_offers:
        bearing_offers(found)
    if as_json:
        print_json(found)
        return
    if unit == "in":
        from fitcheck.report.inch_text import in_inches

        found = in_inches(found)
    if listed:
        click.echo(list_text(found))
    click.echo(
        identification_text(found, what="bearing", label="designation", beside=candidate_offers)
    )
    for text in (
        checks_text(found.get("seats", ()), title="Seats of the leading bearing", name="seat"),
        sources_text(found["sources"]),
        cautions_text(found["cautions"]),
    ):
        if text:
            click.echo(text)
