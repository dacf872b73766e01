"""Quantities: every accepted way of writing, and everything that can be read two ways."""

from __future__ import annotations

import math
import re
import time
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import partial
from typing import Any

import pint
import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from fitcheck import quantities as q
from fitcheck.errors import AmbiguousError, InputError
from fitcheck.units import (
    BASE_UNIT,
    FORCE,
    LENGTH,
    PRESSURE,
    RARE,
    ROTATION,
    SPEED,
    SPELLINGS,
    TEMPERATURE,
    TORQUE,
    TWO_WAYS,
    UNITS,
    VOLUME,
)

DIMENSIONS = tuple(BASE_UNIT)
REGISTRY: Any = pint.UnitRegistry(cache_folder=None)

# --- what is accepted ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "value_mm"),
    [
        ("34.92", 34.92),
        ("34.92mm", 34.92),
        ("34.92 mm", 34.92),
        ("34,92 mm", 34.92),
        ("47,98 mm", 47.98),
        ("1.375in", 34.925),
        ('1.375"', 34.925),
        ("1.375''", 34.925),
        ("1.375 in.", 34.925),
        ("1-3/8in", 34.925),
        ("1 3/8 in", 34.925),
        ("1 1/2 in", 38.1),
        ("1 - 3/8 in", 34.925),
        ("1⅜in", 34.925),
        ("1 ⅜ inch", 34.925),
        ("½″", 12.7),
        ('13/16"', 20.6375),
        ("13⁄16 in", 20.6375),
        ("9/8in", 28.575),
        ("10/8in", 31.75),
        ("12 thou", 0.3048),
        ("250um", 0.25),
        ("250 µm", 0.25),
        ("250 μm", 0.25),
        (".313", 0.313),
        (",313", 0.313),
        (".313in", 7.9502),
        ("0,250", 0.25),
        ("1.250", 1.25),
        ("1,2500", 1.25),
        ("1,3125in", 33.3375),
        ("1250,5", 1250.5),
        ("12,50", 12.5),
        ("+5", 5.0),
        ("  5 mm\n", 5.0),
        ("5\u00a0mm", 5.0),
        ("5 mm.", 5.0),
        ("1-3/8 mm", 1.375),
        ("3.5 cm", 35.0),
        ("34.925000000000004", 34.925),
        ("-0", 0.0),
    ],
)
def test_lengths(text: str, value_mm: float) -> None:
    assert q.length_mm(text) == pytest.approx(value_mm, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "value_mm"),
    [("1.375", 34.925), ("1-3/8", 34.925), ("1 3/8", 34.925), ("1⅜", 34.925), ("35mm", 35.0)],
)
def test_bare_lengths_take_the_unit_of_the_job(text: str, value_mm: float) -> None:
    found = q.length(text, unit="in")
    assert found.value == pytest.approx(value_mm, rel=1e-15)
    assert found.stated is text.endswith("mm")


@pytest.mark.parametrize("text", ["-0.05", "−0.05", "- 0.05 mm", "–0,05mm", "‑0.05"])
def test_every_minus_is_a_minus(text: str) -> None:
    assert q.length_mm(text, signed=True) == -0.05
    with pytest.raises(InputError, match="a length can't be negative"):
        q.length_mm(text)


