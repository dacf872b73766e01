"""`fitcheck draw` and `fitcheck chart`: files whole or not at all, and clear refusals."""

from __future__ import annotations

import importlib.machinery
import importlib.util
import json
import os
from collections.abc import Callable
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from fitcheck.cli import pictures
from fitcheck.cli.pictures import file_names

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "data" / "demo"
Run = Callable[..., tuple[int, str, str]]


def test_a_seal_goes_to_stdout_or_to_a_file(run: Run, tmp_path: Path) -> None:
    status, out, err = run("draw", "seal", "--size", "35 x 52 x 7")
    assert (status, err) == (0, "")
    assert ET.fromstring(out).tag.endswith("svg")
    target = tmp_path / "seal.svg"
    done = run("draw", "seal", "--size", "35 x 52 x 7", "-o", str(target))
    assert done == (0, "", "")
    assert target.read_text(encoding="utf-8") == out
    assert os.listdir(tmp_path) == ["seal.svg"]


def test_readings_are_averaged_and_the_groove_is_half_the_difference(run: Run) -> None:
    _, out, _ = run(
        *("draw", "seal", "--size", "90x120x12", "--land", "89.98@micrometer"),
        *("--land", "90.00@micrometer", "--track", "89.60", "--sleeve", "auto"),
    )
    assert ">groove 0.195<" in out
    assert "Sleeve: 90.00 x 20." in out


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("--track", "34.7"), "Give --land with it"),
        (("--land", "34.7", "--track", "34.9"), "no larger than its land"),
        (
            ("--land", "34.9", "--track", "34.7", "--groove-depth", "0.1"),
            "leave --groove-depth out",
        ),
        (("--sleeve", "auto"), "Give --land, or name the sleeve"),
        (("--pocket", "9 furlongs"), "--pocket"),
        (("--pocket", "0"), "--pocket"),
        (("--move", "deep"), "deep"),
        (("-o", "seal.pdf"), "ends in .svg"),
        (("-o", "nowhere/seal.svg"), "no file can be written there"),
    ],
)
def test_what_can_not_be_understood_is_wrong_usage(
    run: Run, words: tuple[str, ...], message: str
) -> None:
    status, out, err = run("draw", "seal", "--size", "35 x 52 x 7", *words)
    assert (status, out) == (2, "")
    assert message in err
    assert len(err.splitlines()) == 1


def test_what_speaks_against_the_size_is_said_or_refused(run: Run) -> None:
    size = ("draw", "seal", "--size", "90 x 120 x 12")
    status, out, err = run(*size, "--land", "45")
    assert (status, out) == (2, "")
    assert "a seal for a shaft of 90 mm does not run on it" in err
    status, out, err = run(*size, "--land", "89.5")
    assert status == 0
    said = "Check: the land of Ø89.5 mm is outside 89.78 mm to 90 mm, the limits of its shaft."
    assert err == f"fitcheck: {said}\n"
    assert f'data-text="{said}"' in out


def test_a_bare_length_beside_inches_is_a_question(run: Run) -> None:
    size = ("draw", "seal", "--size", "1.375 x 2.125 x 0.313 in")
    status, _, err = run(*size, "--land", "1.374")
    assert status == 2
    assert "this can be read as 1.374mm or as 1.374in" in err
    assert run(*size, "--land", "1.374in")[0] == 0
    assert run(*size, "--land", "1.374", "--unit", "in")[0] == 0
    status, _, err = run("draw", "shims", "--pack", "0.010inx2,0.004x3")
    assert status == 2
    assert "this can be read as 0.004mm or as 0.004in" in err
    status, out, _ = run("draw", "shims", "--pack", "0.010inx2")
    assert status == 0
    assert "Dimensions in inches." in out
    status, out, _ = run("draw", "shims", "--pack", "0.20=0.30x2")
    assert status == 0
    assert "a shim labelled 0.2 mm measures 0.3 mm" in out


@pytest.mark.parametrize("sleeve", ["auto", "99 x 9"])
def test_a_sleeve_that_is_not_there_is_said(run: Run, sleeve: str) -> None:
    status, _, err = run("draw", "seal", "--size", "7 x 16 x 7", "--land", "7", "--sleeve", sleeve)
    assert status == 1
    assert "no listed sleeve" in err


def test_a_bearing_and_a_pair(run: Run) -> None:
    status, out, _ = run("draw", "bearing", "30206")
    assert status == 0
    assert "Tapered bearing 30206" in out
    status, out, _ = run(
        "draw", "bearing", "30206", "32208", "--position", "cap", "--pack", "0.10x2,0.20"
    )
    assert status == 0
    assert ">shims 0.4<" in out


