"""`fitcheck sleeve`: what can be done about a worn counterface."""

from __future__ import annotations

from typing import Any

import click

from fitcheck.cli.common import Command, json_option, print_json, reading_option, unit_option
from fitcheck.cli.offers import no_offers_option, sleeve_offers
from fitcheck.job.sleeve import SleeveRequest, answer
from fitcheck.report.sleeve_text import sleeve_text

EXAMPLES = """\b
Examples:
  fitcheck sleeve --shaft 34.97mm@micrometer --track 34.71mm@micrometer
  fitcheck sleeve --shaft 34.97 --shaft 34.98 --shaft 34.97 --track 34.90 \\
      --groove-width 1.2 --lip-at 20 --room 4 --seal "35 x 52 x 7"
  fitcheck sleeve --unit in --shaft 2.248@micrometer --track 2.244@micrometer
  fitcheck sleeve --shaft 1-3/8in --groove-depth 12thou --rpm 300rpm \\
      --seal "1.375 x 2.125 x 0.313 in"
  fitcheck sleeve --shaft 60.01 --pitted --seal 60x80x10 --json

The depth of a groove is half the difference of the two diameters. A reading may
name its instrument (34.92mm@micrometer); a caliper is taken otherwise. An
option given several times is several readings of one place.
"""

_LENGTHS = {
    "shaft": "Diameter of the unworn land beside the track.",
    "track": "Diameter in the worn track.",
    "groove-depth": "Depth of the groove on one side: a depth, no diameter.",
    "groove-width": "Width of the track.",
    "lip-at": "From the shaft end to the middle of the track.",
    "room": "Free depth of the bore beyond the seal.",
    "shaft-end": "Small end of the chamfer at the shaft's end.",
}


def _length_options(command: Any) -> Any:
    for place in reversed(_LENGTHS):
        command = reading_option(f"--{place}", place.replace("-", "_"), help=_LENGTHS[place])(
            command
        )
    return command


@click.command(name="sleeve", cls=Command, epilog=EXAMPLES)
@_length_options
@click.option("--rpm", default="", metavar="SPEED", help="Shaft speed: 1500rpm or 4m/s.")
@click.option("--seal", default="", metavar="SIZE", help="The seal that runs there: 35x52x7.")
@click.option("--pitted", is_flag=True, help="The track is pitted, or scored along the shaft.")
@click.option("--oval", is_flag=True, help="The shaft is out of round.")
@click.option("--all", "every", is_flag=True, help="Show the work of every way, not the first's.")
@no_offers_option
@unit_option
@json_option
def sleeve(
    *,
    shaft: tuple[str, ...],
    track: tuple[str, ...],
    groove_depth: tuple[str, ...],
    groove_width: tuple[str, ...],
    lip_at: tuple[str, ...],
    room: tuple[str, ...],
    shaft_end: tuple[str, ...],
    rpm: str,
    seal: str,
    pitted: bool,
    oval: bool,
    every: bool,
    no_offers: bool,
    unit: str,
    as_json: bool,
) -> None:
    """Say what can be done about a worn counterface, and with which sleeve.

    The answer ranks the ways out: polish the track, move the lip, a thin
    sleeve, a thick sleeve, the next seal up in the same bore, or replacing the
    part, each with reasons, parts to order, dimensions and work. The ladder of
    depths is a table that the shop may edit: counterface/groove_ladder.
    """
    found = answer(
        SleeveRequest(
            shaft=shaft,
            track=track,
            groove_depth=groove_depth,
            groove_width=groove_width,
            lip_at=lip_at,
            room=room,
            shaft_end=shaft_end,
            rpm=rpm,
            seal=seal,
            pitted=pitted,
            oval=oval,
            unit=unit,
        )
    )
    if not no_offers:
        sleeve_offers(found)
    if as_json:
        print_json(found)
    else:
        click.echo(sleeve_text(found, inches=unit == "in", every=every))
