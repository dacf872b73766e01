"""What the lists offer for a pick, and a list's own sizes as a family."""

from __future__ import annotations

import pytest

from fitcheck.errors import NotKnownError
from fitcheck.identify import identify
from fitcheck.lists.family import list_family
from fitcheck.lists.items import Execution, SizeKey
from fitcheck.lists.offers import offers, picked_key
from fitcheck.lists.source import rows_source
from fitcheck.parts.bearing import bearing_sizes
from fitcheck.parts.seal import seal_family, seal_sizes
from fitcheck.readings import read

SEAL = SizeKey("seal", 35000, 52000, 7000, "metric")


def row(line: int, key: SizeKey, **more: str) -> dict[str, object]:
    return {"line": line, "part_number": f"N{line}", **key._asdict(), **more}


def test_picks_are_keys() -> None:
    by_label = {size.label: size for size in (*seal_sizes(), *bearing_sizes())}
    assert picked_key(by_label["35 x 52 x 7"]) == SEAL
    assert picked_key(by_label["30206"]) == SizeKey(
        "bearing", 30000, 62000, 17250, "metric", "30206"
    )
    inch = picked_key(by_label["LM11949/LM11910"])
    assert (inch.shaft_um, inch.system, inch.designation) == (19050, "inch", "LM11949/LM11910")


def test_offers_fit_and_come_best_first() -> None:
    shop = rows_source(
        {
            "north": [
                row(2, SEAL._replace(width_um=8000)),
                row(3, SEAL, price="4"),
                row(4, SEAL._replace(shaft_um=36000)),
            ],
            "south": [row(2, SEAL, price="3")],
        }
    )
    other = SEAL._replace(shaft_um=36500)
    found = offers([SEAL, other, SEAL], shop)
    assert [(a.line.list, a.line.line) for a in found[SEAL]] == [
        ("south", 2),
        ("north", 3),
        ("north", 2),
    ]
    assert found[other] == ()
    known = offers([SEAL], shop, made=Execution(lip="double"), pocket_um=7500, top=1)
    assert "lip: double is wanted, the list does not say" in known[SEAL][0].questions


def keys_of_the_tables() -> list[SizeKey]:
    return [picked_key(size) for size in seal_sizes()]


def test_a_list_of_the_standard_sizes_answers_as_the_tables_do() -> None:
    readings = {
        "shaft": read(place="shaft", texts=("34.92",)),
        "bore": read(place="bore", texts=("52.02",)),
        "old-width": read(place="old-width", texts=("7.1",)),
    }
    listed = identify(list_family(keys_of_the_tables(), name="north"), readings)
    tables = identify(seal_family(), readings)
    assert listed.verdict == tables.verdict
    assert listed.candidates[0].size.label == tables.candidates[0].size.label == "35 x 52 x 7"
    assert listed.candidates[0].probability == pytest.approx(
        tables.candidates[0].probability, abs=0.02
    )


def test_only_what_the_list_has_is_a_candidate() -> None:
    family = list_family(
        [SEAL, SEAL._replace(system="inch"), SizeKey("seal", 25400, 44450, 6350, "inch")],
        name="north",
    )
    assert [size.label for size in family.sizes] == ["1.000 x 1.750 x 0.250 in", "35 x 52 x 7"]
    assert family.sizes[0].source == "list north"
    assert [size.system for size in family.sizes] == ["inch", "metric"]


def test_what_is_no_seal_with_its_sizes_is_passed_over() -> None:
    with pytest.raises(NotKnownError, match="no seal with shaft, bore and width"):
        list_family(
            [
                SEAL._replace(kind="bearing"),
                SEAL._replace(width_um=None),
                SEAL._replace(shaft_um=60000),
                SizeKey("seal", 1800000, 1900000, 30000, "inch"),
            ],
            name="north",
        )