@pytest.mark.parametrize(
    ("text", "value_c"),
    [
        ("80C", 80.0),
        ("80", 80.0),
        ("80 °C", 80.0),
        ("80 deg C", 80.0),
        ("80c", 80.0),
        ("176F", 80.0),
        ("176 °F", 80.0),
        ("-40F", -40.0),
        ("−40", -40.0),
        ("353.15K", 80.0),
    ],
)
def test_temperatures(text: str, value_c: float) -> None:
    assert q.temperature_c(text) == pytest.approx(value_c, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "value_bar"),
    [
        ("0.3bar", 0.3),
        ("0,3 bar", 0.3),
        ("0.3", 0.3),
        ("30kPa", 0.3),
        ("30 kpa", 0.3),
        ("5psi", 0.3447378646584),
        ("0.03 MPa", 0.3),
        ("0.03 N/mm²", 0.3),
        ("300 mbar", 0.3),
        ("-0.2", -0.2),
        ("0.3 kgf/cm2", 0.2941995),
    ],
)
def test_pressures(text: str, value_bar: float) -> None:
    assert q.pressure_bar(text) == pytest.approx(value_bar, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "value", "dimension"),
    [
        ("1500rpm", 1500.0, ROTATION),
        ("1500", 1500.0, ROTATION),
        ("1500 1/min", 1500.0, ROTATION),
        ("1500/min", 1500.0, ROTATION),
        ("4m/s", 4.0, SPEED),
        ("36 km/h", 10.0, SPEED),
        ("36kph", 10.0, SPEED),
        ("10 mph", 4.4704, SPEED),
    ],
)
def test_speeds(text: str, value: float, dimension: str) -> None:
    found = q.speed(text)
    assert found.value == pytest.approx(value, rel=1e-15)
    assert found.dimension == dimension


@pytest.mark.parametrize(
    ("text", "value_nm"),
    [
        ("50N.m", 50.0),
        ("50 Nm", 50.0),
        ("50 N·m", 50.0),
        ("50 N m", 50.0),
        ("50", 50.0),
        ("12lbf.ft", 16.2698153799768),
        ("12 ft-lb", 16.2698153799768),
        ("12 ft lbs", 16.2698153799768),
        ("40lbf.in", 4.5193931611047),
        ("40 in-lbs", 4.5193931611047),
        ("5 kgf.m", 49.03325),
    ],
)
def test_torques(text: str, value_nm: float) -> None:
    assert q.torque_nm(text) == pytest.approx(value_nm, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "value_n"),
    [
        ("100N", 100.0),
        ("100", 100.0),
        ("0.1kN", 100.0),
        ("24lbf", 106.757318766252),
        ("24 lb", 106.757318766252),
        ("10 kgf", 98.0665),
        ("10 kg", 98.0665),
    ],
)
def test_forces(text: str, value_n: float) -> None:
    assert q.force_n(text) == pytest.approx(value_n, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "value_l"),
    [
        ("2l", 2.0),
        ("2", 2.0),
        ("2 litres", 2.0),
        ("500ml", 0.5),
        ("500 cm³", 0.5),
        ("1/2 l", 0.5),
        ("1 US qt", 0.946352946),
        ("1 imp qt", 1.1365225),
    ],
)
def test_volumes(text: str, value_l: float) -> None:
    assert q.volume_l(text) == pytest.approx(value_l, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "step_mm"),
    [
        ("34.92", 0.01),
        ("34.920", 0.001),
        ("35", 1.0),
        ("1-3/8in", 3.175),
        ("1.375in", 0.0254),
        ("12 thou", 0.0254),
        ("250um", 0.001),
        ("3.5cm", 1.0),
    ],
)
def test_the_step_is_what_the_writing_can_express(text: str, step_mm: float) -> None:
    assert q.length(text).step == pytest.approx(step_mm, rel=1e-14)


def test_the_step_of_a_temperature_is_a_difference() -> None:
    assert q.parse("176F", TEMPERATURE).step == pytest.approx(5 / 9, rel=1e-14)


@pytest.mark.parametrize(
    ("number", "text"),
    [(34.92, "34.92"), (7.0, "7"), (1e-5, "0.00001"), (-0.0, "0"), (1e22, "1" + "0" * 22)],
)
def test_plain_numbers_have_no_exponent(number: float, text: str) -> None:
    assert q.plain(number) == text


