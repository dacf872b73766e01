"""`fitcheck oil`: how much oil goes in, and whether the lip holds when it gets warm."""

from __future__ import annotations

from typing import Any

import click

from fitcheck.cli.common import (
    Command,
    aligned,
    json_option,
    print_json,
    reading_option,
    unit_option,
)
from fitcheck.job.oil.answer import OilRequest, answer
from fitcheck.quantities import plain
from fitcheck.report.text import bullets, cautions_text, heading, verdict_text

EXAMPLES = """\b
Examples:
  fitcheck oil --volume 4l --shaft 80
  fitcheck oil --diameter 240 --length 150 --level 120 --shaft 90 --rpm 900rpm
  fitcheck oil --volume 2.5l --fill 0.7 --from-temp 15C --to-temp 90C \\
      --shaft 60 --json
  fitcheck oil --diameter 240 --length 150 --vented

A cavity is a horizontal cylinder, the level measured up from its lowest
point. Without --fill or --level the usual half is taken.
"""


@click.command(name="oil", cls=Command, epilog=EXAMPLES)
@click.option("--volume", default="", metavar="VOLUME", help="Volume of the cavity.")
@reading_option("--diameter", help="Or its diameter.")
@reading_option("--length", help="And its length.")
@click.option("--fill", default="", metavar="SHARE", help="Share that is filled, 0 to 1.")
@reading_option("--level", help="Or the level over the lowest point.")
@click.option("--from-temp", default="", metavar="TEMP", help="Temperature when it is closed.")
@click.option("--to-temp", default="", metavar="TEMP", help="Temperature at work.")
@click.option("--vented", is_flag=True, help="The hub has a breather.")
@reading_option("--shaft", help="Shaft of the lip seal.")
@click.option("--rpm", default="", metavar="SPEED", help="Speed; a fast lip holds less.")
@unit_option
@json_option
def oil(*, as_json: bool, **options: Any) -> None:
    """Say how much oil goes in and what its growth does to the lip.

    A sealed hub has only its head-space to take the growth of the oil. The
    pressure there is held against what a plain lip holds on that shaft and at
    that speed; too full is no-go.
    """
    found = answer(OilRequest(**options))
    if as_json:
        print_json(found)
        return
    shown = _as_it_is
    if found["unit"] == "in":
        from fitcheck.report.inch_text import in_inches, with_inches

        found, shown = in_inches(found), with_inches
    click.echo(f"Oil: {verdict_text(found['verdict'])}")
    for line in bullets(found["reasons"]):
        click.echo(line)
    no_go = found["verdict"] == "no-go"
    lines = [f"{'asked' if no_go else 'fill':<10}{found['fill_fraction']:.0%} of the cavity"]
    if found["volume_l"] is not None:
        word = "which is" if no_go else "put in"
        quantity = f"{found['volume_l']:.2f} l of {found['cavity_l']:.2f} l"
        lines.append(f"{word:<10}{quantity}")
    if found["level_mm"] is not None:
        lines.append(f"level     {plain(found['level_mm'])} mm over the lowest point")
    lines.append(f"pressure  {_bar(found['pressure_bar'])} at {found['to_c']:g} C")
    if found["limit_bar"] is not None:
        lines.append(f"limit     {found['limit_bar']:.2f} bar")
    if found["fill_at_limit"] is not None:
        most = found["fill_at_limit"]
        passes = found["level_passes"]
        sure = found["fill_go"]
        lines.append(
            f"at most   {_most_words(sure, most)}"
            if passes
            else "at most   no level passes; vent it"
        )
    click.echo(heading("Quantity"))
    for line in lines:
        click.echo(f"  {shown(line)}")
    click.echo(heading("Other fills"))
    rows = [
        [
            f"{row['fill_fraction']:.0%}",
            "" if row["volume_l"] is None else shown(f"{row['volume_l']:.2f} l"),
            shown(_bar(row["pressure_bar"])),
            verdict_text(row["verdict"]),
        ]
        for row in found["table"]
    ]
    for line in aligned(["fill", "oil", "pressure", "verdict"], rows, right={0, 1, 2}).split("\n"):
        click.echo(f"  {line}")
    click.echo(cautions_text(found["cautions"]))
    click.echo(heading("Sources"))
    for line in bullets(found["sources"]):
        click.echo(line)


def _most_words(sure: float | None, most: float) -> str:
    """The most that is a go, and the most that the lip holds at all."""
    if sure is None:
        return f"{most:.0%} full, and that is borderline"
    if sure >= most:
        return f"{most:.0%} full"
    return f"{sure:.0%} full; the lip holds {most:.0%} at the very most"


def _as_it_is(text: str) -> str:
    return text


def _bar(pressure_bar: float | None) -> str:
    return "no head-space" if pressure_bar is None else f"{pressure_bar:.2f} bar"
