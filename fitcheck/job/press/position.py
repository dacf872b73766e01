"""A press fit on the job card: what it is, and what has to be got for it."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from fitcheck import limits as iso
from fitcheck.quantities import plain
from fitcheck.verdicts import GO, NO_GO

Answer = dict[str, Any]

# The face of the part itself; where it was measured, the part is there.
_FACES = {"collar": "measured-hole", "bushing": "measured-shaft", "sleeve": "measured-hole"}
# The part of each use that goes in or on; a cup comes with its bearing.
_PARTS = {"collar": "collar", "bushing": "bushing", "sleeve": "thick sleeve ring"}


def press_parts(
    found: Answer, *, name: str, use: str, fit: str, faces: Collection[str], quantity: int
) -> list[Answer]:
    """The part that is pressed in or on, with its dimensions.

    One that was measured lies on the bench. One that a drawing gives, by its fit or by a bare
    interference that no instrument read, is got.

    Parameters
    ----------
    found : dict
        The answer about the press fit.
    name, use, fit : str
        The position, its use and its fit; blank where the interference was given.
    faces : collection of str
        The faces that were measured.
    quantity : int
        How many are wanted.
    """
    if use not in _PARTS:
        return []
    sizes = found["sizes_mm"]
    hole, shaft = iso.parse_fit(fit) if fit else (None, None)
    inside, outside = ("inner", "interface") if use == "bushing" else ("interface", "outer")
    fitted = shaft if use == "bushing" else hole
    texts = {key: f"{plain(round(sizes[key], 3))} mm" for key in (inside, outside, "length")}
    texts["interface"] = texts["interface"] + (f" {fitted.text}" if fitted else "")
    read = not fit and "interference_uncertainty_mm" in found
    measured = read or _FACES[use] in faces
    at_hand = measured and found["verdict"] != NO_GO
    size = f"bore {texts[inside]}, outside {texts[outside]}, {texts['length']} long"
    if not (fit or measured):
        size += f", for {plain(round(found['interference_mm'], 4))} mm of interference"
    return [
        {
            "what": _PARTS[use],
            "size": size,
            "quantity": quantity,
            "for": [name],
            "order": not measured and found["verdict"] == GO,
            "on_shelf": at_hand,
            "on_bench": at_hand,
        }
    ]


def holds_words(found: Answer) -> str:
    """What the fit holds, and whether that is so in service or known cold only.

    Parameters
    ----------
    found : dict
        The answer about the press fit.
    """
    left = found["in_service"]
    when = "in service" if found["service_known"] else "cold, as fitted"
    return (
        f"holds {left['holding_force_n'] / 1000.0:.1f} kN along the axle and "
        f"{left['holding_torque_nm']:.0f} N.m {when}"
    )
