"""What a sheet says a hub is made of: every bearing in it sits in the same metal."""

from __future__ import annotations

from fitcheck.errors import InputError
from fitcheck.job.material_text import material_of
from fitcheck.job.sheet import BearingEntry, Sheet
from fitcheck.records import dataclass

LIGHT, IRON, STEEL = "light-alloy", "iron", "steel"
# How the materials of a setting and of a press fit are judged as a housing; what is of its own
# values or of another kind says nothing here.
_LIGHT = frozenset({"aluminium", "cast-aluminium", "magnesium"})


@dataclass(frozen=True, slots=True)
class Said:
    """The material a housing is judged by, what was taken, and whether it is open."""

    material: str
    taken: str = ""
    contradicted: bool = False


def housing_said(entry: BearingEntry, sheet: Sheet) -> Said:
    """The housing material of a bearing: its own, else what the rest of the sheet says.

    Parameters
    ----------
    entry : BearingEntry
        The bearing.
    sheet : Sheet
        The sheet it stands on, with its settings, its pressed cups and its other bearings.

    Returns
    -------
    Said
        The sheet's light alloy before its iron or steel, as it needs the tighter seat; steel, and
        that it was taken, where nobody says anything.
    """
    said = _elsewhere(entry, sheet)
    light = next((place for place, material in said if material == LIGHT), "")
    other = next(((place, material) for place, material in said if material != LIGHT), None)
    if entry.housing_material:
        if entry.housing_material != LIGHT and light:
            return Said(
                entry.housing_material,
                f"the housing is of {entry.housing_material} here and of {LIGHT} in {light}: say "
                "which it is; a light-alloy hub needs the tighter seat",
                contradicted=True,
            )
        return Said(entry.housing_material)
    start = "the material of the housing was not given"
    if light:
        against = f"; {other[0]} says {other[1]}: say which it is" if other else ""
        return Said(LIGHT, f"{start}: {LIGHT} is taken, as {light} says{against}", bool(other))
    if other:
        return Said(other[1], f"{start}: {other[1]} is taken, as {other[0]} says")
    return Said(STEEL, f"{start}: {STEEL} is taken")


def _elsewhere(entry: BearingEntry, sheet: Sheet) -> list[tuple[str, str]]:
    """Where the sheet says what the hub is made of, and what."""
    said = [(f"[[shims]] {one.name}", one.housing) for one in sheet.shims]
    said += [
        (f"[[press]] {one.name}", one.outer_material) for one in sheet.press if one.use == "cup"
    ]
    said += [
        (f"[[bearing]] {one.name}", one.housing_material)
        for one in sheet.bearing
        if one.name != entry.name
    ]
    found = ((place, _as_housing(text)) for place, text in said if text)
    return [(place, material) for place, material in found if material]


def _as_housing(text: str) -> str:
    """A material as it stands for a housing; blank where it is none of the three."""
    word = text.strip().lower()
    if word in (LIGHT, IRON, STEEL):
        return word
    try:
        name = material_of(text).name
    except InputError:
        # The position that names it says what is wrong with it.
        return ""
    if name in _LIGHT:
        return LIGHT
    if name.endswith(IRON):
        return IRON
    return STEEL if "steel" in name else ""
