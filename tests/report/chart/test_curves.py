"""Curves: their points, the same bytes every time, and SVG that can stand inside a page."""

from __future__ import annotations

import builtins
import re
from typing import Any
from xml.etree import ElementTree as ET

import pytest

from fitcheck.errors import InputError, NotKnownError
from fitcheck.job.oil.answer import OilRequest
from fitcheck.job.oil.answer import answer as oil_answer
from fitcheck.job.shim.answer import ShimRequest
from fitcheck.job.shim.answer import answer as shim_answer
from fitcheck.report.chart.answers import play_points, pressure_points
from fitcheck.report.chart.curves import (
    Curve,
    MoneyChart,
    MoneyPoint,
    PlayChart,
    PressureChart,
    money_chart,
    play_chart,
    pressure_chart,
)

MONEY = MoneyChart(
    points=(MoneyPoint(0.0, 0.0), MoneyPoint(900.0, 0.7, "chosen"), MoneyPoint(2000.0, 0.9)),
    currency="EUR",
    lines=((0.0, 0.0), (900.0, 0.85), (2000.0, 0.97)),
)
PLAY = PlayChart(
    slope=1.0,
    through=(0.8, 0.3),
    measured=(0.8, 0.3),
    chosen=(0.6, 0.1),
    target_mm=(0.025, 0.127),
)


def oil(**given: Any) -> Any:
    """The answer on the oil of a hub of four litres on a 90 mm shaft."""
    return oil_answer(OilRequest(**{"volume": "4l", "shaft": "90", **given}))


def shim(**given: Any) -> Any:
    """The answer on a pack under a cap."""
    usual = {
        "method": "end-play",
        "measured": ("0.30",),
        "fitted": "0.20x3,0.10x2",
        "target": "0.025..0.127mm",
        "position": "cap",
        "have": ("0.20x4",),
    }
    return shim_answer(ShimRequest(**{**usual, **given}))


# --- points --------------------------------------------------------------------------------------


def test_pressure_is_drawn_as_it_is_answered() -> None:
    found = oil(to_temp="80C")
    chart = pressure_points(found)
    assert chart.limit_bar == 0.3
    assert chart.working is not None
    assert chart.working == pytest.approx((80.0, found["pressure_bar"]), abs=1e-4)
    assert [c.name for c in chart.curves] == ["50 % full", "60 % full", "70 % full", "90 % full"]
    # Half full 0.26 bar at 80 C, 70 % 0.34, 90 % 0.95: what the table of the answer says too.
    for curve, row in zip(chart.curves, found["table"], strict=True):
        at_work = [p for t, p in curve.points if t == pytest.approx(80.0, abs=1.0)]
        assert min(at_work) - 0.02 <= row["pressure_bar"] <= max(at_work) + 0.06
        assert curve.points[0] == pytest.approx((20.0, 0.0), abs=1e-9)


def test_a_full_hub_is_drawn_up_to_where_it_is_full() -> None:
    chart = pressure_points(oil(fill="0.99", to_temp="120C"))
    assert max(t for t, _ in chart.curves[-1].points) < 120.0


def test_end_play_lies_on_its_line() -> None:
    chart = play_points(shim())
    assert chart.slope == 1.0
    assert chart.measured == (0.8, 0.3)
    assert chart.chosen == pytest.approx((0.6, 0.1))
    assert chart.target_mm == (0.025, 0.127)
    behind = play_points(shim(position="behind-cup"))
    assert behind.slope == -1.0


def test_a_free_gap_is_a_pack_without_play() -> None:
    chart = play_points(shim(method="free-gap", measured=("0.52@feeler",), fitted="", target=""))
    assert chart.through == (0.52, 0.0)
    assert chart.measured is None
    assert chart.chosen is not None
    assert chart.chosen[1] == pytest.approx(chart.chosen[0] - 0.52)


def test_what_gives_no_chart_is_refused() -> None:
    with pytest.raises(NotKnownError, match="no pressure to draw"):
        pressure_points(oil(vented=True))
    with pytest.raises(NotKnownError, match="no end play to draw"):
        play_points({"method": "drag"})
    with pytest.raises(NotKnownError, match="against the pack"):
        play_points({"method": "end-play", "measured_mm": 0.1, "position": "cap"})
    with pytest.raises(InputError, match="this is no answer of `fitcheck oil`"):
        pressure_points({"from_c": 20, "to_c": 80, "fill_fraction": 7})
    with pytest.raises(InputError, match="this is no answer of `fitcheck shim`"):
        play_points({"method": "end-play", "position": "nowhere"})


# --- pictures ------------------------------------------------------------------------------------