@pytest.mark.parametrize(
    ("words", "status", "message"),
    [
        (("99999",), 1, "no listed bearing is called so"),
        (("30206", "30206", "30206"), 2, "one bearing, or the two of a pair"),
        (("30206", "--position", "cap"), 2, "Name both bearings"),
        (("30206", "32208", "--pack", "0.1"), 2, "where the shims sit is not said"),
        (("30206", "32208", "--position", "cap", "--pack", "x"), 2, "--pack"),
    ],
)
def test_what_is_no_bearing_or_pair_is_refused(
    run: Run, words: tuple[str, ...], status: int, message: str
) -> None:
    found, out, err = run("draw", "bearing", *words)
    assert (found, out) == (status, "")
    assert message in err


def test_a_pack_and_the_places(run: Run) -> None:
    status, out, _ = run("draw", "shims", "--pack", "0.20=0.198x2,0.05", "--position", "retainer")
    assert status == 0
    assert "2 x 0.198, labelled 0.2" in out
    assert ">retainer flange<" in out
    assert "Thickest next to the flange" in out
    status, out, _ = run("draw", "places", "--panel", "gap")
    assert status == 0
    assert ">measured<" in out
    assert ">old_lip<" not in out


def test_a_sheet_is_drawn_position_by_position(run: Run, tmp_path: Path) -> None:
    folder = tmp_path / "drawings"
    status, out, err = run("draw", "sheet", str(DEMO / "winch.toml"), "-o", str(folder))
    assert (status, err) == (0, "")
    names = sorted(os.listdir(folder))
    assert "drum-side-seal.svg" in names
    assert "bearings-together.svg" in names
    for name in names:
        assert ET.parse(folder / name).getroot().tag.endswith("svg")
        assert str(folder / name) in out
    assert "not decided, so not drawn: brake-side seal" in out


def test_a_sheet_of_pivots_is_drawn_and_says_which_is_not_decided(run: Run, tmp_path: Path) -> None:
    sheet, folder = tmp_path / "pivots.toml", tmp_path / "drawings"
    sheet.write_text(
        '[[pivot]]\nname = "left"\nupper.mark = "30206"\nlower.mark = "32206"\n'
        '[[pivot]]\nname = "right"\nupper.mark = "30206"\nlower.bore = "40"\n',
        encoding="utf-8",
    )
    status, out, err = run("draw", "sheet", str(sheet), "-o", str(folder))
    assert (status, err) == (0, "")
    assert os.listdir(folder) == ["left.svg"]
    assert "not decided, so not drawn: right" in out


