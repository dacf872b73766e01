"""What is told of a list against working it out anew; dead stock; prices; sleeves; the sheet."""

from __future__ import annotations

import csv
from dataclasses import asdict
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.errors import InputError
from fitcheck.parts.sleeve import Sleeve, sleeves
from fitcheck.report.stock_text import explained
from fitcheck.stock.answer import plan_answer, same_money
from fitcheck.stock.cover import fewest_sleeves
from fitcheck.stock.explain import dead_stock, effects_of
from fitcheck.stock.figures import figures_of
from fitcheck.stock.model import Kit, Rate, model_of
from fitcheck.stock.plan import plan_for_budget
from fitcheck.stock.plan_sheet import COLUMNS, plan_rows, read_levels, to_buy
from fitcheck.stock.pose import Posed, pose
from fitcheck.stock.prices import prices_of
from fitcheck.stock.problem import complete_jobs, slot_shares
from fitcheck.stock.records import Model, Part


def shop() -> Model:
    """Three sizes at one branch; a kit of two, a kit of three, one sold by itself."""
    parts = [
        Part("35 x 52 x 7", "seal", price=4.0, currency="EUR"),
        Part("30206", "bearing", price=9.0, currency="EUR", pack=2),
        Part("32215", "bearing", price=50.0, currency="EUR"),
        Part("=odd", "other", price=1.0, currency="EUR"),
    ]
    kits = [
        Kit("quay", {"35 x 52 x 7": 2, "30206": 1}, 6.0),
        Kit("quay", {"35 x 52 x 7": 1, "30206": 1, "32215": 1}, 2.0),
        Kit("quay", {"35 x 52 x 7": 1}, 3.0),
    ]
    on_hand = {("35 x 52 x 7", "quay"): 1, ("32215", "quay"): 12, ("=odd", "quay"): 7}
    return model_of(parts, kits, on_hand=on_hand)


def posed_shop(model: Model) -> Posed:
    """The problem of a shop."""
    return pose(model, prices_of(model))


def test_effects_are_those_of_changing_the_level_and_working_it_out() -> None:
    posed = posed_shop(shop())
    level = np.array([2, 2, 1, 0])
    effects = effects_of(posed, level)
    now = complete_jobs(posed.problem, level)
    for item, (more, less) in enumerate([(3, 1), (3, 0), (2, 0), (0, 0)]):
        for other, gain in (
            (more, effects.more_jobs[item]),
            (less, -effects.less_jobs[item]),
            (0, -effects.none_jobs[item]),
        ):
            changed = level.copy()
            changed[item] = other
            assert complete_jobs(posed.problem, changed) - now == pytest.approx(gain, abs=1e-9)
    assert effects.more_money.tolist() == [4.0, 9.0, 50.0, 0.0]
    assert effects.none_money.tolist() == [8.0, 18.0, 50.0, 0.0]
    assert effects.jobs.tolist() == [11.0, 8.0, 2.0, 0.0]
    assert effects.kits.tolist() == [3, 2, 1, 0]


def test_dead_stock_is_what_two_years_do_not_ask_for() -> None:
    model = shop()
    dead = dead_stock(model, np.array([3, 2, 1, 0]))
    # Of twelve bearings, two asked for in a year, some seven go in two years nearly for sure.
    assert dead.dead[0] == 0
    assert dead.dead[2] + dead.over[2] == 11
    assert 4 <= dead.dead[2] <= 6
    # What nobody takes is dead, all of it.
    assert (dead.dead[3], dead.over[3]) == (7, 0)


def test_pieces_that_lie_there_already_are_said_and_cost_nothing_more() -> None:
    model = shop()
    posed, prices = posed_shop(model), prices_of(model)
    kept, none = (
        {row.part: row for row in plan_rows(model, prices, posed, np.array(level))}["32215"]
        for level in ([3, 2, 1, 0], [3, 2, 0, 0])
    )
    one = explained(asdict(kept), currency="EUR")
    assert "level 1 (50.00 EUR), 12 there now: 2.0 jobs a year take it" in one
    assert "dead stock: returning them frees" in one
    assert "one more lies there already: kept at level 2 it completes" in one
    assert "one more costs" not in one
    assert "50.00 EUR to keep it up, once what lies there is gone, would complete" in none.why
    fresh = plan_rows(model, prices, posed, np.array([1, 2, 1, 0]))
    first = next(row for row in fresh if row.part == "35 x 52 x 7")
    assert "one more costs 4.00 EUR and completes" in explained(asdict(first), currency="EUR")


