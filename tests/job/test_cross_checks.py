"""A digit that slipped on a sheet or in a table of the shop's is a CHECK, and is named."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitcheck.cli.tables import checked
from fitcheck.cli.tables_text import check_text
from fitcheck.errors import DataError
from fitcheck.job import bearing, seal
from fitcheck.job.batch.answer import answers
from fitcheck.job.batch.row import BatchRequest
from fitcheck.job.bearing import BearingRequest
from fitcheck.job.card import job_card
from fitcheck.job.cross_checks import mark_doubts, shop_doubts, tabled_doubts
from fitcheck.job.part.answer import PartRequest
from fitcheck.job.part.answer import answer as part_answer
from fitcheck.job.press.answer import PressRequest
from fitcheck.job.press.answer import answer as press_answer
from fitcheck.job.seal import SealRequest
from fitcheck.job.sheet import parse_sheet
from fitcheck.job.shim.answer import ShimRequest
from fitcheck.job.shim.answer import answer as shim_answer
from fitcheck.parts.bearing import bearing_sizes
from fitcheck.parts.family import Size
from fitcheck.parts.kind import kind
from fitcheck.readings import read
from fitcheck.tables import data_folder

Answer = dict[str, Any]


def shop_row(
    folder: Path, monkeypatch: pytest.MonkeyPatch, name: str, key: str, **cells: str
) -> None:
    """A shop's own table with one row of the shipped one, changed."""
    with open(Path(data_folder(), f"{name}.csv"), encoding="utf-8", newline="") as handle:
        rows = list(csv.DictReader(handle))
    row = next(row for row in rows if row["designation"] == key)
    path = folder / f"{name}.csv"
    path.parent.mkdir(parents=True)
    with path.open("w", encoding="utf-8", newline="") as handle:
        writer = csv.DictWriter(handle, row, lineterminator="\n")
        writer.writeheader()
        writer.writerow(row | cells)
    monkeypatch.setenv("FITCHECK_TABLES", str(folder))


# --- tables ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["bearing", "ball", "roller"])
def test_no_shipped_bearing_is_doubted(name: str) -> None:
    sizes: tuple[Size, ...] = bearing_sizes() if name == "bearing" else kind(name).sizes()
    assert [size.label for size in sizes if tabled_doubts(size, sizes)] == []


@pytest.mark.parametrize(
    ("cells", "readings", "said"),
    [
        ({"bore_mm": "35"}, {"bore": ["35"]}, "its bore, 35 mm, is not that of 30206, which is 30"),
        ({"od_mm": "68"}, {"od": ["68"]}, "its od, 68 mm, is against the series 3DB"),
        ({"width_mm": "71.25"}, {"bore": ["30"]}, "its width, 71.25 mm, is against the series"),
        (
            {"iso355_series": "", "od_mm": "26.2"},
            {"bore": ["30"]},
            "its od, 26.2 mm, is less than that of 30202 of the same series, 35 mm",
        ),
        (
            {"iso355_series": "", "od_mm": "626"},
            {"bore": ["30"]},
            "its od, 626 mm, is more than that of",
        ),
    ],
    ids=["bore", "od", "width", "less", "more"],
)
def test_a_digit_that_slipped_in_a_shop_s_table_of_bearings(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    cells: dict[str, str],
    readings: dict[str, list[str]],
    said: str,
) -> None:
    shop_row(tmp_path / "shop", monkeypatch, "tapered/metric", "30206", **cells)
    found = bearing.answer(BearingRequest(readings=readings, mark=["30206"]))
    assert found["verdict"] == "check"
    assert found["candidates"][0]["designation"] == "30206"
    assert found["candidates"][0]["verdict"] == "check"
    told = next(reason for reason in found["reasons"] if said in reason)
    assert str(tmp_path / "shop" / "tapered" / "metric.csv") in told
    assert "correct it there, and see `fitcheck tables check`" in told


def test_the_check_of_the_tables_tells_of_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop_row(tmp_path / "shop", monkeypatch, "tapered/metric", "30206", od_mm="68")
    found = checked()
    assert not found["sound"]
    text = " ".join(check_text(found).split())
    assert "30206: its od, 68 mm, is against the series 3DB" in text
    assert "Correct them in the shop's folder" in text


