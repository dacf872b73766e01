"""Readings: averaging, errors, strays, roundness, instruments and the shop's own instruments."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.errors import AmbiguousError, DataError, InputError
from fitcheck.readings import Reading, instrument, read, reading_of, split_instrument
from fitcheck.tables import table

COLUMNS = "instrument,uncertainty_mm,roundness_limit_mm"
# Figures of the test's own, so that nothing here depends on the shipped ones.
OWN = f"""{COLUMNS}
tape,0.4,1.2
caliper,0.02,0.08
micrometer,0.005,0.02
bore-gauge,0.005,0.03
"""


@pytest.fixture(autouse=True)
def _own_instruments(tmp_path_factory: pytest.TempPathFactory) -> object:
    """The shop's table of instruments, the same for every test here."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("FITCHECK_TABLES", str(shop(tmp_path_factory.mktemp("shop"), OWN)))
        yield


def shop(folder: Path, rows: str) -> Path:
    """A shop's folder of tables with these instruments."""
    place = folder / "instruments"
    place.mkdir(parents=True, exist_ok=True)
    (place / "instruments.csv").write_text(rows, encoding="utf-8")
    return folder


def shaft(*texts: str, unit: str = "mm", tool: str = "") -> Reading:
    """A reading of a shaft."""
    return read(place="shaft", texts=texts, unit=unit, tool=tool)


# --- one reading --------------------------------------------------------------------------------


def test_one_reading_is_its_value_with_the_error_of_its_instrument() -> None:
    found = shaft("34.92")
    assert (found.place, found.values_mm, found.strays_mm) == ("shaft", (34.92,), ())
    assert (found.mean_mm, found.spread_mm, found.instrument) == (34.92, 0.0, "caliper")
    assert found.standard_error_mm == pytest.approx(0.02)
    assert (found.unit, found.step_mm, found.stated) == ("mm", 0.01, False)
    assert found.out_of_round is False
    assert found.notes() == ()


def test_a_reading_in_inches_is_in_mm_and_remembers_how_it_was_written() -> None:
    found = shaft("1-3/8in")
    assert found.mean_mm == pytest.approx(34.925)
    assert (found.unit, found.step_mm, found.stated) == ("in", 3.175, True)
    assert shaft("1.375", unit="in") == shaft("1.375", unit="in")
    assert shaft("1.375", unit="in").stated is False


@pytest.mark.parametrize(
    "text", ["34.92mm@micrometer", "34.92@micrometer", "34.92 mm @ Micrometer"]
)
def test_a_reading_carries_its_instrument(text: str) -> None:
    found = shaft(text)
    assert (found.mean_mm, found.instrument) == (34.92, "micrometer")
    assert found.standard_error_mm == pytest.approx(0.005)


@pytest.mark.parametrize("name", ["bore-gauge", "Bore gauge", "BORE_GAUGE"])
def test_an_instrument_is_known_however_its_name_is_joined(name: str) -> None:
    assert shaft(f"52@{name}").instrument == "bore-gauge"


def test_the_instrument_of_the_job_holds_where_none_is_named() -> None:
    found = shaft("34.92", tool="micrometer")
    assert found.instrument == "micrometer"
    assert shaft("34.92@caliper", tool="micrometer").instrument == "caliper"


def test_split_instrument() -> None:
    assert split_instrument("34.92mm@micrometer") == ("34.92mm", "micrometer")
    assert split_instrument("34.92mm") == ("34.92mm", "caliper")


def test_a_plain_number_is_a_reading() -> None:
    found = reading_of(place="bore", value_mm=52.0, instrument_name="bore-gauge")
    assert (found.place, found.mean_mm, found.instrument) == ("bore", 52.0, "bore-gauge")
    assert found.standard_error_mm == pytest.approx(0.005)


# --- refused ------------------------------------------------------------------------------------


