"""The bench sheet: a TOML file of what was measured, checked and turned into requests.

Keys are the option names of the commands with ``_`` for ``-``. A value is text (``"34.92mm"``),
a number, or a list of them for several readings of one place.
"""

from __future__ import annotations

import tomllib
from functools import cache
from typing import Annotated, Any, Literal

from msgspec import Meta, Struct, ValidationError, convert, defstruct

from fitcheck.errors import InputError
from fitcheck.job.sheet_errors import refused_error, shown, value_error
from fitcheck.job.sheet_text import Date, Refused, Text, Texts, read_texts
from fitcheck.parts.asked import options
from fitcheck.parts.kind import kind_names
from fitcheck.tables import table

MAX_ENTRIES = 200
MAX_BYTES = 1_000_000

Name = Annotated[str, Meta(min_length=1)]
Number = Annotated[int, Meta(ge=1, le=1000)]
Quantity = Annotated[int, Meta(ge=0, le=1000)]


class _Entry(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A table of the sheet."""


class Job(_Entry, frozen=True):
    """The job as a whole: what holds for every position unless it says otherwise."""

    title: Text = ""
    machine: Text = ""
    place: Text = ""
    date: Date = ""
    note: Text = ""
    invented: bool = False
    unit: Literal["mm", "in"] = "mm"
    instrument: Text = ""
    turning: Literal["hub", "shaft", ""] = ""
    oil: Text = ""
    speed: Text = ""
    temperature: Text = ""
    pressure: Text = ""
    certainty: Annotated[float, Meta(ge=0.5, le=1.0)] = 0.95
    list: Text = ""


class Position(_Entry, frozen=True):
    """What every position has."""

    name: Name
    quantity: Number = 1
    note: Text = ""
    unit: Literal["mm", "in", ""] = ""


class SealEntry(Position, frozen=True):
    """One lip seal position."""

    shaft: Texts = ()
    track: Texts = ()
    bore: Texts = ()
    pocket: Texts = ()
    old_od: Texts = ()
    old_lip: Texts = ()
    old_width: Texts = ()
    mark: Texts = ()
    case: Literal["metal", "rubber", ""] = ""
    groove_depth: Texts = ()
    groove_width: Texts = ()
    lip_at: Texts = ()
    room: Texts = ()
    rpm: Text = ""
    oil: Text = ""
    oil_temp: Text = ""
    pressure: Text = ""
    shaft_end: Texts = ()
    bore_chamfer: Texts = ()
    bare_shaft: bool = False
    pitted: bool = False
    oval: bool = False


class BearingEntry(Position, frozen=True):
    """One tapered bearing position."""

    bore: Texts = ()
    od: Texts = ()
    width: Texts = ()
    cone_width: Texts = ()
    cup_width: Texts = ()
    thickness: Texts = ()
    mark: Texts = ()
    journal: Texts = ()
    housing: Texts = ()
    turning: Literal["hub", "shaft", ""] = ""
    housing_material: Literal["steel", "iron", "light-alloy", ""] = ""


class PressEntry(Position, frozen=True):
    """One press or shrink fit."""

    interface: Texts = ()
    outer: Texts = ()
    inner: Texts = ()
    length: Texts = ()
    interference: Texts = ()
    fit: Text = ""
    outer_material: Text = ""
    inner_material: Text = ""
    friction: Text = ""
    condition: Text = ""
    clearance: Text = ""
    room_temp: Text = ""
    use: Text = ""
    heat_cap: Text = ""
    service_temp: Text = ""
    rpm: Text = ""
    outer_rz: Texts = ()
    inner_rz: Texts = ()
    pin: Texts = ()
    measured_hole: Texts = ()
    measured_shaft: Texts = ()


class ShimsEntry(Position, frozen=True):
    """One shimmed setting."""

    method: Text = ""
    measured: Texts = ()
    fitted: Text = ""
    pack_measured: Texts = ()
    target: Text = ""
    use: Text = ""
    condition: Text = ""
    position: Text = ""
    have: Texts = ()
    tolerance: Text = ""
    pull: Texts = ()
    radius: Texts = ()
    diameter: Texts = ()
    base_drag: Texts = ()
    span: Texts = ()
    housing: Text = ""
    shaft_material: Text = "steel"
    service_temp: Text = ""
    room_temp: Text = ""
    mounting: Text = ""


class PivotBearing(_Entry, frozen=True):
    """One of the two bearings of a pivot: what is read of it and its seats."""

    bore: Texts = ()
    od: Texts = ()
    width: Texts = ()
    cone_width: Texts = ()
    cup_width: Texts = ()
    thickness: Texts = ()
    mark: Texts = ()
    journal: Texts = ()
    housing: Texts = ()


class PivotEntry(ShimsEntry, frozen=True):
    """A pivot: two bearings and the one setting of both."""

    upper: PivotBearing = PivotBearing()
    lower: PivotBearing = PivotBearing()


class OilEntry(Position, frozen=True):
    """The oil of the hub."""

    name: Name = "oil"
    volume: Text = ""
    diameter: Texts = ()
    length: Texts = ()
    fill: Text = ""
    level: Texts = ()
    from_temp: Text = ""
    to_temp: Text = ""
    vented: bool = False
    shaft: Texts = ()


class ClosingEntry(Position, frozen=True):
    """What closes the hub again, and what else is in it to look at."""

    name: Name = "closing"
    cotter_hole: Texts = ()
    cotter_through: Texts = ()
    cotter_pins: Number = 1
    lock_plates: Quantity = 0
    thread_locker: Quantity = 0
    cover: Text = ""
    bushing: bool = False
    universal_joints: Quantity = 0


class Shelf(_Entry, frozen=True):
    """What is on the shelf; parts named here need no order."""

    seals: Texts = ()
    bearings: Texts = ()
    sleeves: Texts = ()
    shims: Texts = ()


class Sheet(_Entry, frozen=True):
    """A whole bench sheet."""

    job: Job = Job()
    seal: tuple[SealEntry, ...] = ()
    bearing: tuple[BearingEntry, ...] = ()
    press: tuple[PressEntry, ...] = ()
    shims: tuple[ShimsEntry, ...] = ()
    pivot: tuple[PivotEntry, ...] = ()
    oil: OilEntry | None = None
    closing: ClosingEntry | None = None
    shelf: Shelf = Shelf()

    def parts(self) -> tuple[tuple[str, Position], ...]:
        """The positions of families that their tables describe, each with its family."""
        named = ((name, getattr(self, name, ())) for name in kind_names())
        return tuple((name, entry) for name, entries in named for entry in entries)

    def positions(self) -> tuple[Position, ...]:
        """Every position, in the order of the card."""
        single = (entry for entry in (self.closing, self.oil) if entry is not None)
        others = (*self.pivot, *(entry for _, entry in self.parts()))
        return (*self.seal, *self.bearing, *others, *self.press, *self.shims, *single)


@cache
def sheet_model(families: tuple[str, ...]) -> type[Sheet]:
    """A sheet that has positions of some families, with the keys that their tables give.

    Parameters
    ----------
    families : tuple of str
        The families.
    """
    fields: list[tuple[str, Any, Any]] = []
    for name in families:
        keys: list[tuple[str, Any, Any]] = [("mark", Texts, ())]
        for row in table(f"{name}/places").rows:
            keys.append((row.text("place").replace("-", "_"), Texts, ()))
        for option in options(name):
            key = option.name.replace("-", "_")
            keys.append((key, Texts, ()) if option.is_reading else (key, Text, ""))
        entry = _grown(f"{name.capitalize()}Entry", keys, Position)
        fields.append((name, tuple[entry, ...], ()))  # type: ignore[valid-type]
    grown: type[Sheet] = _grown("FamilySheet", fields, Sheet)
    return grown


def _grown(name: str, fields: list[tuple[str, Any, Any]], base: type[Struct]) -> Any:
    return defstruct(
        name, fields, bases=(base,), frozen=True, kw_only=True, forbid_unknown_fields=True
    )


def parse_sheet(text: str, *, name: str = "the sheet") -> Sheet:
    """Read a bench sheet.

    Parameters
    ----------
    text : str
        The TOML text.
    name : str
        The file's name, for messages.

    Raises
    ------
    InputError
        The text is no TOML, has unknown keys or values of a wrong kind, or no position.
    """
    if len(text) > MAX_BYTES:
        raise InputError(
            value=name,
            rule=f"a bench sheet is at most {MAX_BYTES} characters long",
            todo="Split the job into several sheets",
        )
    try:
        raw = tomllib.loads(text)
    # A number of thousands of digits is refused by Python itself, as a plain ValueError.
    except (ValueError, RecursionError) as error:
        raise InputError(
            value=name,
            rule=f"this is not readable TOML ({shown(str(error), 200)})",
            todo="Correct the line; `fitcheck hub --blank` writes a sheet to start from",
        ) from None
    return sheet_of(raw, name=name)


def sheet_of(raw: dict[str, Any], *, name: str = "the sheet") -> Sheet:
    """A bench sheet from its tables as data.

    Parameters
    ----------
    raw : dict
        The tables, with the keys of the TOML file.
    name : str
        What the sheet is called, for messages.

    Raises
    ------
    InputError
        There are unknown keys or values of a wrong kind in it, or no position.
    """
    model = sheet_model(tuple(n for n in kind_names() if n in raw))
    refused: list[Refused] = []
    read = read_texts(raw, model, refused)
    if refused:
        raise refused_error(refused, raw=raw, name=name, whole=sheet_model(kind_names()))
    try:
        # A number may stand in quotes.
        sheet = convert(read, model, strict=False)
    except ValidationError as error:
        raise value_error(str(error), raw=raw, name=name, model=model) from None
    _check_positions(sheet, name)
    return sheet


def _check_positions(sheet: Sheet, name: str) -> None:
    positions = sheet.positions()
    if not positions:
        raise InputError(
            value=name,
            rule="the sheet has no position",
            todo="Add a [[seal]] or [[bearing]] table; `fitcheck hub --blank` shows how",
        )
    if len(positions) > MAX_ENTRIES:
        raise InputError(
            value=f"{name}, {len(positions)} positions",
            rule=f"a sheet has at most {MAX_ENTRIES} positions",
            todo="Split the job into several sheets",
        )
    names: set[str] = set()
    for position in positions:
        if position.name in names:
            raise InputError(
                value=f"{name}, {shown(position.name)}",
                rule="two positions have the same name",
                todo="Give each position a name of its own, such as inner seal and outer seal",
            )
        names.add(position.name)
