"""The join of distinct sizes gives what brute force gives."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.errors import InputError
from fitcheck.lists.compare import FAR, NEAR
from fitcheck.lists.cross import Crossing
from fitcheck.lists.grades import GRADES, grading, size_grading
from fitcheck.lists.items import Execution, SizeKey, execution, size_key
from fitcheck.lists.join import SizeIndex, match_order
from fitcheck.lists.pool import SORTS, Pool
from fitcheck.lists.source import rows_source
from fitcheck.lists.wanted import Want

# Values close together, so that windows, twins and equal sizes all come up often.
SHAFTS = (34000, 34840, 34920, 34925, 35000, 35001, 36000, 38100, 100000)
BORES = (51994, 52000, 52046, 53000, 53975, 54000, 120000, None)
WIDTHS = (6900, 7000, 7144, 7938, 7950, 8000, 10000, 17000, None)
SYSTEMS = ("metric", "inch", "mixed", None)
KINDS = ("seal", "seal", "seal", "bearing", "sleeve", "other", None)
NUMBERS = (None, None, "30206", "LM11949", "LM11949/LM11910", "LM11910")

keys = st.builds(
    SizeKey,
    st.sampled_from(KINDS),
    st.sampled_from((*SHAFTS, None)),
    st.sampled_from(BORES),
    st.sampled_from(WIDTHS),
    st.sampled_from(SYSTEMS),
    st.sampled_from(NUMBERS),
)
makes = st.builds(
    Execution,
    st.sampled_from((None, "single", "double", "axial")),
    st.sampled_from((None, "metal", "rubber")),
    st.sampled_from((None, "NBR")),
    st.none(),
    st.sampled_from((None, "oil", "grease")),
    st.sampled_from((None, "left", "right")),
)
pockets = st.sampled_from((None, 7300, 8300, 12000))


def brute_matches(
    want: SizeKey, sizes: list[SizeKey], pocket_um: int | None, near: int
) -> list[tuple[SizeKey, Any]]:
    """Every size against the wanted one."""
    found = [(size, size_grading(want, size, pocket_um)) for size in dict.fromkeys(sizes)]
    fits = [match for match in found if match[1].level < NEAR]
    if fits:
        return sorted(fits, key=match_order)
    return sorted((m for m in found if m[1].level == NEAR), key=match_order)[:near]


@given(st.lists(keys, max_size=40), keys, pockets, st.integers(1, 5))
def test_the_index_finds_what_brute_force_finds(
    sizes: list[SizeKey], want: SizeKey, pocket_um: int | None, near: int
) -> None:
    found = SizeIndex(sizes).matches(want, pocket_um=pocket_um, near=near)
    assert list(found) == brute_matches(want, sizes, pocket_um, near)


micrometres = st.integers(1, 600_000)


@given(
    st.lists(st.tuples(micrometres, micrometres, micrometres), max_size=60),
    st.tuples(micrometres, micrometres, micrometres),
    st.lists(st.tuples(*[st.integers(-1600, 1600)] * 3), max_size=20),
)
def test_no_size_is_too_large_or_too_close_for_the_index(
    triples: list[tuple[int, int, int]],
    want: tuple[int, int, int],
    around: list[tuple[int, int, int]],
) -> None:
    near = [tuple(max(1, a + b) for a, b in zip(want, d, strict=True)) for d in around]
    sizes = [SizeKey("bearing", *triple, "metric") for triple in (*triples, *near)]
    wanted = SizeKey("bearing", *want, "metric")
    found = SizeIndex(sizes).matches(wanted, near=7)
    assert list(found) == brute_matches(wanted, sizes, None, 7)


@st.composite
def list_rows(draw: st.DrawFn) -> list[dict[str, Any]]:
    rows = []
    for line in range(2, draw(st.integers(2, 30))):
        key, made = draw(keys), draw(makes)
        rows.append(
            {
                "line": line,
                "part_number": f"N{line}",
                **key._asdict(),
                **made._asdict(),
                "price": draw(st.sampled_from((None, "1", "2.50", "10"))),
                "currency": draw(st.sampled_from(("EUR", "USD", None))),
                "lead_days": draw(st.sampled_from((None, 0, 3))),
                "on_hand": draw(st.sampled_from((None, 0, 7))),
            }
        )
    return rows


def order(row: dict[str, Any], sort: str) -> tuple[Any, ...]:
    """The rule in words: what is not said comes last."""
    if sort == "price":
        if row["price"] is None:
            return (1, "", 0.0)
        return (0, row["currency"] or "", float(row["price"]))
    value = row["lead_days" if sort == "lead" else "on_hand"]
    if value is None:
        return (1, 0)
    return (0, value if sort == "lead" else -value)


@given(
    st.fixed_dictionaries({"north": list_rows(), "south": list_rows()}),
    keys,
    makes,
    pockets,
    st.tuples(st.sampled_from(SORTS), st.integers(1, 6)),
)
def test_crossing_gives_what_brute_force_gives(
    lists: dict[str, list[dict[str, Any]]],
    size: SizeKey,
    made: Execution,
    pocket_um: int | None,
    shown: tuple[str, int],
) -> None:
    sort, top = shown
    # A designation alone takes its dimensions from the tables; that is another test's concern.
    if size.shaft_um is None:
        size = size._replace(designation=None)
    want = Want(1, "", readings=((size, made),), pocket_um=pocket_um)
    (answer,) = Crossing([want], rows_source(lists), sort=sort, top=top)
    sizes = [size_key(row) for rows in lists.values() for row in rows]
    met = {match[0] for match in brute_matches(size, sizes, pocket_um, top)}
    expected = []
    for name, rows in lists.items():
        for row in rows:
            have = size_key(row)
            found = grading(size, made, have, execution(row), pocket_um)
            if have in met and found.level < FAR:
                off = found.off_um if found.level == NEAR else 0
                expected.append((found.level, off, order(row, sort), name, row["line"]))
    expected.sort()
    if expected and expected[0][0] < NEAR:
        expected = [entry for entry in expected if entry[0] < NEAR]
    assert [(a.grade, a.line.list, a.line.line) for a in answer.alternatives] == [
        (GRADES[level], name, line) for level, _, _, name, line in expected[:top]
    ]


def test_a_class_keeps_its_best_lines_however_many_come() -> None:
    rows = [
        {"line": n, "kind": "seal", "shaft_um": 1, "bore_um": 2, "price": str((n * 7919) % 1000)}
        for n in range(2, 900)
    ]
    source = rows_source({"north": rows})
    key = SizeKey("seal", 1, 2)
    pool = Pool([key], sort="price", top=3)
    for name, block in source.lines_of_sizes([key], ()):
        pool.add(name, block)
    ((_, _, kept),) = pool.classes()
    best = sorted((float(row["price"]), row["line"]) for row in rows)[:3]
    assert [(line[0][2], line[2]) for line in kept] == best


@pytest.mark.parametrize(("sort", "top"), [("colour", 5), ("price", 0)])
def test_an_order_or_a_count_that_is_none_is_refused(sort: str, top: int) -> None:
    with pytest.raises(InputError):
        Crossing([], rows_source({}), sort=sort, top=top)
