"""`fitcheck draw`: drawings to scale as SVG, one sub-command for each kind."""

from __future__ import annotations

from typing import Any

import click

from fitcheck.cli.common import Group, open_text, reading_option, unit_option
from fitcheck.cli.pictures import svg_output_option, write_svg, write_svgs
from fitcheck.errors import printable

EXAMPLES = """\b
Examples:
  fitcheck draw seal --size "35 x 52 x 7" -o seal.svg
  fitcheck draw bearing 30206 -o bearing.svg
  fitcheck draw shims --pack "0.10x4,0.50x1" -o pack.svg
  fitcheck draw places -o where-to-measure.svg
  fitcheck draw sheet data/demo/winch.toml -o drawings

A drawing is an SVG file of 120 mm width, in black on white, with its scale and
a scale bar. Without -o it goes to stdout.
"""

SEAL_EXAMPLES = """\b
Examples:
  fitcheck draw seal --size "35 x 52 x 7" -o seal.svg
  fitcheck draw seal --size "35 x 52 x 7" --pocket 9 --bore-chamfer 1.2
  fitcheck draw seal --size "90 x 120 x 12" --land 89.98 --track 89.60 \\
      --groove-width 1.6 --lip-at 22 --sleeve auto -o sleeve.svg
  fitcheck draw seal --size "35 x 52 x 7" --land 34.97 --groove-depth 0.06 \\
      --groove-width 1.2 --pocket 12 --lip-at 20 --move 2.6 -o moved.svg
"""

BEARING_EXAMPLES = """\b
Examples:
  fitcheck draw bearing 30206 -o bearing.svg
  fitcheck draw bearing LM11949/LM11910
  fitcheck draw bearing 30206 32208 --position cap --pack 0.10x3,0.20x1

The first of two bearings stands at the shaft end.
"""

SHIMS_EXAMPLES = """\b
Examples:
  fitcheck draw shims --pack "0.10x4,0.50x1" -o pack.svg
  fitcheck draw shims --pack "0.20=0.198x2,0.05" --position cap
  fitcheck draw shims --pack 0.004x3,0.010x1 --unit in
"""

PLACES_EXAMPLES = """\b
Examples:
  fitcheck draw places -o where-to-measure.svg
  fitcheck draw places --panel bearing --panel gap
"""

SHEET_EXAMPLES = """\b
Examples:
  fitcheck draw sheet data/demo/winch.toml -o drawings
  fitcheck hub --blank > sheet.toml

One file for each position that is decided, named after it; files of the same
name in the folder are replaced.
"""

_READINGS = {
    "land": "Unworn land of the shaft, beside the track.",
    "track": "Diameter in the worn track.",
    "groove-depth": "Or the depth of the groove: one side.",
    "groove-width": "Width of the track.",
    "lip-at": "From the shaft end to the middle of the track.",
    "pocket": "Depth of the pocket, face to shoulder.",
    "room": "Free bore beyond the seal.",
    "shaft-end": "Small end of the shaft's lead-in chamfer.",
    "bore-chamfer": "Length of the bore's lead-in chamfer.",
}


@click.group(name="draw", cls=Group, epilog=EXAMPLES)
def draw() -> None:
    """Draw seals, bearings, shims and a whole sheet, to scale."""


def _reading_options(command: Any) -> Any:
    for place in reversed(_READINGS):
        command = reading_option(f"--{place}", place.replace("-", "_"), help=_READINGS[place])(
            command
        )
    return command


@draw.command(name="seal", epilog=SEAL_EXAMPLES)
@click.option("--size", required=True, metavar="SIZE", help="The seal: shaft x bore x width.")
@_reading_options
@click.option("--move", default="", metavar="LENGTH", help="Seat it deeper; outward below zero.")
@click.option("--sleeve", default="", metavar="NAME", help="A listed thin sleeve, or auto.")
@click.option("--filled", is_flag=True, help="The groove is filled.")
@click.option(
    "--case", type=click.Choice(["metal", "rubber"]), default="metal", help="Case of the seal."
)
@click.option("--title", default="", metavar="TEXT", help="What stands above it.")
@unit_option
@svg_output_option
def seal(
    *,
    size: str,
    move: str,
    sleeve: str,
    filled: bool,
    case: str,
    title: str,
    unit: str,
    output: str,
    **readings: tuple[str, ...],
) -> None:
    """Draw a lip seal in its bore, half of it in section.

    Groove, sleeve, pocket and chamfers are drawn where the readings say. What
    is too small to be seen is shown again in a detail with a scale of its own.
    What speaks against the size is said in the drawing and on stderr; what can
    not be is refused.
    """
    from fitcheck.report.drawing.asked import asked_seal

    drawn, doubts = asked_seal(
        size=size,
        readings=readings,
        move=move,
        sleeve=sleeve,
        filled=filled,
        case=case,
        title=title,
        unit=unit,
    )
    write_svg(output, drawn)
    for doubt in doubts:
        click.echo(f"fitcheck: {doubt}", err=True)


