"""The pack from the shelf: the best one there is, against trying every pack."""

from __future__ import annotations

import itertools
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.errors import InputError
from fitcheck.setup.packs import MAX_PACK_MM, Pack, Shim, best_pack, shims_to_buy

GRID = 10_000


def tried(pieces: list[int], low: int, high: int) -> tuple[bool, tuple[int, int, int]]:
    """Every pack of the pieces: (fewest, distance, sum) inside, or (distance, sum, count)."""
    inside, nearest = [], []
    for count in range(len(pieces) + 1):
        for combination in itertools.combinations(pieces, count):
            total = sum(combination)
            distance = abs(2 * total - low - high)
            nearest.append((distance, total, count))
            if low <= total <= high:
                inside.append((count, distance, total))
    return (True, min(inside)) if inside else (False, min(nearest))


def found(pieces: list[int], low: int, high: int) -> tuple[bool, tuple[int, int, int]]:
    """The same of the pack that is picked, once it is seen to be made of the pieces."""
    shelf = [Shim(piece / GRID, 1) for piece in pieces]
    pack = best_pack(shelf=shelf, low_mm=low / GRID, high_mm=high / GRID)
    used = [round(s.thickness_mm * GRID) for s in pack.picks for _ in range(s.count)]
    for piece in used:
        assert used.count(piece) <= pieces.count(piece)
    assert used == sorted(used, reverse=True), "the thickest first"
    total = sum(used)
    assert total == round(pack.total_mm * GRID)
    distance = abs(2 * total - low - high)
    key = (len(used), distance, total) if pack.inside else (distance, total, len(used))
    return pack.inside, key


