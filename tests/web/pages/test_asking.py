"""From a form to an answer: what the commands answer, with nothing lost and nothing hostile."""

from __future__ import annotations

import json
import re

import html5lib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitcheck.cli.common import tidy
from fitcheck.errors import InputError, NotKnownError
from fitcheck.job.sheet import sheet_of
from fitcheck.parts.kind import kind as family
from fitcheck.parts.kind import kind_names
from fitcheck.web.pages.asking import Given, answer_of, given_of_form, given_of_json
from fitcheck.web.pages.bench import answer_html
from fitcheck.web.pages.field import READING
from fitcheck.web.pages.fields import COMMON, KINDS, OTHERS, part
from fitcheck.web.pages.job import Entry, Job, job_of
from fitcheck.web.pages.uploads import Uploads

SEAL = [("shaft", "34.92"), ("bore", "52.02"), ("bore", " "), ("old_width", "7.05")]
CASES = {
    "seal": (SEAL, ["--shaft", "34.92@caliper", "--bore", "52.02@caliper", "--old-width", "7.05"]),
    "bearing": (
        [("bore", "25"), ("bore.tool", "bore-gauge"), ("od", "62"), ("mark", "3030?")],
        ["--bore", "25@bore-gauge", "--od", "62@caliper", "--mark", "3030?"],
    ),
    "sleeve": (
        [("shaft", "89.98"), ("track", "89.6"), ("seal", "90x120x12"), ("pitted", "yes")],
        ["--shaft", "89.98@caliper", "--track", "89.6@caliper", "--seal", "90x120x12", "--pitted"],
    ),
    "press": (
        [
            ("use", "collar"),
            ("interface", "60"),
            ("outer", "90"),
            ("length", "30"),
            ("fit", "H7/s6"),
        ],
        [
            "--use",
            "collar",
            "--interface",
            "60",
            "--outer",
            "90",
            "--length",
            "30",
            "--fit",
            "H7/s6",
        ],
    ),
    "shims": (
        [("method", "free-gap"), ("measured", "0.52"), ("use", "kingpin-cap"), ("position", "cap")],
        ["--method", "free-gap", "--measured", "0.52", "--use", "kingpin-cap", "--position", "cap"],
    ),
    "oil": (
        [("diameter", "180"), ("length", "120"), ("to_temp", "80C"), ("shaft", "90")],
        ["--diameter", "180", "--length", "120", "--to-temp", "80C", "--shaft", "90@caliper"],
    ),
}


def family_case(name):
    """The example of a family's command, as a form and as options."""
    words = family(name).example.split()
    pairs = [
        (flag[2:].replace("-", "_"), text)
        for flag, text in zip(words[::2], words[1::2], strict=True)
    ]
    typed = given_of_form(name, pairs).entry()
    options = [
        word
        for key, texts in typed.items()
        for text in ([texts] if isinstance(texts, str) else texts)
        for word in (f"--{key.replace('_', '-')}", text)
    ]
    return pairs, ["part", name, *options]


CASES |= {name: family_case(name) for name in kind_names()}
PIVOT = [
    ("upper-mark", "30206"),
    ("lower-bore", "30"),
    ("lower-od", "62"),
    ("lower-width", "17.3"),
    ("lower-bore.tool", "bore-gauge"),
    ("method", "drag"),
    ("pull", "24lbf"),
    ("radius", "200"),
    ("use", "kingpin-cap"),
    ("position", "cap"),
]


@pytest.mark.parametrize("kind", [one for one in KINDS if one != "pivot"])
def test_the_page_answers_as_the_command_does(kind, run):
    pairs, words = CASES[kind]
    found = tidy(answer_of(given_of_form(kind, pairs)))
    command = [] if kind in OTHERS else ["shim" if kind == "shims" else kind]
    status, out, _ = run(*command, *words, "--json")
    assert status == 0
    assert found == json.loads(out)


