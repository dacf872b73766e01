"""Whatever is sent is refused cleanly: too large, too slow, too deep, not what it says it is."""

from __future__ import annotations

import asyncio
import csv
import io
import json
import threading
import time
from collections.abc import AsyncIterator, Callable, Iterator
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from fitcheck.web.security.limits import Attempts
from fitcheck.web.work import Bench

from .conftest import Browser, error_of

SCRIPT = "<script>alert(1)</script>"
JSON = {"Content-Type": "application/json"}
LIST = b"no;size;price\n0012;35x52x7;4,20\n"


# --- what is no request ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("content", "status"),
    [
        (b"", 422),
        (b"{", 400),
        (b"[]", 422),
        (b"null", 422),
        (b'"text"', 422),
        (b"\xff\xfe\x00", 400),
        (b'{"shaft": "\xff\xfe"}', 400),
        (b'{"shaft": "\\ud800"}', 400),
        (b'{"shaft": NaN}', 422),
        (b'{"shaft": Infinity, "bore": -Infinity}', 422),
        (b'{"certainty": NaN, "shaft": "35"}', 422),
        (b'{"certainty": 1e999, "shaft": "35"}', 422),
        (b'{"shaft": ' + b"9" * 5000 + b"}", 400),
        (b'{"shaft": ' + b"9" * 600 + b"}", 422),
        (b'{"top": ' + b"9" * 5000 + b"}", 400),
        (b'{"top": 99999999999999999999, "shaft": "35"}', 422),
        (b'{"top": 1.5, "shaft": "35"}', 422),
        (b'{"top": "5", "shaft": "35"}', 422),
        (b'{"bare_shaft": "yes", "shaft": "35"}', 422),
        (b'{"shaft": true}', 422),
        (b'{"shaft": null}', 422),
        (b'{"shaft": {"$gt": ""}}', 422),
        (b'{"shaft": ["35", ["36"]]}', 422),
        (b'{"__proto__": {}, "shaft": "35"}', 422),
        (b'{"shaft": "35\\u0000"}', 422),
        (b'{"shaft": "' + b"9" * 501 + b'"}', 422),
        (b'{"mark": "' + b"?" * 400 + b'"}', 422),
        (b'{"unit": "furlong", "shaft": "35"}', 422),
        (b'{"list": "../../etc/passwd", "shaft": "35"}', 404),
        (b"[" * 100_000, 400),
        (b'{"a":' * 50_000, 400),
    ],
)
def test_a_body_that_is_no_question_is_refused(
    browser: Browser, content: bytes, status: int
) -> None:
    answer = browser.post("/api/seal", content=content, headers=JSON)
    assert answer.status_code == status, answer.text
    error_of(answer)


def test_deep_json_in_free_fields_is_refused(browser: Browser) -> None:
    deep: Any = "x"
    for _ in range(60):
        deep = {"seal": [deep]}
    for path in ("/api/hub", "/api/draw/sheet"):
        error_of(browser.post(path, json={"sheet": deep}))
    answer = browser.post("/api/chart/fit", json={"answer": deep})
    assert answer.status_code == 422
    card = browser.send("/api/jobs/keep", json={"card": deep})
    assert card.status_code == 422
    error_of(card)


def test_ten_thousand_readings_are_refused_at_once(browser: Browser) -> None:
    answer = browser.post("/api/seal", json={"shaft": ["34.92"] * 10_000, "bore": "52"})
    assert answer.status_code == 422
    assert "at most 100" in error_of(answer)["rule"]
    sheet = {"seal": [{"name": "s", "shaft": ["34.92"] * 10_000}]}
    assert "at most 100" in error_of(browser.post("/api/hub", json={"sheet": sheet}))["rule"]


def test_a_hundred_readings_are_answered(browser: Browser) -> None:
    answer = browser.post("/api/seal", json={"shaft": ["34.92"] * 100, "bore": "52.02"})
    assert answer.status_code == 200


