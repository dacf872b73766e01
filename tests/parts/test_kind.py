"""Families described by their tables: found by folder and module, and whole."""

from __future__ import annotations

import random

import pytest

from fitcheck.errors import NotKnownError, OffTableError
from fitcheck.identify import identify
from fitcheck.parts.family import CLEAN, Family, Size
from fitcheck.parts.kind import kind, kind_family, kind_names
from fitcheck.readings import Reading, reading_of
from fitcheck.tables import table

KINDS = kind_names()


def test_the_families_are_those_with_a_folder_and_a_module() -> None:
    assert set(KINDS) >= {"oring", "bushing", "ball", "roller", "needle", "circlip", "collar"}
    assert set(KINDS) >= {"ujoint", "felt", "axial", "unitised"}
    assert "seal" not in KINDS
    assert "rolling" not in KINDS


def test_an_unknown_family_is_refused_by_name() -> None:
    with pytest.raises(NotKnownError, match=r"sprocket.*oring"):
        kind("sprocket")


@pytest.mark.parametrize("name", KINDS)
def test_a_family_is_whole(name: str) -> None:
    found, family = kind(name), kind_family(name)
    labels = [size.label for size in family.sizes]
    assert len(labels) == len(set(labels)) > 0
    for size in family.sizes:
        assert len(size.nominals) == len(found.dimensions)
        assert size.source
        assert size.series
        assert size.weight > 0.0
        assert list(found.forms(size))
        assert all(form == form.upper() and form.isalnum() for form in found.forms(size))
    assert set(family.places) == {row.text("place") for row in table(f"{name}/bands").rows}
    assert found.words


@pytest.mark.parametrize("name", KINDS)
def test_the_bands_of_a_place_add_up_to_one_and_start_with_the_ordinary(name: str) -> None:
    by_place: dict[str, list[tuple[str, float]]] = {}
    for row in table(f"{name}/bands").rows:
        by_place.setdefault(row.text("place"), []).append((row.text("state"), row.number("prior")))
    for place, bands in by_place.items():
        assert sum(prior for _, prior in bands) == pytest.approx(1.0), place
        assert bands[0][0] == CLEAN, place
    states = {row.text("state") for row in table(f"{name}/bands").rows}
    assert set(kind(name).harmless) <= states
    assert set(kind(name).wears_larger) <= set(by_place)
    assert set(kind(name).states) <= states
    assert all("{size}" in words for words in kind(name).states.values())


def as_made(family: Family, size: Size) -> dict[str, Reading]:
    """Readings in the middle of what every place that the size has shows when nothing is worn."""
    found = {}
    for place in family.places.values():
        view = place.views[0]
        nominal = size.nominals[view.dimension]
        if nominal is not None:
            lower, upper = view.limits(*nominal)
            rule = view.rules[0]
            band = rule.band(nominal_mm=nominal[0], lower_mm=lower, upper_mm=upper)
            middle = (band.low_mm + band.high_mm) / 2.0
            found[place.name] = reading_of(
                place=place.name, value_mm=middle, instrument_name="micrometer"
            )
    return found


@pytest.mark.parametrize("name", KINDS)
def test_sizes_are_found_again_from_every_place_as_made(name: str) -> None:
    family = kind_family(name)
    draw = random.Random(11)
    for size in draw.sample(family.sizes, min(25, len(family.sizes))):
        readings = as_made(family, size)
        found = identify(family, readings)
        # The four forms of a roller bearing share every dimension that all of them have.
        near = [c.size.label for c in found.candidates[:4]]
        assert size.label in near, (size.label, near)


@pytest.mark.parametrize("name", KINDS)
def test_what_is_read_off_the_end_of_a_table_is_refused_or_searched_for(name: str) -> None:
    family = kind_family(name)
    for place in family.places.values():
        smallest, largest = family.span_mm(place.views[0].dimension)
        for value in (smallest * 0.6, largest * 1.4):
            reading = reading_of(place=place.name, value_mm=value)
            try:
                found = identify(family, {place.name: reading})
            except OffTableError:
                continue
            assert sum(c.probability for c in found.candidates) <= 1.0 + 1e-6