def test_a_shop_s_row_that_is_right_is_not_doubted(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop_row(tmp_path / "shop", monkeypatch, "tapered/metric", "30206", note="counted in May")
    assert checked()["shop"]["doubts"] == []
    found = bearing.answer(BearingRequest(readings={"od": ["62"]}, mark=["30206"]))
    assert found["verdict"] == "go"


SLIPPED = {"od_mm": "720"}


def batch_line(**cells: str) -> tuple[str, ...]:
    """The first line of a table's answer about one bearing."""
    text = [f"part,{','.join(cells)}\n", f"bearing,{','.join(cells.values())}\n"]
    return next(answers(iter(text), BatchRequest()))[0]


def both(**cells: str) -> set[str]:
    """The verdicts of the table of readings and of the command on one bearing."""
    mark = [cells["mark"]] if "mark" in cells else []
    readings: dict[str, Any] = {p: [text] for p, text in cells.items() if p != "mark"}
    whole = bearing.answer(BearingRequest(readings=readings, mark=mark))
    return {batch_line(**cells)[4], whole["verdict"]}


@pytest.mark.parametrize(
    ("cells", "verdict"),
    [
        ({"bore": "35", "mark": "30207"}, "check"),
        ({"bore": "40", "od": "80", "width": "19.75"}, "go"),
        ({"bore": "30", "od": "62", "width": "17.25"}, "go"),
    ],
    ids=["slipped", "next", "other"],
)
def test_a_shop_s_row_that_slipped_puts_no_doubt_on_a_shipped_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, cells: dict[str, str], verdict: str
) -> None:
    shop_row(tmp_path / "shop", monkeypatch, "tapered/metric", "30207", iso355_series="", **SLIPPED)
    assert both(**cells) == {verdict}
    assert {said.partition(":")[0] for said in shop_doubts()} == {"30207"}


def test_only_the_shop_s_rows_are_the_shop_s_in_a_folder_of_a_short_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop_row(tmp_path / "a", monkeypatch, "tapered/metric", "30207", iso355_series="", **SLIPPED)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("FITCHECK_TABLES", "a")
    # An "a" stands in the source of every shipped row too.
    assert all("a" in size.source for size in bearing_sizes())
    assert {said.partition(":")[0] for said in shop_doubts()} == {"30207"}
    assert both(bore="40", od="80", width="19.75") == {"go"}


@pytest.mark.parametrize(
    ("mark", "verdict"),
    [("30206", "go"), ("30266", "check"), ("33206", "check"), ("3O2O6", "go")],
    ids=["whole", "another bore", "another part", "worn"],
)
def test_a_table_of_readings_heeds_a_mark_as_the_command_does(mark: str, verdict: str) -> None:
    assert both(bore="30", od="62", width="17.25", mark=mark) == {verdict}


def test_an_inch_bearing_by_its_mark_is_go_in_both() -> None:
    assert both(bore="66.675", mark="39590") == {"go"}


