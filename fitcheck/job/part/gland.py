"""The groove of an O-ring as measured, against what a gland may do to the ring."""

from __future__ import annotations

from collections.abc import Mapping

from fitcheck.assess.within import Check
from fitcheck.identify import Identification
from fitcheck.parts.family import Size
from fitcheck.parts.oring import ID, OUTSIDE, SECTION
from fitcheck.readings import Reading
from fitcheck.setup.gland import SEALS, gland_checks, stretch_share, usual_gland
from fitcheck.verdicts import GO, NO_GO

# Sizes looked at, and the stretch that is best.
_LOOKED_AT, _BEST_STRETCH = 12, 0.02
_GROOVES = {"groove-bottom": "radial", "groove-outside": "face"}


def seal_of(readings: Mapping[str, Reading], choices: Mapping[str, str]) -> str:
    """How the ring is squeezed: as chosen, else as the groove that was read tells, else unknown."""
    chosen = choices.get("seal", "")
    return chosen or next((seal for place, seal in _GROOVES.items() if place in readings), "")


def oring_checks(
    size: Size, readings: Mapping[str, Reading], choices: Mapping[str, str]
) -> list[Check]:
    """Stretch, squeeze and fill of the leading ring in the groove that was measured.

    Parameters
    ----------
    size : Size
        The ring.
    readings : mapping of str to Reading
        What was read, by place.
    choices : mapping of str to str
        ``seal`` where it was chosen.
    """
    inside, section = size.nominals[ID], size.nominals[SECTION]
    assert inside is not None
    assert section is not None
    seal = seal_of(readings, choices)
    groove = next((readings[p] for p in _GROOVES if p in readings), None)
    depth, width = readings.get("groove-depth"), readings.get("groove-width")
    if groove is None and depth is None:
        return []
    # What is not known is judged as both kinds allow.
    seals = (seal,) if seal else SEALS
    found = [
        gland_checks(
            seal=one,
            id_mm=inside[0],
            section_mm=section[0],
            groove_mm=None if groove is None else groove.mean_mm,
            depth_mm=None if depth is None else depth.mean_mm,
            width_mm=None if width is None else width.mean_mm,
        )
        for one in seals
    ]
    best = min(found, key=lambda checks: sum(check.verdict != GO for check in checks))
    usual = _usual(seals, section[0])
    return [
        Check(
            what=check.quantity,
            verdict=check.verdict,
            reason=f"{size.label}: {check.reason}",
            source=check.source,
            advice=usual if check.verdict == NO_GO and check.quantity != "stretch" else "",
        )
        for check in best
    ]


def fitting_rings(
    found: Identification, readings: Mapping[str, Reading], choices: Mapping[str, str]
) -> list[dict[str, str]]:
    """The rings still in question that the measured groove takes as it should, best first.

    Parameters
    ----------
    found : Identification
        The sizes in question.
    readings : mapping of str to Reading
        What was read, by place.
    choices : mapping of str to str
        ``seal`` where it was chosen.

    Notes
    -----
    Best is the stretch nearest to 2 per cent, where the groove gives it: common practice.
    """
    fitting = []
    for candidate in found.candidates[:_LOOKED_AT]:
        checks = {check.what: check for check in oring_checks(candidate.size, readings, choices)}
        if not checks or any(check.verdict != GO for check in checks.values()):
            continue
        stretch = _stretch(candidate.size, readings, choices)
        fitting.append((abs(stretch - _BEST_STRETCH), -candidate.probability, candidate, stretch))
    fitting.sort(key=lambda entry: entry[:2])
    return [
        {
            "size": candidate.size.label,
            "reason": f"goes into this groove, {100.0 * stretch:.1f} % stretch",
        }
        for _, _, candidate, stretch in fitting
    ]


def _stretch(size: Size, readings: Mapping[str, Reading], choices: Mapping[str, str]) -> float:
    groove = next((readings[place] for place in _GROOVES if place in readings), None)
    if groove is None:
        return 0.0
    face = seal_of(readings, choices) == "face"
    ring = size.nominals[OUTSIDE if face else ID]
    assert ring is not None
    return stretch_share(groove_mm=groove.mean_mm, ring_mm=ring[0])


def _usual(seals: tuple[str, ...], section_mm: float) -> str:
    lines = []
    for seal in seals:
        gland = usual_gland(seal=seal, section_mm=min(max(section_mm, 1.02), 6.98))
        lines.append(
            f"{seal}: {gland.depth_min_mm:.2f} to {gland.depth_max_mm:.2f} mm deep, "
            f"{gland.width_min_mm:.2f} to {gland.width_max_mm:.2f} mm wide"
        )
    return "usual groove for this section: " + "; ".join(lines)
