"""Seal sizes as text: what is read, what comes back, and what is refused."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.errors import AmbiguousError, InputError
from fitcheck.parts.seal import seal_sizes
from fitcheck.parts.size_text import SizeText, parse_size


@pytest.mark.parametrize(
    "text",
    [
        "35x52x7",
        "35 x 52 x 7",
        "35X52X7",
        "35×52×7",
        "35*52*7",
        " 35 x 52 x 7 mm",
        "35mm x 52mm x 7mm",
    ],
)
def test_one_size_however_it_is_written(text: str) -> None:
    assert parse_size(text) == SizeText(35.0, 52.0, 7.0, "metric")


@pytest.mark.parametrize(
    "text",
    [
        "1.375 x 2.125 x 0.3125 in",
        "1.375x2.125x.3125in",
        "1-3/8 x 2-1/8 x 5/16 in",
        "1 3/8in x 2 1/8in x 5/16in",
        '1-3/8" x 2-1/8" x 5/16"',
        "1.375 x 2.125 x 0.3125 inches",
    ],
)
def test_one_inch_size_however_it_is_written(text: str) -> None:
    size = parse_size(text)
    assert size.label == "1.375 x 2.125 x 0.3125 in"
    assert (size.shaft_mm, size.bore_mm, size.width_mm) == pytest.approx((34.925, 53.975, 7.9375))


def test_a_decimal_comma_is_read() -> None:
    assert parse_size("9,5 x 22 x 7").label == "9.5 x 22 x 7"


@pytest.mark.parametrize("size", seal_sizes(), ids=lambda size: size.label)
def test_every_listed_label_reads_as_its_size(size: object) -> None:
    found = parse_size(size.label)  # type: ignore[attr-defined]
    nominals = [nominal[0] for nominal in size.nominals]  # type: ignore[attr-defined]
    assert [found.shaft_mm, found.bore_mm, found.width_mm] == pytest.approx(nominals, abs=0.002)


dimension = st.decimals(min_value=6, max_value=400, places=3).map(float)
inch = st.decimals(min_value="0.25", max_value=15, places=4).map(float)


@given(shaft=dimension, wall=st.decimals(1, 40, places=2).map(float), width=dimension)
def test_a_metric_size_reads_back_as_written(shaft: float, wall: float, width: float) -> None:
    size = SizeText(shaft, round(shaft + wall, 3), width, "metric")
    assert parse_size(size.label) == size


@given(shaft=inch, wall=st.decimals("0.1", 2, places=4).map(float), width=inch)
def test_an_inch_size_reads_back_as_written(shaft: float, wall: float, width: float) -> None:
    values = [round(v * 25.4, 6) for v in (shaft, round(shaft + wall, 4), width)]
    size = SizeText(values[0], values[1], values[2], "inch")
    again = parse_size(size.label)
    assert again.label == size.label
    assert again.system == "inch"
    assert (again.shaft_mm, again.bore_mm, again.width_mm) == pytest.approx(values, abs=1e-5)


@pytest.mark.parametrize(
    ("text", "wording"),
    [
        ("", "three lengths"),
        ("35", "three lengths"),
        ("35x52", "the width is missing"),
        ("35x52x", "three lengths"),
        ("35x52x7x9", "three lengths"),
        ("35x8x58", "If you mean 35 x 58 x 8"),
        ("52x35x7", "If you mean 35 x 52 x 7"),
        ("2.125 x 1.375 x 0.313 in", "If you mean 1.375 x 2.125 x 0.313 in"),
        ("35x35x7", "the bore is larger than the shaft"),
        ("35mm x 2in x 7mm", "one unit"),
        ("35 x 52 x 7 um", "one unit"),
        ("35 x 52 x 0", "larger than zero"),
        ("35 x fifty x 7", "size 35 x fifty x 7"),
        ("35 x 52 x 7 TC", "TC"),
        ("35 x -52 x 7", "negative"),
    ],
)
def test_what_is_no_size_is_refused_with_the_way_out(text: str, wording: str) -> None:
    with pytest.raises(InputError) as refused:
        parse_size(text)
    assert wording in str(refused.value)
    assert str(refused.value).startswith("size ")


@pytest.mark.parametrize(
    ("text", "unit", "first"),
    [
        ("1.375 x 2.125 x 0.313", "mm", "1.375 x 2.125 x 0.313 in"),
        ("35 x 52 x 7", "in", "35 x 52 x 7 in"),
        ("1,375 x 2,125 x 0,313 in", "mm", ""),
    ],
)
def test_what_can_be_read_two_ways_is_asked(text: str, unit: str, first: str) -> None:
    with pytest.raises(AmbiguousError) as asked:
        parse_size(text, unit=unit)
    assert len(asked.value.readings) == 2
    assert first in asked.value.readings or not first


def test_a_small_shaft_whose_unit_is_written_is_taken() -> None:
    assert parse_size("4 x 12 x 5 mm").shaft_mm == 4.0
