"""The command line and the JSON interface give the same answers, key by key."""

from __future__ import annotations

import json
import re
from dataclasses import fields
from html import unescape
from pathlib import Path
from typing import Any

import click
import pytest
from click.testing import CliRunner

from fitcheck.cli.main import COMMANDS, LazyGroup, cli
from fitcheck.job.bearing import BearingRequest
from fitcheck.job.fit import FitRequest
from fitcheck.job.oil.answer import OilRequest
from fitcheck.job.press.answer import PressRequest
from fitcheck.job.seal import SealRequest
from fitcheck.job.shim.answer import ShimRequest
from fitcheck.job.sleeve import SleeveRequest
from fitcheck.web.app import create_app
from fitcheck.web.pages.page_words import on_page
from fitcheck.web.settings import Settings

from .conftest import DEMO, Browser

WANTED = "35x52x7\nOIL SEAL 90x120x12\n30206\n000621\nwhat is this\n"


def words_of(options: dict[str, Any]) -> list[str]:
    """Options as they are typed."""
    found: list[str] = []
    for name, value in options.items():
        option = f"--{name.replace('_', '-')}"
        if value is True:
            found.append(option)
        elif value is not False:
            for one in value if isinstance(value, list) else [value]:
                found += [option, str(one)]
    return found


def printed(words: list[str], stdin: str = "") -> Any:
    """What a command prints with --json."""
    done = CliRunner().invoke(cli, [*words, "--json"], input=stdin, catch_exceptions=False)
    assert done.exit_code in (0, 1), done.output
    return json.loads(done.stdout)


# Command, its arguments by their field, its options.
PARTS: list[tuple[str, dict[str, str], dict[str, Any]]] = [
    ("seal", {}, {"shaft": "34.92mm@micrometer", "bore": ["52.02", "52.04"], "old_width": "7.1"}),
    ("seal", {}, {"shaft": "1-3/8in", "bore": "2.126in", "unit": "in", "no_offers": True}),
    ("seal", {}, {"mark": ["35 5? 7"], "bore": "52", "top": 3, "certainty": 0.9}),
    ("seal", {}, {"shaft": "34.93", "track": "34.61", "bore": "52.01", "rpm": "300", "oil": "oil"}),
    ("seal", {}, {"shaft": "89.95", "bore": "120.03", "list": "harbour_road", "bare_shaft": True}),
    ("bearing", {}, {"bore": "30", "od": "62", "width": "17.3"}),
    ("bearing", {}, {"mark": ["LM11949", "LM11710"]}),
    (
        "bearing",
        {},
        {"bore": "30", "od": "62", "turning": "hub", "journal": "29.986@micrometer"},
    ),
    ("bearing", {}, {"bore": "60", "od": "110", "list": "harbour_road"}),
    ("sleeve", {}, {"shaft": ["34.97", "34.98"], "track": "34.90", "seal": "35 x 52 x 7"}),
    ("fit", {"nominal": "30", "class": "H7/g6"}, {}),
    ("fit", {"nominal": "62", "class": "N7/h6"}, {"measured_hole": ["61.98@bore-gauge"]}),
    ("press", {}, {"interface": "60", "outer": "90", "length": "30", "fit": "H7/s6"}),
    ("shim", {}, {"method": "free-gap", "measured": ["0.50", "0.52"], "use": "kingpin-cap"}),
    ("shim", {}, {"method": "lead", "measured": ["1.21"], "have": ["1.00x2,0.20x2"]}),
    ("part/oring", {}, {"id": "45.3", "section": "2.95"}),
    ("oil", {}, {"volume": "4l", "shaft": "80"}),
    ("oil", {}, {"diameter": "240", "length": "150", "vented": True}),
]


@pytest.mark.parametrize(("command", "arguments", "options"), PARTS)
def test_a_part_has_one_answer(
    demo: Browser, command: str, arguments: dict[str, str], options: dict[str, Any]
) -> None:
    answer = demo.post(f"/api/{command}", json={**arguments, **options})
    assert answer.status_code == 200, answer.text
    assert answer.json() == printed([*command.split("/"), *arguments.values(), *words_of(options)])


