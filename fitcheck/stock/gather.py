"""All of the shop's records put together, under one name for each size."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from fitcheck.lists.items import OTHER, SizeKey
from fitcheck.lists.source import LineSource
from fitcheck.records import dataclass
from fitcheck.stock.estimate import Known
from fitcheck.stock.fleet import Position, fleet_kits
from fitcheck.stock.history import Asking, History, demand_lines, history_of
from fitcheck.stock.parts import Asked, Named, execution_notes, names_of
from fitcheck.stock.records import Stretch
from fitcheck.stock.shelf import Counted, Empty
from fitcheck.stock.terms import Terms, listed_terms, parts_of

# No more notes of one sort than this are given one by one.
_MOST_NOTES = 5


@dataclass(frozen=True, slots=True)
class Records:
    """The shop's records as they were written, wherever they come from."""

    history: Sequence[Asking] = ()
    fleet: Sequence[Position] = ()
    terms: Sequence[tuple[Asked, Terms]] = ()
    counts: Sequence[Counted] = ()
    stretches: Sequence[Empty] = ()
    notes: Sequence[str] = ()


def gathered(
    records: Records, *, source: LineSource | None = None, unit: str = "mm"
) -> tuple[History, Known]:
    """The history and what is known beside it, each size under one name.

    Parameters
    ----------
    records : Records
        The records.
    source : LineSource, optional
        The lists, for part numbers and prices.
    unit : str
        ``mm`` or ``in``, of sizes that name none.
    """
    names = names_of(_asked(records), source=source, unit=unit)
    # What was taken when it came in and has become doubtful since, by a new list, keeps its text.
    names = {asked: _kept(asked, named) for asked, named in names.items()}
    keyed = {named.key: named for named in reversed(list(names.values()))}
    own = {names[asked].key: terms for asked, terms in records.terms}
    listed = listed_terms(keyed.values(), source) if source is not None else {}
    parts, assumed = parts_of(keyed.values(), own=own, listed=listed)
    counts = {(names[one.text, one.what].key, one.branch): one.pieces for one in records.counts}
    history = history_of(demand_lines(records.history, names))
    known = Known(
        parts=parts,
        branches=tuple(dict.fromkeys(one.branch for one in records.counts)),
        fleet=fleet_kits(tuple(records.fleet), names),
        stretches=tuple(
            Stretch(one.branch, names[one.text, one.what].key, one.first, one.end)
            for one in records.stretches
        ),
        on_hand=counts,
        listed=frozenset({*own, *listed, *(key for key, _ in counts)}),
        assumptions=(
            *records.notes,
            *_few(assumed),
            *_few(_notes(names, {*own, *listed})),
            *_few(execution_notes(names)),
        ),
    )
    return history, known


def _asked(records: Records) -> Iterable[Asked]:
    yield from ((one.text, one.what) for one in records.history)
    yield from ((one.text, one.what) for one in records.fleet)
    yield from ((one.text, one.what) for one in records.counts)
    yield from ((one.text, one.what) for one in records.stretches)
    yield from (asked for asked, _ in records.terms)


def _kept(asked: Asked, named: Named) -> Named:
    if not named.refused:
        return named
    text = " ".join(asked[0].split())
    note = f"{text}: {named.refused}; counted as a part of its own"
    return replace(named, key=text, what=OTHER, size=SizeKey(OTHER), note=note, refused="")


def _notes(names: Mapping[Asked, Named], known: set[str]) -> list[str]:
    """What was assumed about parts that neither the shop nor a list has terms for."""
    noted = (named for named in names.values() if named.note and named.key not in known)
    return list(dict.fromkeys(named.note for named in noted))


def _few(notes: Sequence[str]) -> list[str]:
    """Notes of one sort: the first few, and how many more there are like them."""
    by_sort: dict[str, list[str]] = {}
    for note in notes:
        by_sort.setdefault(note.rpartition(": ")[2], []).append(note)
    found = []
    for sort, some in by_sort.items():
        found += some[:_MOST_NOTES]
        if len(some) > _MOST_NOTES:
            more = len(some) - _MOST_NOTES
            found.append(f"{more} more size{'s' * (more != 1)}: {sort}")
    return found
