"""`fitcheck tables check`: edits of shipped tables are told, and so is what the shop's rows do."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from fitcheck import table_check, tables
from fitcheck.errors import DataError

Run = Callable[..., tuple[int, str, str]]
ROOT = Path(__file__).parents[2]
SEALS = "shaft_mm,bore_mm,width_mm,membership"


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[str, str], Path]:
    """A folder of the shop's own tables; gives a way to write one."""
    folder = tmp_path / "shop"
    folder.mkdir()
    monkeypatch.setenv("FITCHECK_TABLES", str(folder))

    def write(name: str, text: str) -> Path:
        path = folder / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
        return path

    return write


@pytest.fixture
def copied(tmp_path: Path) -> Path:
    """The shipped tables, to be spoilt."""
    folder = tmp_path / "data"
    shutil.copytree(tables.data_folder(), folder)
    return folder


def asked(run: Run, *words: str) -> dict[str, Any]:
    """What the check answers."""
    status, out, err = run("tables", "check", "--json", *words)
    assert (status, err) == (0, "")
    found: dict[str, Any] = json.loads(out)
    return found


def test_the_manifest_is_that_of_the_tables() -> None:
    done = subprocess.run(
        [sys.executable, str(ROOT / "scripts" / "make_manifest.py"), "--check"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.stderr, done.returncode) == ("", 0)


def test_what_is_as_shipped_is_sound(run: Run) -> None:
    status, out, err = run("tables", "check")
    assert (status, err) == (0, "")
    assert "files as they were shipped" in out
    assert out.endswith("everything is sound\n")
    found = asked(run)
    assert found["sound"] is True
    assert found["shipped"]["files"] > 100
    assert found["shop"] == {"folder": "", "tables": [], "strays": [], "doubts": []}


def test_an_edited_file_is_named(run: Run, copied: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    seals = copied / "seals" / "din3760.csv"
    rows = len(tables.table("seals/din3760").rows)
    seals.write_bytes(seals.read_bytes() + b"35,53,7,trade,,memory,\n")
    (copied / "seals" / "inch.csv").unlink()
    (copied / "seals" / "ours.csv").write_text("a\n", encoding="utf-8")
    ladder = copied / "oil" / "limits.csv"
    ladder = ladder if ladder.is_file() else copied / "instruments" / "instruments.csv"
    ladder.write_bytes(ladder.read_bytes().replace(b"\n", b"\r\n"))
    (copied / "demo" / "winch.toml").write_text("", encoding="utf-8")
    state = table_check.shipped_state(str(copied))
    assert {entry["file"]: entry for entry in state["edited"]} == {
        "seals/din3760.csv": {
            "file": "seals/din3760.csv",
            "rows": rows + 1,
            "shipped": rows,
            "line_ends": False,
        },
        ladder.relative_to(copied).as_posix(): {
            "file": ladder.relative_to(copied).as_posix(),
            "rows": state["edited"][0]["rows"],
            "shipped": state["edited"][0]["shipped"],
            "line_ends": True,
        },
    }
    assert (state["missing"], state["added"]) == (["seals/inch.csv"], ["seals/ours.csv"])
    monkeypatch.setattr(table_check, "data_folder", lambda: str(copied))
    out = run("tables", "check")[1]
    assert f"seals/din3760.csv: edited: {rows + 1} rows, {rows} were shipped" in out
    assert "only its line ends were changed" in out
    assert "seals/inch.csv: missing" in out
    assert "seals/ours.csv: not one of the shipped files" in out
    assert "FITCHECK_TABLES" in out
    assert out.endswith("not everything is as it should be\n")


@pytest.mark.parametrize("text", [None, "", "[]", '{"a": 1}', '{"a": {"sha256": 1}}'])
def test_a_manifest_that_can_not_be_read(copied: Path, text: str | None) -> None:
    path = copied / "manifest.json"
    path.unlink() if text is None else path.write_text(text, encoding="utf-8")
    with pytest.raises(DataError, match="Install the program again"):
        table_check.shipped_state(str(copied))


def test_rows_that_replace_add_and_do_nothing(run: Run, shop: Callable[..., Path]) -> None:
    row = tables.table("instruments/instruments").rows[0]
    same = f"{row.text('instrument')},{row.text('uncertainty_mm')}"
    shop("instruments/instruments.csv", f"instrument,uncertainty_mm\n{same}\ncaliper,0.01\n")
    shop("seals/din3760.csv", f"{SEALS}\n35,53,7,trade\n")
    found = asked(run)
    assert found["sound"] is True
    instruments, seals = found["shop"]["tables"]
    assert [entry["key"] for entry in instruments["same"]] == [[row.text("instrument")]]
    (replaced,) = instruments["replaces"]
    assert replaced["key"] == ["caliper"]
    assert replaced["changes"]["uncertainty_mm"][1] == "0.01"
    assert [entry["key"] for entry in seals["adds"]] == [["35", "53", "7"]]
    out = " ".join(run("tables", "check")[1].split())
    assert "1 replacing a shipped row, 1 just as shipped, so not needed" in out
    assert "line 3, caliper: uncertainty_mm 0.01 for " in out


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("instruments/instruments.csv", "instrument,tape\na,b\n", "tape: not a column"),
        ("instruments/instruments.csv", "uncertainty_mm\n1\n", "instrument: part of the key"),
        ("instruments/instruments.csv", "instrument\na,b\n", "line 2: 2 cells for 1 columns"),
        ("instruments/instruments.csv", "instrument,uncertainty_mm\ntape,x\n", "x is no number"),
        ("instruments/instruments.csv", "instrument,uncertainty_mm\ntape,nan\n", "is no number"),
        ("instruments/instruments.csv", "instrument\ntape\ntape\n", "the same key as line 2"),
        ("instruments/instruments.csv", "instrument,instrument\na,b\n", "there twice"),
        ("seals/din3760.csv", f"{SEALS}\n35.0,52,7,trade\n", "is written 35, 52, 7"),
        ("seals/din3760.csv", f"{SEALS}\n35,52,-7,trade\n", "-7 is below 0"),
        ("instruments/instruments.csv", "instrument\nlaser\n", "for a row of its own it lacks"),
        ("instruments/instrument.csv", "a\n", "the nearest is instruments/instruments.csv"),
    ],
)
def test_what_is_wrong_with_a_row(
    run: Run, shop: Callable[..., Path], name: str, text: str, said: str
) -> None:
    shop(name, text)
    out = " ".join(run("tables", "check")[1].split())
    assert said in out
    assert asked(run)["sound"] is False