@pytest.mark.parametrize("name", ["winch", "trailer", "drum"])
def test_a_sheet_has_one_card(demo: Browser, name: str) -> None:
    path = DEMO / f"{name}.toml"
    answer = demo.post("/api/hub", json={"sheet": path.read_text(encoding="utf-8")})
    assert answer.status_code == 200, answer.text
    assert answer.json() == printed(["hub", str(path)])


def test_a_sheet_as_tables_is_the_sheet_as_text(demo: Browser) -> None:
    text = '[[seal]]\nname = "inner"\nshaft = ["34.92", "34.94"]\nbore = 52.02\n'
    tables = {"seal": [{"name": "inner", "shaft": ["34.92", "34.94"], "bore": 52.02}]}
    one, other = (demo.post("/api/hub", json={"sheet": sheet}) for sheet in (text, tables))
    assert one.status_code == 200
    assert one.json() == other.json()


@pytest.mark.parametrize(
    ("words", "path", "body"),
    [
        (["stock", "demand", "--part", "32215"], "demand", {"part": "32215"}),
        (["stock", "levels", "--fill", "0.9"], "levels", {"fill": 0.9}),
        (["stock", "plan", "--budget", "5000"], "plan", {"budget": 5000}),
        (
            ["stock", "explain", "--jobs", "0.5", "--part", "32215"],
            "explain",
            {"jobs": 0.5, "part": "32215"},
        ),
        (
            ["stock", "frontier", "--points", "2", "--highest", "3000"],
            "frontier",
            {"points": 2, "highest": 3000},
        ),
    ],
)
def test_the_buyer_has_one_answer(
    demo: Browser, words: list[str], path: str, body: dict[str, Any]
) -> None:
    answer = demo.post(f"/api/stock/{path}", json=body)
    assert answer.status_code == 200, answer.text
    assert answer.json() == printed(words)


def test_a_list_that_was_edited_is_judged_alike(demo: Browser, tmp_path: Path) -> None:
    saved = demo.post("/api/stock/plan", json={"budget": 3000, "output": "csv"})
    assert saved.headers["content-type"].startswith("text/csv")
    path = tmp_path / "plan.csv"
    path.write_bytes(saved.content)
    answer = demo.post("/api/stock/judge", files={"file": ("plan.csv", saved.content)})
    assert answer.status_code == 200, answer.text
    assert answer.json() == printed(["stock", "plan", "--from", str(path)])


def test_sleeves_for_shafts_are_alike(demo: Browser) -> None:
    answer = demo.post("/api/stock/cover", json={"shafts": ["34.98", "50.02", "9000"]})
    assert answer.json() == printed(["stock", "cover", "-"], stdin="34.98\n50.02\n9000\n")


def test_wanted_lines_are_crossed_alike_however_they_come(demo: Browser) -> None:
    wanted = printed(["cross", "-", "--all", "--sort", "lead"], stdin=WANTED)
    body = {"wanted": WANTED, "all": True, "sort": "lead"}
    assert demo.post("/api/cross", json=body).json() == wanted
    form = demo.post(
        "/api/cross/file",
        data={"all": "true", "sort": "lead"},
        files={"wanted": ("wanted.txt", WANTED)},
    )
    assert form.json() == wanted
    as_csv = demo.post("/api/cross", json={**body, "output": "csv"})
    done = CliRunner().invoke(
        cli, ["cross", "-", "--all", "--sort", "lead", "-o", "-"], input=WANTED
    )
    assert as_csv.content == done.stdout_bytes
    workbook = demo.post("/api/cross", json={**body, "output": "xlsx"})
    assert workbook.content.startswith(b"PK")
    assert 'filename="crossed.xlsx"' in workbook.headers["content-disposition"]


