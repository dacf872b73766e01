"""Materials are found by any of their spellings and by no other."""

from __future__ import annotations

from pathlib import Path

import pytest

from fitcheck.errors import InputError
from fitcheck.setup.materials import material, material_names


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("steel", "steel"),
        ("Bearing Steel", "bearing-steel"),
        ("52100", "bearing-steel"),
        ("cast-aluminum", "cast-aluminium"),
        ("cast iron", "grey-iron"),
        (" DUCTILE  iron ", "ductile-iron"),
    ],
)
def test_a_material_by_its_spellings(text: str, name: str) -> None:
    assert material(text).name == name


@pytest.mark.parametrize("text", ["", "kryptonite", "stee"])
def test_an_unknown_material_lists_the_known(text: str) -> None:
    with pytest.raises(InputError) as caught:
        material(text)
    for name in material_names():
        assert name in str(caught.value)


def test_a_value_names_its_source() -> None:
    assert "from memory" in material("steel").source


def test_a_material_goes_with_the_shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = material("steel")
    (tmp_path / "materials").mkdir()
    path = tmp_path / "materials" / "materials.csv"
    path.write_text("name,e_mpa\nsteel,123456\n", encoding="utf-8")
    monkeypatch.setenv("FITCHECK_TABLES", str(tmp_path))
    assert material("steel").e_mpa == 123456.0
    assert "the shop's own table" in material("steel").source
    monkeypatch.delenv("FITCHECK_TABLES")
    assert material("steel") == before
