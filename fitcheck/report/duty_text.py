"""The duty of the lip as text, 80 columns wide. Nothing is decided here."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fitcheck.report.text import bullets, heading, paragraph, verdict_text


def duty_text(duty: Mapping[str, Any]) -> str:
    """What the lip has to stand, and which materials stand it.

    Parameters
    ----------
    duty : mapping
        The duty as data.
    """
    lines = [heading(f"Duty of the lip: {verdict_text(duty['verdict'])}")]
    lines += bullets(duty["reasons"])
    for material in duty["materials"]:
        lines.append(
            paragraph(
                f"{material['material']} ({material['name']})",
                indent=f"  {verdict_text(material['verdict']):<6} ",
                hanging="         ",
            )
        )
        lines += bullets(material["reasons"], indent="         ")
    power = duty.get("friction_w")
    if power:
        lines.append(
            paragraph(
                f"Friction of the lip: {power['low']:g} to {power['high']:g} W of heat, by the "
                "formulas cited",
                indent="  ",
                hanging="    ",
            )
        )
    if duty["questions"]:
        lines.append("  To be settled:")
        lines += bullets(duty["questions"], indent="    ")
    return "\n".join(lines)