@pytest.mark.parametrize(
    ("words", "path"),
    [
        (["lists", "show"], "/api/lists"),
        (["lists", "show", "quay"], "/api/lists/show?name=quay"),
        (["jobs", "find"], "/api/jobs/find"),
        (
            ["jobs", "find", "winch", "--position", "drum", "--limit", "1"],
            "/api/jobs/find?text=winch&position=drum&limit=1",
        ),
        (["jobs", "show", "1"], "/api/jobs/show?id=1"),
        (["stock", "history", "show"], "/api/stock/history/files"),
        (["tables"], "/api/tables"),
        (["tables", "show", "seals/din3760"], "/api/tables/show?name=seals/din3760"),
        (["tables", "sources"], "/api/tables/sources"),
        (["tables", "check"], "/api/tables/check"),
        (["store", "info", "--check"], "/api/store?check=true"),
    ],
)
def test_what_is_looked_up_is_alike(demo: Browser, words: list[str], path: str) -> None:
    answer = demo.get(path)
    assert answer.status_code == 200, answer.text
    assert answer.json() == printed(words)


def test_what_is_exported_is_alike(demo: Browser) -> None:
    exported = demo.get("/api/lists/export?name=quay")
    done = CliRunner().invoke(cli, ["lists", "export", "quay"])
    assert exported.content == done.stdout_bytes
    assert 'filename="quay.csv"' in exported.headers["content-disposition"]
    assert demo.get("/api/lists/export?name=quay&format=xlsx").content.startswith(b"PK")


def test_a_table_of_readings_is_answered_alike(demo: Browser) -> None:
    table = "id,part,shaft,bore\n7,seal,34.92,52.02\n8,seal,x,\n"
    answer = demo.post("/api/batch", files={"readings": ("r.csv", table)})
    done = CliRunner().invoke(cli, ["batch", "-"], input=table)
    assert answer.content == done.stdout_bytes


@pytest.mark.parametrize(
    ("path", "body", "words"),
    [
        (
            "seal",
            {"size": "35 x 52 x 7", "pocket": "9"},
            ["--size", "35 x 52 x 7", "--pocket", "9"],
        ),
        ("bearing", {"bearing": ["30206"]}, ["30206"]),
        ("shims", {"pack": "0.10x4,0.50"}, ["--pack", "0.10x4,0.50"]),
    ],
)
def test_drawings_are_alike(
    demo: Browser, path: str, body: dict[str, Any], words: list[str]
) -> None:
    answer = demo.post(f"/api/draw/{path}", json=body)
    assert answer.headers["content-type"] == "image/svg+xml"
    assert answer.text == CliRunner().invoke(cli, ["draw", path, *words]).stdout


def test_charts_are_alike(demo: Browser) -> None:
    for path, asked, name in (
        ("seal", {"shaft": "34.92", "bore": "52"}, "candidates"),
        ("fit", {"nominal": "30", "class": "H7/g6"}, "fit"),
    ):
        found = demo.post(f"/api/{path}", json=asked).json()
        drawn = demo.post(f"/api/chart/{name}", json={"answer": found})
        done = CliRunner().invoke(cli, ["chart", name, "-"], input=json.dumps(found))
        assert (drawn.status_code, drawn.text) == (200, done.stdout)


def test_a_drawing_of_a_sheet_is_in_its_answer(demo: Browser) -> None:
    text = (DEMO / "winch.toml").read_text(encoding="utf-8")
    found = demo.post("/api/draw/sheet", json={"sheet": text}).json()
    assert "drum-side seal" in found["drawings"]
    assert found["left_out"] == ["brake-side seal"]


def test_the_card_can_be_printed(demo: Browser) -> None:
    text = (DEMO / "drum.toml").read_text(encoding="utf-8")
    page = demo.post("/api/hub/page", json={"sheet": text, "paper": "letter"})
    assert page.text.startswith("<!DOCTYPE html>")
    workbook = demo.post("/api/hub/xlsx", json={"sheet": text})
    assert workbook.content.startswith(b"PK")
    assert demo.get("/api/hub/blank").text == CliRunner().invoke(cli, ["hub", "--blank"]).stdout


def test_labels_are_made_of_a_list(demo: Browser) -> None:
    shelf = (DEMO / "stock/shelf.csv").read_bytes()
    page = demo.post(
        "/api/labels", data={"branch": "container yard"}, files={"stocklist": ("s.csv", shelf)}
    )
    assert page.text.startswith("<!DOCTYPE html>")


# --- the store is changed alike -------------------------------------------------------------------