# --- what can be read two ways ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "readings"),
    [
        ("1,250", ("1.250", "1250")),
        ("-1,250", ("-1.250", "-1250")),
        ("1,250 in", ("1.250in", "1250in")),
        ("25.4 Mm", ("25.4 mm (millimetres)", "25.4 Mm (megametres)")),
        ("1 3/8 35", ("two values, 1 3/8 and 35", "one value, 1 3/835")),
        ("½ 35", ("two values, 1/2 and 35", "one value, 1/235")),
        ("1-3/8", ("1-3/8in", "1.375mm")),
        ("-1-3/8", ("-1-3/8in", "-1.375mm")),
        ("1⅜", ("1 3/8in", "1.375mm")),
        ("13/8in", ("1-3/8in", "1.625in")),
        ('-13/8"', ('-1-3/8"', '-1.625"')),
        ("13/8mm", ("1-3/8mm", "1.625mm")),
        ("13/8", ("1-3/8in", "1.625in", "1.625mm")),
        ("113/8in", ("11-3/8in", "14.125in")),
        ("113/16in", ("1-13/16in", "11-3/16in", "7.0625in")),
        ("35 mil", ("35 thou (thousandths of an inch)", "35 mm (millimetres)")),
        ("50nm", ("50 N.m (newton metres)", "50 nm (nanometres)")),
        ("12 34", ("two values, 12 and 34", "one value, 1234")),
        ("-12 34mm", ("two values, -12 and 34mm", "one value, -1234mm")),
        ("1 250 mm", ("two values, 1 and 250 mm", "one value, 1250mm")),
        ("1 250,5", ("two values, 1 and 250,5", "one value, 1250.5")),
        ("12,5 34", ("two values, 12,5 and 34", "one value, 12.534")),
        ("35, 52", ("two values, 35 and 52", "one value, 35.52")),
        ("35 .5in", ("two values, 35 and .5in", "one value, 35.5in")),
        ("5'", ("5 in (inches)", "5 ft (feet)")),
        ("5 ’", ("5 in (inches)", "5 ft (feet)")),
        ("80°", ("80 C", "80 F")),
        ("2 qt", ("2 US qt", "2 imp qt")),
    ],
)
def test_what_can_be_read_two_ways_is_refused_with_both(
    text: str, readings: tuple[str, ...]
) -> None:
    with pytest.raises(AmbiguousError) as caught:
        q.parse(text, *DIMENSIONS, unit="mm")
    assert caught.value.readings == readings
    assert caught.value.value == text
    assert caught.value.exit_status == 2
    for reading in readings:
        assert reading in str(caught.value)


def test_a_lost_gap_is_asked_for_in_the_unit_that_is_wanted() -> None:
    with pytest.raises(AmbiguousError) as caught:
        q.pressure_bar("13/8")
    assert caught.value.readings == ("1-3/8bar", "1.625bar")


# --- what is refused ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("", "a value is needed here"),
        (" \t", "a value is needed here"),
        ("mm", "a value starts with a number"),
        ("nan", "a value starts with a number"),
        ("inf mm", "a value starts with a number"),
        ("--5", "a value starts with a number"),
        ("+-5", "a value starts with a number"),
        ("$5", "a value starts with a number"),
        ("5.", "no digits stand after the point"),
        ("5, mm", "no digits stand after the comma"),
        ("5..3", "..3 after the number 5 is no unit"),
        ("5.3.1", ".1 after the number 5.3 is no unit"),
        ("1e5", "powers of ten are not read"),
        ("3E-2mm", "powers of ten are not read"),
        ("5 mm mm", "'mm mm' is not a unit"),
        ('1.375" in', "is not a unit"),
        ("5 mm²", "is not a unit"),
        ("34²", "is not a unit"),
        ("1_000", "is not a unit"),
        ("35±0.1", "is not a unit"),
        ("1/3in", "below the stroke, not 3"),
        ("1/0in", "below the stroke, not 0"),
        ("1 3/835", "below the stroke, not 835"),
        ("1 9/8in", "must be smaller than one"),
        ("1.5/8in", "/8in after the number 1.5 is no unit"),
        ("1.5 3/8in", "3/8in after the number 1.5 is no unit"),
        ("1½½in", "1/2in after the number 1 1/2 is no unit"),
        ("35-52", "-52 after the number 35 is no unit"),
        ("35;52", ";52 after the number 35 is no unit"),
        ("12 34 56", "34 56 after the number 12 is no unit"),
        ("35 x 52 x 7", "looks like a whole size"),
        ("35×52", "looks like a whole size"),
        ("1,250 x 2", "looks like a whole size"),
        ("1,250.5", "digits are not grouped"),
        ("1.250,5", "digits are not grouped"),
        ("1,250,000", "digits are not grouped"),
        ("1.250,000", "digits are not grouped"),
        ("0,250,000", "digits are not grouped"),
        ("1'250", "digits are not grouped"),
        ("0'250", "digits are not grouped"),
        ("٣٤", "only the digits 0 to 9"),
        ("３４mm", "only the digits 0 to 9"),
        ("1/٨in", "only the digits 0 to 9"),
        ("1⅓in", "only the digits 0 to 9"),
        ("1\t3/8in", "a tab, a line break"),
        ("35\n52", "a tab, a line break"),
        ("\u200b5", "a character that can't be seen"),
        ("5\x00", "a character that can't be seen"),
        ("1234567890", "at most 9 digits before the point"),
        ("0." + "1" * 21, "and 20 after it"),
        ("9" * 61, "at most 60 characters"),
        ("100001 m", "a length here is at most 100 m"),
        ("80C", "C is a unit of temperature, and a length is wanted here"),
        ("-5", "a length can't be negative"),
    ],
)
def test_what_is_no_length_is_refused_by_its_rule(text: str, rule: str) -> None:
    with pytest.raises(InputError) as caught:
        q.length_mm(text)
    assert not isinstance(caught.value, AmbiguousError)
    assert rule in caught.value.rule
    assert caught.value.value
    assert caught.value.todo
    assert caught.value.exit_status == 2
    assert str(caught.value).isprintable()


