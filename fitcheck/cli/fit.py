"""`fitcheck fit`: what an ISO 286 class or fit allows, and whether measured parts hold it."""

from __future__ import annotations

import click

from fitcheck.cli.common import (
    Command,
    aligned,
    json_option,
    print_json,
    reading_option,
    terminal_width,
    unit_option,
    wrap,
)
from fitcheck.job.fit import FitFound, FitRequest, find_fit, fit_record
from fitcheck.limits_verdict import clearance_text, size_text, um_text
from fitcheck.quantities import plain
from fitcheck.units import MM_PER_INCH

EXAMPLES = """\b
Examples:
  fitcheck fit 30 H7/g6
  fitcheck fit 52 H8
  fitcheck fit 35 h11 --measured-shaft 34.92mm@micrometer
  fitcheck fit 30 K7/h6 --json
  fitcheck fit 62 N7/h6 --measured-hole 61.98@bore-gauge \\
      --measured-hole 61.99@bore-gauge --measured-shaft 61.995@micrometer

Capitals are holes, small letters are shafts. Nominal sizes run over 0 up to
and including 3150 mm. A class that ISO 286 does not define at a size is
refused; no neighbour is taken in its place.
"""


@click.command(name="fit", cls=Command, epilog=EXAMPLES)
@click.argument("nominal")
@click.argument("tolerance_class", metavar="CLASS")
@reading_option(
    "--measured-hole",
    "hole_texts",
    help="A reading of the hole, such as 30.012mm@bore-gauge; may be given several times.",
)
@reading_option(
    "--measured-shaft",
    "shaft_texts",
    help="A reading of the shaft, such as 29.98mm@micrometer; may be given several times.",
)
@unit_option
@json_option
def fit(
    *,
    nominal: str,
    tolerance_class: str,
    hole_texts: tuple[str, ...],
    shaft_texts: tuple[str, ...],
    unit: str,
    as_json: bool,
) -> None:
    """Give the limits of the ISO 286 class or fit CLASS at the size NOMINAL.

    CLASS is a hole (H7), a shaft (g6) or both (H7/g6). With measured parts the
    answer also says whether they hold: go when the part lies inside its limits
    by more than the reading is good to, or well inside on an instrument fine
    enough for the class, no-go when it lies outside by more, check between.
    """
    found = find_fit(FitRequest(nominal, tolerance_class, hole_texts, shaft_texts, unit))
    if as_json:
        print_json(fit_record(found))
    else:
        _show(found)


def _signed(value_um: float) -> str:
    return ("+" if value_um > 0 else "") + um_text(value_um)


def _show(found: FitFound) -> None:
    width = terminal_width()
    pair = found.pair
    classes = "/".join(part.tolerance_class for part in found.parts.values())
    kind = f"{pair.kind} fit" if pair else next(iter(found.parts))
    click.echo(f"{plain(round(found.nominal_mm, 6))} mm {classes}: {kind}")
    if found.judged:
        click.echo(f"Verdict: {found.verdict}")
    header = ["part", "class", "upper um", "lower um", "limits of size mm"]
    rows = [
        [
            kind,
            part.tolerance_class,
            _signed(part.upper_um),
            _signed(part.lower_um),
            f"{size_text(part.lower_mm)} to {size_text(part.upper_mm)}",
        ]
        for kind, part in found.parts.items()
    ]
    if found.inches:
        header.append("limits of size in")
        for row, part in zip(rows, found.parts.values(), strict=True):
            row.append(f"{part.lower_mm / MM_PER_INCH:.5f} to {part.upper_mm / MM_PER_INCH:.5f}")
    click.echo("\n" + aligned(header, rows, right={2, 3}, width=width) + "\n")
    if pair:
        click.echo(wrap(clearance_text(pair.min_clearance_um, pair.max_clearance_um), width=width))
    for line in (*found.reasons, *found.notes):
        click.echo(wrap(line, width=width, indent="- ", hanging="  "))
    for line in found.source.split("; "):
        click.echo(wrap(f"Source: {line}", width=width, hanging="  "))
