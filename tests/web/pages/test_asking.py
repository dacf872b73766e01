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
from fitcheck.web.pages.asking import Given, answer_of, given_of_form, given_of_json
from fitcheck.web.pages.bench import answer_html
from fitcheck.web.pages.fields import KINDS, READING, part
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


@pytest.mark.parametrize("kind", KINDS)
def test_the_page_answers_as_the_command_does(kind, run):
    pairs, words = CASES[kind]
    found = tidy(answer_of(given_of_form(kind, pairs)))
    status, out, _ = run("shim" if kind == "shims" else kind, *words, "--json")
    assert status == 0
    assert found == json.loads(out)


@pytest.mark.parametrize("kind", KINDS)
def test_every_answer_is_good_html(kind, run):
    pairs, _ = CASES[kind]
    for unit in ("mm", "in"):
        html = answer_html(given_of_form(kind, [*pairs, ("unit", unit)]))
        html5lib.HTMLParser(strict=True).parseFragment(html)
        assert " style=" not in html


@pytest.mark.parametrize("kind", KINDS)
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
        job = job.with_entry(Entry(given_of_form(kind, CASES[kind][0]), "go", ""))
    tables = job.tables()
    assert tables["job"] == {"machine": "winch", "turning": "hub"}
    assert [entry["name"] for entry in tables["seal"]] == ["seal 1", "sleeve 1", "seal 2"]
    assert tables["seal"][1]["mark"] == ["90x120x12"]
    assert tables["oil"]["to_temp"] == "80C"
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