def test_a_pivot_is_answered_as_on_its_card(run, tmp_path):
    typed = given_of_form("pivot", PIVOT)
    assert typed.entry()["upper"] == {"mark": ["30206"]}
    assert typed.entry()["lower"]["bore"] == ["30@bore-gauge"]
    sheet = tmp_path / "pivot.toml"
    sheet.write_text(
        """[[pivot]]
name = "pivot"
unit = "mm"
method = "drag"
pull = ["24lbf"]
radius = ["200@caliper"]
use = "kingpin-cap"
position = "cap"
upper = {mark = ["30206"]}
lower = {bore = ["30@bore-gauge"], od = ["62@caliper"], width = ["17.3@caliper"]}
""",
        encoding="utf-8",
    )
    status, out, _ = run("hub", str(sheet), "--json", "--no-offers")
    assert status == 0
    assert tidy(answer_of(typed)) == json.loads(out)["positions"][0]
    html = answer_html(typed)
    assert "2 x tapered bearing, 30206" in html.replace("\N{NO-BREAK SPACE}", " ")
    assert "4.5 to 6.8" in html.replace("\N{NO-BREAK SPACE}", " ")


def test_no_page_names_an_option_of_a_command():
    """Who types into fields knows no options."""
    refused = [
        ("oil", [("diameter", "180")]),
        ("oil", [("level", "60"), ("fill", "0.5"), ("diameter", "180")]),
        ("shims", [("measured", "0.5")]),
        ("shims", [("method", "end-play"), ("measured", "0.5"), ("use", "kingpin-cap")]),
        ("press", [("interface", "60")]),
        ("seal", [("track", "34.9")]),
        ("seal", [("shaft", "100"), ("bore", "130.02"), ("old_width", "12")]),
        ("bearing", [("bore", "30"), ("journal", "29.98")]),
        ("sleeve", [("track", "34.7")]),
    ]
    for kind_, pairs in refused:
        assert not re.search(
            r"--[a-z]", re.sub(r"<[^>]*>", "", answer_html(given_of_form(kind_, pairs)))
        )
    bare = answer_html(given_of_form("seal", refused[6][1]))
    assert "say so (bare shaft)" in bare.replace("\N{NO-BREAK SPACE}", " ")
    assert any(one.name.startswith("Bare shaft") for one in part("seal").fields)


@pytest.mark.parametrize("kind", KINDS)
def test_every_answer_is_good_html(kind, run):
    pairs = PIVOT if kind == "pivot" else CASES[kind][0]
    for unit in ("mm", "in"):
        html = answer_html(given_of_form(kind, [*pairs, ("unit", unit)]))
        html5lib.HTMLParser(strict=True).parseFragment(html)
        assert " style=" not in html


@pytest.mark.parametrize("kind", COMMON)
def test_every_field_is_one_that_the_answer_knows(kind):
    """A field that nothing reads would be ignored in silence."""
    from fitcheck.job.bearing import PLACES as BEARING
    from fitcheck.job.bearing import SEATS, BearingRequest
    from fitcheck.job.oil.answer import OilRequest
    from fitcheck.job.press.answer import PressRequest
    from fitcheck.job.seal import PLACES, SealRequest
    from fitcheck.job.shim.answer import ShimRequest
    from fitcheck.job.sleeve import SleeveRequest

    requests = {
        "seal": SealRequest,
        "bearing": BearingRequest,
        "sleeve": SleeveRequest,
        "press": PressRequest,
        "shims": ShimRequest,
        "oil": OilRequest,
    }
    places = {"seal": PLACES, "bearing": (*BEARING, *SEATS)}.get(kind, ())
    known = {place.replace("-", "_") for place in places} | set(requests[kind].__annotations__)
    assert {field.key for field in part(kind).fields} <= known
    assert any(field.how == READING for field in part(kind).fields)


