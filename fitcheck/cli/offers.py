"""The shop's lists beside an answer: what they offer, and their own sizes to choose from.

A shop without a store notices nothing: until there is a file, or a server is named, all that is
done is to look whether there is one.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager
from typing import TYPE_CHECKING, Any

import click

from fitcheck.errors import FitcheckError, NotKnownError, OffTableError, printable
from fitcheck.store.location import may_be_there

if TYPE_CHECKING:
    from fitcheck.job.sheet import Position, Sheet
    from fitcheck.lists.family import ListFamily
    from fitcheck.lists.items import SizeKey
    from fitcheck.lists.source import LineSource
    from fitcheck.parts.family import Family

Answer = dict[str, Any]
Sources = Mapping[str, "LineSource"]

# A mechanic does not wait for a store that others hold [s].
_WAIT_S = 2.0

# From this share on it is said that a list has nothing that fits.
_UNLISTED_LEADS = 0.5

no_offers_option = click.option(
    "--no-offers", is_flag=True, help="Leave the shop's lists alone: no offers."
)


def seal_offers(found: Answer, *, case: str, oil: str) -> None:
    """Give each candidate of an answer about a seal its offers, where there are lists.

    Parameters
    ----------
    found : dict
        The answer; it is changed.
    case : str
        The old seal's case.
    oil : str
        What the seal keeps in.
    """

    def join(sources: Sources) -> None:
        from fitcheck.lists.offered import Position, add_offers
        from fitcheck.lists.offers import execution_wanted

        wanted = Position(found, execution_wanted(case=case, oil=oil))
        add_offers([wanted], _of_its_list(found, sources), worn=found.get("counterface"))

    _with_lists(join)


def sleeve_offers(found: Answer) -> None:
    """Give the thin sleeves of an answer about a counterface their offers, where there are lists.

    Parameters
    ----------
    found : dict
        The answer; it is changed.
    """

    def join(sources: Sources) -> None:
        from fitcheck.lists.offered import add_way_offers

        add_way_offers(found, sources)

    _with_lists(join)


def bearing_offers(found: Answer) -> None:
    """Give each candidate of an answer about a bearing its offers, where there are lists.

    Parameters
    ----------
    found : dict
        The answer; it is changed.
    """

    def join(sources: Sources) -> None:
        from fitcheck.lists.offered import Position, add_offers

        add_offers([Position(found)], _of_its_list(found, sources))

    _with_lists(join)


def _of_its_list(found: Answer, sources: Sources) -> Sources:
    """The list that an answer was matched against, or all of them where it names none."""
    name = found["list"]["name"] if "list" in found else ""
    return {name: sources[name]} if name in sources else sources


def card_offers(card: Answer, seals: Mapping[str, tuple[str, str]], *, only: str = "") -> None:
    """Give the candidates and the parts of a job card their offers, where there are lists.

    Parameters
    ----------
    card : dict
        The card; it is changed.
    seals : mapping of str to tuple of str
        For each seal position its case and what it keeps in.
    only : str
        The list that the sheet names; all lists offer when left out.
    """

    def join(sources: Sources) -> None:
        from fitcheck.lists.offered import add_card_offers
        from fitcheck.lists.offers import execution_wanted
        from fitcheck.store.names import name_key

        if only:
            sources = {n: s for n, s in sources.items() if name_key(n) == name_key(only)}
        made = {name: execution_wanted(case=case, oil=oil) for name, (case, oil) in seals.items()}
        add_card_offers(card, made, sources)

    _with_lists(join)


@contextmanager
def stored_lists() -> Iterator[Sources]:
    """The stored lists by name, at one moment; none where there is no store."""
    from fitcheck.store import open_store
    from fitcheck.store.source import StoreSource

    # As if to write, so that a database that is no store yet is no fault; nothing is made.
    store = open_store(create=True, wait_s=_WAIT_S)
    if store.revision() is None:
        yield {}
        return
    with store.moment() as moment:
        yield {info.name: StoreSource(moment, [info.name]) for info in moment.lists()}


class ListsChangedError(Exception):
    """What was kept of the lists is no longer what is stored: they are read anew."""


_open_lists: list[Callable[[], AbstractContextManager[Sources]]] = [stored_lists]


def read_lists_by(open_lists: Callable[[], AbstractContextManager[Sources]]) -> None:
    """Read the lists otherwise from now on: a program that stays keeps what it read.

    Parameters
    ----------
    open_lists : callable
        Gives the lists as `stored_lists` does; where they change meanwhile, it raises
        `ListsChangedError` in whatever reads them.
    """
    _open_lists[0] = open_lists


def _with_lists(join: Callable[[Sources], None]) -> None:
    """Do something with the stored lists; where there are none, or they fail, the answer stands."""
    try:
        if not may_be_there():
            return
        try:
            with _open_lists[0]() as sources:
                if sources:
                    join(sources)
        except ListsChangedError:
            with stored_lists() as sources:
                if sources:
                    join(sources)
    except FitcheckError as error:
        _left_out(str(error))
    # Whatever is wrong with the shop's own data, the mechanic gets the answer.
    except Exception as error:
        if os.environ.get("FITCHECK_DEBUG"):
            raise
        _left_out(f"{type(error).__name__}: {error}; `fitcheck store info` says more")


def _left_out(why: str) -> None:
    click.echo(printable(f"fitcheck: what the shop's lists offer is left out: {why}"), err=True)


# --- a list's own sizes -----------------------------------------------------------------------


def sheet_card(sheet: Sheet) -> Answer:
    """The job card of a bench sheet, matched against the list that it names, if it names one.

    Parameters
    ----------
    sheet : Sheet
        The sheet.

    Raises
    ------
    NotKnownError
        There is no store, or no list of that name.
    """
    from fitcheck.job.card import job_card

    name = sheet.job.list
    if not name:
        return job_card(sheet)
    from fitcheck.job.sheet import SealEntry
    from fitcheck.lists.family import bearing_list, seal_list
    from fitcheck.lists.part_family import part_list
    from fitcheck.parts.bearing import bearing_family
    from fitcheck.parts.kind import kind_family
    from fitcheck.parts.seal import seal_family
    from fitcheck.store import open_store

    # Read once, so that all positions see the same list.
    with open_store().moment() as moment:
        info = moment.list_info(name)
        sizes = moment.sizes(info.name)

    kinds = {entry.name: family for family, entry in sheet.parts()}

    def matched(entry: Position, ask: Callable[[Family], Answer]) -> Answer:
        try:
            if isinstance(entry, SealEntry):
                family = seal_family(case=entry.case, bare_shaft=entry.bare_shaft)
                case, bare = entry.case, entry.bare_shaft
                listed = seal_list(sizes, name=info.name, case=case, bare_shaft=bare)
            elif entry.name in kinds:
                family = kind_family(kinds[entry.name])
                listed = part_list(sizes, family=kinds[entry.name], name=info.name)
            else:
                family = bearing_family()
                listed = bearing_list(sizes, name=info.name)
        except NotKnownError as error:
            # A supplier of seals has no bearings; the position is answered all the same.
            found = ask(family)
            said = f"list {info.name}: {error.rule}. The standard tables are searched for it"
            return {**found, "reasons": [*found["reasons"], said]}
        with beyond(listed):
            found = ask(listed.family)
        found = matched_against(found, listed)
        said = f"matched against list {listed.name}: {len(listed.family.sizes)} sizes"
        return {**found, "reasons": [*found["reasons"], said]}

    return job_card(sheet, matched=matched)


def list_family(name: str, make: Callable[[Mapping[SizeKey, int], str], ListFamily]) -> ListFamily:
    """The sizes of a stored list as a family.

    Parameters
    ----------
    name : str
        The list, in whatever case.
    make : callable
        Makes the family from the distinct sizes and the list's name.

    Raises
    ------
    NotKnownError
        There is no store, no list of that name, or no part of this kind in it.
    """
    from fitcheck.store import open_store

    with open_store().moment() as moment:
        info = moment.list_info(name)
        return make(moment.sizes(info.name), info.name)


@contextmanager
def beyond(listed: ListFamily | None) -> Iterator[None]:
    """Say of readings beyond all sizes of a list that the standard tables may know them.

    Parameters
    ----------
    listed : ListFamily, optional
        The list; the standard tables when left out.
    """
    try:
        yield
    except OffTableError as error:
        if listed is None:
            raise
        raise OffTableError(
            value=f"list {listed.name}, {error.value}",
            rule=error.rule,
            todo=f"{error.todo}. Without --list the standard tables are searched",
        ) from error


def matched_against(found: Answer, listed: ListFamily) -> Answer:
    """An answer that says which list it was matched against and what of it was left out.

    Parameters
    ----------
    found : dict
        The answer.
    listed : ListFamily
        The list.
    """
    reasons = list(found["reasons"])
    if found["unlisted"] >= _UNLISTED_LEADS or not found["candidates"]:
        reasons.append(
            f"list {listed.name} has nothing that fits: without --list the standard tables are "
            "searched"
        )
    return {
        **found,
        "reasons": reasons,
        "list": {
            "name": listed.name,
            "sizes": len(listed.family.sizes),
            "lines": listed.lines,
            "no_size": listed.no_size,
            "off_table": listed.off_table,
            "other_parts": listed.other_parts,
        },
    }
