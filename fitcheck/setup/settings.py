"""Targets by use, the shim methods, where shims sit, and nut procedures: look-ups in the tables."""

from __future__ import annotations

from collections.abc import Iterable

from fitcheck.errors import InputError, NotKnownError
from fitcheck.records import dataclass
from fitcheck.tables import Row, named_row, table
from fitcheck.units import MM_PER_INCH, UNITS

METHODS = ("end-play", "free-gap", "lead", "solder", "drag")
POSITIONS = ("cap", "retainer", "behind-cup", "spacer")
CONDITIONS = ("new", "used")
MOUNTINGS = ("face-to-face", "back-to-back")


@dataclass(frozen=True, slots=True)
class Setting:
    """What a use is set to.

    ``low`` and ``high`` are in mm for end play and in N.m for drag and nuts; ``words`` say the
    range as its source has it. ``over_base`` tells whether a drag is the rise over the base drag.
    """

    use: str
    words: str
    method: str
    condition: str
    low: float
    high: float
    as_written: str
    over_base: bool
    position: str
    source: str
    note: str


@dataclass(frozen=True, slots=True)
class Method:
    """One of the five ways to find a pack; ``subtract_mm`` is its own and no other's.

    ``bare_tool`` is taken for a reading that names no instrument; ``tools`` can measure it, the
    best first.
    """

    name: str
    measured: str
    subtract_mm: float
    positions: tuple[str, ...]
    instrument: str
    bare_tool: str
    tools: tuple[str, ...]
    load: str
    why: str
    source: str


@dataclass(frozen=True, slots=True)
class Position:
    """Where shims sit; ``adding_gives`` is ``end-play`` or ``preload``."""

    name: str
    words: str
    adding_gives: str
    mounting: str
    source: str


@dataclass(frozen=True, slots=True)
class Limit:
    """A named value or range of the settings tables, with its source."""

    value: float
    low: float
    high: float
    source: str


def use_names() -> tuple[str, ...]:
    """The uses that have a setting, in the order of the table."""
    return tuple(dict.fromkeys(row.text("use") for row in table("settings/uses").rows))


def use_settings(use: str) -> tuple[Setting, ...]:
    """Everything a use is set to.

    Raises
    ------
    NotKnownError
        No such use is listed; the message lists them all.

    Examples
    --------
    >>> [(s.method, s.condition, s.as_written) for s in use_settings("loader-hub")]
    [('drag', 'new', '15 to 20 lbf.ft'), ('drag', 'used', '6 to 12 lbf.ft')]
    """
    rows = [row for row in table("settings/uses").rows if row.text("use") == use]
    if not rows:
        raise NotKnownError(
            value=use or "(empty)",
            rule="this use has no setting here",
            todo=f"Use one of {', '.join(use_names())}, or give the manual's range with "
            "--target LOW..HIGH",
        )
    return tuple(_setting(row) for row in rows)


def _setting(row: Row) -> Setting:
    unit = UNITS[row.text("unit")]
    low, high = row.number("low"), row.number("high")
    return Setting(
        use=row.text("use"),
        words=row.text("words"),
        method=row.text("method"),
        condition=row.text("condition"),
        low=unit.to_base(low),
        high=unit.to_base(high),
        as_written=range_text(low, high, unit.name),
        over_base=row.text("reckoned") == "over-base",
        position=row.text("position"),
        source=row.cite(),
        note=row.text("note"),
    )


def range_text(low: float, high: float, unit: str) -> str:
    """A range in words; one value where both ends are the same.

    >>> range_text(4.5, 6.8, "N.m"), range_text(35, 35, "lbf.ft")
    ('4.5 to 6.8 N.m', '35 lbf.ft')
    """
    return f"{low:g} {unit}" if low == high else f"{low:g} to {high:g} {unit}"


def setting_for(*, use: str, method: str, condition: str = "") -> Setting:
    """What a use is set to by a method, for new or used bearings.

    Parameters
    ----------
    use : str
        The use.
    method : str
        ``end-play`` or ``drag``.
    condition : str
        ``new`` or ``used``; needed only where the two differ.

    Raises
    ------
    NotKnownError
        No such use is listed.
    InputError
        The use is set another way, or has one range for new and one for used bearings and which
        they are was not said.
    """
    settings = use_settings(use)
    fitting = [s for s in settings if s.method == method]
    if not fitting:
        other = settings[0]
        ways = {"end-play": "end play", "drag": "drag", "nut": "the torque of its nut"}
        ranges = "; ".join(_named_range(s) for s in settings)
        raise InputError(
            value=f"--use {use}",
            rule=f"this is set by {ways[other.method]} ({ranges}), not by {ways[method]}",
            todo="Follow its nut procedure, `fitcheck tables show settings/nut_procedures`"
            if other.method == "nut"
            else f"Use --method {other.method}, or give your own --target",
        )
    matching = [s for s in fitting if s.condition in ("any", condition)]
    if matching:
        return matching[0]
    if not condition:
        ranges = ", ".join(_named_range(s) for s in fitting)
        raise InputError(
            value=f"--use {use}",
            rule=f"new and used bearings are set differently here: {ranges}",
            todo="Say --condition new or --condition used",
        )
    raise NotKnownError(
        value=f"--use {use} --condition {condition}",
        rule=f"there is a range for {fitting[0].condition} bearings only",
        todo="Take the range from the machine's manual and give it with --target LOW..HIGH",
    )