def test_what_was_typed_goes_there_and_back():
    typed = given_of_form("seal", [*SEAL, ("name", "inner"), ("shaft.tool", "micrometer")])
    assert typed.entry()["shaft"] == ["34.92@micrometer"]
    assert typed.entry()["bore"] == ["52.02@caliper"]
    assert given_of_json(json.loads(json.dumps(typed.as_json()))) == typed
    own = given_of_form("seal", [("shaft", "34.92@tape")])
    assert own.entry()["shaft"] == ["34.92@tape"]


@pytest.mark.parametrize(
    ("pairs", "rule"),
    [
        ([("case", "gold")], "there is no such choice"),
        ([("shaft", "1")] * 51, "takes 50 values"),
        ([("shaft", "1" * 501)], "500 characters"),
    ],
)
def test_a_form_that_no_page_sends_is_refused(pairs, rule):
    with pytest.raises(InputError, match=rule):
        given_of_form("seal", pairs)


@settings(max_examples=30)
@given(st.text(max_size=40))
def test_whatever_is_typed_the_answer_is_good_html(text):
    html = answer_html(Given("seal", text, "mm", {"shaft": (text,), "mark": (text,)}, {}))
    html5lib.HTMLParser(strict=True).parseFragment(html)
    assert not re.search(r"<(script|img)\b", html)


def test_a_job_becomes_a_sheet():
    job = Job(about={"machine": "winch", "turning": "hub", "csrf_token": "x"})
    for kind in (*KINDS, "seal"):
        pairs = PIVOT if kind == "pivot" else CASES[kind][0]
        job = job.with_entry(Entry(given_of_form(kind, pairs), "go", ""))
    tables = job.tables()
    assert tables["job"] == {"machine": "winch", "turning": "hub"}
    assert [entry["name"] for entry in tables["seal"]] == ["seal 1", "sleeve 1", "seal 2"]
    assert tables["seal"][1]["mark"] == ["90x120x12"]
    assert tables["oil"]["to_temp"] == "80C"
    assert tables["pivot"][0]["upper"] == {"mark": ["30206"]}
    assert tables["oring"][0]["section"] == ["2.95@caliper"]
    assert {name for name, _ in sheet_of(tables).parts()} == set(kind_names())
    again = job_of(job.text(), job.about)
    assert again.tables() == tables
    assert len(again.without(0).entries) == len(job.entries) - 1
    assert again.without(99) == again


def test_a_job_has_one_oil():
    oil = Entry(given_of_form("oil", CASES["oil"][0]))
    with pytest.raises(InputError, match="a job has one oil"):
        Job().with_entry(oil).with_entry(oil).tables()


@pytest.mark.parametrize(
    "text", ["{}", "[1]", '[{"kind": "seal"}]', "[", "9" * 5000, "[" * 2000, '[{"kind": "x"}]']
)
def test_what_is_no_job_is_refused(text):
    with pytest.raises(InputError):
        job_of(text)


def test_a_file_waits_for_the_session_that_sent_it_and_not_for_long():
    now = [0.0]
    waiting = Uploads(most=2, most_bytes=100, seconds=60.0, clock=lambda: now[0])
    first = waiting.keep(b"a" * 40, name="../../etc/north.CSV", session="mine")
    assert first.name == "north.CSV"
    assert first.path.suffix == ".csv"
    assert "north" not in first.path.name
    assert waiting.get(first.token, session="mine").path.read_bytes() == b"a" * 40
    with pytest.raises(NotKnownError):
        waiting.get(first.token, session="another")
    second = waiting.keep(b"b" * 40, name="b.exe", session="mine")
    assert second.path.suffix == ""
    waiting.keep(b"c" * 40, name="c", session="mine")
    assert not first.path.exists()
    with pytest.raises(NotKnownError):
        waiting.get(first.token, session="mine")
    now[0] = 61.0
    with pytest.raises(NotKnownError):
        waiting.get(second.token, session="mine")
    assert not second.path.exists()
