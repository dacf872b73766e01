"""`fitcheck shim`: which shims bring a bearing to its setting."""

from __future__ import annotations

from typing import Any

import click

from fitcheck.cli.common import Command, json_option, print_json, reading_option, unit_option
from fitcheck.job.shim.answer import ShimRequest, answer
from fitcheck.job.shim.nut import steps_to_do
from fitcheck.report.text import bullets, cautions_text, heading, paragraph, verdict_text
from fitcheck.setup.settings import CONDITIONS, METHODS, MOUNTINGS, POSITIONS
from fitcheck.units import MM_PER_INCH

EXAMPLES = """\b
Examples:
  fitcheck shim --method end-play --measured 0.30@indicator \\
      --position cap --use trailer-wheel --fitted "0.20x3,0.10x2" \\
      --have "0.05x4,0.10x4"
  fitcheck shim --method free-gap --measured 0.50 --measured 0.52 \\
      --use kingpin-cap --have "0.10x10"
  fitcheck shim --method lead --measured 1.21 --measured 1.23 \\
      --have "1.00x2,0.20x2,0.10=0.102x4"
  fitcheck shim --method drag --pull 24lbf --radius 8-5/16in \\
      --use loader-hub --condition new

The five methods differ in what is taken off, and are never mixed. A pack is
written thickness x count; a thickness that was measured follows its label,
0.10=0.102x4; a lone thickness, --fitted 0.80mm, is a pack of unknown shims.
`fitcheck tables show settings/uses` lists the uses.
"""


@click.command(name="shim", cls=Command, epilog=EXAMPLES)
@click.option("--method", type=click.Choice(METHODS), help="How the setting was measured.")
@reading_option(
    "--measured",
    help="End play, gap, crushed thickness, or torque; may be given several times.",
)
@click.option("--fitted", default="", metavar="PACK", help="The pack that is fitted or came out.")
@reading_option("--pack-measured", help="That pack, measured as a whole.")
@click.option(
    "--target",
    default="",
    metavar="LOW..HIGH",
    help="The range wanted; a torque may say what it is of, like '3..5lbf.ft rise' or "
    "'15..20lbf.ft total'.",
)
@click.option("--use", default="", metavar="NAME", help="A use that has a range in the tables.")
@click.option("--condition", type=click.Choice(CONDITIONS), help="Whether the bearings are new.")
@click.option("--position", type=click.Choice(POSITIONS), help="Where the shims sit.")
@click.option("--have", multiple=True, metavar="SHIMS", help="The shims on the shelf.")
@click.option(
    "--tolerance", default="", metavar="LENGTH", help="How far the pack may be off, for gaps."
)
@reading_option("--pull", metavar="FORCE", help="Pull that keeps it turning; several times.")
@reading_option("--radius", help="Radius that the pull acts at.")
@reading_option("--diameter", help="Or the diameter that the cord is wound on.")
@reading_option(
    "--base-drag",
    metavar="TORQUE",
    help="Running drag with the bearings slack, as a torque or a pull.",
)
@reading_option("--span", help="Cup to cup, for what heat does.")
@click.option("--housing", default="", metavar="MATERIAL", help="Material of the housing.")
@click.option(
    "--shaft-material",
    default="steel",
    show_default=True,
    metavar="MATERIAL",
    help="Material of the shaft.",
)
@click.option("--service-temp", default="", metavar="TEMP", help="Temperature at work.")
@click.option("--room-temp", default="", metavar="TEMP", help="Temperature when it is set.")
@click.option("--mounting", type=click.Choice(MOUNTINGS), help="How the pair is mounted.")
@unit_option
@json_option
def shim(
    *,
    method: str | None,
    condition: str | None,
    position: str | None,
    mounting: str | None,
    as_json: bool,
    **texts: Any,
) -> None:
    """Find the pack of shims that brings a bearing to its setting.

    The answer says what to add or remove, which shims of those at hand make
    the pack (the fewest, then nearest the middle), and what to expect when it
    is measured again.
    """
    found = answer(
        ShimRequest(
            method=method or "",
            condition=condition or "",
            position=position or "",
            mounting=mounting or "",
            **texts,
        )
    )
    if as_json:
        print_json(found)
        return
    if texts["unit"] == "in":
        from fitcheck.report.inch_text import in_inches

        found = in_inches(found)
    click.echo(f"Setting by {found['method']}: {verdict_text(found['verdict'])}")
    for line in bullets(found["reasons"]):
        click.echo(line)
    _show_pack(found)
    if found["measure_again"]:
        nut = found["direction"] in ("tighten", "loosen")
        stays = found["direction"] == "none" and found["method"] in ("end-play", "drag")
        when = " after setting" if nut else "" if stays else " after fitting"
        click.echo(heading(f"Measure again{when}"))
        click.echo(paragraph(found["measure_again"], indent="  "))
    steps = steps_to_do(found)
    if steps:
        click.echo(heading("Nut"))
        for number, step in enumerate(steps, 1):
            click.echo(paragraph(step, indent=f"  {number}. ", hanging="     "))
    click.echo(cautions_text(found["cautions"]))
    click.echo(heading("Sources"))
    for line in bullets(found["sources"]):
        click.echo(line)


