"""Prose for a shop that reads inches: each figure in inches with the metric one behind it.

Answers are worked out and worded in mm. Where the sheet or the command is in inches, every length,
temperature, pressure, force and torque in that prose gets its inch counterpart here, so that no
line is left for the reader to convert.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from fitcheck.quantities import plain
from fitcheck.units import MM_PER_INCH

Answer = Mapping[str, Any]

_N_PER_LBF = 4.4482216152605
_NM_PER_LBF_FT = 1.3558179483314004
_PSI_PER_MPA = MM_PER_INCH**2 / _N_PER_LBF
PSI_PER_BAR = _PSI_PER_MPA / 10.0
_US_QUARTS_PER_L = 1.0566882094325938

# What stays as it is: where a value comes from, sizes by name, and what somebody wrote.
_AS_IT_IS = frozenset(
    {
        "source",
        "sources",
        "work_sources",
        "readings",
        "designation",
        "label",
        "pick",
        "name",
        "for",
        "job",
        "shelf",
        "offers",
        "one_order",
    }
)


def _inches(value: float, digits: int) -> str:
    # A ten-thousandth is read where a hundredth of a millimetre was, else a thousandth; what is
    # less than half of it is still not nothing.
    found = value / MM_PER_INCH
    places = 4 if digits >= 2 else 3
    return plain(round(found, places + 1 if abs(found) < 5.0 * 10.0**-places else places) + 0.0)


def _significant(value: float) -> str:
    """Three figures, as forces and pressures are read.

    >>> _significant(8767.7), _significant(12.34), _significant(0.0)
    ('8770', '12.3', '0')
    """
    return plain(float(f"{value:.3g}"))


# Unit as written -> unit for the reader, and the figure from the value and its decimals.
_UNITS: dict[str, tuple[str, Callable[[float, int], str]]] = {
    "mm": ("in", _inches),
    "um": ("in", lambda value, digits: _inches(value / 1000.0, digits + 2)),
    "C": ("F", lambda value, digits: f"{value * 1.8 + 32.0:.0f}"),
    "kN": ("lbf", lambda value, digits: _significant(value * 1000.0 / _N_PER_LBF)),
    "N.m": ("lbf.ft", lambda value, digits: _significant(value / _NM_PER_LBF_FT)),
    "MPa": ("psi", lambda value, digits: _significant(value * _PSI_PER_MPA)),
    "bar": ("psi", lambda value, digits: _significant(value * _PSI_PER_MPA / 10.0)),
    "l": ("US qt", lambda value, digits: plain(round(value * _US_QUARTS_PER_L, 2))),
    "m/s": ("ft/min", lambda value, digits: _significant(value / MM_PER_INCH / 12.0 * 60_000.0)),
}
# Roughness is read in microinches, and keeps its name in front.
_ROUGHNESS = ("uin", lambda value, digits: f"{value * 1000.0 / MM_PER_INCH:.0f}")

_NUMBER = r"[-+]?[0-9]+(?:\.[0-9]+)?"
_SPAN = r" to |-| \+/- "
_METRIC = "|".join(re.escape(unit) for unit in sorted(_UNITS, key=len, reverse=True))
_INCH = "|".join(
    re.escape(unit) for unit in ["uin", "lb-ft", "lb-in", *{unit for unit, _ in _UNITS.values()}]
)
_FIGURE = re.compile(
    # What has both already is passed over as one.
    rf" (?:{_INCH})(?: \(|, )(?:{_NUMBER}(?:{_SPAN}))?{_NUMBER} (?:{_METRIC})(?!\w)"
    # Not the tail of a size, of a word or of a longer number.
    r"|(?<![\w.])(?<![0-9] x )(?P<rough>R[az] )?"
    rf"(?:(?P<low>{_NUMBER})(?P<span>{_SPAN}))?(?P<high>{_NUMBER}) (?P<unit>{_METRIC})"
    # Not the mm of `mm/s` or of a size that goes on.
    r"(?![\w/]| x )"
)
_RANGE = rf"(?:{_NUMBER}(?:{_SPAN}))?{_NUMBER}"
_INCHES_BEHIND = re.compile(
    rf"(?<![\w.])({_RANGE} (?:mm|N\.m)) \(({_RANGE} (?:in|lb-ft|lb-in|lbf\.ft))\)"
)


def with_inches(text: str) -> str:
    """A sentence with its figures in inches, the metric ones behind them.

    Parameters
    ----------
    text : str
        A sentence in metric units.

    Examples
    --------
    >>> with_inches("the land reads 57.15 mm, 57.08 to 57.18 mm wanted")
    'the land reads 2.25 in (57.15 mm), 2.2472 to 2.2512 in (57.08 to 57.18 mm) wanted'
    >>> with_inches("heat it (85 C at most)")
    'heat it (185 F, 85 C at most)'
    >>> with_inches("not over 75 N.m (55 lb-ft) while it is crushed")
    'not over 55 lb-ft (75 N.m) while it is crushed'
    >>> with_inches("shim 0.0100 in (0.254 mm)"), with_inches("35 x 52 x 7 mm")
    ('shim 0.0100 in (0.254 mm)', '35 x 52 x 7 mm')
    """

    # What stands with the inches behind it is turned round, or they would be worked out once more.
    text = _INCHES_BEHIND.sub(r"\2 (\1)", text)

    def both(found: re.Match[str]) -> str:
        if found["unit"] is None:
            return found[0]
        start = found["rough"] or ""
        unit, convert = _ROUGHNESS if start else _UNITS[found["unit"]]
        shown = [_signed(number, convert) for number in (found["low"], found["high"]) if number]
        figure = (found["span"] or "").join(shown) + f" {unit}"
        before = text[: found.start()]
        metric = found[0][len(start) :]
        if before.count("(") > before.count(")"):
            return f"{start}{figure}, {metric}"
        return f"{start}{figure} ({metric})"

    return _FIGURE.sub(both, text)


def _signed(number: str, convert: Callable[[float, int], str]) -> str:
    """A converted number with the sign it was written with."""
    digits = len(number.partition(".")[2])
    figure = convert(float(number), digits)
    return f"+{figure}" if number[0] == "+" and figure[0] not in "+-" else figure


def in_inches(answer: Any) -> Any:
    """An answer with every sentence in it in inches; numbers, names and sources stay.

    Parameters
    ----------
    answer : mapping, list or value
        The answer as data, or a part of it.
    """
    if isinstance(answer, str):
        return with_inches(answer)
    if isinstance(answer, Mapping):
        return {
            key: value if key in _AS_IT_IS else in_inches(value) for key, value in answer.items()
        }
    if isinstance(answer, list | tuple):
        return [in_inches(value) for value in answer]
    return answer


def shown_card(card: Answer) -> Answer:
    """A job card as its shop reads it: each position in its own unit, the rest in that of the job.

    Parameters
    ----------
    card : mapping
        The card as data; one that was kept before cards told their unit is in mm.
    """
    job = card["job"].get("unit", "mm")
    units = {p["name"]: p.get("unit") or job for p in card["positions"]}
    if "in" not in {job, *units.values()}:
        return card
    shown = {}
    for key, value in card.items():
        if key == "positions":
            shown[key] = [in_inches(p) if units[p["name"]] == "in" else p for p in value]
        elif key in _OF_POSITIONS:
            shown[key] = [_in_its_unit(entry, units, job) for entry in value]
        else:
            shown[key] = value if key in _AS_IT_IS or job != "in" else in_inches(value)
    return shown


# What a card lists for its positions, each entry with the names it is for.
_OF_POSITIONS = frozenset({"parts", "work", "settings", "read_again", "assumptions"})
# Dimensions without a unit, as sleeves and pins are ordered by; a whole seal's size is its name.
_BARE = re.compile(r"[0-9.]+(?: x [0-9.]+)*")
_NAMED = frozenset({"lip seal", "tapered bearing"})


def _in_its_unit(entry: Answer, units: Mapping[str, str], job: str) -> Answer:
    """An entry of the card in the unit of its position; that of the job where it has several.

    Parameters
    ----------
    entry : mapping
        The entry, with the names it is for.
    units : mapping of str to str
        The units by position.
    job : str
        The unit of the job.
    """
    named = {unit for name, unit in units.items() if name in entry["for"]}
    if (named.pop() if len(named) == 1 else job) != "in":
        return entry
    if entry.get("what") in _NAMED or not _BARE.fullmatch(entry.get("size", "")):
        return dict(in_inches(entry))
    return {**in_inches(entry), "size": f"{entry['size']} mm"}
