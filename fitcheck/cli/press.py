"""`fitcheck press`: what a press or shrink fit carries and how to bring it together."""

from __future__ import annotations

from typing import Any

import click

from fitcheck.cli.common import Command, json_option, print_json, reading_option, unit_option
from fitcheck.job.press.answer import PressRequest, answer

EXAMPLES = """\b
Examples:
  fitcheck press --interface 60 --outer 90 --length 30 --fit H7/s6 \\
      --use collar
  fitcheck press --interface 62 --outer 110 --inner 54 --length 16 --use cup \\
      --interference 40um --outer-material cast-aluminium --service-temp 80C
  fitcheck press --interface 40 --outer 80 --inner 34@bore-gauge --length 30 \\
      --interference 0.03 --use bushing --pin 33.95@micrometer
  fitcheck press --interface 2.5in --outer 4in --length 1.5in \\
      --interference 1.5thou --heat-cap 275F --unit in --json

All sizes are diameters and the interference is on the diameter; without an
instrument, 0.05mm@micrometer, it is taken as exact, as worked out. A material is
a listed name (`fitcheck tables show materials/materials`), such a name with
values of its own (steel,yield=500) or values (e=200000,nu=0.3,alpha=11.7e-6).
The stresses and the heat are those of the tightest limit of a fit.
"""


@click.command(name="press", cls=Command, epilog=EXAMPLES)
@reading_option("--interface", help="Diameter of the fitted faces.")
@reading_option("--outer", help="Outside diameter of the outer ring.")
@reading_option("--inner", help="Bore of the inner part; 0 is solid.")
@reading_option("--length", help="Length of engagement.")
@reading_option("--interference", help="On the diameter; exact unless it names its instrument.")
@click.option("--fit", default="", metavar="FIT", help="ISO fit instead, such as H7/s6.")
@click.option("--outer-material", default="", metavar="MATERIAL", help="Of the outer ring.")
@click.option("--inner-material", default="", metavar="MATERIAL", help="Of the inner part.")
@click.option("--friction", default="", metavar="NUMBER", help="Coefficient of friction.")
@click.option(
    "--condition", default="", metavar="TEXT", help="Of the faces: dry, oiled (taken), shrink."
)
@click.option("--clearance", default="", metavar="LENGTH", help="Wanted when hot, on the diameter.")
@click.option("--room-temp", default="", metavar="TEMP", help="Room temperature; 20C is taken.")
@click.option("--use", default="", metavar="USE", help="collar, cup, bushing or sleeve.")
@click.option("--heat-cap", default="", metavar="TEMP", help="Hottest the machine's manual allows.")
@click.option("--service-temp", default="", metavar="TEMP", help="Of both parts in service.")
@click.option("--rpm", default="", metavar="SPEED", help="Speed in service.")
@reading_option("--outer-rz", help="Roughness Rz of the bore, in um.")
@reading_option("--inner-rz", help="Roughness Rz of the inner, in um.")
@reading_option("--pin", help="Pin that runs in the fitted bore.")
@reading_option("--measured-hole", help="Bore of the outer ring, to check the interference.")
@reading_option("--measured-shaft", help="Outside of the inner part, to check it.")
@unit_option
@json_option
def press(*, as_json: bool, unit: str, **options: Any) -> None:
    """Work out a press or shrink fit: pressure, stress, force, torque and heat.

    An outer ring sits with interference on a solid or hollow inner part. The
    answer has the stress in both parts beside their strength, the force to
    press it, what it holds, the temperature to slip it on beside the heating
    cap, and what roughness, service temperature and speed take away.
    """
    found = answer(PressRequest(unit=unit, **options))
    if as_json:
        print_json(found)
        return
    from fitcheck.report.press_text import press_text

    click.echo(press_text(found, unit=unit))
