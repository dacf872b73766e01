"""ISO 286 limits: edges of the steps, evidence, refusals, and anything at all."""

from __future__ import annotations

import csv
import math
from contextlib import suppress
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.errors import AmbiguousError, InputError, OffTableError
from fitcheck.limits import class_limits, fit, it_grade_um, parse_class, parse_fit
from fitcheck.limits_tables import GRADES, HOLE_LETTERS, SHAFT_LETTERS
from fitcheck.tables import data_folder

MAIN = (3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500)
OVER_500 = (
    *(560, 630, 710, 800, 900, 1000, 1120, 1250, 1400, 1600, 1800, 2000, 2240, 2500),
    *(2800, 3150),
)
SUB = (14, 24, 40, 65, 100, 140, 160, 200, 225, 280, 355, 450)
SIZES = (0.5, 1, *sorted(MAIN + SUB + OVER_500))


def limits_um(tolerance_class: str, nominal_mm: float) -> tuple[float, float]:
    found = class_limits(nominal_mm=nominal_mm, tolerance_class=tolerance_class)
    return found.upper_um, found.lower_um


def defined(tolerance_class: str, nominal_mm: float) -> bool:
    try:
        class_limits(nominal_mm=nominal_mm, tolerance_class=tolerance_class)
    except OffTableError:
        return False
    return True


def rows(name: str) -> list[dict[str, str]]:
    with Path(data_folder(), "iso286", f"{name}.csv").open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


# --- steps ----------------------------------------------------------------------------------


def test_every_edge_of_every_tolerance() -> None:
    table = {
        (r["grade"], float(r["over_mm"])): (float(r["incl_mm"]), float(r["tolerance_um"]))
        for r in rows("it_grades")
    }
    for (grade, over), (incl, width) in table.items():
        assert it_grade_um(nominal_mm=incl, grade=grade) == width
        assert it_grade_um(nominal_mm=math.nextafter(over, math.inf), grade=grade) == width
        if (grade, incl) in table:
            beyond = it_grade_um(nominal_mm=math.nextafter(incl, math.inf), grade=grade)
            assert beyond == table[grade, incl][1]


def test_every_edge_of_every_deviation() -> None:
    for row in rows("shaft_deviations") + rows("hole_deviations"):
        if row["bound"] == "both":
            continue
        over, incl = float(row["over_mm"]), float(row["incl_mm"])
        for grade in (row["from_grade"], row["to_grade"]):
            for nominal_mm in (math.nextafter(over, math.inf), incl):
                if not defined(f"h{grade}", nominal_mm):
                    continue
                upper, lower = limits_um(f"{row['letter']}{grade}", nominal_mm)
                value = upper if row["bound"] == "upper" else lower
                assert value == float(row["deviation_um"])


def test_both_sides_of_the_size_range() -> None:
    smallest = math.nextafter(0.0, 1.0)
    assert limits_um("H7", smallest) == (10, 0)
    assert limits_um("H7", 3150) == (210, 0)
    for outside in (0.0, -1.0, math.nextafter(3150.0, math.inf), 1e9):
        with pytest.raises(OffTableError, match="over 0 up to and including 3150 mm"):
            class_limits(nominal_mm=outside, tolerance_class="H7")


def test_tables_hold_no_overlap_and_no_gap() -> None:
    runs: dict[tuple[str, ...], list[tuple[float, float]]] = {}
    for name in ("it_grades", "shaft_deviations", "hole_deviations", "delta"):
        for row in rows(name):
            key = (name, row.get("letter", ""), row.get("from_grade", row.get("grade", "")))
            runs.setdefault(key, []).append((float(row["over_mm"]), float(row["incl_mm"])))
    for steps in runs.values():
        assert all(over < incl for over, incl in steps)
        assert all(one[1] == two[0] for one, two in pairwise(steps))


# --- evidence -------------------------------------------------------------------------------


def test_evidence_is_no_better_than_the_worst_row() -> None:
    seen = class_limits(nominal_mm=30, tolerance_class="H7")
    assert (seen.evidence, "from memory" in seen.source) == ("seen", False)
    for tolerance_class, nominal_mm in (("H5", 30), ("s6", 30), ("M6", 300), ("H7", 600)):
        found = class_limits(nominal_mm=nominal_mm, tolerance_class=tolerance_class)
        assert found.evidence == "memory"
        assert "from memory" in found.source
        assert "ISO 286-1, Table" in found.source


def test_fit_cites_each_source_once() -> None:
    found = fit(nominal_mm=30, hole_class="H7", shaft_class="g6")
    assert found.source == found.hole.source
    mixed = fit(nominal_mm=30, hole_class="H7", shaft_class="s5")
    assert mixed.source.startswith(mixed.hole.source)
    assert "Table 5" in mixed.source