@pytest.mark.parametrize("text", ["0", "0.0mm", "0in", "-0", "-34.92"])
def test_zero_and_less_are_refused(text: str) -> None:
    with pytest.raises(InputError, match=r"larger than zero|can't be negative") as caught:
        shaft("34.92", text)
    assert str(caught.value).startswith(f"shaft {text}: ")
    assert caught.value.todo


@pytest.mark.parametrize("value", [0.0, -1.0, math.nan, math.inf])
def test_plain_numbers_are_held_to_the_same(value: float) -> None:
    with pytest.raises(InputError, match="a number larger than zero"):
        reading_of(place="shaft", value_mm=value)


def test_an_unlisted_instrument_is_answered_with_the_listed_ones() -> None:
    with pytest.raises(InputError, match=r"shaft 34\.92 @ruler: this instrument is not") as caught:
        shaft("34.92@ruler")
    for row in table("instruments/instruments").rows:
        assert row.text("instrument") in caught.value.todo
    with pytest.raises(InputError, match=r"shaft 34\.92 @: this instrument is not listed"):
        shaft("34.92@")
    with pytest.raises(InputError, match="@ruler: this instrument is not listed"):
        shaft("34.92", tool="ruler")


def test_a_text_that_is_no_length_names_the_place() -> None:
    with pytest.raises(AmbiguousError, match=r"shaft 1,250: this can be read as 1\.250 or as 1250"):
        shaft("1,250@micrometer")
    with pytest.raises(InputError, match="shaft 35 kg: kg is a unit of force"):
        shaft("35 kg")


def test_no_text_at_all_is_refused() -> None:
    with pytest.raises(InputError, match="shaft: no reading was given"):
        shaft()


# --- several readings ---------------------------------------------------------------------------


def test_several_readings_are_averaged_and_their_spread_reported() -> None:
    found = shaft("34.94", "34.90", "34.92")
    assert found.values_mm == (34.90, 34.92, 34.94)
    assert found.mean_mm == pytest.approx(34.92)
    assert found.spread_mm == pytest.approx(0.04)
    # The scatter, 0.02, exceeds what a caliper has by itself (0.02 / sqrt 2).
    assert found.standard_error_mm == pytest.approx(math.sqrt(0.02**2 / 2 + 0.02**2 / 3))


@pytest.mark.parametrize("count", [1, 2, 3, 10, 100])
def test_averaging_helps_down_to_the_part_that_readings_share(count: int) -> None:
    error = shaft(*["34.92"] * count).standard_error_mm
    assert error == pytest.approx(0.02 * math.sqrt(0.5 + 0.5 / count))
    assert error > 0.02 * math.sqrt(0.5)


def test_scatter_beyond_the_instrument_makes_the_mean_less_sure() -> None:
    assert shaft("34.80", "35.00").standard_error_mm == pytest.approx(
        math.sqrt(0.02**2 / 2 + 0.02 / 2)
    )


def test_the_unit_and_step_of_mixed_readings() -> None:
    mixed = shaft("34.925", "1.375in")
    assert (mixed.unit, mixed.stated) == ("mm", False)
    assert mixed.step_mm == pytest.approx(0.0254)
    alike = shaft("1.375in", "1-3/8in")
    assert (alike.unit, alike.stated, alike.step_mm) == ("in", True, 3.175)


# --- out of round -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("texts", "wanted"),
    [
        (("35.00", "35.07"), False),
        (("35.00", "35.08"), False),
        (("34.92", "35.00"), False),
        (("69.96", "70.04"), False),
        (("35.00", "35.081"), True),
        (("35.00", "35.09"), True),
        (("35.00@micrometer", "35.02@micrometer"), False),
        (("35.00@micrometer", "35.021@micrometer"), True),
        (("35.00@micrometer", "35.07@caliper"), False),
    ],
)
def test_out_of_round_is_more_than_the_instrument_explains(
    texts: tuple[str, ...], wanted: bool
) -> None:
    found = shaft(*texts)
    assert found.strays_mm == ()
    assert found.out_of_round is wanted
    assert bool(found.notes()) is wanted