def test_a_list_is_looked_at_stored_and_taken_out(browser: Browser) -> None:
    path = DEMO / "lists/north_quay_invented.csv"
    file = {"file": (path.name, path.read_bytes())}
    words = ["lists", "add", "quay", str(path)]
    looked = browser.post("/api/lists/preview", data={"name": "quay"}, files=file)
    assert looked.json() == printed([*words, "--preview"])
    assert browser.get("/api/lists").json() == {"lists": []}
    data = {"name": "quay", "column": ["part_number=#1"], "unit": "mm"}
    added = browser.send("/api/lists/add", data=data, files=file).json()
    assert added["list"]["source"] == path.name
    assert browser.get("/api/lists/show?name=QUAY").json()["list"] == added["list"]
    removed = browser.send("/api/lists/remove", json={"name": "quay"})
    assert removed.json() == {"removed": added["list"]}
    assert browser.send("/api/lists/remove", json={"name": "quay"}).status_code == 404


def test_a_card_is_kept_once_however_it_comes(browser: Browser) -> None:
    text = (DEMO / "drum.toml").read_text(encoding="utf-8")
    card = browser.post("/api/hub", json={"sheet": text}).json()
    assert browser.send("/api/jobs/keep", json={"sheet": text}).json() == {"id": 1, "new": True}
    assert browser.send("/api/jobs/keep", json={"card": card}).json() == {"id": 1, "new": False}
    assert printed(["jobs", "show", "1"]) == browser.get("/api/jobs/show?id=1").json()


def test_records_are_kept_whole_or_not_at_all(browser: Browser) -> None:
    shelf = DEMO / "stock/shelf.csv"
    kept = browser.send("/api/stock/shelf", files={"file": (shelf.name, shelf.read_bytes())})
    assert kept.json()["kept"] is True
    history = (DEMO / "stock/history.csv").read_bytes()
    kept = browser.send("/api/stock/history", files={"file": ("history.csv", history)})
    assert kept.json() | {"notes": []} == {
        "kept": True,
        "name": "history.csv",
        "lines": 868,
        "replaced": False,
        "refused": [],
        "notes": [],
    }
    damaged = b"date,part,quantity\n2024-01-05,35x52x7,many\n"
    refused = browser.send("/api/stock/history", files={"file": ("h.csv", damaged)})
    assert refused.status_code == 422
    assert refused.json()["refused"][0] | {"reason": ""} == {
        "line": 2,
        "column": "quantity",
        "value": "many",
        "reason": "",
    }
    gone = browser.send("/api/stock/remove", json={"kind": "history", "name": "history.csv"})
    assert gone.json() == {"removed": "history.csv"}
    assert browser.get("/api/stock/history/files").json() == {"files": []}


def test_what_is_stored_meanwhile_changes_an_answer_that_was_kept(browser: Browser) -> None:
    asked = {"shaft": "34.92", "bore": "52.02"}
    before = browser.post("/api/seal", json=asked).json()
    assert browser.post("/api/seal", json=asked).json() == before
    path = DEMO / "lists/north_quay_invented.csv"
    browser.send(
        "/api/lists/add", data={"name": "q"}, files={"file": (path.name, path.read_bytes())}
    )
    after = browser.post("/api/seal", json=asked).json()
    assert "offers" not in before["candidates"][0]
    assert after["candidates"][0]["offers"]


# --- the description ------------------------------------------------------------------------------


REQUESTS = {
    "seal": SealRequest,
    "bearing": BearingRequest,
    "sleeve": SleeveRequest,
    "fit": FitRequest,
    "press": PressRequest,
    "shim": ShimRequest,
    "oil": OilRequest,
}
# What a request has for bench sheets alone, and what is spelled out place by place.
_OF_SHEETS = {"lip_at", "room", "pitted", "oval", "instrument", "closed_height", "gauge"}
_NAMED = {"readings": set(), "tolerance_class": {"class"}}


def schema_of(path: str) -> dict[str, Any]:
    """The fields of an endpoint."""
    described = create_app(Settings()).openapi()["paths"][path]["post"]
    found: dict[str, Any] = described["requestBody"]["content"]["application/json"]["schema"]
    return found