@pytest.mark.parametrize("seed", range(60))
def test_no_other_pack_from_a_random_shelf_is_better(seed: int) -> None:
    draw = random.Random(seed)
    for _ in range(5):
        step = draw.choice([1, 10, 100, 127, 254, 500])
        pieces = [draw.randint(1, 10_000 // step) * step for _ in range(draw.randint(0, 9))]
        if pieces and draw.random() < 0.5:
            pieces = [draw.choice(pieces[:3]) for _ in pieces]
        low = draw.randint(0, 40_000)
        high = low + draw.choice([0, 10, 300, 1000, 2000])
        assert found(pieces, low, high) == tried(pieces, low, high)


@pytest.mark.parametrize("seed", range(12))
def test_no_other_pack_from_twelve_shims_is_better(seed: int) -> None:
    draw = random.Random(1000 + seed)
    steps = [500, 1000, 1500, 2000, 3000, 5000, 1020, 2010, 127, 762]
    pieces = [draw.choice(steps) for _ in range(12)]
    low = draw.randint(0, 20_000)
    high = low + draw.choice([20, 200, 1000])
    assert found(pieces, low, high) == tried(pieces, low, high)


@given(
    st.lists(st.integers(1, 300), max_size=8),
    st.integers(0, 1200),
    st.integers(0, 60),
)
def test_no_other_pack_is_better(pieces: list[int], low: int, width: int) -> None:
    assert found(pieces, low, low + width) == tried(pieces, low, low + width)


def ten_thousand(shelf: list[Shim], low_mm: float, high_mm: float) -> Pack:
    assert sum(shim.count for shim in shelf) == 10_000
    return best_pack(shelf=shelf, low_mm=low_mm, high_mm=high_mm)


def test_ten_thousand_labelled_shims_are_gone_through() -> None:
    shelf = [Shim(t / 100, 1000) for t in (5, 10, 15, 20, 25, 30, 40, 50, 75, 100)]
    pack = ten_thousand(shelf, 4.42, 4.48)
    assert (pack.inside, pack.count, pack.total_mm) == (True, 6, 4.45)


def test_ten_thousand_measured_shims_are_gone_through() -> None:
    draw = random.Random(7)
    shelf = [Shim(draw.randint(50, 1000) / 1000, 1, measured=True) for _ in range(10_000)]
    pack = ten_thousand(shelf, 5.4995, 5.5005)
    assert (pack.inside, pack.count, pack.total_mm) == (True, 6, 5.5)


def test_ten_thousand_thin_shims_for_a_thick_pack_are_gone_through() -> None:
    shelf = [Shim((200 + i % 300) / GRID, 1) for i in range(10_000)]
    pack = ten_thousand(shelf, 4.9999, 5.0001)
    assert (pack.inside, pack.count, pack.total_mm) == (True, 101, 5.0)


def test_ten_thousand_shims_with_no_pack_are_gone_through() -> None:
    shelf = [Shim(0.0254 * k, 500) for k in range(1, 11)]
    shelf += [Shim(0.05 * k, 500) for k in range(1, 11)]
    pack = ten_thousand(shelf, 6.00001, 6.00004)
    assert (pack.inside, pack.total_mm) == (False, 6.0)


def test_fewest_come_before_nearest_the_middle() -> None:
    shelf = [Shim(0.5, 1), Shim(0.2, 2), Shim(0.05, 4)]
    pack = best_pack(shelf=shelf, low_mm=0.40, high_mm=0.52)
    assert [(s.thickness_mm, s.count) for s in pack.picks] == [(0.5, 1)]


@pytest.mark.parametrize(
    ("low", "high", "total"),
    [(0.30, 0.40, 0.3), (0.3001, 0.40, 0.4), (0.20, 0.30, 0.2), (0.25, 0.2999, None)],
)
def test_both_ends_of_the_window_belong_to_it(low: float, high: float, total: float) -> None:
    pack = best_pack(shelf=[Shim(0.1, 9)], low_mm=low, high_mm=high)
    if total is None:
        assert not pack.inside
    else:
        assert pack.inside
        assert pack.total_mm == total


def test_of_two_equally_near_the_thinner_is_taken() -> None:
    pack = best_pack(shelf=[Shim(0.1, 1), Shim(0.2, 1)], low_mm=0.1, high_mm=0.2)
    assert pack.total_mm == 0.1
    pack = best_pack(shelf=[Shim(0.1, 1), Shim(0.2, 1)], low_mm=0.149, high_mm=0.151)
    assert (pack.inside, pack.total_mm) == (False, 0.1)


def test_measured_shims_are_taken_before_labelled_ones_of_the_same_thickness() -> None:
    shelf = [Shim(0.1, 3), Shim(0.1, 1, measured=True, label_mm=0.1)]
    pack = best_pack(shelf=shelf, low_mm=0.1, high_mm=0.1)
    assert pack.picks == (Shim(0.1, 1, measured=True, label_mm=0.1),)
    pack = best_pack(shelf=shelf, low_mm=0.2, high_mm=0.2)
    assert pack.picks == (Shim(0.1, 1, measured=True, label_mm=0.1), Shim(0.1, 1))


def test_what_was_measured_counts_and_not_the_label() -> None:
    shelf = [Shim(0.108, 4, measured=True, label_mm=0.1), Shim(0.1, 4)]
    pack = best_pack(shelf=shelf, low_mm=0.215, high_mm=0.217)
    assert [(s.thickness_mm, s.label_mm, s.count) for s in pack.picks] == [(0.108, 0.1, 2)]


def test_inch_shims_stay_inch_shims() -> None:
    shelf = [Shim(n * 0.0254, 5) for n in (3, 5, 10)]
    pack = best_pack(shelf=shelf, low_mm=18 * 0.0254, high_mm=18 * 0.0254)
    assert [(round(s.thickness_mm / 0.0254), s.count) for s in pack.picks] == [
        (10, 1),
        (5, 1),
        (3, 1),
    ]


def test_an_empty_shelf_has_the_empty_pack() -> None:
    pack = best_pack(shelf=[], low_mm=0.1, high_mm=0.2)
    assert (pack.picks, pack.total_mm, pack.inside) == ((), 0.0, False)
    assert best_pack(shelf=[], low_mm=0.0, high_mm=0.2).inside


def test_equal_shims_from_two_places_are_one_pick() -> None:
    pack = best_pack(shelf=[Shim(0.1, 2), Shim(0.1, 2)], low_mm=0.4, high_mm=0.4)
    assert pack.picks == (Shim(0.1, 4),)


@pytest.mark.parametrize(
    ("low", "high"), [(0.3, 0.2), (-0.3, -0.2), (0.0, MAX_PACK_MM + 1), (float("nan"), 0.2)]
)
def test_a_window_that_can_not_be_is_refused(low: float, high: float) -> None:
    with pytest.raises(InputError, match="a range from low to high"):
        best_pack(shelf=[Shim(0.1, 1)], low_mm=low, high_mm=high)


@pytest.mark.parametrize("shim", [Shim(0.0, 1), Shim(-0.1, 1), Shim(0.1, -1)])
def test_a_shim_that_can_not_be_is_refused(shim: Shim) -> None:
    with pytest.raises(InputError, match="a shim has a thickness"):
        best_pack(shelf=[shim], low_mm=0.1, high_mm=0.2)


# --- what is to be bought -------------------------------------------------------------------------

SIZES = (0.05, 0.1, 0.2, 0.5)


def bought_by_trying(shelf: list[int], low: int, high: int, most: int) -> tuple[int, int] | None:
    """Every purchase up to so many: (fewest, distance of the best pack from the middle)."""
    sums = {sum(c) for n in range(len(shelf) + 1) for c in itertools.combinations(shelf, n)}
    grids = [round(size * GRID) for size in SIZES]
    for count in range(1, most + 1):
        totals = {
            sum(buy) + own
            for buy in itertools.combinations_with_replacement(grids, count)
            for own in sums
        }
        inside = [abs(2 * total - low - high) for total in totals if low <= total <= high]
        if inside:
            return count, min(inside)
    return None


@pytest.mark.parametrize("seed", range(40))
def test_no_smaller_purchase_makes_a_pack(seed: int) -> None:
    draw = random.Random(seed)
    shelf = [draw.choice([300, 500, 1020, 2000, 127]) for _ in range(draw.randint(0, 6))]
    low = draw.randint(0, 15_000)
    high = low + draw.choice([10, 100, 300, 600])
    buy, total_mm = shims_to_buy(
        shelf=[Shim(piece / GRID, 1) for piece in shelf],
        sizes_mm=SIZES,
        low_mm=low / GRID,
        high_mm=high / GRID,
        most=4,
    )
    expected = bought_by_trying(shelf, low, high, 4)
    total = round(total_mm * GRID)
    if expected is None:
        assert (buy, total_mm) == ((), 0.0)
        return
    assert (sum(shim.count for shim in buy), abs(2 * total - low - high)) == expected
    # Shelf and purchase do make that pack, with all that was bought.
    pack = best_pack(
        shelf=[*(Shim(piece / GRID, 1) for piece in shelf), *buy],
        low_mm=total / GRID,
        high_mm=total / GRID,
    )
    assert pack.inside


def test_ten_thousand_shims_and_a_purchase_are_gone_through() -> None:
    # No shim there is thin enough, so 0.5, 0.2, 0.2 and 0.05 are bought.
    shelf = [Shim(1.0 + i / GRID, 1) for i in range(10_000)]
    buy, total = shims_to_buy(shelf=shelf, sizes_mm=SIZES, low_mm=0.91, high_mm=0.96, most=12)
    assert total == pytest.approx(0.95)
    assert sum(shim.count for shim in buy) == 4
