"""How a list line stands to what is wanted: every grade, and the words for it."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from fitcheck.assess.seal_seat import widths_that_fit
from fitcheck.limits import class_limits
from fitcheck.lists.compare import NEAR, seal_diameter, seal_width, search_limit_um
from fitcheck.lists.execution import contrast
from fitcheck.lists.grades import GRADES, Grading, grading, size_grading
from fitcheck.lists.items import Execution, SizeKey, dimension_system, execution, size_key
from fitcheck.lists.join import FIT_REACH_UM
from fitcheck.tables import table

KNOWN = Execution(lip="double", lubricant="oil", direction="both")


def seal(shaft: float, bore: float, width: float | None, system: str = "metric") -> SizeKey:
    scale = 25400 if system == "inch" else 1000
    um = None if width is None else round(width * scale)
    return SizeKey("seal", round(shaft * scale), round(bore * scale), um, system)


def bearing(
    d: float, od: float, t: float | None, name: str | None, system: str = "metric"
) -> SizeKey:
    return seal(d, od, t, system)._replace(kind="bearing", designation=name)


WANT = seal(35, 52, 7)


def graded(have: SizeKey, made: Execution = KNOWN, **more: int) -> Grading:
    return grading(WANT, KNOWN, have, made, **more)


def test_the_same_size_with_all_known_is_the_same() -> None:
    found = graded(seal(35, 52, 7))
    assert (found.grade, found.verdict, found.differs, found.questions) == ("same", "go", (), ())


@pytest.mark.parametrize("field", ["lip", "lubricant", "direction"])
@pytest.mark.parametrize("side", ["want", "have", "both"])
def test_what_decides_a_seal_is_asked_for_wherever_it_is_not_said(field: str, side: str) -> None:
    blank = KNOWN._replace(**{field: None})
    want = KNOWN if side == "have" else blank
    have = KNOWN if side == "want" else blank
    found = grading(WANT, want, WANT, have)
    assert (found.grade, found.verdict) == ("same-ask", "check")
    assert len(found.questions) == 1
    assert found.questions[0].startswith(f"{field}: ")


@pytest.mark.parametrize(
    ("field", "value"), [("lip", "single"), ("lubricant", "grease"), ("direction", "left")]
)
def test_what_differs_is_another_execution_and_never_the_same(field: str, value: str) -> None:
    found = graded(WANT, KNOWN._replace(**{field: value}))
    assert (found.grade, found.verdict) == ("other-execution", "check")
    assert found.differs == (f"{field} {value} for {getattr(KNOWN, field)}",)


def test_a_case_material_or_spring_not_asked_for_does_not_count() -> None:
    made = KNOWN._replace(case="rubber", material="NBR", spring="yes")
    assert graded(WANT, made).grade == "same"
    asked = KNOWN._replace(material="FKM")
    assert grading(WANT, asked, WANT, made).differs == ("material NBR for FKM",)
    assert grading(WANT, asked, WANT, KNOWN).questions == (
        "material: FKM is wanted, the list does not say",
    )


@pytest.mark.parametrize("case", ["metal", "rubber"])
def test_another_case_fits_on_a_condition(case: str) -> None:
    other = {"metal": "rubber", "rubber": "metal"}[case]
    found = grading(WANT, KNOWN._replace(case=other), WANT, KNOWN._replace(case=case))
    assert found.grade == "condition"
    assert found.differs[0].startswith(f"case {case} for {other}: only ")


def test_an_axial_lip_and_the_opposite_direction_are_no_fit() -> None:
    axial = graded(WANT, KNOWN._replace(lip="axial"))
    assert (axial.grade, axial.verdict) == ("near-miss", "no-go")
    left, right = KNOWN._replace(direction="left"), KNOWN._replace(direction="right")
    assert grading(WANT, left, WANT, right).differs == (
        "direction right for left: it would pump the oil out",
    )


# --- sizes --------------------------------------------------------------------------------------


def test_an_inch_size_written_in_mm_is_the_same_size() -> None:
    inch = seal(1.375, 2.125, 0.3125, "inch")
    assert size_grading(seal(25.4, 44.45, 6.35), seal(1, 1.75, 0.25, "inch")).grade == "same"
    assert size_grading(seal(34.93, 53.98, 7.94), inch).grade == "same"
    assert size_grading(seal(1.375, 2.125, 0.313, "inch"), inch).grade == "same"


def test_a_metric_size_written_in_inches_is_its_twin() -> None:
    found = size_grading(WANT, seal(1.378, 2.047, 0.276, "inch"))
    assert found.grade == "other-execution"
    assert found.differs[0] == "51.994 mm is the inch twin of 52 mm"


def test_a_width_inside_its_tolerance_is_another_execution() -> None:
    assert size_grading(WANT, seal(35, 52, 7.3)).grade == "other-execution"
    assert size_grading(WANT, seal(35, 52, 7.31)).grade == "condition"
    assert size_grading(WANT, seal(35, 52, 6.7)).grade == "other-execution"
    assert size_grading(WANT, seal(35, 52, 6.69)).grade == "condition"


def test_the_inch_shaft_inside_h11_of_the_metric_one_is_a_condition() -> None:
    found = size_grading(WANT, SizeKey("seal", 34925, 52000, 7000, "mixed"))
    assert found.grade == "condition"
    assert found.differs == ("shaft 34.925 for 35: only where the shaft reads 34.849 to 35 mm",)


def test_the_shaft_condition_ends_with_the_limits() -> None:
    limits = class_limits(nominal_mm=35, tolerance_class="h11")
    last = 35000 + round(limits.lower_um)
    assert size_grading(WANT, WANT._replace(shaft_um=last)).grade == "condition"
    assert size_grading(WANT, WANT._replace(shaft_um=last - 1)).grade == "near-miss"


def test_a_near_miss_says_which_dimension_by_how_much_against_what() -> None:
    found = size_grading(WANT, seal(36, 52, 7))
    assert (found.grade, found.verdict, found.off_um) == ("near-miss", "no-go", 1000)
    assert found.differs == (
        "shaft 36 for 35: 1 mm over; the shaft may be 34.84 to 35 mm (h11; ISO 6194-1, DIN 3760, "
        "GB 13871 and JIS B 2402-1, seat classes for shaft and bore)",
    )
    assert size_grading(WANT, seal(35, 53.5, 7)).grade == "near-miss"
    assert size_grading(WANT, seal(35, 53.501, 7)).grade == "nothing"


def test_a_near_miss_asks_nothing_and_offers_no_condition() -> None:
    found = grading(WANT, Execution(case="metal"), seal(36, 52, 8), Execution(case="rubber"))
    assert found.grade == "near-miss"
    assert found.questions == ()
    assert len(found.differs) == 1


def test_a_wider_seal_goes_by_the_pocket() -> None:
    open_question = graded(seal(35, 52, 8))
    assert open_question.differs == (
        "width 8 for 7: only where the pocket is 8.3 mm deep or more (DIN 3760)",
    )
    assert graded(seal(35, 52, 8), pocket_um=8300).grade == "condition"
    short = graded(seal(35, 52, 8), pocket_um=8299)
    assert short.grade == "near-miss"
    assert "0.001 mm less than 8.3" in short.differs[0]


def test_a_narrower_seal_is_a_condition_and_a_far_width_is_none() -> None:
    assert "narrower" in graded(seal(35, 52, 5)).differs[0]
    assert graded(seal(35, 52, 10.001)).grade == "near-miss"
    assert graded(seal(35, 52, 13.001)).grade == "nothing"
    assert graded(seal(35, 52, 20), pocket_um=21200).grade == "condition"


def test_a_width_that_is_not_given_is_a_condition() -> None:
    assert "the list gives no width" in graded(seal(35, 52, None)).differs[0]
    found = grading(seal(35, 52, None), KNOWN, seal(35, 52, 7), KNOWN)
    assert (found.grade, found.differs) == ("condition", ("no width was given; this one is 7 mm",))


@pytest.mark.parametrize("width_um", [*range(3000, 25000, 500), 20001])
def test_the_pocket_rule_is_that_of_the_seats(width_um: int) -> None:
    for pocket_um in range(width_um - 500, width_um + 2500, 100):
        fits = bool(widths_that_fit(pocket_mm=pocket_um / 1000, widths_mm=[width_um / 1000]))
        found = seal_width(None, "metric", width_um, "metric", pocket_um)
        assert (GRADES[found.level] == "condition") == fits


def test_no_limits_reach_past_the_window() -> None:
    reach = 0.0
    for row in table("seal_tolerances/inch_seat_limits").rows:
        for name in ("lower_in", "upper_in"):
            reach = max(reach, abs(row.number(name)) * 25400)
    for tolerance_class in ("h11", "H8"):
        limits = class_limits(nominal_mm=500, tolerance_class=tolerance_class)
        reach = max(reach, abs(limits.lower_um), abs(limits.upper_um))
    assert reach < FIT_REACH_UM < search_limit_um("diameter_near")


# --- kinds --------------------------------------------------------------------------------------


def test_kinds_are_never_crossed_and_an_unknown_kind_is_asked_for() -> None:
    assert size_grading(WANT, WANT._replace(kind="bearing")).grade == "nothing"
    assert size_grading(WANT, WANT._replace(kind="other")).grade == "nothing"
    found = size_grading(WANT, WANT._replace(kind=None))
    assert found.grade == "same-ask"
    assert found.questions == ("kind: wanted is seal, the other side does not say",)


def test_bearings_of_one_designation_are_the_same() -> None:
    want = bearing(30, 62, 17.25, "30206")
    assert size_grading(want, want).grade == "same"
    bare = SizeKey("bearing", designation="30 206")
    assert size_grading(want, bare).grade == "same"
    assert size_grading(bare, want).grade == "same"


def test_bearings_of_one_size_are_told_apart_by_the_number() -> None:
    want = bearing(65, 140, 36, "30313")
    other = size_grading(want, bearing(65, 140, 36, "31313"))
    assert other.grade == "other-execution"
    assert "31313 for 30313" in other.differs[0]
    assert size_grading(want, bearing(65, 140, 36, None)).grade == "same-ask"


def test_the_assembled_width_tells_bearings_apart() -> None:
    want = bearing(30, 62, 17.25, "30206")
    found = size_grading(want, bearing(30, 62, 21.25, "32206"))
    assert found.grade == "near-miss"
    assert found.differs[0].startswith(
        "assembled width 21.25 for 17.25: 4 mm over; it may be 17.25 to 17.45 mm (ISO 492"
    )
    assert size_grading(want, bearing(30, 62, None, None)).grade == "same-ask"


def test_a_number_with_other_dimensions_is_a_question() -> None:
    want = bearing(30, 62, 17.25, "30206")
    found = size_grading(want, bearing(30, 62, 21.25, "30206"))
    assert (found.grade, found.differs) == ("condition", ())
    assert "ask which is right" in found.questions[0]


def test_halves_of_a_pair() -> None:
    pair = SizeKey("bearing", designation="LM11949/LM11910")
    cone = SizeKey("bearing", designation="LM11949")
    assert size_grading(cone, pair).differs == ("LM11949/LM11910 is a pair with LM11949",)
    assert size_grading(pair, cone).differs == ("LM11949 is one half of LM11949/LM11910",)
    assert size_grading(pair, cone).grade == "condition"
    mixed = SizeKey("bearing", designation="LM11949/LM12710")
    found = size_grading(pair, mixed)
    assert found.grade == "near-miss"
    assert found.differs == ("LM11949/LM12710 for LM11949/LM11910: only LM11949 is the same",)
    assert size_grading(pair, SizeKey("bearing", designation="L44649")).grade == "nothing"


def test_sleeves_go_by_equal_dimensions() -> None:
    want = SizeKey("sleeve", 35000, None, 13000, "metric")
    # Two sleeves of one shaft and width may have another wall, and grip other shafts.
    assert size_grading(want, want).grade == "same-ask"
    thick = want._replace(bore_um=40000)
    assert size_grading(thick, thick).grade == "same"
    assert size_grading(want, thick).grade == "same-ask"
    assert size_grading(want, want._replace(shaft_um=35500)).grade == "near-miss"
    assert size_grading(want, want._replace(width_um=None)).grade == "same-ask"


# --- odds and ends --------------------------------------------------------------------------------


@dataclass
class Dimension:
    um: int
    system: str | None
    expected: str


@pytest.mark.parametrize(
    "case",
    [
        Dimension(35000, "metric", "metric"),
        Dimension(34925, "metric", "inch"),
        Dimension(25400, "metric", "metric"),
        Dimension(17250, "metric", "metric"),
        Dimension(34925, None, "inch"),
        Dimension(62000, "mixed", "metric"),
        Dimension(50800, "inch", "inch"),
    ],
)
def test_a_dimension_is_metric_or_inch(case: Dimension) -> None:
    assert dimension_system(case.um, case.system) == case.expected


def test_blank_fields_are_not_said() -> None:
    assert execution({"lip": "", "case": "metal"}) == Execution(case="metal")
    assert size_key({"kind": "", "shaft_um": 1}) == SizeKey(shaft_um=1)
    assert contrast(Execution(), Execution()).level == GRADES.index("same-ask")


def test_a_seat_past_the_tables_is_near_and_says_so() -> None:
    found = seal_diameter("shaft", 520_000, "metric", 520_050, "metric")
    assert found.level == NEAR
    assert "no limits are listed at this size" in found.words
