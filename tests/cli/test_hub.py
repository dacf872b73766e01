"""`fitcheck hub`: from a bench sheet to a job card, on the terminal."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from fitcheck.job.sheet import parse_sheet

Run = Callable[..., tuple[int, str, str]]
DEMO = Path(__file__).parents[2] / "data" / "demo"
SEAL = '[[seal]]\nname = "inner seal"\nshaft = "34.95"\nbore = "52.02"\nold_width = "7"\n'


@pytest.mark.parametrize(
    ("name", "verdict"), [("trailer", "NO-GO"), ("drum", "CHECK"), ("winch", "NO-GO")]
)
def test_a_demo_sheet_becomes_a_card(run: Run, name: str, verdict: str) -> None:
    status, out, err = run("hub", str(DEMO / f"{name}.toml"))
    assert (status, err) == (0, "")
    assert max(len(line) for line in out.splitlines()) <= 80
    assert "JOB CARD  " in out
    assert f"\nVerdict: {verdict}\n" in out


@pytest.mark.parametrize("name", ["trailer", "drum", "winch"])
def test_json_is_one_object_with_the_promised_keys(run: Run, name: str) -> None:
    status, out, err = run("hub", str(DEMO / f"{name}.toml"), "--json")
    assert (status, err) == (0, "")
    card = json.loads(out)
    assert set(card) >= {
        "verdict",
        "positions",
        "parts",
        "settings",
        "read_again",
        "cautions",
        "sources",
    }
    for position in card["positions"]:
        assert set(position) >= {"name", "kind", "verdict", "pick", "reasons", "work"}
        found = position["answer"]
        if position["kind"] in ("seal", "bearing"):
            shares = sum(c["probability"] for c in found["candidates"])
            assert shares + found["unlisted"] + found["others"] == pytest.approx(1.0, abs=1e-5)
    for part in card["parts"]:
        assert set(part) >= {"what", "size", "quantity", "for"}


def test_a_card_agrees_with_the_single_command(run: Run) -> None:
    card = json.loads(run("hub", "-", "--json", stdin=SEAL)[1])
    words = ("--shaft", "34.95", "--bore", "52.02", "--old-width", "7", "--json")
    assert card["positions"][0]["answer"] == json.loads(run("seal", *words)[1])


def test_a_sheet_is_read_from_stdin(run: Run) -> None:
    status, out, err = run("hub", "-", stdin=SEAL)
    assert (status, err) == (0, "")
    assert "inner seal  35 x 52 x 7" in out


def test_the_empty_sheet_is_a_sheet(run: Run) -> None:
    status, out, err = run("hub", "--blank")
    assert (status, err) == (0, "")
    assert parse_sheet(out).seal[0].name == "inner seal"
    assert max(len(line) for line in out.splitlines()) <= 100
    status, filled, err = run("hub", "-", stdin=out.replace("bore = []", 'bore = "52.02"', 1))
    assert (status, err) == (0, "")
    assert "JOB CARD" in filled
    assert "read the unworn land" in " ".join(filled.split())


@pytest.mark.parametrize("extra", [(str(DEMO / "drum.toml"),), ("--json",)])
def test_the_empty_sheet_is_asked_for_by_itself(run: Run, extra: tuple[str, ...]) -> None:
    status, out, err = run("hub", "--blank", *extra)
    assert (status, out) == (2, "")
    assert "by itself" in err


@pytest.mark.parametrize(
    ("stdin", "wording"),
    [
        ("", "stdin: the sheet has no position"),
        ("[job", "stdin: this is not readable TOML"),
        (SEAL + 'shafft = "35"', "[[seal]] inner seal shafft: there is no such key here"),
        (SEAL + 'shafft = "35"', "Did you mean shaft?"),
        (SEAL + "pocket = true", "a text or a number is wanted here"),
        (SEAL + 'case = "wood"', "'metal', 'rubber'"),
        (SEAL + SEAL, "two positions have the same name"),
        ('[[seal]]\nname = "\\u001b[31m"\nx = 1', "\\x1b[31m"),
    ],
)
def test_a_bad_sheet_is_one_line_and_status_two(run: Run, stdin: str, wording: str) -> None:
    status, out, err = run("hub", "-", stdin=stdin)
    assert (status, out) == (2, "")
    assert err.startswith("fitcheck: ")
    assert wording in err
    assert len(err.splitlines()) == 1


def test_no_sheet_says_how_to_get_one(run: Run) -> None:
    status, out, err = run("hub")
    assert (status, out) == (2, "")
    assert "fitcheck hub --blank > sheet.toml" in err


def test_a_file_that_cannot_be_read_is_named(run: Run, tmp_path: Path) -> None:
    (tmp_path / "latin.toml").write_bytes(b'[[seal]]\nname = "gr\xf6sse"\n')
    for path, wording in (
        ("missing.toml", "there is no such file"),
        ("", "can't be read as a file"),
        ("latin.toml", "this is not UTF-8 text (byte 19)"),
    ):
        status, out, err = run("hub", str(tmp_path / path))
        assert (status, out) == (2, "")
        assert wording in err
        assert len(err.splitlines()) == 1


def test_one_bad_position_does_not_cost_the_card(run: Run) -> None:
    bad = '[[seal]]\nname = "outer seal"\nshaft = "1,250"\n'
    bad += '[[bearing]]\nname = "outer bearing"\nbore = "30"\nod = "62"\njournal = "29.98"\n'
    status, out, err = run("hub", "-", stdin=SEAL + bad)
    assert (status, err) == (0, "")
    flat = " ".join(out.split())
    assert "inner seal 35 x 52 x 7" in flat
    assert "not answered: shaft 1,250: this can be read as 1.250 or as 1250" in flat
    assert "journal not judged: which member turns, hub or shaft, was not said" in flat
    assert "say which member turns: hub for a hub on a spindle" in flat


def test_no_text_of_the_sheet_moves_the_cursor(run: Run) -> None:
    hostile = '[job]\ntitle = "\\u001b[2J\\u001b]0;x\\u0007"\n' + SEAL.replace(
        "inner seal", "\\u001b[31m" + "n" * 200
    )
    status, out, err = run("hub", "-", stdin=hostile)
    assert (status, err) == (0, "")
    assert "\\x1b[2J" in out
    assert all(c.isprintable() or c == "\n" for c in out)
    assert max(len(line) for line in out.splitlines()) <= 80
