"""Sizes that read nearly alike, as the trade knows them: split where a reading can, else not.

Each pair or group is told apart by the reading that differs, or the engine says that no reading
can and asks for the number.
"""

from __future__ import annotations

import pytest

from fitcheck.advice import NextReading, next_reading
from fitcheck.identify import Identification, identify
from fitcheck.parts.bearing import bearing_family
from fitcheck.parts.family import Family
from fitcheck.parts.seal import seal_family
from fitcheck.readings import read
from fitcheck.verdicts import CHECK, GO

SEALS, BEARINGS = seal_family(), bearing_family()


def found(family: Family, **texts: str) -> tuple[Identification, NextReading | None]:
    """The identification and the advice, for readings by place with _ for -."""
    readings = {
        name.replace("_", "-"): read(place=name.replace("_", "-"), texts=(text,))
        for name, text in texts.items()
    }
    result = identify(family, readings)
    return result, next_reading(family, result, readings)


def shares(result: Identification) -> dict[str, float]:
    """The probability of every size that still counts, by label."""
    return {c.size.label: c.probability for c in result.candidates if c.probability >= 0.01}


# --- 1.375 in against 35 mm ---------------------------------------------------------------------


def test_one_and_three_eighths_reads_as_thirty_five() -> None:
    result, advice = found(SEALS, shaft="34.925")
    systems = {"inch": 0.0, "metric": 0.0}
    for candidate in result.candidates:
        if abs(candidate.size.nominals[0][0] - 35.0) < 0.1:  # type: ignore[index]
            systems[candidate.size.system] = (
                systems.get(candidate.size.system, 0.0) + candidate.probability
            )
    assert result.verdict == CHECK
    assert systems["metric"] > 0.05
    assert systems["inch"] > 0.05
    assert advice is not None
    assert advice.reading == "bore"


@pytest.mark.parametrize("bore", [52, 62, 72])
def test_a_metric_bore_makes_it_thirty_five_and_leaves_the_width_open(bore: int) -> None:
    result, advice = found(SEALS, shaft="34.925", bore=f"{bore}.02")
    sizes = shares(result)
    metric = sum(p for label, p in sizes.items() if label.startswith(f"35 x {bore} x "))
    assert metric > 0.85
    # The inch shaft in that metric bore is listed too and stays in the running.
    assert any(label.startswith("1.375 x ") for label in sizes)
    assert result.verdict == CHECK
    assert advice is not None
    assert advice.reading == "old-width"
    assert "35 x" in advice.reason


@pytest.mark.parametrize("bore", [52, 62, 72])
def test_a_width_settles_it(bore: int) -> None:
    result, advice = found(SEALS, shaft="34.925", bore=f"{bore}.02", old_width="7.02")
    assert result.candidates[0].size.label == f"35 x {bore} x 7"
    assert result.verdict == GO
    assert advice is None


@pytest.mark.parametrize(
    ("bore", "size"),
    [("53.97", "1.375 x 2.125 "), ("61.88", "1.375 x 2.437 "), ("50.37", "1.375 x 1.983 ")],
)
def test_an_inch_bore_makes_it_inch(bore: str, size: str) -> None:
    result, _ = found(SEALS, shaft="34.925", bore=bore)
    inch = sum(p for label, p in shares(result).items() if label.startswith(size))
    assert inch > 0.9


# --- 0.625 in against 16 mm ---------------------------------------------------------------------


def test_five_eighths_reads_as_sixteen_and_the_bore_decides() -> None:
    alone, advice = found(SEALS, shaft="15.90")
    nominals = {round(c.size.nominals[0][0], 3) for c in alone.candidates[:12]}  # type: ignore[index]
    assert {15.875, 16.0} <= nominals
    assert alone.verdict == CHECK
    assert advice is not None
    assert advice.reading == "bore"
    metric, _ = found(SEALS, shaft="15.90", bore="30.01")
    assert metric.candidates[0].size.label == "16 x 30 x 7"
    assert metric.candidates[0].probability > 0.9
    inch, _ = found(SEALS, shaft="15.90", bore="31.75")
    assert inch.candidates[0].size.label == "0.625 x 1.250 x 0.250 in"
    assert inch.candidates[0].probability > 0.9


# --- cones of 1.250 in bore ---------------------------------------------------------------------

CUPS = {
    "2.328": {"LM67048/LM67010"},
    "2.441": {"15123/15245", "15125/15245", "15126/15245"},
    "2.688": {"02475/02420", "02476/02420", "23491/23420", "M88046/M88010"},
    "2.717": {"14125A/14276"},
}


def test_the_bore_alone_leaves_all_the_cups_open() -> None:
    result, advice = found(BEARINGS, bore="31.75")
    assert result.verdict == CHECK
    assert set().union(*CUPS.values()) <= set(shares(result))
    assert advice is not None


