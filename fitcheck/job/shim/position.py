"""A setting by shims on the job card: its shims, and what a drag outside its range asks for."""

from __future__ import annotations

from typing import Any

from fitcheck.job.shim.text import read_shims
from fitcheck.quantities import plain
from fitcheck.units import MM_PER_INCH

Answer = dict[str, Any]

_AND_AGAIN = "turn it both ways, and read the running torque again"
_TURNS = {
    "tighten": "Tighten the nut in small steps",
    "loosen": "Loosen the nut in small steps",
    "add": "Add the thinnest shim there is",
    "remove": "Remove the thinnest shim there is",
}


def length_text(value_mm: float, *, unit: str) -> str:
    """A length as the sheet has it: in mm, or in inches with the mm beside them.

    Parameters
    ----------
    value_mm : float
        The length [mm].
    unit : str
        ``mm`` or ``in``.

    Examples
    --------
    >>> length_text(0.254, unit="in"), length_text(0.254, unit="mm")
    ('0.0100 in (0.254 mm)', '0.254 mm')
    """
    text = f"{plain(round(value_mm, 3))} mm"
    return f"{value_mm / MM_PER_INCH:.4f} in ({text})" if unit == "in" else text


def turn_steps(found: Answer, *, unit: str) -> list[str]:
    """What a drag outside its range asks for, as a step; none where it turns nothing.

    Parameters
    ----------
    found : dict
        The answer about the setting.
    unit : str
        ``mm`` or ``in``.
    """
    if found["method"] != "drag" or found["direction"] not in _TURNS:
        return []
    shim = found["next_shim"] or {}
    size = shim.get("thickness_mm")
    which = f", {length_text(size, unit=unit)}" if size is not None else ""
    return [f"{_TURNS[found['direction']]}{which}, {_AND_AGAIN}"]


def added_shim(found: Answer) -> list[Answer]:
    """The shim that a drag asks to add, where one of a known thickness lies there.

    Parameters
    ----------
    found : dict
        The answer about the setting.
    """
    shim = found.get("next_shim")
    if found["direction"] != "add" or not shim or shim["thickness_mm"] is None:
        return []
    return [{**shim, "count": 1}]


def share_of(have: tuple[str, ...], sets: int, *, unit: str) -> tuple[str, ...]:
    """What each of several equal packs can have of the shims at hand.

    Parameters
    ----------
    have : tuple of str
        The shims at hand.
    sets : int
        How many packs are made of them.
    unit : str
        The unit of bare thicknesses.
    """
    if sets == 1:
        return have
    counts: dict[tuple[float, float | None], int] = {}
    for shim in read_shims(have, unit=unit, place="have").shims:
        size = (shim.thickness_mm, shim.label_mm)
        counts[size] = counts.get(size, 0) + shim.count
    return tuple(
        shim_written(thickness, label, count // sets)
        for (thickness, label), count in counts.items()
        if count >= sets
    )


def shim_written(thickness_mm: float, label_mm: float | None, count: int) -> str:
    """Shims as they are written on the shelf.

    Parameters
    ----------
    thickness_mm : float
        Thickness [mm].
    label_mm : float or None
        What is written on it, where that is another [mm].
    count : int
        How many.

    Examples
    --------
    >>> shim_written(0.198, 0.2, 3)
    '0.2mm=0.198mmx3'
    """
    label = f"{plain(label_mm)}mm=" if label_mm is not None else ""
    return f"{label}{plain(thickness_mm)}mmx{count}"


def shim_parts(
    found: Answer, *, name: str, quantity: int, unit: str, at_hand: bool
) -> list[Answer]:
    """The shims of the pack: those there are, those to buy, and the one a drag asks to add.

    Parameters
    ----------
    found : dict
        The answer about the setting.
    name : str
        The position.
    quantity : int
        How many equal packs are wanted.
    unit : str
        ``mm`` or ``in``.
    at_hand : bool
        Whether the shims at hand were given.
    """
    # Bought shims stand on lines of their own, and those that came out are at hand.
    elsewhere: dict[float, int] = {}
    for shim in (*found["buy"], *found["reused"]):
        size = shim["thickness_mm"]
        elsewhere[size] = elsewhere.get(size, 0) + shim["count"]

    def part(shim: Answer, count: int, *, buy: bool) -> Answer:
        return {
            "what": "shim to buy" if buy else "shim",
            "size": length_text(shim["thickness_mm"], unit=unit),
            "quantity": count * quantity,
            "for": [name],
            # Bought before the reading is sure, it may be the wrong one.
            "order": found["sure"] if buy else found["verdict"] == "go",
            "on_shelf": not buy and at_hand,
        }

    parts = []
    for pick in (found["with_bought"] or found)["picks"]:
        size = pick["thickness_mm"]
        taken = min(elsewhere.get(size, 0), pick["count"])
        elsewhere[size] = elsewhere.get(size, 0) - taken
        if pick["count"] > taken:
            parts.append(part(pick, pick["count"] - taken, buy=False))
    parts += [part(shim, shim["count"], buy=True) for shim in found["buy"]]
    parts += [part(shim, 1, buy=False) | {"order": False} for shim in added_shim(found)]
    if found["direction"] == "add" and found.get("next_shim") and not added_shim(found):
        parts.append(
            {
                "what": "shim",
                "size": "the thinnest there is: measure it, and name it in have",
                "quantity": quantity,
                "for": [name],
                "order": False,
                "on_shelf": False,
            }
        )
    return parts
