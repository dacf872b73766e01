"""Parts of described families in texts, and how they cross."""

from __future__ import annotations

from pathlib import Path

import pytest

from fitcheck.lists.describe import Describer
from fitcheck.lists.grades import size_grading
from fitcheck.lists.items import SizeKey
from fitcheck.lists.named_parts import find_part, named_part, part_name, part_pieces
from fitcheck.lists.scan import plain_text
from fitcheck.parts.kind import kind, kind_family, kind_names

NAMED = {
    "O-Ring 45x3 NBR70": "O-ring 45 x 3",
    "O RING 45 X 3,5": "O-ring 45 x 3.5",
    "AS568-214 NBR": "O-ring AS568-214",
    "o-ring 25x3.53": "O-ring AS568-214",
    "O-RING 0.984 X 0.139 IN": "O-ring AS568-214",
    "O-RING 47,3X2,9": "O-ring 47.3 x 2.9",
    "Ball bearing 6205 2RS C3": "deep-groove ball bearing 6205",
    "6205-2RS": "deep-groove ball bearing 6205",
    "BEARING 6205ZZ": "deep-groove ball bearing 6205",
    "NU 205 ECP": "cylindrical roller bearing NU 205",
    "needle bearing HK 2516": "needle bearing HK 2516",
    "NA4905": "needle bearing NA 4905",
    "Circlip 35 DIN 471": "retaining ring DIN 471 - 35 x 1.5",
    "RETAINING RING DIN472 62": "retaining ring DIN 472 - 62 x 2",
    "DIN 471 35": "retaining ring DIN 471 - 35 x 1.5",
    "wrapped bushing 20x23x15": "plain bushing 20 x 23 x 15 wrapped",
    "BUSH 20X26X20": "plain bushing 20 x 26 x 20 solid",
    "FELT RING 40X52X5": "felt ring 40 x 52 x 5",
    "shaft collar 30": "shaft collar DIN 705 - 30 x 45 x 16",
    "U-JOINT 27 X 81.7": "universal-joint cross 27 x 81.7, rings outside",
    "V-RING 40": "axial face seal axial 37.5-42.5",
    "Cassette seal 100x130x16": "unitised seal 100 x 130 x 16 cassette",
}


@pytest.mark.parametrize(("text", "name"), NAMED.items())
def test_a_part_is_named(text: str, name: str) -> None:
    found = find_part(plain_text(text))
    assert found is not None
    assert found.name == name
    fields = Describer().read(text).fields()
    assert (fields["kind"], fields["designation"]) == ("other", name)
    assert fields["shaft_um"] is None


@pytest.mark.parametrize(
    "text",
    ["OIL SEAL 35x52x7", "HEX BOLT M10 X 30", "O-RING KIT", "TAPER BEARING 32206", "SNAP RING 35"],
)
def test_what_names_no_one_part(text: str) -> None:
    assert find_part(plain_text(text)) is None


def test_a_cassette_seal_is_no_lip_seal() -> None:
    lip = Describer().read("OIL SEAL 100x130x16").fields()
    cassette = Describer().read("UNITISED SEAL 100x130x22").fields()
    assert lip["kind"] == "seal"
    assert cassette["kind"] == "other"
    assert cassette["designation"] == "unitised seal 100 x 130 x 22 unitised"


def test_a_tapered_bearing_stays_one() -> None:
    assert Describer().read("BEARING 32206").fields()["kind"] == "bearing"
    assert Describer().read("BEARING 32206").fields()["designation"] == "32206"


@pytest.mark.parametrize("name", kind_names())
def test_every_listed_size_is_found_by_its_own_name(name: str) -> None:
    for size in kind_family(name).sizes[::7]:
        label = part_name(name, size.label)
        part = named_part(label)
        assert part is not None
        assert (part.family, part.size) == (name, size)


def key(text: str) -> SizeKey:
    fields = Describer().read(text).fields()
    return SizeKey("other", designation=str(fields["designation"]))


@pytest.mark.parametrize(
    ("want", "have", "grade"),
    [
        ("circlip 35 DIN 471", "RETAINING RING DIN471 35X1.5", "same"),
        ("O-RING 45x3", "ORING 45 X 3 FKM", "same-ask"),
        ("BK 2516", "HK 2516", "other-execution"),
        ("6205 2RS", "BALL BEARING 6305", "nothing"),
        ("O-RING 45x3", "O-RING 45x3.5", "nothing"),
    ],
)
def test_grades(want: str, have: str, grade: str) -> None:
    found = size_grading(key(want), key(have))
    assert found.grade == grade
    if kind("oring").ask and "RING 45" in want and grade == "same-ask":
        assert found.questions == ("material and hardness: ask",)


def test_parts_that_can_take_each_others_place_share_a_piece() -> None:
    one, other = "needle bearing BK 2516", "needle bearing HK 2516"
    assert part_pieces(one) & part_pieces(other)
    assert not part_pieces("O-ring 45 x 3") & part_pieces("O-ring 45 x 3.5")


LIST = """part_no,description,price EUR,stock
A1,O-Ring 45x3 NBR70,0.40,50
A3,Ball bearing 6205 2RS,5.10,3
A5,Circlip DIN 471 35x1.5,0.30,40
A9,Cassette seal 100x130x16,22.0,2
A12,Oil seal 100x130x16 NBR,7.20,5
"""


def test_a_page_of_wants_crosses(tmp_path: Path, run: object) -> None:
    supplier, wanted = tmp_path / "list.csv", tmp_path / "wanted.txt"
    supplier.write_text(LIST, encoding="utf-8")
    lines = ["O-RING 45x3, 4 pcs", "6205-2RS", "cassette seal 100x130x16", "oil seal 100x130x16"]
    wanted.write_text("\n".join(lines), encoding="utf-8")
    status, out, err = run("cross", str(wanted), "--file", str(supplier))  # type: ignore[operator]
    assert (status, err) == (0, "")
    blocks = out.split("\n\n")
    assert [
        next(p for p in ("A1 ", "A3 ", "A9 ", "A12 ") if p in block) for block in blocks[:4]
    ] == [
        "A1 ",
        "A3 ",
        "A9 ",
        "A12 ",
    ]
    assert "A9 " not in blocks[3]
    assert "A12 " not in blocks[2]