@pytest.mark.parametrize(
    ("read", "text", "rule"),
    [
        (q.temperature_c, "-300C", "nothing is colder"),
        (q.pressure_bar, "-2bar", "no gauge pressure is below a vacuum"),
        (q.speed, "-5rpm", "a rotation can't be negative"),
        (q.torque_nm, "-5", "a torque can't be negative"),
        (q.force_n, "-5", "a force can't be negative"),
        (q.volume_l, "-5", "a volume can't be negative"),
        (q.torque_nm, "50 N", "N is a unit of force, and a torque is wanted"),
        (q.speed, "5 mm", "a rotation or speed is wanted"),
    ],
)
def test_other_quantities_have_their_own_limits(read: Any, text: str, rule: str) -> None:
    with pytest.raises(InputError, match=rule):
        read(text)


def test_the_message_is_about_the_text_as_written() -> None:
    with pytest.raises(InputError) as caught:
        q.length_mm(" 34,92 mn ")
    assert str(caught.value).startswith("34,92 mn: 'mn' is not a unit that is read here. Use mm")


def test_pint_objects_are_converted() -> None:
    assert q.from_pint(REGISTRY.Quantity(1.375, "inch"), LENGTH) == pytest.approx(34.925)
    assert q.from_pint(REGISTRY.Quantity(176, "degF"), TEMPERATURE) == pytest.approx(80.0)
    assert q.from_pint(REGISTRY.Quantity(1500, "rpm"), ROTATION) == pytest.approx(1500.0)
    assert q.from_pint(REGISTRY.Quantity(12, "lbf * ft"), TORQUE) == pytest.approx(16.26981538)


@pytest.mark.parametrize("bad", [REGISTRY.Quantity(1, "kg"), 34.92, "34.92mm", None])
def test_what_is_no_pint_object_of_the_dimension_is_refused(bad: object) -> None:
    with pytest.raises(InputError, match="a length is wanted here") as caught:
        q.from_pint(bad, LENGTH)
    assert caught.value.todo == "Give it in mm"


# --- the grammar, drawn at random ---------------------------------------------------------------

FRACTIONS = {"½": (1, 2), "¼": (1, 4), "¾": (3, 4)} | {
    mark: (top, 8) for mark, top in zip("⅛⅜⅝⅞", (1, 3, 5, 7), strict=True)
}


@dataclass(frozen=True)
class Written:
    """A text with what it says: the exact amount, the unit's own name, its dimension."""

    text: str
    amount: Fraction
    unit: str
    dimension: str


