"""A list's own sizes as a family: what is a size of it, and what is left out and counted."""

from __future__ import annotations

import pytest

from fitcheck.errors import NotKnownError
from fitcheck.identify import identify
from fitcheck.job.bearing import mark_forms
from fitcheck.lists.family import bearing_list, seal_list
from fitcheck.lists.items import SizeKey
from fitcheck.lists.lines import UM_PER_MM
from fitcheck.parts.bearing import bearing_sizes
from fitcheck.parts.seal import seal_family, seal_sizes
from fitcheck.readings import read

SEAL = SizeKey("seal", 35000, 52000, 7000, "metric")
BEARING = SizeKey("bearing", designation="30206")


def keys_of_the_tables() -> dict[SizeKey, int]:
    """The standard seals as a list of one line each would give them."""
    found = {}
    for size in seal_sizes():
        values = [round(nominal[0] * UM_PER_MM) for nominal in size.nominals if nominal is not None]
        found[SizeKey("seal", *values, size.system)] = 1
    return found


def test_a_list_of_the_standard_sizes_answers_as_the_tables_do() -> None:
    readings = {
        "shaft": read(place="shaft", texts=("34.92",)),
        "bore": read(place="bore", texts=("52.02",)),
        "old-width": read(place="old-width", texts=("7.1",)),
    }
    listed = identify(seal_list(keys_of_the_tables(), name="north").family, readings)
    tables = identify(seal_family(), readings)
    assert listed.verdict == tables.verdict
    assert listed.candidates[0].size.label == tables.candidates[0].size.label == "35 x 52 x 7"
    assert listed.candidates[0].probability == pytest.approx(
        tables.candidates[0].probability, abs=0.02
    )


def test_only_what_the_list_has_is_a_candidate() -> None:
    found = seal_list(
        {SEAL: 3, SEAL._replace(system="inch"): 1, SizeKey("seal", 25400, 44450, 6350, "inch"): 2},
        name="north",
    )
    sizes = found.family.sizes
    assert [size.label for size in sizes] == ["1.000 x 1.750 x 0.250 in", "35 x 52 x 7"]
    assert [size.system for size in sizes] == ["inch", "metric"]
    assert sizes[0].source == "list north"
    assert found.lines == 6


def test_every_line_is_of_a_size_or_left_out() -> None:
    sizes = {
        SEAL: 10,
        SEAL._replace(kind=None, width_um=8000): 1,
        SEAL._replace(width_um=None): 2,
        SEAL._replace(shaft_um=60000): 3,
        SizeKey(): 4,
        SizeKey("seal", 1800000, 1900000, 30000, "inch"): 5,
        BEARING: 6,
        SizeKey("other"): 7,
    }
    found = seal_list(sizes, name="north")
    assert (found.lines, found.no_size, found.off_table, found.other_parts) == (11, 9, 5, 13)
    assert found.lines + found.no_size + found.off_table + found.other_parts == sum(sizes.values())


def test_a_list_without_a_seal_is_refused() -> None:
    with pytest.raises(NotKnownError, match="list north: it has no seal with shaft, bore"):
        seal_list({SEAL._replace(width_um=None): 1, BEARING: 1}, name="north")
    with pytest.raises(NotKnownError, match="no tapered bearing"):
        bearing_list({SEAL: 1, BEARING._replace(designation="X 99"): 1}, name="north")


def test_what_is_ruled_out_by_looking_is_no_explanation() -> None:
    def states(bare_shaft: bool) -> set[str]:
        found = seal_list({SEAL: 1}, name="north", bare_shaft=bare_shaft)
        return {rule.state for rule in found.family.places["shaft"].views[0].rules}

    assert states(False) - states(True) == {"earlier-sleeve", "ring-left-on"}


def test_a_designation_brings_its_dimensions_along() -> None:
    found = bearing_list({BEARING: 2}, name="north")
    table = next(size for size in bearing_sizes() if size.label == "30206")
    (size,) = found.family.sizes
    assert size.nominals == table.nominals
    assert size.source.startswith("list north; dimensions: ISO 355")
    assert found.lines == 2


def test_another_bearing_goes_by_its_own_dimensions() -> None:
    found = bearing_list(
        {
            SizeKey("bearing", 41000, 73000, 19000, "metric"): 1,
            SizeKey("bearing", 36000, 70000, None, "metric", "X9911"): 1,
            # A number of the tables with dimensions that are not its own.
            SizeKey("bearing", 33000, 62000, 17000, "metric", "30206"): 1,
        },
        name="north",
    )
    assert sorted(size.label for size in found.family.sizes) == ["30206", "41 x 73 x 19", "X9911"]
    readings = {
        "bore": read(place="bore", texts=("41",)),
        "od": read(place="od", texts=("73",)),
    }
    top = identify(found.family, readings).candidates[0].size
    assert (top.label, list(mark_forms(top))) == ("41 x 73 x 19", [""])
    odd = next(size for size in found.family.sizes if size.label == "30206")
    assert odd.nominals[0] is not None
    assert odd.nominals[0][0] == 33.0