@given(st.integers(1, 20_000))
def test_a_spread_exactly_at_the_limit_is_round(hundredths: int) -> None:
    low, high = hundredths / 100, (hundredths + 8) / 100
    assert not shaft(f"{low}", f"{high}").out_of_round
    assert shaft(f"{low}", f"{(hundredths + 9) / 100}").out_of_round


def test_out_of_round_is_said_in_words() -> None:
    assert shaft("35.00", "35.10").notes() == (
        "shaft: the readings differ by 0.100 mm, more than the caliper explains (0.080 mm): "
        "out of round or worn; read it in two directions again",
    )


# --- strays -------------------------------------------------------------------------------------


@pytest.mark.parametrize("stray", ["35.92", "33.92", "3.492", "349.2"])
def test_a_stray_among_three_is_left_out_and_named(stray: str) -> None:
    found = shaft("34.92", stray, "34.93")
    assert found.strays_mm == (float(stray),)
    assert found.values_mm == (34.92, 34.93)
    assert found.mean_mm == pytest.approx(34.925)
    assert not found.out_of_round
    assert found.notes() == (
        f"shaft: {stray} mm stands apart from the other readings and is left out; take it again",
    )


def test_two_that_disagree_are_both_kept_and_called_out_of_round() -> None:
    found = shaft("34.92", "35.92")
    assert found.strays_mm == ()
    assert found.out_of_round


def test_two_strays_among_five_are_left_out_and_two_among_four_are_not() -> None:
    assert shaft("35", "35", "35.01", "36", "34").strays_mm == (34.0, 36.0)
    assert shaft("35", "35.01", "36", "36.01").strays_mm == ()


def test_an_even_scatter_has_no_stray() -> None:
    found = shaft("34.80", "34.90", "35.00", "35.10", "35.20")
    assert found.strays_mm == ()
    assert found.out_of_round


def test_a_stray_is_judged_by_its_own_instrument() -> None:
    fine = [f"{v}@micrometer" for v in (34.920, 34.921, 34.922)]
    assert shaft(*fine, "35.12@micrometer").strays_mm == (35.12,)
    assert shaft(*fine, "35.42@tape").strays_mm == ()


def test_a_micrometer_among_tapes_is_no_stray() -> None:
    found = shaft("35@tape", "35@tape", "34.6@micrometer")
    assert found.strays_mm == ()
    assert found.mean_mm == pytest.approx(34.6, abs=0.001)


# --- several instruments ------------------------------------------------------------------------


def test_the_better_instrument_weighs_more() -> None:
    found = shaft("35.00@caliper", "35.04@micrometer")
    weights = (1 / 0.02**2, 1 / 0.005**2)
    assert found.instrument == "caliper and micrometer"
    assert found.mean_mm == pytest.approx((35.0 * weights[0] + 35.04 * weights[1]) / sum(weights))
    assert found.roundness_limit_mm == 0.08


def test_a_rough_reading_beside_a_fine_one_takes_nothing_away() -> None:
    alone = shaft("34.925@micrometer").standard_error_mm
    both = shaft("34.925@micrometer", "35.2@tape")
    assert both.mean_mm == pytest.approx(34.925, abs=0.001)
    assert both.standard_error_mm <= alone


def test_instruments_that_disagree_make_the_mean_less_sure() -> None:
    agreeing = shaft("35.00@micrometer", "35.00@bore-gauge")
    apart = shaft("35.00@micrometer", "35.03@bore-gauge")
    assert agreeing.standard_error_mm == pytest.approx(0.005 / math.sqrt(2))
    # Two readings 0.03 apart: half of that, whatever the instruments promise.
    assert apart.standard_error_mm == pytest.approx(0.015)


