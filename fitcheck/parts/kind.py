"""Part families that their tables describe: a folder of data and a module of the same name.

The folder ``data/NAME`` holds the sizes and two tables every family has: ``places``, where a
reading can be taken, and ``bands``, where it may lie. The descriptor's ``family`` names the
dimensions and the words of the trade. The module ``fitcheck.parts.NAME`` gives ``sizes()``,
``LIMITS`` that no ISO 286 class gives, ``mark_forms(size)`` and, where marks carry more than that,
``read_mark(text)`` and ``said_by_mark(text)``. Whoever has both is a family; nothing lists them.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from functools import cache
from importlib import import_module
from typing import Any

from fitcheck.errors import NotKnownError
from fitcheck.marks import checked
from fitcheck.parts.family import NO_WORDS, USED, BandRule, Family, Limits, Place, Size, View
from fitcheck.parts.limit_rules import iso_limits
from fitcheck.records import dataclass
from fitcheck.tables import Row, data_folder, package, shop_folder, table


@dataclass(frozen=True, slots=True)
class Kind:
    """A family as its folder and module describe it.

    ``example`` is a line of options to show, ``stage`` when the part goes in on the way back
    together, ``ask`` what a name leaves open at a counter, ``order`` the dimensions as a size is
    written, ``words`` what the trade calls the part, ``swapped`` the places whose values people
    mix up, ``harmless`` the explanations that are ordinary wear, ``wears_larger`` the places that
    wear opens, ``states`` how the other explanations are said, and ``standing`` what is to be known
    of the table as a whole, where no standard lists such parts.
    """

    name: str
    title: str
    example: str
    stage: str
    ask: str
    dimensions: tuple[str, ...]
    order: tuple[str, ...]
    words: tuple[str, ...]
    swapped: tuple[str, ...]
    harmless: tuple[str, ...]
    wears_larger: tuple[str, ...]
    states: Mapping[str, str]
    standing: str
    sizes: Callable[[], tuple[Size, ...]]
    limits: Mapping[str, Limits]
    forms: Callable[[Size], Iterable[str]]
    read_mark: Callable[[str], str]
    said_by_mark: Callable[[str], tuple[str, ...]]


def kind_names() -> tuple[str, ...]:
    """The names of all families that are described so, in alphabetical order."""
    return _kind_names()


@cache
def _kind_names() -> tuple[str, ...]:
    here, data = os.path.dirname(os.path.abspath(__file__)), data_folder()
    modules = (file.removesuffix(".py") for file in os.listdir(here) if file.endswith(".py"))
    return tuple(
        sorted(
            name
            for name in modules
            if os.path.isfile(os.path.join(data, name, "datapackage.json"))
            and "family" in package(name)
        )
    )


@cache
def kind(name: str) -> Kind:
    """A family by name.

    Parameters
    ----------
    name : str
        The name of its folder and module.

    Raises
    ------
    NotKnownError
        There is no such family.

    Examples
    --------
    >>> kind("oring").title, kind("oring").order
    ('O-ring', ('id', 'section'))
    """
    if name not in kind_names():
        raise NotKnownError(
            value=name,
            rule="there is no part family with this name",
            todo="Use one of " + ", ".join(kind_names()),
        )
    module: Any = import_module(f"fitcheck.parts.{name}")
    told = package(name)["family"]
    return Kind(
        name=name,
        title=told["title"],
        example=told["example"],
        stage=told["stage"],
        ask=told.get("ask", ""),
        dimensions=tuple(told["dimensions"]),
        order=tuple(told["order"]),
        words=tuple(told["words"]),
        swapped=tuple(told.get("swapped", ())),
        harmless=tuple(told.get("harmless", ())),
        wears_larger=tuple(told.get("wears_larger", ())),
        states=dict(told.get("states", {})),
        standing=told.get("standing", ""),
        sizes=module.sizes,
        limits=module.LIMITS,
        forms=module.mark_forms,
        read_mark=getattr(module, "read_mark", checked),
        said_by_mark=getattr(module, "said_by_mark", _nothing_more),
    )


def _nothing_more(_mark: str) -> tuple[str, ...]:
    return ()


def kind_family(name: str, told: Mapping[str, str] = NO_WORDS) -> Family:
    """The family of a name, ready for the engine.

    Parameters
    ----------
    name : str
        The name of its folder and module.
    told : mapping of str to str
        What is known of the part, by the detail of its sizes: only such sizes are in the family.

    Raises
    ------
    NotKnownError
        There is no such family, or no size of which that is true.

    Examples
    --------
    >>> {size.details["form"] for size in kind_family("bushing", {"form": "solid"}).sizes}
    {'solid'}
    """
    return _told_family(name, shop_folder(), tuple(sorted(told.items())))


@cache
def _told_family(name: str, shop: str, told: tuple[tuple[str, str], ...]) -> Family:
    family = _family(name, shop)
    return narrowed(family, dict(told)) if told else family


def narrowed(family: Family, told: Mapping[str, str]) -> Family:
    """A family with those of its sizes only of which something is true, or of which it is not said.

    Parameters
    ----------
    family : Family
        The sizes of the tables, or of a list.
    told : mapping of str to str
        What is known of the part, by the detail of its sizes.

    Raises
    ------
    NotKnownError
        There is no such size.
    """
    sizes = tuple(
        size
        for size in family.sizes
        if all(detail_word(size, key) in ("", word) for key, word in told.items())
    )
    if not sizes:
        raise NotKnownError(
            value=", ".join(told.values()),
            rule=f"there is no {family.name} that is made so",
            todo="Leave it out to look at all of them",
        )
    return with_sizes(family, sizes)


def with_sizes(family: Family, sizes: tuple[Size, ...]) -> Family:
    """A family with other sizes, and the places that any of them has.

    Parameters
    ----------
    family : Family
        The family whose dimension model holds.
    sizes : tuple of Size
        The sizes.
    """
    there = {n for n in range(len(family.dimensions)) if any(s.nominals[n] for s in sizes)}
    places = (
        replace(place, views=tuple(view for view in place.views if view.dimension in there))
        for place in family.places.values()
    )
    return Family(
        name=family.name,
        dimensions=family.dimensions,
        sizes=sizes,
        places=tuple(place for place in places if place.views),
        order_group=family.order_group,
        harmless=family.harmless,
        wears_larger=family.wears_larger,
        words=family.words,
    )


@cache
def _family(name: str, _shop: str) -> Family:
    found = kind(name)
    by_place: dict[str, list[Row]] = {}
    for row in table(f"{name}/bands").rows:
        by_place.setdefault(row.text("place"), []).append(row)
    return Family(
        name=found.title,
        dimensions=found.dimensions,
        sizes=found.sizes(),
        places=tuple(
            Place(
                row.text("place"),
                _views(found, by_place[row.text("place")]),
                row.text("words"),
                tuple(row.text("instruments").split()),
                part=row.text("part"),
                not_with=frozenset(row.text("not_with").split()),
            )
            for row in table(f"{name}/places").rows
        ),
        order_group=found.swapped,
        harmless=USED | set(found.harmless),
        wears_larger=frozenset(found.wears_larger),
        words=found.states,
    )


def detail_word(size: Size, detail: str) -> str:
    """The word of a size's detail that an option may choose: what stands before a comma.

    Parameters
    ----------
    size : Size
        The size.
    detail : str
        The detail's name.
    """
    return size.details.get(detail, "").partition(",")[0]


def _views(found: Kind, rows: list[Row]) -> tuple[View, ...]:
    """The views of a place: bands of one dimension and the same limits stand together."""
    groups: dict[tuple[str, str], list[Row]] = {}
    for row in rows:
        groups.setdefault((row.text("dimension"), row.text("limits")), []).append(row)
    whole = sum(row.number("prior") for row in rows)
    views = []
    for (dimension, limits), group in groups.items():
        share = sum(row.number("prior") for row in group)
        rules = tuple(
            BandRule(
                state=row.text("state"),
                prior=row.number("prior") / share,
                low_scale=row.number("low_scale"),
                low_mm=row.number("low_mm"),
                high_scale=row.number("high_scale"),
                high_mm=row.number("high_mm"),
            )
            for row in group
        )
        position = found.dimensions.index(dimension)
        views.append(View(position, share / whole, limits_named(limits, found.limits), rules))
    return tuple(views)


def limits_named(name: str, own: Mapping[str, Limits]) -> Limits:
    """The limits that a table names: one of the family's own, or an ISO 286 class.

    Parameters
    ----------
    name : str
        A name of the family, or a tolerance class such as H7.
    own : mapping of str to Limits
        The limits the family gives itself.

    Examples
    --------
    >>> [round(offset, 3) for offset in limits_named("H7", {})(30.0, "metric")]
    [0.0, 0.021]
    """
    return own[name] if name in own else iso_limits(name)
