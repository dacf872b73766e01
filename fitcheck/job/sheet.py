"""The bench sheet: a TOML file of what was measured, checked and turned into requests.

Keys are the option names of the commands with ``_`` for ``-``. A value is text (``"34.92mm"``),
a number, or a list of them for several readings of one place.
"""

from __future__ import annotations

import tomllib
from functools import cache
from typing import Any, Literal, get_args

from pydantic import (
    BaseModel,
    ConfigDict,
    Field,
    ValidationError,
    create_model,
)

from fitcheck.errors import InputError
from fitcheck.job.sheet_text import Date, Text, Texts
from fitcheck.parts.asked import options
from fitcheck.parts.kind import kind_names
from fitcheck.tables import table

MAX_ENTRIES = 200
MAX_BYTES = 1_000_000


class _Entry(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class Job(_Entry):
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
    certainty: float = Field(default=0.95, ge=0.5, le=1.0, allow_inf_nan=False)
    list: Text = ""


class Position(_Entry):
    """What every position has."""

    name: Text = Field(min_length=1)
    quantity: int = Field(default=1, ge=1, le=1000)
    note: Text = ""
    unit: Literal["mm", "in", ""] = ""


class SealEntry(Position):
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


class _BearingReadings(_Entry):
    """What is read of a tapered bearing and its seats."""

    bore: Texts = ()
    od: Texts = ()
    width: Texts = ()
    cone_width: Texts = ()
    cup_width: Texts = ()
    thickness: Texts = ()
    mark: Texts = ()
    journal: Texts = ()
    housing: Texts = ()


class BearingEntry(_BearingReadings, Position):
    """One tapered bearing position."""

    turning: Literal["hub", "shaft", ""] = ""
    housing_material: Literal["steel", "iron", "light-alloy"] = "steel"


class PressEntry(Position):
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


class ShimsEntry(Position):
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


class PivotBearing(_BearingReadings):
    """One of the two bearings of a pivot."""


class PivotEntry(ShimsEntry):
    """A pivot: two bearings and the one setting of both."""

    upper: PivotBearing = PivotBearing()
    lower: PivotBearing = PivotBearing()


class OilEntry(Position):
    """The oil of the hub."""

    name: Text = Field(default="oil", min_length=1)
    volume: Text = ""
    diameter: Texts = ()
    length: Texts = ()
    fill: Text = ""
    level: Texts = ()
    from_temp: Text = ""
    to_temp: Text = ""
    vented: bool = False
    shaft: Texts = ()


class ClosingEntry(Position):
    """What closes the hub again, and what else is in it to look at."""

    name: Text = Field(default="closing", min_length=1)
    cotter_hole: Texts = ()
    cotter_through: Texts = ()
    cotter_pins: int = Field(default=1, ge=1, le=100)
    lock_plates: int = Field(default=0, ge=0, le=1000)
    thread_locker: int = Field(default=0, ge=0, le=1000)
    cover: Text = ""
    bushing: bool = False
    universal_joints: int = Field(default=0, ge=0, le=100)


class Shelf(_Entry):
    """What is on the shelf; parts named here need no order."""

    seals: Texts = ()
    bearings: Texts = ()
    sleeves: Texts = ()
    shims: Texts = ()


class Sheet(_Entry):
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
    fields: dict[str, Any] = {}
    for name in families:
        keys: dict[str, Any] = {"mark": (Texts, ())}
        for row in table(f"{name}/places").rows:
            keys[row.text("place").replace("-", "_")] = (Texts, ())
        for option in options(name):
            key = option.name.replace("-", "_")
            keys[key] = (Texts, ()) if option.is_reading else (Text, "")
        entry = create_model(f"{name.capitalize()}Entry", __base__=Position, **keys)
        fields[name] = (tuple[entry, ...], ())  # type: ignore[valid-type]
    return create_model("FamilySheet", __base__=Sheet, **fields)


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
            rule=f"this is not readable TOML ({_shown(str(error), 200)})",
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
    try:
        sheet = sheet_model(tuple(n for n in kind_names() if n in raw)).model_validate(raw)
    except ValidationError as error:
        raise _sheet_error(error, raw, name) from None
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
                value=f"{name}, {_shown(position.name)}",
                rule="two positions have the same name",
                todo="Give each position a name of its own, such as inner seal and outer seal",
            )
        names.add(position.name)


def _sheet_error(error: ValidationError, raw: dict[str, Any], name: str) -> InputError:
    """The first complaint in our words, and how many more there are."""
    complaints = error.errors(include_url=False, include_context=False)
    first = complaints[0]
    where = [str(part) for part in first["loc"]]
    place = _place(where, raw)
    given = first["input"]
    value = f"{name}, {place}" + ("" if isinstance(given, dict | list) else f" = {given!r:.60}")
    more = f" ({len(complaints) - 1} more)" if len(complaints) > 1 else ""
    if first["type"] == "extra_forbidden":
        return InputError(
            value=f"{name}, {place}",
            rule=f"there is no such key here{more}",
            todo=_suggestion(where) or "`fitcheck hub --blank` lists the keys",
        )
    if first["type"] == "missing":
        return InputError(
            value=f"{name}, {place}",
            rule=f"this key is needed{more}",
            todo="Every position has a name, such as inner seal",
        )
    return InputError(
        value=value,
        rule=f"{first['msg'][:1].lower()}{first['msg'][1:]}{more}",
        todo="`fitcheck hub --blank` shows what is wanted",
    )


def _place(where: list[str], raw: dict[str, Any]) -> str:
    """Where a complaint stands, with the position's name instead of its number."""
    if len(where) >= 2 and where[1].isdigit():
        entries = raw.get(where[0])
        entry = entries[int(where[1])] if isinstance(entries, list) else {}
        named = entry.get("name", f"number {int(where[1]) + 1}") if isinstance(entry, dict) else ""
        return _shown(" ".join([f"[[{where[0]}]]", _shown(str(named), 60), *where[2:3]]))
    return _shown(" ".join([f"[{where[0]}]", *where[1:2]])) if where else "the sheet"


def _shown(text: str, longest: int = 120) -> str:
    """A text as it may stand in a message: what can't be seen by its code, and not too long."""
    text = text if text.isprintable() else ascii(text)[1:-1]
    return text if len(text) <= longest else f"{text[:longest]}..."


def _suggestion(where: list[str]) -> str:
    from difflib import get_close_matches

    whole = sheet_model(kind_names())
    known = list(whole.model_fields)
    if len(where) > 1:
        field = whole.model_fields.get(where[0])
        models = [field.annotation, *get_args(field.annotation)] if field else []
        known = [key for model in models for key in getattr(model, "model_fields", ())]
    near = get_close_matches(where[-1], known, n=1, cutoff=0.6)
    return f"Did you mean {near[0]}?" if near else ""