def _show_pack(found: dict[str, Any]) -> None:
    inches = found["unit"] == "in"
    lines = []
    if found["pack_mm"] is not None:
        lines.append(f"wanted    {_mm(found['pack_mm'], inches)}, the middle of what would do")
    change = _change(found, inches)
    if change:
        lines.append(f"change    {change}")
    lines += [f"buy       {_shim(shim, inches)}" for shim in found["buy"]]
    bought = found["with_bought"]
    lines += [f"take      {_shim(pick, inches)}" for pick in (bought or found)["picks"]]
    counted_in = found["counted_in"] or (
        bought and {"count": bought["count"], "mm": bought["total_mm"]}
    )
    for counted, place in ((found["counted_out"], "out"), (counted_in, "in")):
        if counted:
            lines.append(f"{place:<10}{_shims(counted['count'])}, {_mm(counted['mm'], inches)}")
    lines += [f"left over {_shim(shim, inches)}" for shim in found["left_over"]]
    for name, word in (("expected_mm", "expect"), ("expected_hot_mm", "warm")):
        if found.get(name) is not None:
            kind = "end play" if found[name] >= 0 else "preload"
            lines.append(f"{word:<10}{_mm(abs(found[name]), inches)} {kind}")
    if lines:
        click.echo(heading("Setting"))
        if found["only_after"]:
            click.echo(paragraph(f"only after {found['only_after']}:", indent="  "))
        for line in lines:
            click.echo(paragraph(line, indent="  ", hanging=" " * 12))


def _change(found: dict[str, Any], inches: bool) -> str:
    """What to add or remove: what the shims come to, and what would reach the middle."""
    direction, middle = found["direction"], found["change_mm"]
    # Where no pack was fitted the whole pack goes in; a pack too thin has nothing to remove.
    whole = found["method"] not in ("end-play", "drag") and found["fitted_mm"] is None
    too_thin = middle is None and found["method"] == "end-play" and found["position"]
    if direction == "none" or whole or too_thin:
        return ""
    if middle is None:
        what = "the thinnest shim" if direction in ("add", "remove") else "the nut in small steps"
        return f"{direction} {what}, then read again"
    bought = found["with_bought"]
    reached = bought["total_mm"] if bought else found["picked_mm"]
    changed = middle if reached is None else abs(reached - (found["fitted_mm"] or 0.0))
    if abs(changed - middle) < 0.0005:
        return f"{direction} {_mm(middle, inches)}"
    return f"{direction} {_mm(changed, inches)} ({_mm(middle, inches)} would reach the middle)"


def _mm(value_mm: float, inches: bool) -> str:
    text = f"{value_mm:.3f} mm"
    return f"{value_mm / MM_PER_INCH:.4f} in ({text})" if inches else text


def _shim(shim: dict[str, Any], inches: bool) -> str:
    label = f", labelled {_thickness(shim['label_mm'], inches)}" if "label_mm" in shim else ""
    return f"{shim['count']} x {_thickness(shim['thickness_mm'], inches)}{label}"


def _thickness(value_mm: float, inches: bool) -> str:
    text = f"{value_mm:g} mm"
    return f"{value_mm / MM_PER_INCH:.4f} in ({text})" if inches else text


def _shims(count: int) -> str:
    return "no shim" if not count else f"{count} shim{'s' if count > 1 else ''}"