@st.composite
def decimals(draw: st.DrawFn) -> tuple[str, Fraction]:
    """A decimal number that no thousands comma can be seen in."""
    whole = draw(st.one_of(st.just(""), st.integers(0, 99_999).map(str)))
    places = draw(st.text("0123456789", min_size=0 if whole else 1, max_size=6))
    mark = draw(st.sampled_from(".,")) if places else ""
    assume(not (mark == "," and len(places) == 3 and 1 <= len(whole) <= 3 and whole != "0"))
    return whole + mark + places, Fraction(f"{whole or 0}.{places or 0}")


@st.composite
def fractions(draw: st.DrawFn) -> tuple[str, Fraction]:
    """An inch fraction, with or without a whole number, in every way it is written."""
    bottom = draw(st.sampled_from([2, 4, 8, 16, 32, 64, 128, 10, 100, 1000]))
    top = draw(st.integers(1, bottom - 1))
    stroke = draw(st.sampled_from(["/", "⁄", "∕", " / "]))
    value, text = Fraction(top, bottom), f"{top}{stroke}{bottom}"
    if draw(st.booleans()):
        mark = draw(st.sampled_from(sorted(FRACTIONS)))
        value, text = Fraction(*FRACTIONS[mark]), mark
    if draw(st.booleans()):
        whole = draw(st.integers(0, 999))
        gaps = [" ", "-", " - ", "–", "\u00a0", "  "]
        gap = draw(st.sampled_from([*gaps, ""] if text in FRACTIONS else gaps))
        return f"{whole}{gap}{text}", whole + value
    return text, value


UNIT_NAMES = {**SPELLINGS, **{name: name for name in RARE}}


@st.composite
def accepted(draw: st.DrawFn) -> Written:
    """Any text the grammar accepts, its unit always written."""
    text, amount = draw(st.one_of(decimals(), fractions()))
    spelled = draw(st.sampled_from(sorted(UNIT_NAMES)))
    # A stroke or a digit needs the gap before it; a fraction would take the stroke for its own.
    gap = draw(st.sampled_from(["", " ", "\u00a0", "  "]))
    if spelled[0] in "1/":
        gap = " "
    sign = draw(st.sampled_from(["", "", "+", "-", "−", "- "]))
    name = UNIT_NAMES[spelled]
    dimension = UNITS[name].dimension if name in UNITS else RARE[name][0]
    around = draw(st.sampled_from(["", " ", "\n"]))
    negative = sign.strip() not in ("", "+")
    return Written(
        f"{around}{sign}{text}{gap}{spelled}{around}",
        -amount if negative else amount,
        name,
        dimension,
    )


@given(accepted())
def test_accepted_text_round_trips(written: Written) -> None:
    found = q.parse(written.text, written.dimension)
    again = q.parse(found.text(), written.dimension)
    assert (again.value, again.amount, again.unit) == (found.value, found.amount, found.unit)
    assert (found.unit, found.dimension, found.stated) == (written.unit, written.dimension, True)
    assert found.step > 0


@given(accepted())
def test_accepted_text_means_what_exact_arithmetic_says(written: Written) -> None:
    found = q.parse(written.text, written.dimension)
    near = float(written.amount)
    assert math.isclose(found.amount, near, rel_tol=2**-52, abs_tol=0)
    if written.unit in UNITS:
        unit = UNITS[written.unit]
        exact = (
            (written.amount + Fraction(str(unit.shift)))
            * Fraction(str(unit.multiply))
            / Fraction(str(unit.divide))
        )
        # A shift takes digits: one step of the larger number is the best that can be had.
        room = 2**-51 * (abs(near) + abs(unit.shift)) * unit.multiply / unit.divide
        assert abs(found.value - float(exact)) <= max(room, 2**-50 * abs(float(exact)))


@given(st.one_of(decimals(), fractions()), st.sampled_from(["mm", "in", "thou"]))
def test_bare_numbers_take_the_default(number: tuple[str, Fraction], unit: str) -> None:
    text, amount = number
    assume(not (unit == "mm" and any(c in text for c in "/⁄∕" + "".join(FRACTIONS))))
    found = q.parse(text, LENGTH, unit=unit)
    assert not found.stated
    assert found.unit == unit
    assert math.isclose(found.amount, amount, rel_tol=2**-52)


