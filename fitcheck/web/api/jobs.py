"""Endpoints for kept job cards: keep one, find it again, show it."""

from __future__ import annotations

from dataclasses import asdict
from typing import Annotated, Any

from fastapi import APIRouter
from pydantic import Field

from fitcheck.cli import jobs as commands
from fitcheck.cli.common import tidy
from fitcheck.cli.offers import sheet_card
from fitcheck.errors import InputError
from fitcheck.web.api.hub import Given, sheet_given
from fitcheck.web.api.routes import Answer, answering

router = APIRouter(tags=["kept job cards"])

SHEET = (
    Annotated[
        Given | None, Field(description="The bench sheet: its TOML text, or its tables as JSON.")
    ],
    None,
)
CARD = (
    Annotated[dict[str, Any] | None, Field(description="Or the card, as /api/hub gave it.")],
    None,
)


def keep(*, sheet: Given | None, card: Answer | None) -> Answer:
    """What `fitcheck jobs keep` does.

    Parameters
    ----------
    sheet : str or dict, optional
        A bench sheet.
    card : dict, optional
        Or a card.

    Raises
    ------
    InputError
        Neither is given, or both.
    """
    from fitcheck.lists.offered import without_offers
    from fitcheck.store import open_store
    from fitcheck.store.cards import keep_card

    if (sheet is None) == (card is None):
        raise InputError(
            value="sheet and card",
            rule=f"{'both' if card is not None else 'neither'} of them was sent",
            todo="Send the bench sheet, or the card",
        )
    if sheet is not None:
        kept = tidy(sheet_card(sheet_given(sheet)))
    else:
        kept = _without_offers(card or {}, without_offers)
    with open_store(create=True).writing() as connection:
        number, is_new = keep_card(connection, kept)
    return {"id": number, "new": is_new}


def _without_offers(card: Answer, without_offers: Any) -> Answer:
    try:
        found: Answer = without_offers(card)
    except (TypeError, AttributeError, KeyError, ValueError) as error:
        raise InputError(
            value="card",
            rule="this is no job card",
            todo="Send the card as /api/hub gave it",
        ) from error
    return found


def find(
    *, text: tuple[str, ...], machine: str, size: str, position: str, limit: int, unit: str
) -> Answer:
    """What `fitcheck jobs find` finds.

    Parameters
    ----------
    text : tuple of str
        Words on the card.
    machine, size, position : str
        What else is looked for.
    limit : int
        Cards to list at most.
    unit : str
        ``mm`` or ``in``, of sizes that name none.
    """
    found = commands.found_cards(
        " ".join(text), machine=machine, position=position, size=size, unit=unit, limit=limit
    )
    return {"cards": [asdict(card) for card in found]}


def show(*, number: int) -> Answer:
    """What `fitcheck jobs show` shows.

    Parameters
    ----------
    number : int
        The card's number.
    """
    from fitcheck.store import open_store
    from fitcheck.store.cards import kept_card

    with open_store().reading() as connection:
        return kept_card(connection, number)


answering(
    router,
    "/jobs/keep",
    keep,
    command=commands.keep,
    without=("sheet",),
    more={"sheet": SHEET, "card": CARD},
    changes=True,
)
answering(router, "/jobs/find", find, command=commands.find, how="query")
answering(router, "/jobs/show", show, command=commands.show, how="query")