@pytest.mark.parametrize("name", REQUESTS)
def test_every_field_of_a_request_can_be_asked(name: str) -> None:
    shown = set(schema_of(f"/api/{name}")["properties"])
    for field in fields(REQUESTS[name]):
        wanted = _NAMED.get(field.name, {field.name})
        assert wanted <= shown | _OF_SHEETS, field.name


@pytest.mark.parametrize("name", REQUESTS)
def test_every_option_is_a_field_with_its_words(name: str) -> None:
    command = LazyGroup(name="x").get_command(click.Context(click.Command("x")), name)
    assert command is not None
    schema = schema_of(f"/api/{name}")
    assert schema["additionalProperties"] is False
    for param in command.params:
        if isinstance(param, click.Option) and param.name not in ("as_json", "every"):
            long = next(text for text in param.opts if text.startswith("--"))
            field = schema["properties"][long[2:].replace("-", "_")]
            assert field["description"] == param.help


def test_every_answering_command_has_an_endpoint() -> None:
    paths = " ".join(create_app(Settings()).openapi()["paths"])
    for name in set(COMMANDS) - {"serve"}:
        assert f"/api/{name}" in paths, name


def test_every_endpoint_says_what_it_does_and_how_it_refuses() -> None:
    for path, methods in create_app(Settings()).openapi()["paths"].items():
        for described in methods.values():
            assert described["summary"], path
            if path != "/api/alive":
                assert {"422", "503"} <= set(described["responses"]), path


# --- the page says the same -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "asked"),
    [
        ("seal", {"shaft": ["34.92mm@micrometer"], "bore": ["52.02", "52.04"]}),
        ("seal", {"shaft": ["34.9"], "bore": ["60"]}),
        ("bearing", {"bore": ["30"], "od": ["62"], "width": ["17.3"]}),
        ("sleeve", {"shaft": ["34.97"], "track": ["34.71"]}),
        ("press", {"interface": ["60"], "outer": ["90"], "length": ["30"], "fit": "H7/s6"}),
        ("oil", {"volume": "4l", "shaft": ["80"]}),
        ("shim", {"method": "free-gap", "measured": ["0.50"], "use": "kingpin-cap"}),
    ],
)
def test_the_page_says_what_the_interface_and_the_command_say(
    demo: Browser, kind: str, asked: dict[str, Any]
) -> None:
    answer = demo.post(f"/api/{kind}", json=asked).json()
    assert answer == printed([kind, *words_of(asked)])
    bench = "shims" if kind == "shim" else kind
    page = demo.post(f"/bench/{bench}/answer", data=asked)
    assert page.status_code == 200, page.text
    shown = " ".join(unescape(re.sub(r"<[^>]*>", " ", page.text)).split())
    assert f'data-verdict="{answer["verdict"]}"' in page.text
    for reason in answer["reasons"]:
        # Where the command names an option, the page names its field.
        told = " ".join(on_page(reason, bench).split())
        assert told in shown.replace("\N{NO-BREAK SPACE}", " ")
    for one in answer.get("candidates", ()):
        if one["probability"] >= 0.0005:
            assert one.get("size", one.get("designation")) in shown


def test_a_card_on_the_page_is_the_card_of_the_interface(demo: Browser) -> None:
    text = (DEMO / "drum.toml").read_text(encoding="utf-8")
    card = demo.post("/api/hub", json={"sheet": text}).json()
    page = demo.post("/api/hub/page", json={"sheet": text}).text
    shown = " ".join(unescape(re.sub(r"<[^>]*>", " ", page)).split())
    for position in card["positions"]:
        assert position["name"] in shown
    for part in card["parts"]:
        assert part["size"] in shown


def test_a_delimiter_that_is_given_reads_alike(browser: Browser, tmp_path: Path) -> None:
    path = tmp_path / "odd.csv"
    path.write_text("no\x02size\x02price\n0012\x0235x52x7\x024.20\n", encoding="utf-8")
    data = {"name": "odd", "delimiter": "\x02"}
    looked = browser.post(
        "/api/lists/preview", data=data, files={"file": (path.name, path.read_bytes())}
    ).json()
    words = ["lists", "add", "odd", str(path), "--delimiter", "\x02", "--preview"]
    assert looked == printed(words)
    assert "price" in looked["plan"]["columns"]