@given(st.floats(0, 1e8), st.sampled_from(sorted(UNITS)))
def test_any_number_the_program_prints_reads_back(number: float, unit: str) -> None:
    number = round(number, 12)
    found = q.parse(f"{q.plain(number)}{unit}", UNITS[unit].dimension)
    assert found.amount == number


@st.composite
def ambiguous(draw: st.DrawFn) -> str:
    """A text for a length that can be read two ways."""
    sign = draw(st.sampled_from(["", "-"]))
    unit = draw(st.sampled_from(["", "mm", " mm", "in", '"', " thou"]))
    whole, other = draw(st.integers(1, 999)), draw(st.integers(1, 999))
    bottom = draw(st.sampled_from([4, 8, 16, 32, 64]))
    top = draw(st.integers(1, bottom - 1))
    gap = draw(st.sampled_from([" .", ". ", ", ", " ,"]))
    kinds = {
        "thousands": f"{whole},{other:03d}{unit}",
        "bare fraction": f"{whole}-{top}/{bottom}",
        "bare ready-made fraction": f"{whole}{draw(st.sampled_from(sorted(FRACTIONS)))}",
        "bare proper fraction": f"{top}/{bottom}",
        # 11/16 is a fraction as it stands; from 111/16 on a gap may be lost.
        "lost gap": f"{whole + 10}{top}/{bottom}{unit}",
        "two numbers": f"{whole} {other}{unit}",
        "a gap at the point": f"{whole}{gap}{other}{unit}",
        "a number after a fraction": f"{whole} {top}/{bottom} {other}",
        "unit": f"{whole}{draw(st.sampled_from(['Mm', ' Mm', 'mil', ' mils']))}",
    }
    return sign + kinds[draw(st.sampled_from(sorted(kinds)))]


@given(ambiguous())
@example("16/8in")
@example("1,250")
def test_what_can_be_read_two_ways_is_never_taken(text: str) -> None:
    with pytest.raises(AmbiguousError) as caught:
        q.parse(text, LENGTH)
    readings = caught.value.readings
    assert len(set(readings)) == len(readings) >= 2
    assert all(reading in str(caught.value) for reading in readings)
    values = []
    for reading in readings:
        # `two values, ...` is no value; `(millimetres)` only explains.
        if not reading.startswith("two values, ") and "megametres" not in reading:
            wanted = re.sub(r"^one value, | \(.*\)$", "", reading)
            # 1 3/835, the other reading of 1 3/8 35, is refused in its turn.
            if not (reading.startswith("one value, ") and "/" in reading):
                found = q.parse(wanted, LENGTH)
                values.append(found.value)
                assert (found.value < 0) == text.startswith("-")
    assert len(set(values)) == len(values)


@given(st.sampled_from(sorted(TWO_WAYS)), decimals())
def test_a_unit_of_two_meanings_is_never_taken(spelled: str, number: tuple[str, Fraction]) -> None:
    with pytest.raises(AmbiguousError) as caught:
        q.parse(f"{number[0]} {spelled}", *DIMENSIONS)
    assert len(set(caught.value.readings)) == 2


PIECES = st.sampled_from(
    [*"0123456789.,/-+'\" xX×*½⅜²³°−;:@e_", "mm", "in", "1,250", "3/8", "Mm", "N", "C", "\t", "٣"]
)


@given(
    st.one_of(st.text(), st.lists(PIECES, max_size=70).map("".join), st.text("0123456789,. /-'")),
    st.sampled_from(DIMENSIONS),
)
@example("1" * 10_000 + "/", LENGTH)
@example("1 " * 29, LENGTH)
@example("1," * 30, LENGTH)
@example("\ud800", LENGTH)
def test_any_text_is_a_finite_quantity_or_a_clear_refusal(text: str, dimension: str) -> None:
    start = time.process_time()
    found, error = taken_or_refused(lambda: q.parse(text, dimension))
    assert time.process_time() - start < 1.0
    if error:
        assert error.value
        assert error.rule
        assert error.todo
        assert str(error).isprintable()
        assert len(str(error)) < 500
    else:
        assert math.isfinite(found.value)
        assert math.isfinite(found.amount)
        assert 0 < found.step < math.inf
        assert q.parse(found.text(), dimension).value == found.value


