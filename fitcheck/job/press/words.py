"""Words around a press fit: the heating cap, notes on sizes, cautions by use, and sources."""

from __future__ import annotations

from fitcheck.job.press.given import Given
from fitcheck.records import dataclass
from fitcheck.setup.assembly import Way, slip_clearance
from fitcheck.setup.joint import State
from fitcheck.tables import Row, named_row, table


@dataclass(frozen=True, slots=True)
class Cap:
    """The highest temperature for heating, why it stands, and its source."""

    value_c: float
    reason: str
    source: str


def heating_cap(asked: Given) -> Cap:
    """The heating cap: the manual's, else the lower of the use's and the material's."""
    outer = asked.joint.outer
    name = asked.use.text("heat_cap") if asked.use else "heat_cap_c"
    row = limit_row(name)
    if asked.heat_cap_c is not None:
        words = "as the machine's manual gives it"
        return Cap(asked.heat_cap_c, words, "heating cap as given")
    cap = row.number("value")
    if outer.heat_cap_c is not None and outer.heat_cap_c < cap:
        return Cap(outer.heat_cap_c, f"that of {outer.name}", "")
    words = (
        "the general one for bearings and what sits beside them"
        if name == "heat_cap_c"
        else f"that of a plain {asked.joint.outer_name}"
    )
    return Cap(cap, words, f"heating cap: {row.cite()}")


def limit_row(name: str) -> Row:
    """A named limit as its row of the table ``press/limits``."""
    return named_row("press/limits", name)


def slip_on(asked: Given) -> tuple[float, str]:
    """The clearance wanted to slip the parts together [mm], and its source."""
    if asked.clearance_mm is not None:
        return asked.clearance_mm, ""
    row = slip_clearance(asked.joint.interface_mm)
    return row.number("clearance_mm"), f"clearance to slip on: {row.cite()}"


def notes(asked: Given, tight: State, loose: State) -> list[str]:
    """How the sizes of the parts change, and what follows from it."""
    lines = []
    joint = asked.joint
    use = asked.use.text("use") if asked.use else ""
    if joint.inner_mm > 0.0:
        closing = joint.inner_mm - tight.bore_after_mm
        least = joint.inner_mm - loose.bore_after_mm
        span = f"{closing:.3f}" if closing - least < 5e-4 else f"{least:.3f} to {closing:.3f}"
        lines.append(f"the bore of the {joint.inner_name} closes in by {span} mm")
    if use == "cup":
        lines.append("set the bearing after the cup is in: its raceway has closed in")
    if use in {"sleeve", "collar"}:
        growth = tight.outer_od_after_mm - joint.outer_mm
        lines.append(f"the outside of the {joint.outer_name} grows by {growth:.3f} mm")
    if asked.service_c is not None and joint.outer.alpha == joint.inner.alpha:
        lines.append(
            f"{joint.outer_name} and {joint.inner_name} grow alike: {asked.service_c:.0f} C in "
            "service takes nothing away"
        )
    if joint.length_mm < 0.1 * joint.interface_mm:
        lines.append("a joint this short can cock: start it square and check it on the shoulder")
    return lines


def cautions(asked: Given, found: tuple[Way, ...]) -> list[str]:
    """What to take care of, for the ways that are open and the use."""
    use = asked.use.text("use") if asked.use else ""
    when = {"press", "remove"}
    if found[1].verdict == "go" or len(found) > 3:
        when.add("heat")
    if any(way.verdict != "no-go" for way in found[2:]):
        when.add("cool")
    if any(way.verdict == "check" for way in found[2:]):
        when.add("nitrogen")
    if asked.fit is not None:
        when.add("fit")
    return [
        row.text("text")
        for row in table("press/cautions").rows
        if row.text("when") in when and row.text("use") in {"", use}
    ]


def sources(asked: Given, more: list[str]) -> list[str]:
    """Where every value comes from, each line once."""
    joint = asked.joint
    lines = [
        "thick-ring theory (Lamé), plane stress, elastic",
        *(f"{part.name} ({part.condition}): {part.source}" for part in (joint.outer, joint.inner)),
        asked.friction_source,
        *more,
    ]
    if asked.fit is not None:
        lines += asked.fit.source.split("; ")
    if asked.outer_rz_um or asked.inner_rz_um:
        lines.append(f"roughness: {limit_row('roughness_loss_share').cite()}")
    return [line for line in dict.fromkeys(lines) if line]
