"""The oil on the job card: what to order, what to fill to, and a vent that does not vent."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from fitcheck.errors import FitcheckError
from fitcheck.job.bare_units import read_pressure
from fitcheck.quantities import plain
from fitcheck.verdicts import CHECK, NO_GO, worst

Answer = dict[str, Any]


def oil_parts(found: Answer, *, what: str, name: str, quantity: int) -> list[Answer]:
    """The oil to order: what the advised fill takes, never what was refused.

    Parameters
    ----------
    found : dict
        The answer about the oil.
    what, name : str
        The oil, and the position.
    quantity : int
        How many hubs.
    """
    fill, cavity = found["advised_fill"], found["cavity_l"]
    known = fill is not None and cavity is not None
    size = "quantity to be settled" if fill is None else "to the level mark, quantity not known"
    return [
        {
            "what": what,
            "size": f"{cavity * fill:.2f} l" if known else size,
            "quantity": quantity,
            "for": [name],
            "order": known and found["verdict"] != NO_GO and not found["over_usual"],
        }
    ]


def fill_words(found: Answer) -> str:
    """What to fill to, as a setting; what was asked is named where it is refused.

    Parameters
    ----------
    found : dict
        The answer about the oil.

    Examples
    --------
    >>> found = {"verdict": "no-go", "fill_fraction": 0.7, "advised_fill": 0.5, "cavity_l": 4.0}
    >>> fill_words({**found, "over_usual": True, "usual_fill": 0.5})
    'fill to 50 % of the cavity, 2.00 l, cold, on level ground; not to 70 %'
    """
    asked, advised, cavity = found["fill_fraction"], found["advised_fill"], found["cavity_l"]
    if advised is None:
        return f"do not fill to {_percent(asked)}: no level passes before the hub is vented"
    words = f"fill to {_percent(advised)} of the cavity{_amount(advised, cavity)}"
    words += ", cold, on level ground"
    if found["verdict"] == NO_GO and asked != advised:
        return f"{words}; not to {_percent(asked)}"
    if found["over_usual"]:
        usual = found["usual_fill"]
        words += (
            f"; only if the machine's manual says so, the usual is {_percent(usual)}"
            f"{_amount(usual, cavity)}"
        )
    return words


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %"


def _amount(share: float, cavity_l: float | None) -> str:
    return "" if cavity_l is None else f", {cavity_l * share:.2f} l"


def add_no_cavity(found: Answer, *, name: str) -> list[Answer]:
    """Ask for the cavity where nobody can say how much oil it takes; the readings asked for.

    Parameters
    ----------
    found : dict
        The answer about the oil; added to.
    name : str
        The position.
    """
    if found["cavity_l"] is not None:
        return []
    found["verdict"] = worst(found["verdict"], CHECK)
    found["reasons"] = [
        *found["reasons"],
        "how much oil it takes is not known, as no cavity was given: fill to the level mark",
    ]
    return [
        {
            "for": name,
            "reading": "volume",
            "instrument": "",
            "reason": "volume, or diameter and length of the cavity: how much oil to order",
        }
    ]


def vent_doubt(pressures: Iterable[tuple[str, str]], *, inches: bool) -> str:
    """What a vented hub has against a pressure that the sheet gives; blank where it has nothing.

    Parameters
    ----------
    pressures : iterable of (str, str)
        Where each pressure stands, and what is written there.
    inches : bool
        Whether the job is in inches.

    Examples
    --------
    >>> vent_doubt([("[job]", "0bar")], inches=False)
    ''
    >>> vent_doubt([("[job]", "0.2bar")], inches=False).partition(":")[0]
    'vented, and [job] gives 0.2 bar'
    """
    for place, text in pressures:
        try:
            bar = read_pressure(text, place=place, inches=inches) if text else 0.0
        except FitcheckError:
            # The position that it is for says what is wrong with it.
            continue
        if bar > 0.0:
            return (
                f"vented, and {place} gives {plain(round(bar, 3))} bar: a vented hub holds none: "
                "the breather is blocked, or one of the two is wrong; clean the breather and say "
                "which holds"
            )
    return ""
