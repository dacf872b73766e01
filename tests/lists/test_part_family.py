"""The small parts of a list as sizes to choose from, and what lists offer for them."""

from __future__ import annotations

import pytest

from fitcheck.errors import NotKnownError, OffTableError
from fitcheck.job.part.answer import PartRequest, answer
from fitcheck.lists.items import SizeKey
from fitcheck.lists.named_parts import find_part
from fitcheck.lists.part_family import part_list
from fitcheck.verdicts import CHECK, GO

SEAT = {"shaft": ("99.96@micrometer",), "bore": ("130.02@bore-gauge",)}


def sizes(*texts: str) -> dict[SizeKey, int]:
    """What a list of these descriptions holds."""
    found = {SizeKey("seal", 100000, 130000, 12000, "metric"): 4}
    for text in texts:
        part = find_part(text)
        assert part is not None, text
        found[SizeKey("other", designation=part.name)] = 1
    return found


def asked(kind: str, texts: dict[str, tuple[str, ...]], *lines: str) -> dict[str, object]:
    listed = part_list(sizes(*lines), family=kind, name="q")
    return answer(PartRequest(kind, readings=texts), family=listed.family)


def test_a_list_settles_what_the_made_up_table_can_not() -> None:
    lines = ("CASSETTE SEAL 100X130X16", "UNITISED SEAL 100 X 130 X 22.5")
    found = asked("unitised", {**SEAT, "width": ("22.45",)}, *lines)
    assert found["candidates"][0]["size"] == "100 x 130 x 22.5"
    assert found["candidates"][0]["source"] == "list q"
    assert found["verdict"] == GO


def test_a_plain_seal_of_the_list_is_no_unitised_one() -> None:
    listed = part_list(sizes("CASSETTE SEAL 100X130X16"), family="unitised", name="q")
    assert (listed.lines, listed.other_parts) == (1, 4)
    with pytest.raises(NotKnownError, match="no felt ring"):
        part_list(sizes("CASSETTE SEAL 100X130X16"), family="felt", name="q")


def test_a_list_with_one_of_several_is_not_sure() -> None:
    ring = {"bore": ("25",), "od": ("52",), "width": ("15",)}
    found = asked("roller", ring, "CYLINDRICAL ROLLER BEARING NJ 205")
    assert found["verdict"] == CHECK
    assert any("does not have NU 205" in reason for reason in found["reasons"])
    seats = {"shaft": ("19.97@micrometer",), "housing": ("26.01@bore-gauge",)}
    found = asked("bushing", seats, "BUSHING 20X26X20")
    assert found["verdict"] == CHECK
    assert found["next_reading"]["reading"] == "length"


def test_what_only_the_list_has_is_nothing_else_of_the_tables() -> None:
    """The tables end far below it, and so have nothing else that it could be."""
    found = asked("oring", {"id": ("1200",), "section": ("12",)}, "O-RING 1200X12 NBR70")
    assert found["candidates"][0]["size"] == "1200 x 12"
    assert found["verdict"] == GO
    with pytest.raises(OffTableError):
        answer(PartRequest("oring", readings={"id": ("1200",), "section": ("12",)}))


def test_a_form_the_list_does_not_say_is_asked_for() -> None:
    listed = part_list(sizes("UNITISED SEAL 100 X 130 X 22.5"), family="unitised", name="q")
    request = PartRequest(
        "unitised", readings={**SEAT, "width": ("22.45",)}, choices={"form": "two-part"}
    )
    found = answer(request, family=listed.family)
    assert found["verdict"] == CHECK
    assert any("does not say whether" in reason for reason in found["reasons"])


def test_a_bore_after_a_stroke_is_another_bearing() -> None:
    names = [find_part(text) for text in ("BALL BEARING 618/22", "BALL BEARING 61822")]
    assert [part.name for part in names if part] == [
        "deep-groove ball bearing 618/22",
        "deep-groove ball bearing 61822",
    ]


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("TWO-PART SEAL 100X130X16", "unitised seal 100 x 130 x 16"),
        ("CASSETTE SEAL 100X130X16", "unitised seal 100 x 130 x 16 cassette"),
        ("SEAL CASSETTE SEAL 100X130X22", "unitised seal 100 x 130 x 22"),
        ("BUSH 20X26X20 WRAPPED", "plain bushing 20 x 26 x 20"),
        ("BUSH 20X23X20 WRAPPED", "plain bushing 20 x 23 x 20 wrapped"),
        ("U-JOINT 30.2X92", "universal-joint cross 30.2 x 92, rings outside"),
    ],
)
def test_a_form_that_is_said_is_not_given_to_another(text: str, name: str) -> None:
    part = find_part(text)
    assert part is not None
    assert part.name == name


def test_needles_in_a_cage_are_no_seal() -> None:
    part = find_part("NEEDLE CAGE K 20X26X12")
    assert part is not None
    assert part.name == "needle bearing K 20x26x12"
