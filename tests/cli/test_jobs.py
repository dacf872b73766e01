"""`fitcheck jobs`: what did we fit last time?"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

Run = Callable[..., tuple[int, str, str]]
WINCH, TRAILER = "data/demo/winch.toml", "data/demo/trailer.toml"


def test_a_sheet_is_kept_and_found_again(run: Run, shop: str) -> None:
    status, out, err = run("jobs", "keep", WINCH)
    assert (status, err) == (0, "")
    assert "kept as card 1" in " ".join(out.split())
    run("jobs", "keep", TRAILER)
    status, out, err = run("jobs", "find", "mooring", "--position", "drum-side seal")
    assert (status, err) == (0, "")
    assert out.startswith("1: 2026-03-09 ")
    assert "drum-side seal (seal): 90 x 120 x 12, check; thin sleeve 90.00 x 20" in out
    assert "trailer" not in out


def test_a_card_from_the_main_job_is_the_same_card(run: Run, shop: str) -> None:
    card = run("hub", WINCH, "--json")[1]
    assert json.loads(run("jobs", "keep", "-", "--json", stdin=card)[1]) == {"id": 1, "new": True}
    assert json.loads(run("jobs", "keep", WINCH, "--json")[1]) == {"id": 1, "new": False}
    assert "was kept before as card 1" in " ".join(run("jobs", "keep", WINCH)[1].split())
    assert run("jobs", "show", "1", "--json")[1] == card
    assert run("jobs", "show", "1")[1] == run("hub", WINCH)[1]


def test_found_cards_as_json(run: Run, shop: str) -> None:
    run("jobs", "keep", WINCH)
    found = json.loads(run("jobs", "find", "--size", "90x120", "--json")[1])["cards"]
    assert [one["id"] for one in found] == [1]
    assert [one["pick"] for one in found[0]["positions"]] == ["90 x 120 x 12"]
    assert found[0]["positions"][0]["parts"][0] == {"what": "thin sleeve", "size": "90.00 x 20"}
    assert json.loads(run("jobs", "find", "--machine", "crane", "--json")[1]) == {"cards": []}


def test_nothing_was_kept_yet(run: Run, shop: str, tmp_path: Path) -> None:
    assert run("jobs", "find", "winch") == (0, "No kept card is like that.\n", "")
    status, _, err = run("jobs", "show", "1")
    assert status == 1
    assert "there is no store there yet" in err
    assert not (tmp_path / "shop").exists()


@pytest.mark.parametrize(
    "words",
    [
        ("jobs", "find"),
        ("jobs", "show", "1"),
        ("lists", "show"),
        ("lists", "show", "north"),
        ("lists", "export", "north"),
        ("lists", "remove", "north"),
        ("lists", "add", "north", "-", "--preview"),
        ("store", "info", "--check"),
        ("store", "backup", "shop.backup"),
        ("cross", "-", "--all"),
        ("seal", "--shaft", "34.92", "--bore", "52.02"),
        ("hub", WINCH),
    ],
    ids=" ".join,
)
def test_reading_makes_no_database(run: Run, tmp_path: Path, words: tuple[str, ...]) -> None:
    # Without FITCHECK_DATABASE, in a user's folder that is empty.
    status, _, _ = run(*words, stdin="no;size\n0012;35x52x7\n")
    assert status in (0, 1)
    assert list(tmp_path.iterdir()) == []


def test_a_number_that_is_not_there(run: Run, shop: str) -> None:
    run("jobs", "keep", WINCH)
    status, _, err = run("jobs", "show", "7")
    assert status == 1
    assert "7: no card was kept under that number" in err


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('{"job": 1', "this is no JSON"),
        ("{}", "a job card has job, verdict, positions and parts"),
        ("[job]\nfrobnicate = 1\n", "frobnicate"),
    ],
)
def test_what_is_no_card_is_not_kept(
    run: Run, shop: str, text: str, words: str, tmp_path: Path
) -> None:
    status, out, err = run("jobs", "keep", "-", stdin=text)
    assert (status, out) == (2, "")
    assert words in err


def test_a_size_that_is_none_is_wrong_usage(run: Run, shop: str) -> None:
    run("jobs", "keep", WINCH)
    status, _, err = run("jobs", "find", "--size", "90 x many x 12")
    assert status == 2
    assert err.startswith("fitcheck: ")


def test_several_words_need_no_quotes(run: Run, shop: str) -> None:
    run("jobs", "keep", WINCH)
    status, out, _ = run("jobs", "find", "winch", "leaking")
    assert status == 0
    assert "mooring winch 2" in out
    assert run("jobs", "find", "winch", "crane")[1] == "No kept card is like that.\n"
