"""What takes `go` away from a part although one size leads: each a wrong order otherwise."""

from __future__ import annotations

from typing import Any

import pytest

from fitcheck.errors import InputError, NotKnownError
from fitcheck.job.part.answer import PartRequest, answer
from fitcheck.parts.kind import kind_family, narrowed

Texts = dict[str, str]


def ask(kind: str, texts: Texts, *, mark: str = "", **choices: str) -> dict[str, Any]:
    readings = {place: (text,) for place, text in texts.items()}
    marks = (mark,) if mark else ()
    return answer(PartRequest(kind, readings=readings, choices=choices, mark=marks))


RING = {"bore": "25.00@micrometer", "od": "51.995@micrometer", "width": "14.95@micrometer"}


@pytest.mark.parametrize(
    ("kind", "texts", "words", "following"),
    [
        ("circlip", {"shaft": "34.95"}, "the shaft alone names it", "shaft-groove"),
        ("collar", {"shaft": "29.95"}, "the shaft alone names it", "od"),
        ("key", {"shaft": "35"}, "the shaft alone names it", "keyway"),
        ("felt", {"groove": "53.1"}, "the groove alone names it", "shaft"),
        # An agricultural 207 has an inch bore in the same outside and width.
        ("ball", {"bore": "34.93", "od": "72", "width": "17"}, "34.93 mm is 1-3/8 in", "bore"),
        ("ball", {"bore": "1.375in", "od": "72", "width": "17"}, "is 1-3/8 in, and 6207", "bore"),
        ("circlip", {"shaft": "1.375in"}, "no inch retaining ring", "shaft"),
        # Shaft and groove of an inch ring lie inside the limits of the metric one.
        (
            "circlip",
            {"shaft": "34.92@micrometer", "shaft-groove": "32.79"},
            "34.92 mm is 1-3/8 in",
            "mark",
        ),
        ("collar", {"shaft": "1-3/8in"}, "no inch shaft collar", "shaft"),
        # No dimension tells the ribs, nor a drawn cup from needles in a cage.
        ("roller", RING, "the form is open: NU or NJ or NUP or N", "form"),
        ("needle", {"raceway": "20@micrometer", "od": "26", "width": "12"}, "cup or cage", "form"),
        (
            "bushing",
            {"shaft": "19.97@micrometer", "housing": "23.01@bore-gauge", "length": "20"},
            "the form is open: wrapped or solid",
            "old-od",
        ),
        (
            "unitised",
            {"shaft": "99.96@micrometer", "bore": "130.02@bore-gauge", "width": "16.1"},
            "from a table that is made up",
            "mark",
        ),
        ("axial", {"shaft": "80", "width": "9.1"}, "from a table that is made up", "mark"),
    ],
    ids=lambda value: value if isinstance(value, str) else "+".join(value),
)
def test_a_doubt_is_said_with_what_settles_it(
    kind: str, texts: Texts, words: str, following: str
) -> None:
    found = ask(kind, texts)
    assert found["verdict"] == "check"
    assert found["candidates"][0]["verdict"] == "check"
    assert any(words in reason for reason in found["reasons"])
    assert found["next_reading"]["reading"] == following
    assert "every reading holds" not in found["reasons"][0]


@pytest.mark.parametrize("mark", ["7205", "1205", "30205"])
def test_a_number_of_another_kind_is_not_covered_by_its_dimensions(mark: str) -> None:
    found = ask("ball", RING, mark=mark)
    assert found["candidates"][0]["size"] == "6205"
    assert found["verdict"] == "check"
    assert found["next_reading"]["reading"] == "mark"


@pytest.mark.parametrize("mark", ["6205", "6?05", "6205-2RS C3", "620", "205", "6205LB"])
def test_a_number_that_is_worn_or_says_more_stands(mark: str) -> None:
    found = ask("ball", RING, mark=mark)
    assert (found["candidates"][0]["size"], found["verdict"]) == ("6205", "go")


def test_what_a_mark_says_more_is_ordered_with_it() -> None:
    found = ask("ball", RING, mark="6205-2RS N")
    assert found["marked"] == ["2RS (rubber seals on both sides)", "N (groove for a snap ring)"]
    assert any("to be ordered so: 2RS" in reason for reason in found["reasons"])


@pytest.mark.parametrize(
    ("kind", "texts", "choices", "label"),
    [
        ("roller", RING, {"form": "NJ"}, "NJ 205"),
        ("roller", RING, {"form": "N"}, "N 205"),
        (
            "needle",
            {"raceway": "24.99@micrometer", "od": "31.99", "width": "19.95"},
            {"form": "cup"},
            "HK 2520",
        ),
        (
            "bushing",
            {"shaft": "19.97@micrometer", "housing": "23.01@bore-gauge", "length": "20"},
            {"form": "solid"},
            "20 x 23 x 20 solid",
        ),
        (
            "ujoint",
            {"cap": "27", "length": "81.7"},
            {"ring": "outside"},
            "27 x 81.7, rings outside",
        ),
    ],
    ids=["NJ", "N", "cup", "solid", "outside"],
)
def test_a_form_that_was_looked_at_settles_it(
    kind: str, texts: Texts, choices: dict[str, str], label: str
) -> None:
    found = ask(kind, texts, **choices)
    assert (found["candidates"][0]["size"], found["verdict"]) == (label, "go")


def test_ribs_stamped_on_the_ring_are_those_of_the_order() -> None:
    for mark in ("NJ205", "NUP 205", "N 205"):
        found = ask("roller", RING, mark=mark)
        assert found["candidates"][0]["size"].replace(" ", "") == mark.replace(" ", "")
        assert found["verdict"] == "go"


def test_a_raceway_of_another_design_is_no_other_size() -> None:
    found = ask("roller", {**RING, "raceway": "32.00@micrometer"}, form="NU")
    assert (found["candidates"][0]["size"], found["verdict"]) == ("NU 205", "check")
    assert found["findings"][0]["finding"] == "other-design"


def test_a_bore_after_a_stroke_is_no_bore_code() -> None:
    assert ask("ball", {"bore": "22"}, mark="60/22")["candidates"][0]["size"] == "60/22"
    assert ask("ball", {"bore": "110"}, mark="6022")["candidates"][0]["size"] == "6022"


def test_a_form_without_such_a_place_is_refused() -> None:
    with pytest.raises(InputError, match="bore"):
        ask("needle", {"bore": "20", "od": "26", "width": "12"}, form="cage")


def test_a_form_that_no_size_has_is_refused() -> None:
    with pytest.raises(NotKnownError, match="made so"):
        narrowed(kind_family("bushing"), {"form": "woven"})


@pytest.mark.parametrize("kind", ["unitised", "axial", "ujoint"])
def test_what_no_standard_lists_is_said(kind: str) -> None:
    texts = {
        "unitised": {"shaft": "100", "bore": "130"},
        "axial": {"shaft": "80"},
        "ujoint": {"cap": "27"},
    }[kind]
    found = ask(kind, texts)
    assert any("no open standard lists" in reason for reason in found["reasons"])
