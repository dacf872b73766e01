"""Each family has its whole standard series: so many rows, and none that breaks its rules."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

import pytest

from fitcheck.parts.kind import kind_names
from fitcheck.tables import table

# How many sizes a series has, as far as bores of 400 mm (cages, cups: all that memory holds).
COUNTS = {
    ("ball/sizes", "series"): {
        "60": 51,
        "62": 47,
        "63": 46,
        "64": 16,
        "160": 43,
        "161": 2,
        "618": 51,
        "619": 51,
        "622": 13,
        "623": 11,
    },
    ("roller/sizes", "series"): {"NU10": 37, "NU2": 35, "NU22": 34, "NU3": 33, "NU23": 32},
    ("needle/sizes", "series"): {
        "NA48": 19,
        "RNA48": 19,
        "NA49": 33,
        "RNA49": 33,
        "NA69": 21,
        "RNA69": 21,
        "HK": 64,
        "BK": 36,
        "K": 212,
    },
    ("oring/iso3601", "section_mm"): {"1.8": 108, "2.65": 87, "3.55": 97, "5.3": 115, "7": 117},
    ("circlip/sizes", "standard"): {"DIN 471": 86, "DIN 472": 88},
    ("bushing/sizes", "form"): {"wrapped": 223, "solid": 405},
}


@pytest.mark.parametrize(("name", "column"), COUNTS, ids=[name for name, _ in COUNTS])
def test_a_series_is_whole(name: str, column: str) -> None:
    assert Counter(row.text(column) for row in table(name).rows) == COUNTS[name, column]


def test_every_dash_number_is_there() -> None:
    dashes = [int(row.text("dash")) for row in table("oring/as568").rows]
    runs = [(1, 50), (102, 178), (201, 284), (309, 395), (425, 475)]
    bosses = [*range(901, 915), 916, 918, 920, 924, 928, 932]
    bosses.remove(914)
    expected = [n for first, last in runs for n in range(first, last + 1)]
    assert [n for n in dashes if n < 900] == expected
    assert set(bosses) <= set(dashes)
    assert len(dashes) == len(set(dashes)) == 369


def test_keys_pins_and_collars_reach_the_ends_of_their_standards() -> None:
    keys = table("key/sizes").rows
    assert (len(keys), keys[-1].text("width_mm"), keys[-1].number("incl_mm")) == (26, "100", 500.0)
    pins = table("closing/cotter_pins").rows
    assert (len(pins), pins[0].text("size_mm"), pins[-1].text("size_mm")) == (16, "0.6", "20")
    assert len(table("closing/pin_lengths").rows) == 33
    collars = table("collar/sizes").rows
    assert (len(collars), collars[-1].number("shaft_mm")) == (55, 150.0)


def test_cages_are_thin_and_grow() -> None:
    cages = [row for row in table("needle/sizes").rows if row.text("series") == "K"]
    for row in cages:
        inside, outside = row.number("raceway_mm"), row.number("od_mm")
        name = f"K {inside:g}x{outside:g}x{row.number('width_mm'):g}"
        assert row.text("designation") == name
        assert 2.0 <= outside - inside <= max(6.0, 0.52 * inside)
    for before, after in pairwise(cages):
        assert before.number("raceway_mm") <= after.number("raceway_mm")


@pytest.mark.parametrize("name", kind_names())
def test_a_value_from_memory_says_so(name: str) -> None:
    rows = table(f"{name}/places").rows
    assert all(row.evidence in ("seen", "memory", "invented") for row in rows)
    assert all("(from memory)" in row.cite() for row in rows if row.evidence == "memory")
