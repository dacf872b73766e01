"""Lists in the store: whole or not at all, and the same lines out as went in."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fitcheck.errors import DataError, InputError, NotKnownError
from fitcheck.lists.items import SIZE_FIELDS, SizeKey
from fitcheck.lists.lines import FIELD_NAMES, FIELDS, INTEGER, Block, Remark
from fitcheck.store import lists_read, open_store
from fitcheck.store.check import faults_found
from fitcheck.store.records import Counts
from fitcheck.store.shop import Store
from fitcheck.store.source import StoreSource

Make = Callable[..., list[tuple[Block, list[Remark]]]]
Seals = Callable[..., list[dict[str, Any]]]


def rows_of(blocks: Iterator[tuple[str, Block]]) -> list[tuple[Any, ...]]:
    """All lines as tuples."""
    return [
        row
        for _, block in blocks
        for row in zip(*(block.columns[name] for name in FIELD_NAMES), strict=True)
    ]


def sound(store: Store) -> bool:
    """Whether everything in the store belongs together."""
    with store.reading() as connection:
        return faults_found(connection) == []


def test_a_list_comes_back_as_it_was(store: Store, blocks_of: Make, invented: Seals) -> None:
    given_blocks = blocks_of(invented(2500))
    info = store.replace_list("North Quay", given_blocks, source="north.csv", unit="mm")
    assert (info.lines, info.accepted, info.repaired, info.refused) == (2500, 2500, 0, 0)
    assert (info.stored, info.sizes, info.source) == (2500, 50, "north.csv")
    wanted = rows_of(("", block) for block, _ in given_blocks)
    assert rows_of(store.blocks("north quay")) == wanted
    assert store.lists() == [info] == [store.list_info("NORTH  QUAY")]
    assert sound(store)


texts = st.none() | st.text(
    st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=8
)
numbers = st.none() | st.integers(-(2**63) + 1, 2**63 - 1)
lines = st.lists(
    st.fixed_dictionaries(
        {
            field.name: numbers if field.holds == INTEGER else texts
            for field in FIELDS
            if field.name != "line"
        }
    ),
    min_size=1,
    max_size=12,
)


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(lines=lines, size=st.integers(1, 5))
def test_any_lines_come_back_as_they_were(
    store: Store, blocks_of: Make, lines: list[dict[str, Any]], size: int
) -> None:
    given_blocks = blocks_of(lines, size=size)
    store.replace_list("any", given_blocks)
    assert rows_of(store.blocks("any")) == rows_of(("", block) for block, _ in given_blocks)
    found: dict[SizeKey, int] = {}
    for line in lines:
        key = SizeKey(*(line[name] for name in SIZE_FIELDS))
        found[key] = found.get(key, 0) + 1
    assert store.sizes("any") == found
    assert sound(store)


def test_a_list_takes_the_place_of_the_one_before(
    store: Store, blocks_of: Make, invented: Seals
) -> None:
    store.replace_list("north", blocks_of(invented(30), remarks=[Remark("noted", 1, "", "", "x")]))
    new = blocks_of(invented(20, first=500, price="9.99"))
    info = store.replace_list("North", new)
    assert [one.name for one in store.lists()] == ["North"]
    assert info.lines == 20
    assert rows_of(store.blocks()) == rows_of(("", block) for block, _ in new)
    with store.moment() as moment:
        assert list(moment.remarks("north")) == []
    assert sound(store)


def test_a_reading_that_fails_on_the_way_leaves_the_old_list(
    store: Store, blocks_of: Make, invented: Seals
) -> None:
    old = blocks_of(invented(30))
    store.replace_list("north", old)

    def failing() -> Iterator[tuple[Block, list[Remark]]]:
        yield from blocks_of(invented(2000, first=100))
        raise InputError(value="north.csv", rule="it is cut off", todo="Get it again")

    with pytest.raises(InputError, match="it is cut off"):
        store.replace_list("north", failing())
    assert rows_of(store.blocks("north")) == rows_of(("", block) for block, _ in old)
    assert sound(store)


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"description": "a\0b"}, r"line 3, description 'a\\x00b': this has characters"),
        ({"part_number": "\udc80"}, r"line 3, part_number '\\udc80': this has characters"),
        ({"on_hand": 2**63}, r"line 3, on_hand 9223372036854775808: this is larger"),
    ],
)
def test_a_value_that_no_database_takes_is_named_and_nothing_is_stored(
    store: Store, blocks_of: Make, invented: Seals, fields: dict[str, Any], words: str
) -> None:
    with pytest.raises(DataError, match=words):
        store.replace_list("north", blocks_of([*invented(1), fields]))
    assert store.lists() == []


def test_a_list_of_which_nothing_can_be_stored_is_refused(
    store: Store, blocks_of: Make, invented: Seals
) -> None:
    store.replace_list("north", blocks_of(invented(3)))
    nothing = [(Block.empty(), [Remark("refused", n, "size", "x", "no size") for n in (2, 3)])]
    with pytest.raises(InputError, match="not one of 2 lines can be stored"):
        store.replace_list("north", nothing)
    assert store.list_info("north").lines == 3


def test_lines_are_counted_from_the_remarks(store: Store, blocks_of: Make, invented: Seals) -> None:
    remarks = [
        Remark("repaired", 2, "price", "4,2O", "an O for a 0"),
        Remark("repaired", 2, "size", "35X52", "no width"),
        Remark("refused", 90, "size", "=cmd\0|", "no size"),
        Remark("repaired", 90, "price", "x", "no price"),
        Remark("noted", 3, "", "", "no width"),
    ]
    info = store.replace_list("north", blocks_of(invented(5), remarks=remarks))
    assert (info.lines, info.accepted, info.repaired, info.refused) == (6, 4, 1, 1)
    with store.moment() as moment:
        kept = list(moment.remarks("north"))
    assert kept[:2] == remarks[:2]
    assert kept[2].value == "=cmd␀|"
    assert sound(store)


@pytest.mark.parametrize("counts", [Counts(5, 4, 0, 1), Counts(7, 5, 0, 1)])
def test_lines_that_do_not_add_up_are_not_stored(
    store: Store, blocks_of: Make, invented: Seals, counts: Counts
) -> None:
    with pytest.raises(DataError, match="do not add up"):
        store.replace_list("north", blocks_of(invented(5)), counts=lambda: counts)
    assert store.lists() == []


def test_the_columns_of_a_supplier_are_remembered(
    store: Store, blocks_of: Make, invented: Seals
) -> None:
    assert store.column_plan("north") is None
    plan = {"columns": {"size": ["Größe"]}, "unit": "mm"}
    assert store.replace_list("North", blocks_of(invented(1)), plan=plan).plan == plan
    assert store.list_info("north").plan == plan
    store.replace_list("North", blocks_of(invented(1)))
    store.remove_list("north")
    assert store.column_plan("NORTH") == plan


def test_a_list_is_removed(store: Store, blocks_of: Make, invented: Seals) -> None:
    store.replace_list("north", blocks_of(invented(30)))
    store.replace_list("south", blocks_of(invented(10)))
    store.remove_list("North")
    assert [info.name for info in store.lists()] == ["south"]
    assert len(rows_of(store.blocks())) == 10
    with pytest.raises(NotKnownError, match="there is no list of that name"):
        store.remove_list("north")
    assert sound(store)


@pytest.mark.parametrize("name", ["", "  ", "a" * 61, "a\x07b", "--all"])
def test_a_name_that_is_no_name_is_refused(store: Store, blocks_of: Make, name: str) -> None:
    with pytest.raises(InputError, match="the name of a list"):
        store.replace_list(name, blocks_of([{"part_number": "1"}]))


def test_names_are_stored_and_never_run(store: Store, blocks_of: Make, invented: Seals) -> None:
    for name in ("'; DROP TABLE list_line; --", "%", "_", "{0}", '"', "north"):
        store.replace_list(name, blocks_of(invented(2)))
    assert len(store.lists()) == 6
    assert store.list_info("%").name == "%"
    assert sound(store)


# --- reading --------------------------------------------------------------------------------------


def test_only_the_columns_that_are_asked_for_are_read(
    store: Store, blocks_of: Make, invented: Seals
) -> None:
    store.replace_list("north", blocks_of(invented(3)))
    ((name, block),) = store.blocks("north", columns=("price", "shaft_um", "lip"))
    assert name == "north"
    assert block.columns == {
        "line": [2, 3, 4],
        "price": ["4.20"] * 3,
        "shaft_um": [20_000, 21_000, 22_000],
        "lip": [None, "double", None],
    }


def test_long_lists_come_in_blocks(
    store: Store, blocks_of: Make, invented: Seals, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(lists_read, "BLOCK_LINES", 7)
    store.replace_list("north", blocks_of(invented(20)))
    assert [len(block) for _, block in store.blocks("north")] == [7, 7, 6]


def test_a_source_gives_the_lines_of_some_sizes(
    store: Store, blocks_of: Make, invented: Seals, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(lists_read, "_ASKED", 2)
    store.replace_list("north", blocks_of(invented(200)))
    store.replace_list("south", blocks_of([*invented(10), {"description": "no number"}]))
    with store.moment() as moment:
        source = StoreSource(moment, ["north"])
        sizes = list(source.sizes())
        assert len(sizes) == 50
        some = set(sizes[3:8])
        found = list(source.lines_of_sizes(some, ("part_number", *SIZE_FIELDS)))
        assert {name for name, _ in found} == {"north"}
        assert sum(len(block) for _, block in found) == 20
        for _, block in found:
            assert set(block.columns["shaft_um"]) <= {size.shaft_um for size in some}
        # Of many sizes the whole list comes, which is quicker.
        many = source.lines_of_sizes(set(sizes[:30]), ("part_number",))
        assert sum(len(block) for _, block in many) == 200
        assert list(source.lines_of_sizes(set(), ("part_number",))) == []
        every = StoreSource(moment)
        numbers = [n for _, block in every.numbers(("part_number",)) for n in block.columns["line"]]
        assert len(numbers) == 210
        with pytest.raises(NotKnownError, match="east: there is no list"):
            StoreSource(moment, ["north", "east"])


def test_the_sizes_of_all_lists_are_counted_together(
    store: Store, blocks_of: Make, invented: Seals
) -> None:
    store.replace_list("north", blocks_of(invented(3)))
    store.replace_list("south", blocks_of(invented(1)))
    sizes = store.sizes()
    assert sorted(sizes.values()) == [1, 1, 2]


def test_reading_makes_no_store(shop: str, tmp_path: Path) -> None:
    with pytest.raises(NotKnownError, match="there is no store there yet"):
        open_store()
    store = open_store(create=True)
    with pytest.raises(NotKnownError, match="there is no store there yet"):
        store.lists()
    assert store.column_plan("north") is None
    assert store.revision() is None
    assert list(tmp_path.iterdir()) == []
