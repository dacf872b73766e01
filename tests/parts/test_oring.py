"""O-rings: the series, their tolerances, and what a used ring reads."""

from __future__ import annotations

from itertools import pairwise

import pytest

from fitcheck.identify import identify
from fitcheck.parts.kind import kind_family
from fitcheck.parts.oring import LIMITS, id_tolerance_mm, mark_forms, section_tolerance_mm, sizes
from fitcheck.readings import read
from fitcheck.tables import table

DASHES = {int(row.text("dash")): row for row in table("oring/as568").rows}
GROUPS = {
    "0": (range(4, 51), 0.070),
    "1": (range(102, 179), 0.103),
    "2": (range(201, 285), 0.139),
    "3": (range(309, 396), 0.210),
    "4": (range(425, 476), 0.275),
}
BOSSES = [*range(901, 915), 916, 918, 920, 924, 928, 932]
BY_LABEL = {size.label: size for size in sizes()}


def test_every_dash_number_is_there() -> None:
    wanted = {1, 2, 3, *BOSSES} | {n for numbers, _ in GROUPS.values() for n in numbers}
    assert set(DASHES) == wanted


@pytest.mark.parametrize("group", GROUPS)
def test_a_group_has_one_section_and_grows_without_a_leap(group: str) -> None:
    numbers, section = GROUPS[group]
    rows = [DASHES[n] for n in numbers]
    assert {row.number("section_in") for row in rows} == {section}
    inside = [row.number("id_in") for row in rows]
    steps = [after - before for before, after in pairwise(inside)]
    assert all(0.01 < step < 1.02 for step in steps)
    # Steps only ever double along a group, save that the last sizes drop a little below a whole.
    assert all(after > before - 0.035 for before, after in pairwise(steps))
    slack = [row.number("id_tolerance_in") for row in rows]
    assert slack == sorted(slack)


def test_boss_rings_grow_in_both() -> None:
    for before, after in pairwise(BOSSES):
        assert DASHES[before].number("id_in") < DASHES[after].number("id_in")
        assert DASHES[before].number("section_in") <= DASHES[after].number("section_in")


def test_same_outside_in_each_group() -> None:
    """A nominal bore takes rings of several sections: -214, -114 and -018 differ by the section."""
    for thin, thick in (("113", "210"), ("116", "210"), ("210", "316"), ("222", "325")):
        one, other = DASHES[int(thin)], DASHES[int(thick)]
        assert one.number("section_in") < other.number("section_in")


def test_metric_series_grow() -> None:
    by_section: dict[float, list[float]] = {}
    for row in table("oring/iso3601").rows:
        by_section.setdefault(row.number("section_mm"), []).append(row.number("id_mm"))
    assert list(by_section) == [1.8, 2.65, 3.55, 5.3, 7.0]
    assert all(found == sorted(set(found)) for found in by_section.values())
    starts = [found[0] for found in by_section.values()]
    assert starts == sorted(starts)


def test_jis_rings_lie_a_little_under_their_number() -> None:
    for row in table("oring/jis").rows:
        number = float(row.text("code")[1:].rstrip("A"))
        assert 0.1 < number - row.number("id_mm") < 0.8, row.text("code")


def test_tolerances() -> None:
    assert id_tolerance_mm(id_mm=100.0) == pytest.approx(0.82, abs=0.01)
    assert section_tolerance_mm(section_mm=1.8) == 0.08
    assert section_tolerance_mm(section_mm=1.81) == 0.08
    assert section_tolerance_mm(section_mm=2.65) == 0.09
    assert section_tolerance_mm(section_mm=7.0) == 0.15


def test_an_inch_ring_carries_its_tolerance() -> None:
    (inside, section, outside) = BY_LABEL["AS568-214"].nominals
    assert inside is not None
    assert section is not None
    assert outside is not None
    assert inside[0] == pytest.approx(0.984 * 25.4, abs=1e-3)
    assert LIMITS["id"](*inside) == pytest.approx((-0.254, 0.254))
    assert LIMITS["section"](*section) == pytest.approx((-0.102, 0.102))
    assert outside[0] == pytest.approx(inside[0] + 2 * section[0], abs=1e-3)


def test_a_used_ring_is_stretched_and_flattened() -> None:
    family = kind_family("oring")
    used = {
        "id": read(place="id", texts=("45.9",)),
        "section": read(place="section", texts=("2.8",)),
    }
    found = identify(family, used)
    near = {c.size.label: c for c in found.candidates[:5]}
    assert "45 x 3" in near
    assert near["45 x 3"].explanations["id"][0][0] == "stretched"
    assert near["45 x 3"].explanations["section"][0][0] == "set"


def test_marks() -> None:
    assert list(mark_forms(BY_LABEL["AS568-214"])) == ["AS568214", "214"]
    assert list(mark_forms(BY_LABEL["JIS P22.4"])) == ["P224"]
    assert list(mark_forms(BY_LABEL["45 x 3.55"])) == ["45355"]
