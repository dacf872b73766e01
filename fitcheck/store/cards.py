"""Finished job cards: kept whole, and found again by machine, position, size or words."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from typing import Any

from sqlalchemy import ColumnElement, Connection, and_, exists, insert, or_, select

from fitcheck.errors import InputError, NotKnownError
from fitcheck.records import dataclass
from fitcheck.store.card_sizes import (
    SAME_UM,
    Dimensions,
    asked_dimensions,
    dimensions_of,
    size_key,
)
from fitcheck.store.names import name_key
from fitcheck.store.records import now_text
from fitcheck.store.schema import job_card, job_position, job_size

_ESCAPE = "\\"
_SHAPE = {"job": dict, "positions": list, "parts": list, "verdict": str}
_JOB_TEXTS = ("title", "machine", "place", "date", "note")
_POSITION_TEXTS = ("name", "kind", "verdict", "pick")


@dataclass(frozen=True, slots=True)
class FoundPart:
    """A part that a card names for a position."""

    what: str
    size: str


@dataclass(frozen=True, slots=True)
class FoundPosition:
    """A position of a card that was found: what it is, and what was fitted.

    ``pick`` is the size that was decided on, ``parts`` are the others that go with it.
    """

    name: str
    kind: str
    verdict: str
    pick: str
    parts: tuple[FoundPart, ...] = ()


@dataclass(frozen=True, slots=True)
class FoundCard:
    """A card that was found, with the positions that were asked for."""

    id: int
    day: str
    title: str
    machine: str
    place: str
    verdict: str
    positions: tuple[FoundPosition, ...]


def keep_card(connection: Connection, card: Mapping[str, Any]) -> tuple[int, bool]:
    """Keep a job card; the same card twice is one card.

    Parameters
    ----------
    connection : Connection
        The store, in a writer's transaction.
    card : mapping
        The card, as ``fitcheck hub --json`` gives it.

    Returns
    -------
    tuple of (int, bool)
        The card's number, and whether it is a new one.

    Raises
    ------
    InputError
        This is no job card.
    """
    _check_shape(card)
    text = json.dumps(card, ensure_ascii=True, sort_keys=True)
    digest = hashlib.sha256(text.encode("ascii")).hexdigest()
    there = connection.execute(select(job_card.c.id).where(job_card.c.digest == digest)).scalar()
    if there is not None:
        return there, False
    job = {name: _text(card["job"].get(name)) for name in _JOB_TEXTS}
    kept_at = now_text()
    row = {
        "kept_at": kept_at,
        "day": job["date"] or kept_at[:10],
        "title": job["title"],
        "machine": job["machine"],
        "machine_key": name_key(job["machine"]),
        "place": job["place"],
        "verdict": card["verdict"],
        "search_text": name_key(" ".join(_words(card, job))),
        "digest": digest,
        # As it was given: the order of its keys is the order it is read in.
        "card": json.dumps(card, ensure_ascii=True),
    }
    inserted = insert(job_card).values(row).returning(job_card.c.id)
    card_id: int = connection.execute(inserted).scalar_one()
    positions = card["positions"]
    for number, position in enumerate(positions):
        name, kind, verdict, pick = (_text(position.get(key)) for key in _POSITION_TEXTS)
        connection.execute(
            insert(job_position).values(
                card_id=card_id,
                number=number,
                name=name,
                name_key=name_key(name),
                kind=kind,
                verdict=verdict,
                pick=pick,
            )
        )
    _keep_sizes(connection, card_id, card)
    return card_id, True


def _text(value: Any) -> str:
    """A text of the card without the one character that no database takes."""
    return "" if value is None else str(value).replace("\0", " ")


def _check_shape(card: Any) -> None:
    whole = isinstance(card, Mapping) and all(
        isinstance(card.get(key), kind) for key, kind in _SHAPE.items()
    )
    if not whole or not all(
        isinstance(one, Mapping) for one in (*card["positions"], *card["parts"])
    ):
        raise InputError(
            value="the card",
            rule="a job card has job, verdict, positions and parts",
            todo="Keep a bench sheet, or what `fitcheck hub SHEET.toml --json` prints",
        )


def _words(card: Mapping[str, Any], job: Mapping[str, str]) -> Iterator[str]:
    """Everything on the card that somebody may remember it by."""
    yield from job.values()
    for position in card["positions"]:
        yield from (_text(position.get(key)) for key in _POSITION_TEXTS)
    for part in card["parts"]:
        yield from (_text(part.get(key)) for key in ("what", "size"))


def _keep_sizes(connection: Connection, card_id: int, card: Mapping[str, Any]) -> None:
    """Keep the sizes of every position: its pick, and the parts that are for it."""
    for number, position in enumerate(card["positions"]):
        sizes = {}
        if position.get("pick"):
            sizes[_text(position["pick"])] = _text(position.get("kind"))
        for part in card["parts"]:
            if position.get("name") in (part.get("for") or ()) and part.get("size"):
                sizes[_text(part["size"])] = _text(part.get("what"))
        for place, (size, what) in enumerate(sizes.items()):
            connection.execute(
                insert(job_size).values(
                    card_id=card_id,
                    position=number,
                    number=place,
                    what=what,
                    size=size,
                    size_key=size_key(size),
                    **dimensions_of(size)._asdict(),
                )
            )


def find_cards(
    connection: Connection,
    text: str = "",
    *,
    machine: str = "",
    position: str = "",
    size: str = "",
    unit: str = "mm",
    limit: int = 20,
) -> list[FoundCard]:
    """Find kept cards, the latest first.

    Parameters
    ----------
    connection : Connection
        The store.
    text : str
        Words, all of which stand somewhere on the card.
    machine : str
        A part of the machine's name.
    position : str
        A part of a position's name, or its kind.
    size : str
        A size that was fitted, with or without its width, or a designation; where a position is
        given too, at that position.
    unit : str
        ``mm`` or ``in``, of a size that names none.
    limit : int
        Cards to give at most.
    """
    where = [_has(job_card.c.search_text, word) for word in name_key(text).split()]
    if machine:
        where.append(_has(job_card.c.machine_key, name_key(machine)))
    place = _position_asked(position, size, unit)
    if place is not None:
        where.append(exists().where(job_position.c.card_id == job_card.c.id, place))
    names = ("id", "day", "title", "machine", "place", "verdict")
    cards = connection.execute(
        select(*(job_card.c[name] for name in names))
        .where(*where)
        .order_by(job_card.c.day.desc(), job_card.c.id.desc())
        .limit(limit)
    ).all()
    return [
        FoundCard(**card._asdict(), positions=_positions(connection, card.id, place))
        for card in cards
    ]


def _has(column: ColumnElement[str], words: str) -> ColumnElement[bool]:
    """Whether a text has some words in it; ``%`` and ``_`` are letters like any other."""
    return column.contains(words, autoescape=True, escape=_ESCAPE)


def _position_asked(position: str, size: str, unit: str) -> ColumnElement[bool] | None:
    asked: list[ColumnElement[bool]] = []
    if position:
        key = name_key(position)
        asked.append(or_(_has(job_position.c.name_key, key), job_position.c.kind == key))
    if size:
        asked.append(
            exists().where(
                job_size.c.card_id == job_position.c.card_id,
                job_size.c.position == job_position.c.number,
                or_(
                    job_size.c.size_key == size_key(size),
                    _like(asked_dimensions(size, unit=unit)),
                ),
            )
        )
    return and_(*asked) if asked else None


def _like(asked: Dimensions) -> ColumnElement[bool]:
    """Whether a size has the dimensions that are asked for."""
    given = [(name, um) for name, um in asked._asdict().items() if um is not None]
    if not given:
        return job_size.c.size_key.is_(None)
    return and_(*(job_size.c[name].between(um - SAME_UM, um + SAME_UM) for name, um in given))


def _positions(
    connection: Connection, card_id: int, asked: ColumnElement[bool] | None
) -> tuple[FoundPosition, ...]:
    wanted = select(job_position.c.number, *(job_position.c[name] for name in _POSITION_TEXTS))
    wanted = wanted.where(job_position.c.card_id == card_id).order_by(job_position.c.number)
    if asked is not None:
        wanted = wanted.where(asked)
    named = select(job_size.c.position, job_size.c.what, job_size.c.size)
    named = named.where(job_size.c.card_id == card_id).order_by(job_size.c.number)
    parts: dict[int, list[FoundPart]] = {}
    for number, what, size in connection.execute(named):
        parts.setdefault(number, []).append(FoundPart(what, size))
    return tuple(
        FoundPosition(
            name,
            kind,
            verdict,
            pick,
            tuple(part for part in parts.get(number, ()) if part.size != pick),
        )
        for number, name, kind, verdict, pick in connection.execute(wanted)
    )


def kept_card(connection: Connection, number: int) -> dict[str, Any]:
    """A card as it was kept.

    Parameters
    ----------
    connection : Connection
        The store.
    number : int
        The card's number.

    Raises
    ------
    NotKnownError
        There is no such card.
    """
    text = connection.execute(select(job_card.c.card).where(job_card.c.id == number)).scalar()
    if text is None:
        raise NotKnownError(
            value=str(number),
            rule="no card was kept under that number",
            todo="`fitcheck jobs find` lists the cards there are",
        )
    card: dict[str, Any] = json.loads(text)
    return card