@pytest.mark.parametrize(
    "kind", ["", "text/plain", "application/x-www-form-urlencoded", "application/xml", "\xe4;;=,"]
)
def test_another_kind_of_body_is_refused(browser: Browser, kind: str) -> None:
    headers = {"Content-Type": kind.encode("latin-1")}
    answer = browser.post("/api/seal", content=b'{"shaft": "35"}', headers=headers)
    assert answer.status_code == 415
    error_of(answer)


@pytest.mark.parametrize(
    ("kind", "content"),
    [
        ("multipart/form-data", b"x"),
        ("multipart/form-data; boundary=x", b"no boundary at all"),
        ("multipart/form-data; boundary=" + "x" * 300, b""),
        ("multipart/form-data; boundary=x", b"--x\r\nContent-Disposition: form-data\r\n\r\n1\r\n"),
        ("application/json", b"{}"),
    ],
)
def test_a_form_that_is_none_is_refused(browser: Browser, kind: str, content: bytes) -> None:
    answer = browser.post("/api/batch", content=content, headers={"Content-Type": kind})
    assert answer.status_code in (400, 415, 422)
    error_of(answer)


def test_a_form_with_too_much_in_it_is_refused(browser: Browser) -> None:
    file = {"readings": ("r.csv", b"part\n")}
    many = {f"field{n}": "1" for n in range(200)}
    assert browser.post("/api/batch", data=many, files=file).status_code == 400
    long = browser.post("/api/batch", data={"unit": "m" * 100_000}, files=file)
    assert long.status_code == 400
    twice = [("readings", ("a.csv", b"part\n")), ("readings", ("b.csv", b"part\n"))]
    assert browser.post("/api/batch", files=twice).status_code in (400, 422)
    other = browser.post("/api/batch", files={**file, "passwd": ("p", b"x")})
    assert other.status_code == 422
    unknown = browser.post("/api/batch", data={"folder": "/etc"}, files=file)
    assert unknown.status_code == 422
    error_of(unknown)


def test_unknown_and_doubled_fields_of_an_address_are_refused(browser: Browser) -> None:
    for query in ("nmae=x", "limit=x", "limit=0", "limit=1&limit=2", "unit=m", "limit=" + "9" * 50):
        answer = browser.get(f"/api/jobs/find?{query}")
        assert answer.status_code == 422, query
        error_of(answer)
    assert browser.get("/api/jobs/show?id=%00").status_code == 422
    assert browser.get("/api/tables/show?name=../../etc/passwd").status_code in (404, 422)
    assert browser.get("/api/tables/show?name=seals/..%2F..%2Fx").status_code in (404, 422)


@pytest.mark.parametrize(
    "path",
    ["/static/../app.py", "/static/..%2fapp.py", "/static/%2e%2e/app.py", "/static//etc/passwd"],
)
def test_files_outside_are_not_served(browser: Browser, path: str) -> None:
    assert browser.get(path).status_code == 404


# --- names and cells ------------------------------------------------------------------------------


def test_script_in_a_name_stays_text(browser: Browser) -> None:
    added = browser.send("/api/lists/add", data={"name": SCRIPT}, files={"file": (SCRIPT, LIST)})
    assert added.status_code == 200
    shown = browser.get("/api/lists")
    assert shown.headers["content-type"] == "application/json"
    assert shown.json()["lists"][0]["name"] == SCRIPT
    assert shown.json()["lists"][0]["source"] == "script>"
    export = browser.get("/api/lists/export", params={"name": SCRIPT})
    assert "<" not in export.headers["content-disposition"]
    card = browser.post(
        "/api/hub/page", json={"sheet": {"seal": [{"name": SCRIPT, "shaft": "35", "bore": "52"}]}}
    )
    assert card.status_code == 200
    assert "<script>alert" not in card.text
    drawn = browser.post("/api/draw/shims", json={"pack": "0.10x4", "title": SCRIPT})
    assert "<script" not in drawn.text