def test_shop_rows_replace_those_of_the_standard(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "iso286").mkdir()
    (tmp_path / "iso286" / "it_grades.csv").write_text(
        "grade,over_mm,incl_mm,tolerance_um\n7,18,30,20\n", encoding="utf-8"
    )
    monkeypatch.setenv("FITCHECK_TABLES", str(tmp_path))
    found = class_limits(nominal_mm=30, tolerance_class="H7")
    assert (found.upper_um, found.evidence) == (20, "shop")
    monkeypatch.delenv("FITCHECK_TABLES")
    assert limits_um("H7", 30) == (21, 0)


# --- refusals -------------------------------------------------------------------------------

OFF_THE_STANDARD = [
    ("t6", 24, ["t6 at 24 mm", "over 24 up to and including 3150 mm", "s6 or u6"]),
    ("v6", 14, ["over 14", "u6 or x6"]),
    ("y6", 18, ["over 18", "x6 or z6"]),
    ("Y7", 18, ["letter Y", "X7 or Z7"]),
    ("cd8", 10.1, ["over 0 up to and including 10 mm", "c8 or d8"]),
    ("EF8", 11, ["over 0 up to and including 10 mm", "E8 or F8"]),
    ("fg6", 20, ["over 0 up to and including 10 mm", "f6 or g6"]),
    ("a11", 1, ["over 1 up to and including 500 mm", "take c11"]),
    ("B11", 0.8, ["over 1 up to and including 500 mm", "take C11"]),
    ("za8", 600, ["over 0 up to and including 500 mm", "take u8"]),
    ("c11", 501, ["over 0 up to and including 500 mm", "take d11"]),
    ("J7", 600, ["over 0 up to and including 500 mm", "JS7 or K7"]),
    ("j8", 5, ["only in grades 5 to 7", "Take j7"]),
    ("J9", 20, ["only in grades 6 to 8", "Take J8"]),
    ("J5", 20, ["only in grades 6 to 8", "Take J6"]),
    ("K9", 20, ["only in grades 3 to 8", "Take K8", "JS9 or M9"]),
    ("K9", 600, ["only in grades 3 to 8"]),
    ("N9", 1, ["only in grades 3 to 8", "Take N8"]),
    ("P2", 20, ["only in grades 3 to 18", "Take P3"]),
    ("H14", 1, ["IT14 only over 1", "IT01 to IT13"]),
    ("js18", 0.4, ["IT18 only over 1", "IT01 to IT13"]),
    ("H01", 501, ["IT01 only over 0 up to and including 500 mm", "IT1 to IT18"]),
    ("h0", 3150, ["IT0 only over 0 up to and including 500 mm"]),
    ("L7", 30, ["no letter L", "K M N"]),
    ("i7", 30, ["no letter i", "h js j k"]),
    ("H19", 30, ["no grade 19", "1 to 18"]),
    ("H00", 30, ["no grade 00"]),
    ("H07", 30, ["no grade 07"]),
]


@pytest.mark.parametrize(("tolerance_class", "nominal_mm", "says"), OFF_THE_STANDARD)
def test_what_the_standard_lacks_is_refused_by_name(
    tolerance_class: str, nominal_mm: float, says: list[str]
) -> None:
    with pytest.raises(OffTableError) as caught:
        class_limits(nominal_mm=nominal_mm, tolerance_class=tolerance_class)
    message = str(caught.value)
    assert message.startswith(tolerance_class)
    assert all(text in message for text in says), message


@pytest.mark.parametrize(
    ("tolerance_class", "nominal_mm"),
    [
        *(("t6", 24.001), ("v6", 14.001), ("y6", 18.001), ("cd8", 10), ("a11", 1.001)),
        *(("N9", 1.001), ("za8", 500), ("J7", 500), ("j8", 3), ("K9", 3), ("H14", 1.001)),
        ("H01", 500),
    ],
)
def test_the_other_side_of_those_edges_is_answered(tolerance_class: str, nominal_mm: float) -> None:
    assert defined(tolerance_class, nominal_mm)


BAD_TEXTS = ["", " ", "7", "H", "7H", "H-7", "H7.5", "hhh7", "H７", "Ĥ7", "H 7", "H7/g6", "H" * 99]


@pytest.mark.parametrize("text", BAD_TEXTS)
def test_bad_class_text_is_wrong_usage(text: str) -> None:
    with pytest.raises(InputError, match="one or two letters and a grade") as caught:
        parse_class(text)
    assert len(str(caught.value)) < 200