def test_figures_of_a_list() -> None:
    posed = posed_shop(shop())
    figures = figures_of(posed, np.array([3, 2, 1, 0]))
    assert figures.money == 3 * 4 + 2 * 9 + 50
    assert (figures.sizes, figures.pieces) == (3, 6)
    assert figures.jobs == 11.0
    assert figures.lines == 6 * 2 + 2 * 3 + 3
    assert figures.emergency == pytest.approx(figures.lines - figures.filled)
    assert 0 < figures.shelf_money < figures.money
    # What turns over is what goes from the shelf, not what is asked for in vain.
    slots = slot_shares(posed.problem, np.array([3, 2, 1, 0]))
    value = np.array([6 * 8, 6 * 9, 2 * 4, 2 * 9, 2 * 50, 3 * 4]) @ slots
    assert figures.turns == pytest.approx(value / figures.shelf_money)
    nothing = figures_of(posed, np.zeros(4, dtype=np.int64))
    assert (nothing.job_share, nothing.money, nothing.turns) == (0.0, 0.0, 0.0)


# --- the sheet ----------------------------------------------------------------------------------


def saved(path: Path, model: Model, level: np.ndarray) -> Path:
    """The list as a CSV file."""
    posed = posed_shop(model)
    with path.open("w", encoding="utf-8", newline="") as target:
        writer = csv.writer(target)
        writer.writerow([column.name for column in COLUMNS])
        for row in plan_rows(model, prices_of(model), posed, level):
            writer.writerow(["" if cell is None else cell for cell in row.cells()])
    return path


@given(st.lists(st.integers(0, 9), min_size=4, max_size=4))
def test_a_list_is_read_back_as_it_was_saved(
    tmp_path_factory: pytest.TempPathFactory, levels: list[int]
) -> None:
    model, level = shop(), np.array(levels)
    path = saved(tmp_path_factory.mktemp("plan") / "plan.csv", model, level)
    found, notes = read_levels(str(path), model)
    assert found.tolist() == levels
    assert notes == ()
    assert "'=odd" in path.read_text(encoding="utf-8")


def test_what_a_sheet_leaves_out_is_none_and_is_said(tmp_path: Path) -> None:
    path = tmp_path / "plan.csv"
    path.write_text("branch,part,level\nquay,35x52x7,4\n", encoding="utf-8")
    found, notes = read_levels(str(path), shop())
    assert found.tolist() == [4, 0, 0, 0]
    assert notes == ("3 sizes at their branches are not in the sheet: 0 is taken",)


@pytest.mark.parametrize(
    ("row", "reason"),
    [
        ("quay,30206,-1", "a negative quantity"),
        ("quay,30206,", "it is blank, and it is needed"),
        ("quay,30206,few", "no whole number"),
        ("yard,30206,1", "there is no such branch"),
        ("quay,40x62x7,1", "no demand, fleet, shelf or terms name this size"),
        ("quay,35 x 52 x 7,1", "line 2 has this size at this branch already"),
    ],
)
def test_a_row_that_cannot_be_taken_is_named(tmp_path: Path, row: str, reason: str) -> None:
    path = tmp_path / "plan.csv"
    path.write_text(f"branch,part,level\nquay,35x52x7,4\n{row}\n", encoding="utf-8")
    with pytest.raises(InputError, match=reason) as caught:
        read_levels(str(path), shop())
    assert "line 3" in str(caught.value)
    assert "1 line is refused in all" in str(caught.value)


# --- prices -------------------------------------------------------------------------------------


def priced(*parts: Part, assume: float | None = None) -> list[float]:
    """The prices of some parts."""
    model = model_of(parts, [], branches=["quay"], rates={(parts[0].key, "quay"): Rate(1.0)})
    return prices_of(model, assume=assume).price.tolist()


def test_a_size_without_a_price_takes_the_middle_one_of_its_kind() -> None:
    parts = [Part(f"s{n}", "seal", price=price) for n, price in enumerate((1.0, 2.0, 9.0, None))]
    assert priced(*parts) == [1.0, 2.0, 9.0, 2.0]
    assert priced(*parts, assume=5.0) == [1.0, 2.0, 9.0, 5.0]
    prices = prices_of(model_of(parts, [], branches=["quay"]))
    assert prices.assumed == ("s3",)
    assert prices.notes == (
        "no price is known for 1 size (seal): 2.00 each, the middle price of a seal",
    )


@pytest.mark.parametrize(
    ("parts", "words"),
    [
        ([("seal", 1.0, "EUR"), ("seal", 2.0, "USD")], r"2 currencies \(1 in EUR, 1 in USD\)"),
        ([("seal", 1.0, "EUR"), ("other", None, "")], "nor of any other size of its kind"),
        ([("seal", 0.0, "EUR")], "s0 at 0: a piece costs more than nothing"),
        ([("seal", -2.0, "EUR")], "s0 at -2: a piece costs more than nothing"),
    ],
)
def test_prices_that_cannot_be_counted_together_are_refused(
    parts: list[tuple[str, float | None, str]], words: str
) -> None:
    made = [
        Part(f"s{n}", what, price=price, currency=currency)
        for n, (what, price, currency) in enumerate(parts)
    ]
    with pytest.raises(InputError, match=words):
        priced(*made)