@pytest.mark.parametrize(
    "name", ["../../etc/cron.d/x.csv", "C:\\x\\y.csv", "a\r\nSet-Cookie: x=1", "..", "", "\x00"]
)
def test_a_file_lies_under_no_name_of_its_sender(browser: Browser, shop: Path, name: str) -> None:
    before = {path for path in shop.rglob("*") if path.is_file()}
    browser.send("/api/lists/add", data={"name": "q"}, files={"file": (name or "x", LIST)})
    made = {path for path in shop.rglob("*") if path.is_file()} - before
    assert {path.name.partition("-")[0] for path in made} <= {"fitcheck.sqlite"}
    lists = browser.get("/api/lists").json()["lists"]
    assert all("/" not in one["source"] and "\n" not in one["source"] for one in lists)


def test_a_message_never_says_where_a_file_lay(browser: Browser) -> None:
    for path, field in (("lists/preview", "file"), ("stock/shelf", "file"), ("batch", "readings")):
        data = {"name": "q"} if path == "lists/preview" else {}
        for content in (b"", b"\x00\x01\x02", b"PK\x03\x04 no workbook", b"\xd0\xcf\x11\xe0"):
            answer = browser.send(f"/api/{path}", data=data, files={field: ("mine.xlsx", content)})
            assert answer.status_code in (200, 422), (path, content, answer.text)
            assert "/tmp" not in answer.text
            assert "fitcheck-" not in answer.text


def test_no_cell_runs_as_a_formula(browser: Browser) -> None:
    formulas = ["=1+1", "+cmd|' /C calc'!A0", "@SUM(A1)", "-2+3", "\t=1"]
    rows = "".join(f'"{text}";35x52x7;{n}\n' for n, text in enumerate(formulas, 1))
    content = f"no;size;price\n{rows}".encode()
    browser.send("/api/lists/add", data={"name": "f"}, files={"file": ("f.csv", content)})
    exported = browser.get("/api/lists/export?name=f").text
    cells = [cell for row in csv.reader(io.StringIO(exported)) for cell in row]
    assert not [cell for cell in cells if cell[:1] in ("=", "+", "@", "\t")]
    crossed = browser.post(
        "/api/cross", json={"wanted": "35x52x7\n=1+1\n@x", "all": True, "output": "xlsx"}
    )
    book = openpyxl.load_workbook(io.BytesIO(crossed.content))
    found = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    assert not [cell.value for cell in found if cell.data_type == "f"]


# --- too large, too slow --------------------------------------------------------------------------


def test_fifty_megabytes_are_refused_before_they_are_read(browser: Browser) -> None:
    read = 0

    async def body() -> AsyncIterator[bytes]:
        nonlocal read
        for _ in range(50 * 16):
            read += 1 << 16
            yield bytes(1 << 16)

    headers = {"X-CSRF-Token": browser.token(), "Content-Type": "multipart/form-data; boundary=x"}
    said = {**headers, "Content-Length": str(50 << 20)}
    answer = browser.post("/api/lists/add", content=body(), headers=said)
    assert (answer.status_code, read) == (413, 0) or (answer.status_code == 413 and read < 1 << 20)
    assert answer.headers["connection"] == "close"
    error_of(answer)


