"""The five methods by themselves: what each takes off, and which way a shim works."""

from __future__ import annotations

import inspect
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.errors import DataError, InputError, NotKnownError
from fitcheck.setup import shims
from fitcheck.setup.drag import drag_increase_nm, drag_torque_nm, pull_n
from fitcheck.setup.settings import (
    METHODS,
    POSITIONS,
    nut_steps,
    setting_cautions,
    setting_for,
    setting_limit,
    shim_method,
    shim_position,
    turns_text,
    use_names,
    use_settings,
)

LENGTHS = st.floats(0.01, 5.0)


def test_the_methods_are_strictly_apart() -> None:
    functions = {
        "end-play": shims.end_play_change_mm,
        "free-gap": shims.free_gap_pack_mm,
        "lead": shims.lead_pack_mm,
        "solder": shims.solder_pack_mm,
        "drag": drag_increase_nm,
    }
    assert set(functions) == set(METHODS)
    assert len({inspect.getsource(function) for function in functions.values()}) == len(METHODS)
    assert "preload_mm" not in inspect.signature(shims.lead_pack_mm).parameters


def test_what_each_method_takes_off() -> None:
    taken = {name: round(shim_method(name).subtract_mm, 6) for name in METHODS}
    assert taken == {"end-play": 0, "free-gap": 0.1, "lead": 0, "solder": 0.127, "drag": 0}


@given(LENGTHS)
def test_one_thickness_gives_three_packs(thickness: float) -> None:
    thickness += 0.2
    free = shims.free_gap_pack_mm(gap_mm=thickness, preload_mm=0.10)
    solder = shims.solder_pack_mm(crushed_mm=thickness, preload_mm=0.127)
    lead = shims.lead_pack_mm(pieces_mm=[thickness])
    assert solder < free < lead
    assert lead == thickness


@pytest.mark.parametrize("position", POSITIONS)
@given(measured=LENGTHS, target=LENGTHS)
def test_the_changed_pack_gives_the_target(position: str, measured: float, target: float) -> None:
    side = shim_position(position).adding_gives
    out = shims.end_play_change_mm(measured_mm=measured, target_mm=target)
    added = shims.pack_change_mm(end_play_out_mm=out, adding_gives=side)
    after = shims.end_play_after_mm(measured_mm=measured, pack_added_mm=added, adding_gives=side)
    assert after == pytest.approx(target, abs=1e-12)


@pytest.mark.parametrize(
    ("position", "added"),
    [("cap", -0.2), ("retainer", -0.2), ("spacer", -0.2), ("behind-cup", 0.2)],
)
def test_where_the_shim_sits_decides(position: str, added: float) -> None:
    side = shim_position(position).adding_gives
    assert shims.pack_change_mm(end_play_out_mm=0.2, adding_gives=side) == added


@pytest.mark.parametrize("value", [-0.2, 0.0, 0.05, 0.1])
def test_a_gap_no_wider_than_the_preload_is_refused(value: float) -> None:
    with pytest.raises(InputError, match="negative" if value < 0 else "no larger than"):
        shims.free_gap_pack_mm(gap_mm=value, preload_mm=0.1)
    with pytest.raises(InputError, match="negative" if value < 0 else "no larger than"):
        shims.solder_pack_mm(crushed_mm=value, preload_mm=0.1)


def test_just_over_the_preload_a_pack_is_left() -> None:
    assert shims.free_gap_pack_mm(gap_mm=0.101, preload_mm=0.1) == pytest.approx(0.001)


@pytest.mark.parametrize("pieces", [[], [1.2, 0.0], [-1.0]])
def test_lead_without_thickness_is_refused(pieces: list[float]) -> None:
    with pytest.raises(InputError, match="a crushed piece of lead has a thickness"):
        shims.lead_pack_mm(pieces_mm=pieces)


@given(st.floats(10, 500), st.floats(1, 1000))
def test_pull_and_torque_undo_each_other(radius: float, pull: float) -> None:
    torque = drag_torque_nm(pull_n=pull, radius_mm=radius)
    assert pull_n(torque_nm=torque, radius_mm=radius) == pytest.approx(pull)


@pytest.mark.parametrize(("pull", "radius"), [(0, 100), (-1, 100), (10, 0), (10, -5)])
def test_pull_and_radius_are_larger_than_zero(pull: float, radius: float) -> None:
    with pytest.raises(InputError, match="larger than zero"):
        drag_torque_nm(pull_n=pull, radius_mm=radius)


def test_a_base_drag_is_part_of_the_torque() -> None:
    assert drag_increase_nm(torque_nm=5.0, base_nm=5.0) == 0.0
    with pytest.raises(InputError, match="larger than the whole"):
        drag_increase_nm(torque_nm=5.0, base_nm=5.001)
    with pytest.raises(InputError, match="can't be negative"):
        drag_increase_nm(torque_nm=5.0, base_nm=-0.1)
    with pytest.raises(InputError, match="larger than zero"):
        pull_n(torque_nm=5.0, radius_mm=0.0)


