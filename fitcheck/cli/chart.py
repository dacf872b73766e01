"""`fitcheck chart`: charts of answers, from the JSON that the answering commands print."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any, TypeVar

import click

from fitcheck.cli.common import Group, open_text
from fitcheck.cli.pictures import kind_of, write_bytes, write_svg
from fitcheck.errors import InputError

F = TypeVar("F", bound=Callable[..., Any])

EXAMPLES = """\b
Examples:
  fitcheck fit 30 H7/g6 --json | fitcheck chart fit - -o fit.svg
  fitcheck seal --shaft 34.92 --bore 52 --json \\
      | fitcheck chart candidates - -o candidates.svg

A chart is drawn from what an answering command prints with --json; - reads
that from stdin. Without -o an SVG goes to stdout.
"""

FIT_EXAMPLES = """\b
Examples:
  fitcheck fit 30 H7/g6 --json | fitcheck chart fit - -o fit.svg
  fitcheck fit 62 N7/h6 --measured-hole 61.98@bore-gauge --json \\
      | fitcheck chart fit -
"""

CANDIDATES_EXAMPLES = """\b
Examples:
  fitcheck seal --shaft 34.92 --bore 52 --json | fitcheck chart candidates -
  fitcheck bearing --bore 25 --od 62 --json \\
      | fitcheck chart candidates - -o candidates.svg
"""

OIL_EXAMPLES = """\b
Examples:
  fitcheck oil --volume 4l --shaft 90 --json | fitcheck chart oil - -o oil.svg
  fitcheck oil --volume 4l --fill 0.6 --to-temp 70C --json \\
      | fitcheck chart oil - -o oil.png

Drawn by matplotlib: pip install 'fitcheck[charts]'.
"""

SHIM_EXAMPLES = """\b
Examples:
  fitcheck shim --method end-play --measured 0.30 --fitted 0.20x3,0.10x2 \\
      --target 0.025..0.127mm --position cap --have 0.20x4 --json \\
      | fitcheck chart shim - -o play.svg

Drawn by matplotlib: pip install 'fitcheck[charts]'.
"""


@click.group(name="chart", cls=Group, epilog=EXAMPLES)
def chart() -> None:
    """Chart an answer: a fit, candidates, oil or shims."""


def _options(help_output: str) -> Callable[[F], F]:
    def add(command: F) -> F:
        for option in (
            click.option("--title", default="", metavar="TEXT", help="What stands above it."),
            click.option("-o", "--output", default="-", metavar="FILE", help=help_output),
            click.argument("answer", metavar="ANSWER"),
        ):
            command = option(command)
        return command

    return add


_SVG = _options("The file to write, ending in .svg; stdout without it.")
_SVG_OR_PNG = _options("The file to write, .svg or .png; SVG to stdout without it.")


def _answer(path: str) -> dict[str, Any]:
    """The JSON object of an answer."""
    with open_text(path) as handle:
        text = handle.read()
    try:
        found = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise _no_answer(path, "this is not readable JSON") from error
    if not isinstance(found, dict):
        raise _no_answer(path, "this is no JSON object")
    return found


def _no_answer(path: str, rule: str) -> InputError:
    return InputError(
        value="stdin" if path == "-" else path,
        rule=rule,
        todo="Give what an answering command prints with --json",
    )


@chart.command(name="fit", epilog=FIT_EXAMPLES)
@_SVG
def fit(*, answer: str, output: str, title: str) -> None:
    """Tolerance zones about the zero line, from an answer of `fitcheck fit`."""
    from fitcheck.report.chart.answers import fit_chart
    from fitcheck.report.chart.zones import fit_svg

    kind_of(output, kinds=("svg",))
    write_svg(output, fit_svg(fit_chart(_answer(answer), title=title)))


@chart.command(name="candidates", epilog=CANDIDATES_EXAMPLES)
@_SVG
@click.option("--certainty", default=0.95, show_default=True, help="Share a size needs to be sure.")
def candidates(*, answer: str, output: str, title: str, certainty: float) -> None:
    """How probable each size is, from an answer of `fitcheck seal` or `bearing`."""
    from fitcheck.report.chart.answers import shares_chart
    from fitcheck.report.chart.shares import shares_svg

    kind_of(output, kinds=("svg",))
    drawn = shares_chart(_answer(answer), title=title, certainty=certainty)
    write_svg(output, shares_svg(drawn))


@chart.command(name="oil", epilog=OIL_EXAMPLES)
@_SVG_OR_PNG
def oil(*, answer: str, output: str, title: str) -> None:
    """Hub pressure against temperature, from an answer of `fitcheck oil`."""
    from fitcheck.report.chart.answers import pressure_points
    from fitcheck.report.chart.curves import pressure_chart

    kind = kind_of(output, kinds=("svg", "png"))
    drawn = pressure_points(_answer(answer), title=title)
    write_bytes(output, pressure_chart(drawn, kind=kind))


@chart.command(name="shim", epilog=SHIM_EXAMPLES)
@_SVG_OR_PNG
def shim(*, answer: str, output: str, title: str) -> None:
    """End play against the pack, from an answer of `fitcheck shim`."""
    from fitcheck.report.chart.answers import play_points
    from fitcheck.report.chart.curves import play_chart

    kind = kind_of(output, kinds=("svg", "png"))
    drawn = play_points(_answer(answer), title=title)
    write_bytes(output, play_chart(drawn, kind=kind))