# --- the fewest sleeves -------------------------------------------------------------------------


def sleeve(low: float, high: float) -> Sleeve:
    """A sleeve of a window."""
    return Sleeve(f"{low} to {high}", low, low, high, 0.25, 10.0, 12.0, "invented", "invented")


@given(
    st.lists(st.integers(0, 30), min_size=1, max_size=7),
    st.lists(st.tuples(st.integers(0, 30), st.integers(0, 9)), min_size=1, max_size=7),
)
def test_no_smaller_set_of_sleeves_covers_as_much(
    shafts: list[int], windows: list[tuple[int, int]]
) -> None:
    held = [sleeve(float(low), float(low + wide)) for low, wide in windows]
    lengths = [float(shaft) for shaft in shafts]
    cover = fewest_sleeves(lengths, held)

    def covered(some: tuple[Sleeve, ...]) -> set[float]:
        return {
            x for x in lengths if any(one.window_min_mm <= x <= one.window_max_mm for one in some)
        }

    most = covered(tuple(held))
    assert set(cover.uncovered) == set(lengths) - most
    assert sorted(x for _, taken in cover.sleeves for x in taken) == sorted(
        x for x in lengths if x in most
    )
    count = len(cover.sleeves)
    fewer = (some for size in range(count) for some in combinations(held, size))
    assert all(covered(some) != most for some in fewer if count)


def test_listed_sleeves_cover_shafts_inside_their_windows() -> None:
    cover = fewest_sleeves([50.02, 34.98, 35.02, 1600.0], sleeves())
    assert len(cover.sleeves) == 2
    assert cover.uncovered == (1600.0,)


# --- what to buy --------------------------------------------------------------------------------


@given(st.integers(0, 30), st.integers(0, 40), st.integers(1, 9))
def test_buying_is_in_whole_lots_and_within_the_level(level: int, on_hand: int, lot: int) -> None:
    buy = to_buy(level=level, on_hand=on_hand, lot=lot)
    assert buy % lot == 0
    assert (buy == 0) == (level == 0 or on_hand > max(level - lot, 0))
    if level >= lot and buy:
        assert level - lot < on_hand + buy <= level


def test_nothing_is_bought_while_the_shelf_is_above_the_reorder_point() -> None:
    parts = [
        Part("s0", "seal", price=2.0, pack=5),
        Part("s1", "seal", price=3.0, pack=5),
        Part("s2", "seal", price=7.0, pack=5),
    ]
    on_hand = {("s0", "quay"): 3, ("s1", "quay"): 2, ("s2", "quay"): 1}
    model = model_of(parts, [Kit("quay", {"s0": 1, "s1": 1, "s2": 1}, 4.0)], on_hand=on_hand)
    found = plan_answer(model, prices_of(model), posed_shop(model), np.array([7, 7, 2]))
    rows = {line["part"]: line for line in found["lines"]}
    assert [rows[f"s{n}"]["buy"] for n in range(3)] == [0, 5, 0]
    assert [rows[f"s{n}"]["order_at"] for n in range(3)] == [2, 2, 0]
    assert [rows[f"s{n}"]["order_quantity"] for n in range(3)] == [5, 5, 5]
    assert found["buy_money"] == 15.0
    assert any("1 level is below what one ask takes" in x for x in found["assumptions"])


def test_a_sheet_that_sets_an_always_kept_part_to_nothing_is_told_so() -> None:
    parts = [Part("s0", "seal", price=2.0, critical=True), Part("s1", "seal", price=3.0)]
    model = model_of(parts, [Kit("quay", {"s1": 1}, 4.0)])
    posed = posed_shop(model)
    level = np.array([0, 2])
    assert (plan_for_budget(posed, 6.0, also=(level,)) >= [1, 0]).all()
    assert same_money(posed, level) is not None
    words = plan_answer(model, prices_of(model), posed, level)["assumptions"][0]
    assert words.startswith("this list has none of what is always kept (s0 at quay)")
    assert same_money(posed, np.array([0, 0])) is None
    dear = posed_shop(
        model_of([Part("s0", "seal", price=9.0, critical=True), parts[1]], [], branches=["quay"])
    )
    assert same_money(dear, np.array([0, 1])) is None


def test_a_price_of_another_part_is_said_in_words() -> None:
    parts = [Part("s0", "other", price=4.0), Part("s1", "other")]
    assert prices_of(model_of(parts, [], branches=["quay"])).notes == (
        "no price is known for 1 size (other): 4.00 each, the middle price of the other parts",
    )