def growth(**changes: float | str) -> float:
    values: dict[str, float | str] = {
        "span_mm": 100.0,
        "housing_alpha": 21.5e-6,
        "shaft_alpha": 11.7e-6,
        "warmer_k": 60.0,
        "mounting": "face-to-face",
    }
    return shims.end_play_growth_mm(**(values | changes))  # type: ignore[arg-type]


def test_heat_works_against_the_two_mountings_the_other_way_round() -> None:
    assert growth() == pytest.approx(0.0588)
    assert growth(mounting="back-to-back") == pytest.approx(-0.0588)
    assert growth(warmer_k=-60.0) == pytest.approx(-0.0588)
    assert growth(housing_alpha=11.7e-6) == 0.0
    assert growth(span_mm=0.5) == pytest.approx(0.0588 / 200.0)


def test_heat_needs_a_span_and_a_mounting() -> None:
    with pytest.raises(InputError, match="span"):
        growth(span_mm=0.0)
    with pytest.raises(InputError, match="how the pair is mounted"):
        growth(mounting="")


# --- look-ups ------------------------------------------------------------------------------------


def test_new_and_used_are_asked_for_only_where_they_differ() -> None:
    assert setting_for(use="crane-wheel-hub", method="drag").low == 6.0
    assert setting_for(use="loader-hub", method="drag", condition="used").as_written == (
        "6 to 12 lbf.ft"
    )
    with pytest.raises(InputError, match=r"new 15 to 20 lbf.ft, used 6 to 12 lbf.ft"):
        setting_for(use="loader-hub", method="drag")


def test_an_unknown_use_is_answered_with_the_list() -> None:
    with pytest.raises(NotKnownError) as refused:
        use_settings("wheel")
    assert all(name in str(refused.value) for name in use_names())


@pytest.mark.parametrize(
    ("use", "method", "words"),
    [
        ("trailer-wheel", "drag", "set by end play"),
        ("kingpin-cap", "end-play", "set by drag"),
        ("scraper-steer-wheel", "drag", "set by the torque of its nut"),
    ],
)
def test_a_use_is_not_set_by_a_method_it_has_no_range_for(
    use: str, method: str, words: str
) -> None:
    with pytest.raises(InputError, match=words):
        setting_for(use=use, method=method)


def test_a_range_for_new_bearings_is_not_taken_for_used_ones(
    tmp_path: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    from pathlib import Path

    folder = Path(str(tmp_path)) / "settings"
    folder.mkdir()
    (folder / "uses.csv").write_text(
        "use,words,method,condition,reckoned,position,low,high,unit\n"
        "our-hub,our own hub,drag,new,total,,5,8,N.m\n",
        encoding="utf-8",
    )
    monkeypatch.setenv("FITCHECK_TABLES", str(tmp_path))
    assert setting_for(use="our-hub", method="drag", condition="new").high == 8.0
    with pytest.raises(NotKnownError, match="for new bearings only"):
        setting_for(use="our-hub", method="drag", condition="used")


def test_names_that_are_not_there_are_refused() -> None:
    with pytest.raises(InputError, match="no such method"):
        shim_method("wire")
    with pytest.raises(InputError, match="no such place"):
        shim_position("flange")
    with pytest.raises(DataError, match="no such limit"):
        setting_limit("nothing")
    assert nut_steps("kingpin-cap") == ()


def test_cautions_that_always_hold_come_last() -> None:
    alone, more = setting_cautions(), setting_cautions("solder")
    assert more[-len(alone) :] == alone
    assert len(more) == len(alone) + 1


def test_a_zero_of_a_limit_is_no_blank(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "settings").mkdir()
    path = tmp_path / "settings" / "limits.csv"
    path.write_text("name,value,low,high\nroom_c,20,0,\nshim_most_mm,,0,4\n", encoding="utf-8")
    monkeypatch.setenv("FITCHECK_TABLES", str(tmp_path))
    room = setting_limit("room_c")
    assert (room.value, room.low, room.high) == (20.0, 0.0, 20.0)
    most = setting_limit("shim_most_mm")
    assert (most.low, most.high) == (0.0, 4.0)
    path.write_text("name,value,low,high\nroom_c,,15,\n", encoding="utf-8")
    monkeypatch.setenv("FITCHECK_TABLES", f"{tmp_path}/.")
    with pytest.raises(DataError, match="column high of table settings/limits"):
        setting_limit("room_c")


def test_the_caution_of_drag_has_the_turns_of_the_table() -> None:
    (caution,) = [text for text in setting_cautions("drag") if "while it turns" in text]
    assert caution.endswith(f"{turns_text()}.")