def taken_or_refused(read: Callable[[], Any]) -> tuple[Any, InputError | None]:
    """What a reader gives, or how it refuses; any other error is raised."""
    try:
        return read(), None
    except InputError as error:
        return None, error


@given(st.text())
@example("9" * 9 + " m")
@example("-1in")
def test_every_reader_refuses_by_the_programs_own_errors(text: str) -> None:
    readers = (q.length_mm, q.temperature_c, q.pressure_bar, q.torque_nm, q.force_n, q.volume_l)
    for read in readers:
        found, error = taken_or_refused(partial(read, text))
        assert error or math.isfinite(found)
    found, error = taken_or_refused(lambda: q.speed(text))
    assert error or found.value >= 0


@given(st.text("0123456789 ,.'/-", min_size=1, max_size=12))
def test_whatever_holds_more_than_one_number_is_not_taken(text: str) -> None:
    """Independent of the grammar: an accepted text is one of the plain shapes."""
    try:
        found = q.parse(text, LENGTH, unit="in")
    except InputError:
        return
    shape = re.fullmatch(
        r" *(?:- *)?(?:\d+(?:[.,]\d+)?|[.,]\d+|(?:\d+(?: +| *- *))?\d+ */ *\d+) *(?:'')? *", text
    )
    assert shape
    thousands = re.fullmatch(r" *(?:- *)?[1-9]\d{0,2},\d{3} *(?:'')? *", text)
    assert not thousands
    assert (found.value < 0) <= text.lstrip().startswith("-")


def test_dimensions_have_readers() -> None:
    readers = {LENGTH: q.length_mm, TEMPERATURE: q.temperature_c, PRESSURE: q.pressure_bar}
    readers |= {TORQUE: q.torque_nm, FORCE: q.force_n, VOLUME: q.volume_l}
    for dimension, read in readers.items():
        assert read(f"7{BASE_UNIT[dimension]}") == 7.0
    assert q.speed("7rpm").value == q.speed("7m/s").value == 7.0


# --- numbers without a unit -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("0.5", 0.5),
        ("0,5", 0.5),
        (".5", 0.5),
        ("+1", 1.0),
        ("-2", -2.0),
        ("½", 0.5),
        ("1/8", 0.125),
    ],
)
def test_a_number_has_the_grammar_of_every_quantity(text: str, value: float) -> None:
    assert q.number(text) == value


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "a value is needed"),
        ("half", "starts with a number"),
        ("nan", "starts with a number"),
        ("1e-1", "powers of ten are not read"),
        ("1_0", "_0 stands behind it"),
        ("0x10", "whole size"),
        ("50%", "% stands behind it"),
        ("5mm", "mm stands behind it"),
        ("5 Mm", "Mm stands behind it"),
        ("٠٫٥", "only the digits 0 to 9"),
        ("1.000.000", "not grouped in thousands"),
        ("1234567890", "at most 9 digits"),
    ],
)
def test_what_is_no_number_is_refused(text: str, words: str) -> None:
    with pytest.raises(InputError, match=words):
        q.number(text)


@pytest.mark.parametrize("text", ["1,250", "0. 5", "13/8"])
def test_a_number_that_can_be_read_two_ways_is_a_question(text: str) -> None:
    with pytest.raises(AmbiguousError):
        q.number(text)


def test_per_cent_and_powers_of_ten_only_where_they_are_asked_for() -> None:
    assert q.number("50 %", percent=True) == 0.5
    assert q.number("11.7e-6", power=True) == 11.7e-6
    assert q.number("-2,5E3", power=True) == -2500.0
    for text in ("1_0%", "50%%", "1e1%"):
        with pytest.raises(InputError):
            q.number(text, percent=True, power=True)
    for text in ("1e", "1e999", "1 e5", "1/2e3"):
        with pytest.raises(InputError):
            q.number(text, power=True)


@given(amount=st.decimals(0, 10**6, places=4))
def test_a_plain_number_reads_back_as_itself(amount: Decimal) -> None:
    assert q.number(str(amount)) == float(amount)
