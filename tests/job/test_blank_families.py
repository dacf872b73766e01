"""The empty sheet offers every family's table, with the keys that the sheet reads."""

from __future__ import annotations

import re
import tomllib

from fitcheck.job.blank import BLANK_SHEET
from fitcheck.job.blank_families import blank_sheet
from fitcheck.job.sheet import parse_sheet
from fitcheck.parts.kind import kind, kind_names


def uncommented() -> str:
    return re.sub(r"^# (?=[a-z_]+ = |\[)", "", blank_sheet(), flags=re.MULTILINE)


def test_every_family_can_be_filled_in_with_every_key() -> None:
    raw = tomllib.loads(uncommented())
    sheet = parse_sheet(uncommented())
    entries = dict(sheet.parts())
    assert set(entries) == set(kind_names())
    for name in kind_names():
        assert {"mark", "quantity", "unit", "note"} < set(raw[name][0])
        assert raw[name][0]["name"] == kind(name).title


def test_as_it_comes_it_has_the_positions_of_the_plain_sheet() -> None:
    plain, offered = parse_sheet(BLANK_SHEET), parse_sheet(blank_sheet())
    assert [p.name for p in offered.positions()] == [p.name for p in plain.positions()]
    assert blank_sheet().count("\n\n\n") == 0
    assert max(map(len, blank_sheet().splitlines())) <= 170