@pytest.mark.parametrize("text", ["Js7", "jS7", "Zc9"])
def test_mixed_letters_are_refused_with_both_readings(text: str) -> None:
    with pytest.raises(AmbiguousError) as caught:
        parse_class(text)
    assert caught.value.readings == (text.upper(), text.lower())


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("H7", "a stroke"),
        ("H7/g6/h6", "a stroke"),
        ("", "a stroke"),
        ("g6/H7", "Write H7/g6"),
        ("H7/G6", "both classes are those of a hole"),
        ("h7/g6", "both classes are those of a shaft"),
        ("H7/", "one or two letters"),
    ],
)
def test_bad_fit_text_is_wrong_usage(text: str, says: str) -> None:
    with pytest.raises(InputError, match=says):
        parse_fit(text)


def test_fit_text_may_have_blanks() -> None:
    assert [part.text for part in parse_fit(" H7 / g6 ")] == ["H7", "g6"]


def test_fit_wants_a_hole_and_a_shaft() -> None:
    with pytest.raises(InputError, match="the hole comes first"):
        fit(nominal_mm=30, hole_class="g6", shaft_class="H7")


@pytest.mark.parametrize("nominal_mm", [math.nan, math.inf, -math.inf, True])
def test_a_size_is_a_number(nominal_mm: float) -> None:
    with pytest.raises(InputError, match="a number of mm"):
        class_limits(nominal_mm=nominal_mm, tolerance_class="H7")
    with pytest.raises(InputError, match="a number of mm"):
        it_grade_um(nominal_mm=nominal_mm, grade=7)


def test_grades_by_number_and_by_name() -> None:
    assert {it_grade_um(nominal_mm=30, grade=g) for g in (7, "7", "IT7", " IT7 ")} == {21}
    assert it_grade_um(nominal_mm=30, grade="01") == 0.6
    assert it_grade_um(nominal_mm=30, grade=0) == 1
    with pytest.raises(OffTableError, match=r"IT14 at 0\.5 mm"):
        it_grade_um(nominal_mm=0.5, grade=14)
    with pytest.raises(OffTableError, match="no such grade"):
        it_grade_um(nominal_mm=30, grade=19)
    for grade in ("", "seven", "-1", "7.0"):
        with pytest.raises(InputError, match="no such grade"):
            it_grade_um(nominal_mm=30, grade=grade)


# --- kinds of fit ---------------------------------------------------------------------------


def test_zero_clearance_belongs_to_the_closed_side() -> None:
    assert fit(nominal_mm=30, hole_class="H7", shaft_class="h6").kind == "clearance"
    meeting = fit(nominal_mm=2, hole_class="H6", shaft_class="p5")
    assert (meeting.max_clearance_um, meeting.kind) == (0, "interference")
    assert fit(nominal_mm=30, hole_class="H7", shaft_class="k6").kind == "transition"


# --- anything at all ------------------------------------------------------------------------


@given(
    letter=st.sampled_from(SHAFT_LETTERS + HOLE_LETTERS),
    grade=st.sampled_from(GRADES),
    nominal_mm=st.one_of(
        st.sampled_from(SIZES),
        st.floats(min_value=0, max_value=3200),
        st.floats(min_value=0, max_value=3.5),
        st.floats(),
    ),
)
def test_any_class_has_its_tolerance_or_is_refused(
    letter: str, grade: str, nominal_mm: float
) -> None:
    try:
        found = class_limits(nominal_mm=nominal_mm, tolerance_class=letter + grade)
    except (InputError, OffTableError):
        return
    width = it_grade_um(nominal_mm=nominal_mm, grade=grade)
    assert found.upper_um - found.lower_um == pytest.approx(width, abs=1e-9)
    assert found.kind == ("hole" if letter.isupper() else "shaft")
    assert found.source
    assert found.evidence in {"seen", "memory"}


@given(text=st.text(max_size=12), nominal_mm=st.floats())
def test_any_text_is_answered_or_refused(text: str, nominal_mm: float) -> None:
    for ask in (
        lambda: class_limits(nominal_mm=nominal_mm, tolerance_class=text),
        lambda: parse_fit(text),
        lambda: it_grade_um(nominal_mm=nominal_mm, grade=text),
    ):
        with suppress(InputError, OffTableError):
            ask()


@pytest.mark.parametrize(("length", "ending"), [(40, "x: a tolerance"), (41, "x...: a tolerance")])
def test_a_message_repeats_forty_characters_of_a_text(length: int, ending: str) -> None:
    with pytest.raises(InputError) as caught:
        parse_class("H7".ljust(length, "x"))
    assert str(caught.value).startswith("H7".ljust(40, "x") + ending[1:])


@pytest.mark.parametrize("tolerance_class", ["H7", "h7", "N9"])
def test_no_deviation_is_a_minus_zero(tolerance_class: str) -> None:
    found = class_limits(nominal_mm=30, tolerance_class=tolerance_class)
    for value in (found.upper_um, found.lower_um):
        assert value != 0.0 or math.copysign(1.0, value) == 1.0