@draw.command(name="bearing", epilog=BEARING_EXAMPLES)
@click.argument("designations", metavar="BEARING...", nargs=-1, required=True)
@click.option(
    "--position",
    type=click.Choice(["cap", "retainer", "behind-cup", "spacer"]),
    help="Where the shims of a pair sit.",
)
@click.option("--pack", default="", metavar="PACK", help="The shims there: 0.10x4,0.50x1.")
@click.option("--title", default="", metavar="TEXT", help="What stands above it.")
@unit_option
@svg_output_option
def bearing(
    *,
    designations: tuple[str, ...],
    position: str | None,
    pack: str,
    title: str,
    unit: str,
    output: str,
) -> None:
    """Draw a tapered bearing, or a pair on a shaft and in a hub with its shims."""
    from fitcheck.report.drawing.asked import asked_bearings

    drawn = asked_bearings(
        designations=designations, position=position or "", pack=pack, title=title, unit=unit
    )
    write_svg(output, drawn)


@draw.command(name="shims", epilog=SHIMS_EXAMPLES)
@click.option("--pack", required=True, metavar="PACK", help="The shims: 0.10x4,0.50x1.")
@click.option(
    "--position",
    type=click.Choice(["cap", "retainer", "behind-cup", "spacer"]),
    help="Where they sit.",
)
@click.option("--title", default="", metavar="TEXT", help="What stands above it.")
@unit_option
@svg_output_option
def shims(*, pack: str, position: str | None, title: str, unit: str, output: str) -> None:
    """Draw a shim pack, the thickest next to the flange."""
    from fitcheck.report.drawing.asked import asked_shims

    drawn = asked_shims(pack=pack, position=position or "", title=title, unit=unit)
    write_svg(output, drawn)


@draw.command(name="places", epilog=PLACES_EXAMPLES)
@click.option(
    "--panel",
    "panels",
    multiple=True,
    type=click.Choice(["seat", "old-seal", "bearing", "gap"]),
    help="Only this part; may be given several times.",
)
@svg_output_option
def places(*, panels: tuple[str, ...], output: str) -> None:
    """Draw where the readings of a bench sheet are taken."""
    from fitcheck.report.drawing.places import PANELS, places_svg

    write_svg(output, places_svg(panels or tuple(PANELS)))


@draw.command(name="sheet", epilog=SHEET_EXAMPLES)
@click.argument("sheet", metavar="SHEET")
@click.option("-o", "--output", required=True, metavar="FOLDER", help="Where the files go.")
def sheet(*, sheet: str, output: str) -> None:
    """Draw every decided position of the bench sheet SHEET; - reads it from stdin."""
    from fitcheck.cli.offers import sheet_card
    from fitcheck.job.drawn import sheet_extras
    from fitcheck.job.sheet import parse_sheet
    from fitcheck.report.drawing.answers import card_drawings

    with open_text(sheet) as handle:
        parsed = parse_sheet(handle.read(), name="stdin" if sheet == "-" else sheet)
    card = sheet_card(parsed)
    drawn = card_drawings(card, unit=parsed.job.unit, extra=sheet_extras(parsed))
    for title, path in write_svgs(output, drawn).items():
        click.echo(f"{path}  {printable(title)}")
    left_out = [
        printable(p["name"])
        for p in card["positions"]
        if p["kind"] in ("seal", "bearing", "shims", "pivot") and p["name"] not in drawn
    ]
    if left_out:
        click.echo(f"not decided, so not drawn: {', '.join(left_out)}")