@pytest.mark.parametrize("cup", CUPS)
def test_the_cup_tells_the_cones_apart(cup: str) -> None:
    result, advice = found(BEARINGS, bore="31.75", od=f"{cup}in")
    assert set(shares(result)) == CUPS[cup]
    if len(CUPS[cup]) == 1:
        assert result.verdict == GO
        assert advice is None
    else:
        assert result.verdict == CHECK


def test_of_one_cup_two_cones_no_reading_can_split() -> None:
    result, advice = found(
        BEARINGS, bore="31.75", od="2.441in", width="0.750in", cone_width="0.8125in"
    )
    assert set(shares(result)) == {"15125/15245", "15126/15245"}
    assert advice is not None
    assert advice.reading == "mark"
    assert "no reading can split" in advice.reason


# --- same bore and outside diameter -------------------------------------------------------------


def test_thirty_by_sixty_two_has_many_widths() -> None:
    result, advice = found(BEARINGS, bore="29.99", od="61.99")
    assert {"30206", "32206", "32206 B", "33206", "15117/15245"} <= set(shares(result))
    assert result.verdict == CHECK
    assert advice is not None
    assert advice.reading == "width"


def test_the_inch_neighbour_of_the_same_seat_is_told_by_the_bore() -> None:
    result, _ = found(BEARINGS, bore="30.213", od="61.999")
    assert set(shares(result)) == {"15118/15245"}


@pytest.mark.parametrize(
    ("width", "size"), [("17.2", "30206"), ("24.95", "33206"), ("19.05", "15117/15245")]
)
def test_the_assembled_width_tells_them_apart(width: str, size: str) -> None:
    result, _ = found(BEARINGS, bore="29.99", od="61.99", width=width)
    assert result.candidates[0].size.label == size
    assert result.candidates[0].probability > 0.95


def test_the_steep_angle_of_32206_needs_the_number() -> None:
    result, advice = found(
        BEARINGS, bore="29.99", od="61.99", width="21.2", cone_width="19.95", cup_width="16.95"
    )
    assert shares(result) == pytest.approx({"32206": 0.5, "32206 B": 0.5}, abs=0.01)
    assert result.verdict == CHECK
    assert advice is not None
    assert (advice.reading, advice.instrument) == ("mark", "eye")
    assert "no reading can split 32206 and 32206 B" in advice.reason
    assert advice.expected_certainty < 0.55


@pytest.mark.parametrize(
    ("seat", "width", "cups"),
    [
        (("25", "62"), "18.2", {"30305": "15", "31305": "13"}),
        (("30", "72"), "20.7", {"30306": "16", "31306": "14"}),
        (("40", "90"), "25.2", {"30308": "20", "31308": "17"}),
    ],
)
def test_303_and_313_are_told_by_the_cup_width_only(
    seat: tuple[str, str], width: str, cups: dict[str, str]
) -> None:
    bore, od = seat
    result, advice = found(BEARINGS, bore=bore, od=od, width=width)
    assert shares(result) == pytest.approx(dict.fromkeys(cups, 0.5), abs=0.02)
    assert result.verdict == CHECK
    assert advice is not None
    assert advice.reading == "cup-width"
    assert advice.expected_certainty > 0.95
    for size, cup in cups.items():
        split, _ = found(BEARINGS, bore=bore, od=od, width=width, cup_width=cup)
        assert split.verdict == GO
        assert split.candidates[0].size.label == size


# --- a corner radius apart ----------------------------------------------------------------------


def test_lm29748_and_lm29749_differ_in_no_reading() -> None:
    result, advice = found(BEARINGS, bore="38.1", od="65.1", width="18.1")
    assert shares(result)["LM29748/LM29710"] == pytest.approx(0.5, abs=0.02)
    assert shares(result)["LM29749/LM29710"] == pytest.approx(0.5, abs=0.02)
    assert advice is not None
    assert advice.reading == "mark"
    assert "no reading can split LM29748/LM29710 and LM29749/LM29710" in advice.reason


def test_their_wider_cup_can_be_told_and_the_rest_is_said() -> None:
    result, advice = found(BEARINGS, bore="38.1", od="65.1")
    assert {"LM29748/LM29710", "LM29749/LM29710", "LM29749/LM29711"} == set(shares(result))
    assert advice is not None
    assert advice.reading in ("cup-width", "width")
    assert "LM29749/LM29711" in advice.reason
    assert "no reading can split LM29748/LM29710 and LM29749/LM29710" in advice.reason
    wide, after = found(BEARINGS, bore="38.1", od="65.1", cup_width="15.75")
    assert wide.candidates[0].size.label == "LM29749/LM29711"
    assert wide.verdict == GO
    assert after is None
