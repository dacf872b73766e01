"""`fitcheck fit`: what an ISO 286 class or fit allows, and whether measured parts hold it."""

from __future__ import annotations

from typing import Any

import click

from fitcheck import limits as iso
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
from fitcheck.errors import InputError
from fitcheck.limits_verdict import (
    Judgement,
    MeasuredFit,
    clearance_text,
    judge,
    measured_fit,
    size_text,
    um_text,
)
from fitcheck.quantities import Quantity, length, plain
from fitcheck.readings import read
from fitcheck.units import MM_PER_INCH
from fitcheck.verdicts import worst

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
    size = length(nominal, unit=unit)
    # Converted inches end in binary dust; a size step must not be missed by it.
    nominal_mm = round(size.value, 9)
    pair: iso.Fit | None = None
    parts: dict[str, iso.Limits] = {}
    if "/" in tolerance_class:
        hole, shaft = iso.parse_fit(tolerance_class)
        pair = iso.fit(nominal_mm=nominal_mm, hole_class=hole.text, shaft_class=shaft.text)
        parts = {"hole": pair.hole, "shaft": pair.shaft}
    else:
        found = iso.class_limits(nominal_mm=nominal_mm, tolerance_class=tolerance_class)
        parts = {found.kind: found}
    judged = _judged(parts, {"hole": hole_texts, "shaft": shaft_texts}, unit)
    together = (
        measured_fit(fit=pair, hole=judged["hole"], shaft=judged["shaft"])
        if pair is not None and len(judged) == 2
        else None
    )
    notes = _notes(size, nominal_mm)
    if as_json:
        record = _record(
            nominal_mm=nominal_mm,
            parts=parts,
            pair=pair,
            judged=judged,
            together=together,
            notes=notes,
        )
        print_json(record)
    else:
        _show(
            inches=size.unit == "in",
            nominal_mm=nominal_mm,
            parts=parts,
            pair=pair,
            judged=judged,
            together=together,
            notes=notes,
        )


def _judged(
    parts: dict[str, iso.Limits], texts: dict[str, tuple[str, ...]], unit: str
) -> dict[str, Judgement]:
    judged: dict[str, Judgement] = {}
    for kind, given in texts.items():
        if not given:
            continue
        if kind not in parts:
            other = next(iter(parts.values()))
            example = "H7" if kind == "hole" else "g6"
            raise InputError(
                value=f"--measured-{kind} {given[0]}",
                rule=f"the class {other.tolerance_class} is that of a {other.kind}, and there is "
                f"no limit to judge a {kind} by",
                todo=f"Give both classes, like H7/g6, or the class of the {kind}, like {example}",
            )
        reading = read(place=f"measured {kind}", texts=given, unit=unit)
        judged[kind] = judge(limits=parts[kind], reading=reading)
    return judged


def _notes(size: Quantity, nominal_mm: float) -> list[str]:
    if size.unit == "mm":
        return []
    return [
        f"{plain(size.amount)} {size.unit} is {plain(round(nominal_mm, 6))} mm; ISO 286 steps are "
        "those of that size"
    ]


def _verdict(judged: dict[str, Judgement]) -> str:
    return worst(*(part.verdict for part in judged.values()))


def _reasons(judged: dict[str, Judgement], together: MeasuredFit | None) -> list[str]:
    reasons = [reason for part in judged.values() for reason in part.reasons]
    return [*reasons, together.reason] if together else reasons


def _number(value: float) -> float | int:
    """A whole number as an integer, so that JSON says 21 and not 21.0."""
    rounded = round(value, 6)
    return int(rounded) if rounded == int(rounded) else rounded


def _source(parts: dict[str, iso.Limits], pair: iso.Fit | None) -> str:
    return pair.source if pair else next(iter(parts.values())).source


def _record(
    *,
    nominal_mm: float,
    parts: dict[str, iso.Limits],
    pair: iso.Fit | None,
    judged: dict[str, Judgement],
    together: MeasuredFit | None,
    notes: list[str],
) -> dict[str, Any]:
    record: dict[str, Any] = {"nominal_mm": _number(nominal_mm)}
    for kind, part in parts.items():
        record[kind] = {
            "class": part.tolerance_class,
            "upper_um": _number(part.upper_um),
            "lower_um": _number(part.lower_um),
        }
    if pair is not None:
        record["clearance_um"] = {
            "max": _number(pair.max_clearance_um),
            "min": _number(pair.min_clearance_um),
        }
        record["kind"] = pair.kind
    record["source"] = _source(parts, pair)
    if judged:
        measured: dict[str, Any] = {
            kind: {
                "measured_mm": _number(part.measured_mm),
                "deviation_um": _number(round(part.deviation_um, 3)),
                "uncertainty_um": _number(round(part.uncertainty_um, 3)),
                "instrument": part.instrument,
                "verdict": part.verdict,
            }
            for kind, part in judged.items()
        }
        if together is not None:
            measured["clearance_um"] = _number(round(together.clearance_um, 3))
            measured["clearance_uncertainty_um"] = _number(round(together.uncertainty_um, 3))
        record["measured"] = measured
        record["verdict"] = _verdict(judged)
        record["reasons"] = _reasons(judged, together)
    if notes:
        record["notes"] = notes
    return record


def _signed(value_um: float) -> str:
    return ("+" if value_um > 0 else "") + um_text(value_um)


def _show(
    *,
    inches: bool,
    nominal_mm: float,
    parts: dict[str, iso.Limits],
    pair: iso.Fit | None,
    judged: dict[str, Judgement],
    together: MeasuredFit | None,
    notes: list[str],
) -> None:
    width = terminal_width()
    classes = "/".join(part.tolerance_class for part in parts.values())
    kind = f"{pair.kind} fit" if pair else next(iter(parts))
    click.echo(f"{plain(round(nominal_mm, 6))} mm {classes}: {kind}")
    if judged:
        click.echo(f"Verdict: {_verdict(judged)}")
    header = ["part", "class", "upper um", "lower um", "limits of size mm"]
    rows = [
        [
            kind,
            part.tolerance_class,
            _signed(part.upper_um),
            _signed(part.lower_um),
            f"{size_text(part.lower_mm)} to {size_text(part.upper_mm)}",
        ]
        for kind, part in parts.items()
    ]
    if inches:
        header.append("limits of size in")
        for row, part in zip(rows, parts.values(), strict=True):
            row.append(f"{part.lower_mm / MM_PER_INCH:.5f} to {part.upper_mm / MM_PER_INCH:.5f}")
    click.echo("\n" + aligned(header, rows, right={2, 3}, width=width) + "\n")
    if pair:
        click.echo(wrap(clearance_text(pair.min_clearance_um, pair.max_clearance_um), width=width))
    for line in (*_reasons(judged, together), *notes):
        click.echo(wrap(line, width=width, indent="- ", hanging="  "))
    for line in _source(parts, pair).split("; "):
        click.echo(wrap(f"Source: {line}", width=width, hanging="  "))
