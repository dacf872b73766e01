"""The interface keeps to its description: whatever it allows or forbids, nothing breaks inside."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings

from fitcheck.web.app import create_app
from fitcheck.web.settings import Settings

from .conftest import DEMO, Browser

# Of each endpoint so many requests that keep to the description, and so many that don't.
EXAMPLES = 6
# What makes a PDF takes its time whatever is in it.
FEWER = {"/api/hub/pdf": 1, "/api/hub/xlsx": 2}


def requests_of(app: Any) -> Any:
    """The description, as something that requests can be drawn from."""
    return schemathesis.openapi.from_asgi("/api/openapi.json", app, headers={"Host": "localhost"})


OPERATIONS = [
    f"{method.upper()} {path}"
    for path, methods in create_app(Settings()).openapi()["paths"].items()
    for method in methods
]


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Any:
    """A page with one small list, and requests drawn from its description."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_DATA_HOME", str(tmp_path_factory.mktemp("described")))
        patch.delenv("FITCHECK_DATABASE", raising=False)
        browser = Browser(create_app(Settings()))
        path = DEMO / "lists/north_quay_invented.csv"
        file = {"file": (path.name, Path(path).read_bytes())}
        assert browser.send("/api/lists/add", data={"name": "q"}, files=file).status_code == 200
        headers = {"Host": "localhost", "X-CSRF-Token": browser.token()}
        headers["Cookie"] = "; ".join(f"{k}={v}" for k, v in browser.cookies.items())
        yield requests_of(browser.app), headers


@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize("wanted", OPERATIONS)
@pytest.mark.parametrize("kept_to", [True, False], ids=["allowed", "forbidden"])
def test_no_request_breaks_anything(page: Any, wanted: str, kept_to: bool) -> None:
    described, headers = page
    method, _, path = wanted.partition(" ")
    operation = described[path][method]
    mode = schemathesis.GenerationMode.POSITIVE if kept_to else schemathesis.GenerationMode.NEGATIVE

    @settings(
        max_examples=FEWER.get(path, EXAMPLES),
        deadline=None,
        database=None,
        derandomize=True,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(case=operation.as_strategy(generation_mode=mode))
    def asked(case: Any) -> None:
        answer = case.call(headers=headers)
        assert answer.status_code < 500, answer.text
        if answer.status_code >= 400:
            assert set(answer.json()["error"]) == {"value", "rule", "todo"}

    try:
        asked()
    except Exception as error:
        # Some operations take nothing that could be drawn wrongly.
        if type(error).__name__ not in ("Unsatisfiable", "SkipTest", "Skipped"):
            raise