def test_fifty_megabytes_are_cut_off_where_nobody_says_how_many(
    browser: Browser, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    read = 0

    async def body() -> AsyncIterator[bytes]:
        nonlocal read
        yield b'--x\r\nContent-Disposition: form-data; name="file"; filename="l.csv"\r\n\r\n'
        for _ in range(50 * 4):
            read += 1 << 18
            yield b"35x52x7\n" * (1 << 15)

    headers = {"X-CSRF-Token": browser.token(), "Content-Type": "multipart/form-data; boundary=x"}
    answer = browser.post("/api/lists/add", content=body(), headers=headers)
    assert answer.status_code == 413
    error_of(answer)
    assert read <= (32 << 20) + (1 << 19)
    assert list(tmp_path.glob("tmp*")) == []


def test_a_question_is_much_smaller_than_a_list(browser: Browser) -> None:
    answer = browser.post("/api/seal", content=b" " * (1 << 20), headers=JSON)
    assert answer.status_code == 413
    form = {"Content-Type": "application/x-www-form-urlencoded"}
    answer = browser.post("/api/enter", content=b"a" * (1 << 20), headers=form)
    assert answer.status_code == 413


def test_a_body_that_drips_is_let_go(limited: Callable[..., Browser]) -> None:
    browser = limited(body_s=0.2)

    async def body() -> AsyncIterator[bytes]:
        for drop in range(1000):
            sent.append(drop)
            yield b" "
            await asyncio.sleep(0.02)

    sent: list[int] = []
    answer = browser.post("/api/seal", content=body(), headers=JSON)
    assert answer.status_code == 408
    # The rest of it is not waited for.
    assert len(sent) < 1000
    error_of(answer)


# --- too much at once -----------------------------------------------------------------------------


def test_who_finds_no_room_is_told_to_come_again() -> None:
    async def crowd() -> list[object]:
        bench = Bench(at_once=1, waiting=1, seconds=5.0)
        free = threading.Event()
        jobs = [asyncio.create_task(bench.run(free.wait, 5.0)) for _ in range(4)]
        await asyncio.sleep(0.05)
        free.set()
        found = await asyncio.gather(*jobs, return_exceptions=True)
        # And there is room again.
        return [*found, await bench.run(lambda: "after")]

    found = asyncio.run(crowd())
    statuses = [getattr(one, "status_code", one) for one in found]
    assert statuses == [True, True, 503, 503, "after"]


def test_what_takes_too_long_is_not_waited_for(
    limited: Callable[..., Browser], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("fitcheck.web.api.hub.sheet_card", lambda _: time.sleep(0.5))
    sheet = {"seal": [{"name": "s", "shaft": "35"}]}
    answer = limited(answer_s=0.1).post("/api/hub", json={"sheet": sheet, "no_offers": True})
    assert answer.status_code == 503
    assert answer.headers["retry-after"] == "2"
    error_of(answer)


def test_a_busy_store_says_so(browser: Browser, monkeypatch: pytest.MonkeyPatch) -> None:
    import sqlite3

    browser.send("/api/lists/add", data={"name": "q"}, files={"file": ("l.csv", LIST)})
    monkeypatch.setattr("fitcheck.store.WAIT_S", 0.1)
    monkeypatch.setattr(
        "fitcheck.store.open_store.__kwdefaults__", {"create": False, "wait_s": 0.1}
    )
    path = browser.get("/api/store").json()["store"]
    with sqlite3.connect(path, isolation_level=None) as other:
        other.execute("BEGIN IMMEDIATE")
        answer = browser.send("/api/lists/remove", json={"name": "q"})
        other.execute("ROLLBACK")
    assert answer.status_code == 503
    assert "retry-after" in answer.headers
    assert "Try again" in error_of(answer)["todo"]


def test_tries_are_forgotten_in_time() -> None:
    moments: Iterator[float] = iter([0.0, 1.0, 2.0, 3.0, 99.0, 101.5])
    attempts = Attempts(most=2, most_of_all=9, seconds=100.0, clock=lambda: next(moments))
    assert attempts.wait_s("fe80::1") == 0.0
    attempts.began("fe80::1")
    attempts.began("fe80::2")
    # Addresses of one IPv6 network are one client.
    assert attempts.wait_s("fe80::3") == 98.0
    assert attempts.wait_s("fe80::3") == 2.0
    assert attempts.wait_s("fe80::3") == 0.0


def test_errors_are_ascii_whatever_was_sent(browser: Browser) -> None:
    answer = browser.post("/api/seal", json={"schäft\u202e": "35"})
    assert answer.status_code == 422
    assert json.loads(answer.text)["error"]["value"] == "schäft\\u202e"