TOOLS = st.sampled_from(["", "@caliper", "@micrometer", "@bore-gauge", "@tape"])
TEXTS = st.builds(
    lambda hundredths, unit, tool: f"{hundredths / 100}{unit}{tool}",
    st.integers(3400, 3600),
    st.sampled_from(["", "mm"]),
    TOOLS,
)


@given(
    st.lists(TEXTS, min_size=1, max_size=7).flatmap(
        lambda t: st.tuples(st.just(t), st.permutations(t))
    )
)
def test_the_order_of_taking_never_matters(orders: tuple[list[str], list[str]]) -> None:
    given_order, other = orders
    assert shaft(*given_order) == shaft(*other)


@given(st.lists(TEXTS, min_size=1, max_size=7))
def test_what_always_holds(texts: list[str]) -> None:
    found = shaft(*texts)
    assert found.values_mm[0] <= found.mean_mm <= found.values_mm[-1]
    assert len(found.values_mm) + len(found.strays_mm) == len(texts)
    assert len(found.strays_mm) * 2 < len(texts)
    assert found.spread_mm == found.values_mm[-1] - found.values_mm[0]
    best = min(instrument(split_instrument(t)[1]).uncertainty_mm for t in texts)
    assert found.standard_error_mm >= best * math.sqrt(0.5 / len(texts))


@given(st.integers(1, 50_000), st.integers(1, 9), TOOLS)
def test_the_same_value_again_stays_that_value(thousandths: int, count: int, tool: str) -> None:
    found = shaft(*[f"{thousandths / 1000}{tool}"] * count)
    assert found.mean_mm == thousandths / 1000
    assert (found.spread_mm, found.strays_mm, found.notes()) == (0.0, (), ())


# --- instruments --------------------------------------------------------------------------------


def test_the_shipped_instruments_are_those_that_are_promised(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.delenv("FITCHECK_TABLES")
    names = ["tape", "caliper", "micrometer", "bore-gauge", "depth-gauge", "feeler", "indicator"]
    assert [row.text("instrument") for row in table("instruments/instruments").rows] == names
    for name in names:
        found = instrument(name)
        assert 0.0 < found.uncertainty_mm < found.roundness_limit_mm
        assert found.source
    order = [instrument(name).uncertainty_mm for name in ("tape", "caliper", "micrometer")]
    assert order == sorted(order, reverse=True)


def test_the_shops_own_figures_change_the_error(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    rows = f"{COLUMNS}\ncaliper,0.1,0.5\nlaser,0.001,0.002\n"
    monkeypatch.setenv("FITCHECK_TABLES", str(shop(tmp_path, rows)))
    assert shaft("34.92").standard_error_mm == pytest.approx(0.1)
    assert not shaft("34.92", "35.3").out_of_round
    assert shaft("34.92@laser").standard_error_mm == pytest.approx(0.001)
    assert "the shop's own table" in instrument("laser").source
    monkeypatch.delenv("FITCHECK_TABLES")
    assert shaft("34.92").standard_error_mm < 0.1
    with pytest.raises(InputError, match="@laser: this instrument is not listed"):
        shaft("34.92@laser")


@pytest.mark.parametrize("row", ["caliper,0,0.08", "caliper,-0.1,0.08", "caliper,0.02,-1"])
@pytest.mark.parametrize("word", ["", "nan"])
def test_figures_that_no_instrument_has_are_refused(
    row: str, word: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if word:
        row = row.replace("0.02", word)
    monkeypatch.setenv("FITCHECK_TABLES", str(shop(tmp_path, f"{COLUMNS}\n{row}\n")))
    wanted = (
        "uncertainty_mm .* must hold a number"
        if word and word in row
        else ("uncertainty_mm must be larger than zero")
    )
    with pytest.raises(DataError, match=wanted):
        shaft("34.92")


def test_a_shop_instrument_without_figures_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FITCHECK_TABLES", str(shop(tmp_path, "instrument\nlaser\n")))
    with pytest.raises(DataError, match=r"column uncertainty_mm of table .* must hold a number"):
        shaft("34.92@laser")