PICTURES = [
    (pressure_chart, pressure_points(oil())),
    (play_chart, PLAY),
    (money_chart, MONEY),
]


@pytest.mark.parametrize(("draw", "chart"), PICTURES, ids=lambda x: getattr(x, "__name__", ""))
def test_a_picture_comes_out_the_same_every_time(draw: Any, chart: Any) -> None:
    assert draw(chart) == draw(chart)
    first = draw(chart, kind="png")
    assert first.startswith(b"\x89PNG\r\n")
    assert first == draw(chart, kind="png")


@pytest.mark.parametrize(("draw", "chart"), PICTURES, ids=lambda x: getattr(x, "__name__", ""))
def test_a_picture_can_stand_inside_a_page(draw: Any, chart: Any) -> None:
    text = draw(chart).decode()
    assert text.startswith("<svg ")
    root = ET.fromstring(text)
    assert root.attrib["role"] == "img"
    assert [child.tag.rpartition("}")[2] for child in root][:2] == ["title", "desc"]
    assert len(root[1].text or "") > 30
    for word in ("DOCTYPE", "metadata", "DejaVu", "<image"):
        assert word not in text
    used = set(re.findall(r"(?:url\(#|href=\"#)([^)\"]+)", text))
    names = re.findall(r' id="([^"]+)"', text)
    assert set(names) == used
    assert len(names) == len(set(names))


def test_two_pictures_share_no_name() -> None:
    one, other = (
        set(re.findall(r' id="([^"]+)"', draw(chart).decode()))
        for draw, chart in (PICTURES[1], PICTURES[2])
    )
    assert one
    assert one & other == set()


def test_no_mark_of_money_is_cut_off_at_the_edge() -> None:
    full = MoneyChart(points=(MoneyPoint(500.0, 0.4), MoneyPoint(27_397.0, 1.0)), currency="EUR")
    root = ET.fromstring(money_chart(full))
    marked = [use for use in root.iter() if use.tag.endswith("}use") and "clip" not in use.attrib]
    (frame,) = [r for r in root.iter() if r.tag.endswith("}rect") and "height" in r.attrib][:1]
    x, y, wide, tall = (float(frame.attrib[k]) for k in ("x", "y", "width", "height"))
    curve = [
        path.attrib["d"]
        for path in root.iter()
        if path.tag.endswith("}path") and "clip-path" in path.attrib
    ][-1]
    last_x, last_y = (float(n) for n in re.findall(r"-?[0-9.]+", curve)[-2:])
    assert x + 2.0 < last_x < x + wide - 2.0
    assert y + 2.0 < last_y < y + tall - 2.0
    assert marked


def test_axes_say_what_they_are_in() -> None:
    assert "gauge pressure, bar" in pressure_chart(PICTURES[0][1]).decode()
    text = money_chart(MONEY).decode()
    for word in ("money in stock, EUR", "jobs complete from stock, %", "chosen", "by line"):
        assert word in text
    assert "end play, mm (below 0: preload)" in play_chart(PLAY).decode()


def test_hostile_words_are_text() -> None:
    name = '<script>x</script> $\\frac{1}{0}$ \x1b & "'
    chart = MoneyChart((MoneyPoint(1.0, 0.5, name),), currency=name, title=name)
    root = ET.fromstring(money_chart(chart))
    assert not [e for e in root.iter() if "script" in e.tag]


@pytest.mark.parametrize(
    ("draw", "chart"),
    [
        (money_chart, MoneyChart(())),
        (money_chart, MoneyChart((MoneyPoint(-1.0, 0.5),))),
        (money_chart, MoneyChart((MoneyPoint(1.0, 1.5),))),
        (play_chart, PlayChart(slope=0.0, through=(0.5, 0.0))),
        (play_chart, PlayChart(slope=1.0, through=(float("nan"), 0.0))),
        (pressure_chart, PressureChart((), 0.3)),
        (pressure_chart, PressureChart((Curve("a", ((0.0, float("inf")),)),), 0.3)),
    ],
)
def test_what_can_not_be_drawn_is_refused(draw: Any, chart: Any) -> None:
    with pytest.raises(InputError):
        draw(chart)


def test_other_kinds_of_pictures_are_refused() -> None:
    with pytest.raises(InputError, match="SVG or as PNG"):
        money_chart(MONEY, kind="gif")


def test_without_matplotlib_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    load = builtins.__import__

    def missing(name: str, *rest: Any) -> Any:
        if name.partition(".")[0] == "matplotlib":
            raise ImportError(name)
        return load(name, *rest)

    monkeypatch.setattr(builtins, "__import__", missing)
    with pytest.raises(NotKnownError, match=r"pip install 'fitcheck\[charts\]'"):
        money_chart(MONEY)
