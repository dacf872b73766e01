"""The duty of the lip as text."""

from __future__ import annotations

from fitcheck.report.duty_text import duty_text

DUTY = {
    "verdict": "check",
    "reasons": ["not decided yet: NBR", "word " * 30],
    "materials": [
        {"material": "NBR", "name": "nitrile rubber", "verdict": "check", "reasons": ["no oil"]},
        {"material": "FKM", "name": "fluoro rubber", "verdict": "no-go", "reasons": ["word " * 30]},
    ],
    "questions": ["Which oil or grease does the lip keep in?"],
}


def test_materials_stand_under_the_verdict_with_their_reasons() -> None:
    text = duty_text(DUTY)
    assert text.startswith("\nDuty of the lip: CHECK\n  - not decided yet: NBR\n")
    assert "  CHECK  NBR (nitrile rubber)\n         - no oil\n" in text
    assert "  NO-GO  FKM (fluoro rubber)" in text
    assert "  To be settled:\n    - Which oil or grease does the lip keep in?" in text


def test_every_line_fits() -> None:
    assert max(len(line) for line in duty_text(DUTY).split("\n")) <= 80


def test_nothing_to_settle_is_no_section() -> None:
    assert "To be settled" not in duty_text({**DUTY, "questions": []})


def test_the_power_of_friction_is_a_band() -> None:
    band = {"friction_w": {"low": 19.1, "high": 29.3}}
    assert "Friction of the lip: 19.1 to 29.3 W" in duty_text({**DUTY, **band})
    assert "Friction" not in duty_text({**DUTY, "friction_w": None})