def test_what_is_against_a_series_says_that_it_is_from_memory(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop_row(tmp_path / "shop", monkeypatch, "tapered/metric", "30206", od_mm="68")
    (said,) = shop_doubts()
    assert said.endswith("(ISO 355, from memory)")


def test_a_table_of_readings_says_check_as_the_command_does(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop_row(tmp_path / "shop", monkeypatch, "tapered/metric", "30206", od_mm="68")
    text = ["part,bore,od,mark\n", "bearing,30,68,30206\n"]
    lines = [line for found in answers(iter(text), BatchRequest()) for line in found]
    whole = bearing.answer(BearingRequest(readings={"bore": ["30"], "od": ["68"]}, mark=["30206"]))
    assert whole["verdict"] == "check"
    assert "check" in lines[0]


@pytest.mark.parametrize(
    "wrong",
    [
        ("ball", "6206", {"od_mm": "26"}, "its od, 26 mm, is less than that of 6200"),
        ("ball", "6206", {"bore_mm": "35"}, "its bore, 35 mm, is not that of 6206"),
        ("roller", "NU 206", {"bore_mm": "36"}, "its bore, 36 mm, is not that of NU 206"),
    ],
)
def test_other_rolling_bearings(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    wrong: tuple[str, str, dict[str, str], str],
) -> None:
    name, key, cells, said = wrong
    shop_row(tmp_path / "shop", monkeypatch, f"{name}/sizes", key, **cells)
    found = part_answer(PartRequest(kind=name, mark=[key]))
    assert found["verdict"] == "check"
    assert any(said in reason for reason in found["reasons"])


def test_a_series_that_no_table_knows_is_refused_by_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop_row(tmp_path / "shop", monkeypatch, "ball/sizes", "6206", series="26")
    with pytest.raises(DataError, match=r"6206, series 26: the table ball/series has no such"):
        part_answer(PartRequest(kind="ball", mark=["6206"]))


# --- bearings and seals ---------------------------------------------------------------------------


def test_a_mark_that_no_table_lists_tells_its_bore() -> None:
    found = bearing.answer(BearingRequest(readings={"bore": ["90"]}, mark=["30299"]))
    assert found["verdict"] == "check"
    assert any("the mark 30299 tells a bore of 495 mm" in reason for reason in found["reasons"])


def test_no_ring_of_a_listed_bearing_contradicts_its_own_bore() -> None:
    """The numbers of inch rings may begin as a metric designation does."""
    doubted = []
    for size in bearing_sizes():
        bore = size.nominals[0]
        assert bore is not None
        measured = {"bore": read(place="bore", texts=(f"{bore[0]}",), unit="mm", tool="")}
        rings = dict.fromkeys(size.details[ring] for ring in ("designation", "cone", "cup"))
        doubted += mark_doubts([*rings], measured)
    assert doubted == []


@pytest.mark.parametrize("mark", ["385/382", "39599", "34399", "36699"])
def test_an_inch_ring_that_no_table_lists_tells_no_bore(mark: str) -> None:
    measured = {"bore": read(place="bore", texts=("55",), unit="mm", tool="")}
    assert mark_doubts([mark], measured) == []


def test_a_mark_that_agrees_says_nothing() -> None:
    found = bearing.answer(BearingRequest(readings={"bore": ["30.3"]}, mark=["32006"]))
    assert not any("tells a bore" in reason for reason in found["reasons"])


def test_a_pocket_with_no_room_for_any_listed_width() -> None:
    found = seal.answer(SealRequest(readings={"shaft": ["35"], "bore": ["52"], "pocket": ["5"]}))
    assert found["verdict"] == "no-go"
    said = "the pocket is 5 mm deep, and for this shaft and bore seals are listed 7, 8"
    assert any(said in reason for reason in found["reasons"])
    assert found["next_reading"]["reading"] == "pocket"


def test_an_old_seal_that_is_wider_than_its_pocket() -> None:
    found = seal.answer(
        SealRequest(
            readings={
                "old-lip": ["34"],
                "old-od": ["52.1"],
                "old-width": ["10.2mm@micrometer"],
                "pocket": ["8.1mm@depth-gauge"],
            }
        )
    )
    assert found["verdict"] != "go"
    assert any("pocket" in reason for reason in found["reasons"])
    assert found["next_reading"]["reading"] == "pocket"


def test_a_pocket_that_is_deep_enough_says_nothing() -> None:
    found = seal.answer(SealRequest(readings={"shaft": ["35"], "bore": ["52"], "pocket": ["10.3"]}))
    assert not any("pocket" in reason for reason in found["reasons"])


# --- press fits -----------------------------------------------------------------------------------

COLLAR = {"interface": "60", "outer": "110", "length": "30", "heat_cap": "300C"}


def press(**more: str) -> Answer:
    """A press fit with its two faces measured."""
    return press_answer(PressRequest(**{**COLLAR, **more}))  # type: ignore[arg-type]


@pytest.mark.parametrize("given", [{"fit": "H7/s6"}, {"interference": "0.05"}])
def test_two_diameters_that_agree(given: dict[str, str]) -> None:
    found = press(measured_hole="60.01@bore-gauge", measured_shaft="60.06@micrometer", **given)
    assert found["verdict"] == "go"
    said = "the two diameters make 0.050 mm of interference, which agrees"
    assert said in found["reasons"]
    assert found["read_again"] == []


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"fit": "H7/s6"}, "H7/s6 is 0.023 to 0.072 mm; 60.06 for 60.6 would agree"),
        ({"interference": "0.05"}, "the interference given is 0.05 mm; 60.06 for 60.6"),
    ],
)
def test_two_diameters_that_do_not(given: dict[str, str], said: str) -> None:
    found = press(measured_hole="60.01@bore-gauge", measured_shaft="60.60@micrometer", **given)
    assert found["verdict"] == "check"
    assert said in found["reasons"][0]
    assert found["reasons"][0].endswith("read --measured-hole and --measured-shaft again")
    assert [again["reading"] for again in found["read_again"]] == [
        "measured-hole",
        "measured-shaft",
    ]