def test_a_row_whose_shipped_row_changed_or_went_is_told(
    run: Run, shop: Callable[..., Path], tmp_path: Path
) -> None:
    shop("instruments/instruments.csv", "instrument,uncertainty_mm\ncaliper,0.01\n")
    shop("seals/din3760.csv", f"{SEALS}\n35,52,7,trade\n")
    assert run("tables", "check", "--note")[0] == 0
    assert asked(run)["sound"] is True
    # The next version brings another caliper and no longer has the seal.
    note = tmp_path / "shop" / "replaced.json"
    noted = json.loads(note.read_text(encoding="utf-8"))
    noted["instruments/instruments"][0]["uncertainty_mm"] = "0.03"
    noted["seals/din3760"][0]["bore_mm"] = "53"
    note.write_text(json.dumps(noted), encoding="utf-8")
    shop("seals/din3760.csv", f"{SEALS}\n35,53,7,trade\n")
    out = " ".join(run("tables", "check")[1].split())
    assert "caliper: the shipped row has changed since it was noted: uncertainty_mm" in out
    assert "35, 53, 7: the shipped row that it replaced is gone" in out
    run("tables", "check", "--note")
    assert asked(run)["sound"] is True


def test_a_note_needs_a_folder_and_a_folder_must_be_there(
    run: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    status, out, err = run("tables", "check", "--note")
    assert (status, out) == (2, "")
    assert "Name it in FITCHECK_TABLES" in err
    monkeypatch.setenv("FITCHECK_TABLES", str(tmp_path / "nowhere"))
    status, out, err = run("tables", "check")
    assert (status, out) == (1, "")
    assert "there is no such folder" in err


def test_files_that_can_not_be_read(run: Run, shop: Callable[..., Path]) -> None:
    path = shop("instruments/instruments.csv", "instrument\n")
    path.write_bytes(b"instrument\n\xff\n")
    assert "Save it as CSV, UTF-8" in run("tables", "check")[2]
    shop("instruments/instruments.csv", "instrument\n")
    shop("replaced.json", "[")
    assert "Remove it and run" in run("tables", "check")[2]