def test_a_sheet_is_drawn_whole_or_not_at_all(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "drawings"
    count = 0

    def failing(path: str) -> object:
        nonlocal count
        count += 1
        if count == 3:
            raise OSError(28, "No space left on device")
        return original(path)

    original = pictures.text_file
    monkeypatch.setattr(pictures, "text_file", failing)
    status, out, err = run("draw", "sheet", str(DEMO / "winch.toml"), "-o", str(folder))
    assert (status, out) == (1, "")
    assert "can't be written to the end (No space left on device)" in err
    assert count == 3
    assert not folder.exists()


def test_names_of_positions_can_not_leave_the_folder(run: Run, tmp_path: Path) -> None:
    sheet = tmp_path / "sheet.toml"
    sheet.write_text(
        '[[seal]]\nname = "../../etc/<b>x"\nshaft = ["35.00"]\nbore = ["52.02"]\n'
        'old_width = "7.05"\nbare_shaft = true\n',
        encoding="utf-8",
    )
    folder = tmp_path / "out"
    status, _, _ = run("draw", "sheet", str(sheet), "-o", str(folder))
    assert status == 0
    assert os.listdir(folder) == ["etc-b-x.svg"]
    assert "<b>" not in (folder / "etc-b-x.svg").read_text(encoding="utf-8")


def test_a_sheet_of_nothing_decided_and_a_place_that_is_none(run: Run, tmp_path: Path) -> None:
    sheet = tmp_path / "sheet.toml"
    sheet.write_text('[[seal]]\nname = "a"\nshaft = ["44.95"]\n', encoding="utf-8")
    status, _, err = run("draw", "sheet", str(sheet), "-o", str(tmp_path / "out"))
    assert status == 2
    assert "nothing to draw" in err
    status, _, err = run("draw", "sheet", str(DEMO / "drum.toml"), "-o", str(sheet))
    assert status == 2
    assert "no folder can be made there" in err


def test_file_names_are_file_names() -> None:
    names = file_names(["", "a/b", "A b", "ünï", "x" * 300, "日" * 100])
    assert list(names.values())[:4] == ["drawing.svg", "a-b.svg", "a-b-2.svg", "ünï.svg"]
    assert all(len(name.encode()) < 80 for name in names.values())


# --- charts --------------------------------------------------------------------------------------


def answer(run: Run, *words: str) -> str:
    """What a command prints with --json."""
    status, out, _ = run(*words, "--json")
    assert status == 0
    return out


CHARTED = [
    ("fit", ("fit", "30", "H7/g6")),
    ("fit", ("fit", "52", "H8", "--measured-hole", "52.02@bore-gauge")),
    ("candidates", ("seal", "--shaft", "34.92", "--bore", "52")),
    ("candidates", ("bearing", "--bore", "25", "--od", "62")),
    ("oil", ("oil", "--volume", "4l", "--shaft", "90")),
    (
        "shim",
        (
            *("shim", "--method", "end-play", "--measured", "0.3", "--fitted", "0.20x4"),
            *("--target", "0.025..0.127mm", "--position", "cap"),
        ),
    ),
]


@pytest.mark.parametrize(("kind", "words"), CHARTED)
def test_an_answer_becomes_a_chart(
    run: Run, tmp_path: Path, kind: str, words: tuple[str, ...]
) -> None:
    text = answer(run, *words)
    status, out, err = run("chart", kind, "-", "--title", "<i>mine</i>", stdin=text)
    assert (status, err) == (0, "")
    root = ET.fromstring(out)
    assert not [e for e in root.iter() if e.tag.endswith("}i")]
    source, target = tmp_path / "answer.json", tmp_path / "chart.svg"
    source.write_text(text, encoding="utf-8")
    done = run("chart", kind, str(source), "--title", "<i>mine</i>", "-o", str(target))
    assert done == (0, "", "")
    assert target.read_text(encoding="utf-8") == out


def test_a_curve_is_a_bitmap_where_the_name_says_so(run: Run, tmp_path: Path) -> None:
    target = tmp_path / "oil.png"
    text = answer(run, "oil", "--volume", "4l", "--shaft", "90")
    assert run("chart", "oil", "-", "-o", str(target), stdin=text) == (0, "", "")
    assert target.read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize(
    ("words", "stdin", "message"),
    [
        (("fit", "-"), "{", "not readable JSON"),
        (("fit", "-"), "[" * 100_000, "not readable JSON"),
        (("fit", "-"), "[1]", "no JSON object"),
        (("fit", "-"), "{}", "no answer of `fitcheck fit`"),
        (("candidates", "-"), "{}", "no answer of `fitcheck seal`"),
        (("oil", "-"), "{}", "no answer of `fitcheck oil`"),
        (("shim", "-"), "{}", "no answer of `fitcheck shim`"),
        (("fit", "-", "-o", "fit.png"), "{}", "ends in .svg"),
        (("oil", "-", "-o", "oil.gif"), "{}", "ends in .svg or .png"),
        (("fit", "nowhere.json"), "", "there is no such file"),
    ],
)
def test_what_is_no_answer_is_wrong_usage(
    run: Run, words: tuple[str, ...], stdin: str, message: str
) -> None:
    status, out, err = run("chart", *words, stdin=stdin)
    assert (status, out) == (2, "")
    assert message in err


def test_a_huge_number_is_refused(run: Run) -> None:
    text = json.dumps({"nominal_mm": 30, "hole": {"class": "H7", "upper_um": 1, "lower_um": 0}})
    status, _, err = run("chart", "fit", "-", stdin=text.replace("30", "1e999"))
    assert status == 2
    assert "no answer" in err


# --- pictures of the documents -------------------------------------------------------------------


def test_the_pictures_are_what_their_commands_draw_and_the_readme_shows_them() -> None:
    loader = importlib.machinery.SourceFileLoader(
        "make_pictures", str(ROOT / "scripts" / "make_pictures")
    )
    spec = importlib.util.spec_from_loader(loader.name, loader)
    assert spec is not None
    script = importlib.util.module_from_spec(spec)
    loader.exec_module(script)
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    shown = " ".join(readme.replace("\\\n", " ").split())
    for name, command in script.COMMANDS.items():
        assert " ".join(command.split()) in shown
        assert f"scripts/pictures/{name}" in readme
    drawn = {*script.COMMANDS, *script.PAGES, *script.SERVED}
    assert all(f"scripts/pictures/{name}" in readme for name in drawn)
    pictures = list((ROOT / "scripts" / "pictures").iterdir())
    assert {picture.name for picture in pictures} == drawn
    assert sum(picture.stat().st_size for picture in pictures) < 700_000
    assert script.wrong_pictures() == []
