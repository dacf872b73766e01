"""The best lines of a stored list, sorted in columns, are those that sorting line by line gives."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from random import Random
from typing import Any

import pytest

from fitcheck.lists.cross import cross
from fitcheck.lists.items import SizeKey
from fitcheck.lists.lines import Block, Remark
from fitcheck.lists.pool import SORTS
from fitcheck.lists.source import JoinedSource, LineSource, rows_source
from fitcheck.lists.wanted import Want
from fitcheck.store import lists_best
from fitcheck.store.shop import Store
from fitcheck.store.source import StoreSource

Make = Callable[..., list[tuple[Block, list[Remark]]]]
Rows = list[dict[str, Any]]


def mixed(count: int, seed: int) -> Rows:
    """Lines of few sizes with every mixture of what may be given and what not."""
    rng = Random(seed)
    lines = rng.sample(range(2, 10 * count), count)
    return [
        {
            "line": line,
            "part_number": f"{line:05d}",
            "kind": rng.choice(["seal", "seal", None]),
            "shaft_um": 35_000,
            "bore_um": rng.choice([52_000, 52_100]),
            "width_um": rng.choice([7000, 8000]),
            "system": "metric",
            "lip": rng.choice([None, "single", "double"]),
            "price": rng.choice([None, "4.20", "4.2", "0.1", "19999999999999.01", "12"]),
            "currency": rng.choice([None, "EUR", "USD", "a,b", "\x1f"]),
            "lead_days": rng.choice([None, 0, 14, 2**62, 2**62 + 1]),
            "on_hand": rng.choice([None, 0, 3, -(2**63) + 1, 2**63 - 1]),
        }
        for line in lines
    ]


def answers(source: LineSource, sort: str, top: int) -> list[Any]:
    """What is wanted, crossed: one size asked for plainly and one with a lip."""
    size = SizeKey("seal", 35_000, 52_000, 7000, "metric")
    made = [{}, {"lip": "double"}]
    wants = [Want(n, "", readings=((size, _made(one)),)) for n, one in enumerate(made, start=1)]
    return [found.alternatives for found in cross(wants, source, sort=sort, top=top)]


def _made(fields: Mapping[str, str]) -> Any:
    from fitcheck.lists.items import execution

    return execution(fields)


@pytest.mark.parametrize("sort", SORTS)
@pytest.mark.parametrize("batch", [1, 40, 200_000])
def test_stored_lines_come_in_the_order_of_lines_in_memory(
    store: Store, blocks_of: Make, monkeypatch: pytest.MonkeyPatch, sort: str, batch: int
) -> None:
    monkeypatch.setattr(lists_best, "_SORTED", batch)
    monkeypatch.setattr(lists_best, "_PLACES", 7)
    lists = {"north": mixed(150, 1), "south": mixed(40, 2)}
    for name, rows in lists.items():
        store.replace_list(name, blocks_of(rows))
    with store.moment() as moment:
        stored = StoreSource(moment)
        for top in (1, 6, 500):
            assert answers(stored, sort, top) == answers(rows_source(lists), sort, top)
        both = JoinedSource(StoreSource(moment, ["north"]), rows_source({"south": lists["south"]}))
        assert answers(both, sort, 20) == answers(rows_source(lists), sort, 20)


def test_of_few_sizes_only_these_are_read(
    store: Store, blocks_of: Make, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(lists_best, "_WHOLE", 1.0)
    monkeypatch.setattr(lists_best, "_ASKED", 1)
    rows = mixed(80, 3)
    store.replace_list("north", blocks_of(rows))
    with store.moment() as moment:
        source = StoreSource(moment)
        sizes = list(source.sizes())[:3]
        found = list(source.best(sizes, sort="price", top=2))
        assert {size for size, _, _ in found} == set(sizes)
        assert max(len(kept) for _, _, kept in found) == 2
        assert list(source.best([], sort="price", top=2)) == []
        assert source.shown("east", {}) == {}
