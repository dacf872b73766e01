"""Who is let in, and from where."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from fitcheck.web.app import create_app
from fitcheck.web.security.headers import POLICY
from fitcheck.web.security.sessions import COOKIE, Sessions
from fitcheck.web.settings import Limits, Settings

from .conftest import PASSPHRASE, Browser, error_of

SEAL = {"shaft": "34.92", "bore": "52.02"}


def enter(browser: Browser, text: str = PASSPHRASE) -> Any:
    """Give the passphrase."""
    return browser.send("/api/enter", json={"passphrase": text})


# --- host, origin, token --------------------------------------------------------------------------


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "localhost.evil.example",
        "192.168.7.20",
        "127.0.0.1.evil.example:8137",
        "localhost@evil.example",
        "",
        "[",
        "localhost:99999999",
        "localhost, evil.example",
    ],
)
def test_a_name_that_is_not_ours_is_refused(browser: Browser, host: str) -> None:
    answer = browser.get("/api/alive", headers={"Host": host})
    assert answer.status_code == 400
    error_of(answer)


@pytest.mark.parametrize("host", ["localhost", "LOCALHOST:8137", "127.0.0.1:9", "[::1]:8137"])
def test_this_machine_is_called_by_its_own_names(browser: Browser, host: str) -> None:
    assert browser.get("/api/alive", headers={"Host": host}).status_code == 200


@pytest.mark.parametrize(
    ("host", "status"),
    [
        ("192.168.7.20:8137", 200),
        ("[fe80::1]", 200),
        ("bench.local", 200),
        ("bench.evil.example", 400),
    ],
)
def test_on_the_network_addresses_and_given_names_are_taken(
    guarded: Browser, host: str, status: int
) -> None:
    assert guarded.get("/api/alive", headers={"Host": host}).status_code == status


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "http:" + "//evil.example"},
        {"Origin": "null"},
        {"Origin": "https://localhost"},
        {"Origin": "http://localhost:1"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
    ],
)
def test_a_page_from_elsewhere_can_send_nothing(browser: Browser, headers: dict[str, str]) -> None:
    assert browser.post("/api/seal", json=SEAL, headers=headers).status_code == 403
    with_token = {**headers, "X-CSRF-Token": browser.token()}
    answer = browser.post("/api/lists/remove", json={"name": "q"}, headers=with_token)
    assert answer.status_code == 403
    error_of(answer)
    assert "access-control-allow-origin" not in answer.headers


def test_our_own_page_may_send(browser: Browser) -> None:
    headers = {"Origin": "http://localhost", "Sec-Fetch-Site": "same-origin"}
    assert browser.post("/api/seal", json=SEAL, headers=headers).status_code == 200


def test_what_changes_something_needs_the_token_of_its_session(browser: Browser) -> None:
    other = Browser(browser.app).token()
    for headers in ({}, {"X-CSRF-Token": ""}, {"X-CSRF-Token": "0" * 64}, {"X-CSRF-Token": other}):
        answer = browser.post("/api/lists/remove", json={"name": "q"}, headers=headers)
        assert answer.status_code == 403, headers
        error_of(answer)
    # With it there is an answer: no store yet.
    assert browser.send("/api/lists/remove", json={"name": "q"}).status_code == 404


def test_every_endpoint_that_changes_something_asks_for_the_token(browser: Browser) -> None:
    changing = {"lists/add", "lists/remove", "jobs/keep", "stock/remove", "enter", "leave"}
    changing |= {f"stock/{kind}" for kind in ("history", "fleet", "terms", "shelf")}
    for path, methods in browser.app.openapi()["paths"].items():
        if "post" in methods:
            answer = browser.post(path, json={})
            assert (answer.status_code == 403) == (path.removeprefix("/api/") in changing), path


def test_nothing_is_changed_by_looking(browser: Browser) -> None:
    for path, methods in browser.app.openapi()["paths"].items():
        if "post" in methods and "get" not in methods:
            assert browser.get(path).status_code == 405


# --- cookies --------------------------------------------------------------------------------------


def test_the_cookie_is_kept_from_scripts_and_other_sites(browser: Browser) -> None:
    cookie = browser.get("/api/session").headers["set-cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=Strict" in cookie
    assert "Path=/" in cookie
    assert "Secure" not in cookie


def test_by_tls_the_cookie_is_for_tls_alone(shop: object) -> None:
    browser = Browser(create_app(Settings(secure=True)))
    assert "; Secure" in browser.get("/api/session").headers["set-cookie"]
    answer = browser.post("/api/seal", json=SEAL, headers={"Origin": "https://localhost"})
    assert answer.status_code == 200


FORGED = [
    "",
    "x",
    "a.b.c",
    "\xff\xfe",
    "W10.aaaa.bbbb",
    "../../etc/passwd",
    "a" * 5000,
    Sessions("another secret", seconds=1000)
    .header(Sessions("another secret", seconds=1000).new(entered=True))
    .split(";")[0]
    .removeprefix(f"{COOKIE}="),
]


@pytest.mark.parametrize("cookie", FORGED, ids=range(len(FORGED)))
def test_a_forged_cookie_opens_nothing(guarded: Browser, cookie: str) -> None:
    header = {"Cookie": f"{COOKIE}={cookie}".encode("latin-1")}
    answer = guarded.get("/api/tables", headers=header)
    assert answer.status_code == 401
    error_of(answer)


def test_a_cookie_of_another_kind_or_too_old_opens_nothing() -> None:
    sessions = Sessions("s" * 40, seconds=60)
    value = sessions.header(sessions.new(entered=True)).split(";")[0].partition("=")[2]
    assert sessions.read(value) is not None
    assert sessions.read(value[:-2] + "xx") is None
    assert Sessions("s" * 40, seconds=-1).read(value) is None
    signed = sessions._signer.dumps({"entered": True})
    assert sessions.read(str(signed)) is None


# --- passphrase -----------------------------------------------------------------------------------


def test_before_the_passphrase_nothing_is_told(guarded: Browser) -> None:
    for path, methods in guarded.app.openapi()["paths"].items():
        if path in ("/api/session", "/api/alive", "/api/enter"):
            continue
        for method in methods:
            answer = guarded.ask(method.upper(), path, headers={"X-CSRF-Token": guarded.token()})
            assert answer.status_code == 401, path
            error_of(answer)
    assert guarded.get("/api/openapi.json").status_code == 401
    moved = guarded.get("/counter?q=35x52")
    assert (moved.status_code, moved.headers["location"]) == (
        303,
        "/enter?next=/counter%3Fq%3D35x52",
    )


def test_the_passphrase_lets_in_until_one_leaves(guarded: Browser) -> None:
    before = guarded.token()
    assert guarded.post("/api/enter", json={"passphrase": PASSPHRASE}).status_code == 403
    assert enter(guarded).json() == {"entered": True}
    # Whoever could set a cookie before doesn't know the session that is in.
    assert guarded.token() != before
    assert guarded.post("/api/seal", json=SEAL).status_code == 200
    assert guarded.send("/api/leave").json() == {"entered": False}
    assert guarded.post("/api/seal", json=SEAL).status_code == 401


def test_the_form_goes_on_to_where_one_wanted(guarded: Browser) -> None:
    form = {"passphrase": "wrong words here", "csrf_token": guarded.token(), "next": "/counter"}
    again = guarded.post("/api/enter", data=form)
    assert (again.status_code, again.headers["location"]) == (
        303,
        "/enter?failed=wrong&next=/counter",
    )
    on = guarded.post("/api/enter", data={**form, "passphrase": PASSPHRASE})
    assert (on.status_code, on.headers["location"]) == (303, "/counter")
    assert guarded.get("/api/tables").status_code == 200


@pytest.mark.parametrize(
    "where", ["//evil.example", "http:" + "//evil.example/", "/\\evil.example", "x"]
)
def test_the_form_goes_nowhere_else(guarded: Browser, where: str) -> None:
    form = {"passphrase": PASSPHRASE, "csrf_token": guarded.token(), "next": where}
    assert guarded.post("/api/enter", data=form).headers["location"] == "/"


def test_a_form_without_its_token_is_refused(guarded: Browser) -> None:
    assert guarded.post("/api/enter", data={"passphrase": PASSPHRASE}).status_code == 403


def test_guessing_is_stopped(guarded: Browser) -> None:
    statuses = [enter(guarded, "not these words").status_code for _ in range(6)]
    assert statuses == [401] * 5 + [429]
    refused = enter(guarded)
    assert refused.status_code == 429
    assert int(refused.headers["retry-after"]) > 600
    error_of(refused)
    # A new session doesn't help; another machine is not held up.
    assert enter(Browser(guarded.app, host="bench.local")).status_code == 200
    same = Browser(guarded.app, host="bench.local", address="192.168.7.20")
    assert enter(same).status_code == 429


def test_all_together_are_stopped_too(shop: object, passphrase_hash: str) -> None:
    settings = Settings(
        host="0.0.0.0",
        passphrase_hash=passphrase_hash,
        limits=replace(Limits(), attempts_of_all=4),
    )
    app = create_app(settings)
    statuses = [
        enter(Browser(app, address=f"192.168.7.{n}"), "not these words").status_code
        for n in range(6)
    ]
    assert statuses == [401, 401, 401, 401, 429, 429]


@pytest.mark.parametrize("text", ["", "\x00", "\ud800", "x" * 201])
def test_odd_passphrases_are_only_wrong(guarded: Browser, text: str) -> None:
    content = json.dumps({"passphrase": text})
    headers = {"X-CSRF-Token": guarded.token(), "Content-Type": "application/json"}
    answer = guarded.post("/api/enter", content=content, headers=headers)
    assert answer.status_code in (400, 401, 422)
    error_of(answer)


# --- headers --------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", ["/api/alive", "/nothing", "/api/tables/show?name=x", "/static/x"])
def test_every_answer_has_the_strict_headers(browser: Browser, path: str) -> None:
    headers = browser.get(path).headers
    assert headers["content-security-policy"] == POLICY
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["x-frame-options"] == "DENY"
    assert headers["referrer-policy"] == "same-origin"
    assert headers["cross-origin-resource-policy"] == "same-origin"
    assert "camera=()" in headers["permissions-policy"]
    assert headers["cache-control"] == ("no-cache" if path.startswith("/static") else "no-store")
    assert "unsafe" not in POLICY


def test_refusals_have_them_too(browser: Browser) -> None:
    headers = browser.get("/api/alive", headers={"Host": "evil.example"}).headers
    assert headers["content-security-policy"] == POLICY


def test_a_fault_of_ours_tells_nothing_of_its_inside(
    limited: Callable[..., Browser], monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(**_: Any) -> None:
        raise RuntimeError("secret inside")

    monkeypatch.setattr("fitcheck.job.oil.answer.answer", broken)
    answer = limited().post("/api/oil", json={"volume": "4l"})
    assert answer.status_code == 500
    assert "secret" not in answer.text
    error_of(answer)
    assert answer.headers["content-security-policy"] == POLICY


@pytest.mark.parametrize(
    ("path", "content", "status", "words"),
    [
        ("/jobs/keep", "job=[]&csrf_token=old", 403, "Load the page again and send it once more"),
        ("/job/card", "job=" + "a" * 600_000, 413, "more than 512 KiB are not taken here"),
    ],
    ids=["old page", "too large"],
)
def test_what_the_shield_refuses_a_browser_is_told_as_a_page(
    browser: Browser, path: str, content: str, status: int, words: str
) -> None:
    form = {"content-type": "application/x-www-form-urlencoded"}
    browser.get("/bench")
    page = browser.post(path, content=content, headers={**form, "accept": "text/html"})
    assert page.status_code == status
    assert page.headers["content-type"].startswith("text/html")
    assert "<h1>Not answered</h1>" in page.text
    assert words in page.text
    assert "content-security-policy" in page.headers
    # A program is told as before.
    assert browser.post(path, content=content, headers=form).json()["error"]["value"]