def test_one_face_alone_is_held_against_the_interface() -> None:
    found = press(measured_shaft="66.06@micrometer", fit="H7/s6")
    assert found["verdict"] == "check"
    assert "the shaft measures 66.06 mm, which is another part" in found["reasons"][0]
    assert found["reasons"][0].endswith("read --measured-shaft again")
    assert press(measured_shaft="60.06@micrometer", fit="H7/s6")["verdict"] == "go"


def test_on_the_sheet_it_is_named_by_its_keys() -> None:
    sheet = parse_sheet(
        """
        [[press]]
        name = "collar"
        interface = "60"
        outer = "110"
        length = "30"
        fit = "H7/s6"
        heat_cap = "300C"
        measured_hole = ["60.01@bore-gauge", "60.012@bore-gauge"]
        measured_shaft = "60.60@micrometer"
        """
    )
    position = job_card(sheet)["positions"][0]
    assert position["verdict"] == "check"
    assert any(
        r.endswith("read measured_hole and measured_shaft again") for r in position["reasons"]
    )


# --- shims ----------------------------------------------------------------------------------------


def shims(**more: Any) -> Answer:
    """A cap whose gap was measured, with the pack that came out."""
    return shim_answer(ShimRequest(**{"method": "free-gap", "position": "cap", **more}))


@pytest.mark.parametrize(
    ("measured", "fitted", "said"),
    [
        ("6.1", "0.2x3", "would have left 5.5 mm of preload in a gap of 6.1 mm"),
        ("0.61", "2.0x3", "would have left 5.39 mm of end play over a gap of 0.61 mm"),
        ("0.61", "6.0mm", "would have left 5.39 mm of end play over a gap of 0.61 mm"),
    ],
    ids=["gap", "counted", "uncounted"],
)
def test_a_pack_that_can_t_have_filled_its_gap(measured: str, fitted: str, said: str) -> None:
    found = shims(measured=[measured], fitted=fitted, have=["1.0x6", "0.1x10"])
    assert found["verdict"] == "check"
    assert not found["sure"]
    assert said in found["reasons"][0]
    assert "would agree" in found["reasons"][0]
    assert found["next_reading"]["reading"] == "pack"
    assert found["only_after"] == "the pack is counted and measured again, and the gap"


def test_a_pack_measured_against_the_gap_too() -> None:
    """Counted and measured agree, and the gap is against both."""
    found = shims(measured=["6.1"], fitted="0.2x3", pack_measured="0.6@micrometer")
    assert "would have left 5.5 mm of preload" in found["reasons"][0]


def test_a_pack_that_was_a_little_off_is_no_contradiction() -> None:
    found = shims(measured=["0.61@feeler"], fitted="0.2x4", have=["0.1x10", "0.05x4"])
    assert not any("would have left" in reason for reason in found["reasons"])


@settings(max_examples=40, deadline=None, derandomize=True, database=None)
@given(
    um=st.integers(150, 3000),
    method=st.sampled_from(["free-gap", "solder", "end-play"]),
    position=st.sampled_from(["cap", "retainer"]),
)
def test_pack_and_gap_close(um: int, method: str, position: str) -> None:
    """What is expected after the pack is the gap less the pack, however it was found."""
    gap = um / 1000.0
    more: Answer = {"target": "0.05..0.15mm", "fitted": "0.5x4"} if method == "end-play" else {}
    if method == "end-play":
        gap = min(gap, 1.9)
    found = shims(
        method=method, position=position, measured=[f"{gap}mm"], have=["1.0x3", "0.05x40"], **more
    )
    if found["picked_mm"] is None or found["expected_mm"] is None:
        return
    before = found["fitted_mm"] if method == "end-play" else gap
    start = gap if method == "end-play" else 0.0
    assert found["expected_mm"] == pytest.approx(start + found["picked_mm"] - before, abs=1e-3)