def _named_range(setting: Setting) -> str:
    return (
        setting.as_written
        if setting.condition == "any"
        else (f"{setting.condition} {setting.as_written}")
    )


def shim_method(name: str) -> Method:
    """One of the five methods by name.

    Raises
    ------
    InputError
        There is no such method.

    Examples
    --------
    >>> [round(shim_method(name).subtract_mm, 3) for name in ("free-gap", "lead", "solder")]
    [0.1, 0.0, 0.127]
    """
    row = _named(table("settings/shim_methods").rows, "method", name, what="method", of=METHODS)
    inches = row.maybe("subtract_in")
    mm = row.maybe("subtract_mm")
    return Method(
        name=name,
        measured=row.text("measured"),
        subtract_mm=inches * MM_PER_INCH if inches is not None else mm or 0.0,
        positions=tuple(row.text("positions").split(";")),
        instrument=row.text("instrument"),
        bare_tool=row.text("bare_tool"),
        tools=tuple(row.text("tools").split(";")) if row.text("tools") else (),
        load=row.text("load"),
        why=row.text("why"),
        source=row.cite(),
    )


def shim_position(name: str) -> Position:
    """A place where shims sit, by name.

    Raises
    ------
    InputError
        There is no such place.

    Examples
    --------
    >>> shim_position("cap").adding_gives, shim_position("behind-cup").adding_gives
    ('end-play', 'preload')
    """
    row = _named(table("settings/positions").rows, "position", name, what="place", of=POSITIONS)
    return Position(
        name=name,
        words=row.text("words"),
        adding_gives=row.text("adding_gives"),
        mounting=row.text("mounting"),
        source=row.cite(),
    )


def _named(rows: Iterable[Row], column: str, name: str, *, what: str, of: tuple[str, ...]) -> Row:
    for row in rows:
        if row.text(column) == name:
            return row
    raise InputError(
        value=name or "(empty)", rule=f"there is no such {what}", todo=f"Use {', '.join(of)}"
    )


def setting_limit(name: str) -> Limit:
    """A named limit of setting, with its source.

    Raises
    ------
    DataError
        There is no such limit, or it has neither a value nor both ends of a range.
    """
    row = named_row("settings/limits", name)
    value, low, high = (row.maybe(column) for column in ("value", "low", "high"))
    if value is None:
        # A range alone has no single value; its ends must then be there.
        value = 0.0
        low, high = row.number("low"), row.number("high")
    return Limit(
        value=value,
        low=value if low is None else low,
        high=value if high is None else high,
        source=row.cite(),
    )


def nut_steps(use: str, *, position: str = "") -> tuple[tuple[str, str], ...]:
    """The nut procedure of a use: each step with its figure, and its source; empty if none.

    Parameters
    ----------
    use : str
        The use.
    position : str
        Where the shims sit that set it; empty where the nut does. A hub is set one way or the
        other, so a procedure is for one of them.

    Examples
    --------
    >>> nut_steps("scraper-steer-wheel")[2][0]
    'Tighten the nut to its final torque: 45 to 55 N.m'
    >>> len(nut_steps("trailer-wheel")), nut_steps("trailer-wheel", position="cap")
    (4, ())
    """
    found = []
    for row in table("settings/nut_procedures").rows:
        if row.text("use") == use and row.text("position") == position:
            low, high = row.maybe("low"), row.maybe("high")
            figure = "" if low is None or high is None else range_text(low, high, row.text("unit"))
            figure = figure.replace(" deg", " degrees")
            found.append(
                (f"{row.text('action')}: {figure}" if figure else row.text("action"), row.cite())
            )
    return tuple(found)


def shim_sizes_mm(*, inches: bool) -> tuple[tuple[float, ...], str]:
    """Thicknesses of shims that can be bought [mm], and where the list is from.

    Parameters
    ----------
    inches : bool
        Whether inch shims are wanted, not metric ones.

    Examples
    --------
    >>> shim_sizes_mm(inches=False)[0][:2]
    (0.05, 0.1)
    """
    column = "thickness_in" if inches else "thickness_mm"
    rows = [row for row in table("settings/shim_sizes").rows if row.maybe(column) is not None]
    factor = MM_PER_INCH if inches else 1.0
    sources = dict.fromkeys(row.cite() for row in rows)
    return tuple(row.number(column) * factor for row in rows), "; ".join(sources)


def setting_cautions(*whens: str) -> tuple[str, ...]:
    """The cautions that belong to some conditions, those that always hold last."""
    rows = table("settings/cautions").rows
    return tuple(
        row.text("text") for when in (*whens, "any") for row in rows if row.text("when") == when
    )


def turns_text() -> str:
    """How often it is turned before the drag is read, in words.

    >>> turns_text()
    'after 3 to 20 turns both ways'
    """
    turns = setting_limit("turns_before_reading")
    return f"after {turns.low:g} to {turns.high:g} turns both ways"
