"""`fitcheck seal`: which lip seal fits, from the seat or from the old seal."""

from __future__ import annotations

from typing import Any

import click

from fitcheck.cli.common import Command, json_option, print_json, reading_option, unit_option
from fitcheck.cli.offers import beyond, list_family, matched_against, no_offers_option, seal_offers
from fitcheck.identify import CERTAINTY
from fitcheck.job.answers import DEFAULT_TOP
from fitcheck.job.seal import PLACES, SealRequest, answer
from fitcheck.report.offers_text import candidate_offers, list_text
from fitcheck.report.text import cautions_text, checks_text, identification_text, sources_text

EXAMPLES = """\b
Examples:
  fitcheck seal --shaft 34.92 --bore 52.02
  fitcheck seal --shaft 34.92mm@micrometer --bore 52.02 --bore 52.04 \\
      --old-width 7.1
  fitcheck seal --shaft 1-3/8in --bore 2.126in --old-width 5/16in
  fitcheck seal --old-od 52.2 --old-lip 33.8 --old-width 7.1 --case rubber
  fitcheck seal --mark "35 5? 7" --bore 52
  fitcheck seal --shaft 34.93 --track 34.61 --bore 52.01 --rpm 300
  fitcheck lists add quay data/demo/lists/north_quay_invented.csv && \\
      fitcheck seal --shaft 34.92 --bore 52.02 --list quay

A reading may name its instrument (34.92mm@micrometer); a caliper is taken
otherwise. An option given several times is several readings of one place.

Where suppliers' lists are stored (see fitcheck lists), each size shows what
they offer for it, by grade (see fitcheck cross), then price. With --list the
sizes to choose from are those of that list instead of the standard tables.
"""

_HELP = {
    "shaft": "Unworn land of the shaft, beside the track.",
    "track": "Diameter in the worn track.",
    "bore": "Housing bore.",
    "pocket": "Depth of the seal's pocket.",
    "old-od": "Outside diameter of the old seal.",
    "old-lip": "Free inside diameter of the old lip.",
    "old-width": "Width of the old seal.",
}


def _reading_options(command: Any) -> Any:
    for place in reversed(PLACES):
        command = reading_option(f"--{place}", place.replace("-", "_"), help=_HELP[place])(command)
    return command


@click.command(name="seal", cls=Command, epilog=EXAMPLES)
@_reading_options
@click.option(
    "--mark", multiple=True, metavar="TEXT", help="What can be read on it; ? for a lost character."
)
@click.option("--case", type=click.Choice(["metal", "rubber"]), help="Case of the old seal.")
@reading_option("--shaft-end", help="Small end of the shaft's lead-in chamfer.")
@reading_option("--bore-chamfer", help="Length of the bore's lead-in chamfer.")
@click.option(
    "--bare-shaft", is_flag=True, help="You looked: no sleeve and no ring is on the shaft."
)
@reading_option("--groove-depth", help="Depth of the worn groove.")
@reading_option("--groove-width", help="Width of the worn groove.")
@click.option("--rpm", default="", metavar="SPEED", help="Shaft speed: 1500rpm or 4m/s.")
@click.option("--oil", default="", metavar="TEXT", help="What it seals in: gear oil, grease.")
@click.option("--oil-temp", default="", metavar="TEMP", help="Oil temperature: 80C or 176F.")
@click.option("--pressure", default="", metavar="PRESSURE", help="Pressure at the lip: 0.3bar.")
@click.option(
    "--list", "name", default="", metavar="NAME", help="Choose from a stored list's sizes."
)
@no_offers_option
@click.option("--top", default=DEFAULT_TOP, show_default=True, help="Sizes to list at most.")
@click.option(
    "--certainty", default=CERTAINTY, show_default=True, help="Share a size needs to be sure."
)
@unit_option
@json_option
def seal(
    *,
    mark: tuple[str, ...],
    case: str | None,
    shaft_end: tuple[str, ...],
    bore_chamfer: tuple[str, ...],
    bare_shaft: bool,
    groove_depth: tuple[str, ...],
    groove_width: tuple[str, ...],
    rpm: str,
    oil: str,
    oil_temp: str,
    pressure: str,
    name: str,
    no_offers: bool,
    top: int,
    certainty: float,
    unit: str,
    as_json: bool,
    **readings: tuple[str, ...],
) -> None:
    """Find the lip seal that fits, from the seat, the old seal or its mark.

    The answer lists the sizes that could be it with their probabilities, what
    else may explain the readings (a worn track, an earlier sleeve, mixed
    units), and the reading that would decide best between the rest.
    """
    listed = None
    if name:
        from fitcheck.lists.family import seal_list

        listed = list_family(
            name,
            lambda sizes, of: seal_list(sizes, name=of, case=case or "", bare_shaft=bare_shaft),
        )
    with beyond(listed):
        found = answer(
            SealRequest(
                readings={place: readings[place.replace("-", "_")] for place in PLACES},
                mark=mark,
                case=case or "",
                shaft_end=shaft_end,
                bore_chamfer=bore_chamfer,
                bare_shaft=bare_shaft,
                groove_depth=groove_depth,
                groove_width=groove_width,
                rpm=rpm,
                oil=oil,
                oil_temp=oil_temp,
                pressure=pressure,
                unit=unit,
                top=top,
                certainty=certainty,
            ),
            family=listed.family if listed else None,
        )
    if listed:
        found = matched_against(found, listed)
    if not no_offers:
        seal_offers(found, case=case or "", oil=oil)
    if as_json:
        print_json(found)
        return
    if unit == "in":
        from fitcheck.report.inch_text import in_inches

        found = in_inches(found)
    if listed:
        click.echo(list_text(found))
    click.echo(identification_text(found, what="seal", label="size", beside=candidate_offers))
    for text in (
        checks_text(found["checks"], title="Seats of the leading size", name="what"),
        _counterface_text(found),
        _duty_text(found),
        sources_text(found["sources"]),
        cautions_text(found["cautions"]),
    ):
        if text:
            click.echo(text)


def _counterface_text(found: dict[str, Any]) -> str:
    if "counterface" not in found:
        return ""
    from fitcheck.report.sleeve_text import ways_text

    return ways_text(found["counterface"])


def _duty_text(found: dict[str, Any]) -> str:
    if not found.get("duty"):
        return ""
    from fitcheck.report.duty_text import duty_text

    return duty_text(found["duty"])
