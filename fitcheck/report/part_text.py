"""The answer of `fitcheck part` as text."""

from __future__ import annotations

from typing import Any

from fitcheck.report.offers_text import candidate_offers, list_text
from fitcheck.report.text import (
    bullets,
    cautions_text,
    checks_text,
    heading,
    identification_text,
    sources_text,
)

Answer = dict[str, Any]


def part_text(found: Answer) -> str:
    """An answer about a part of any described family, as text.

    Parameters
    ----------
    found : mapping
        The answer as data.
    """
    title = found["title"]
    sections = [
        list_text(found) if "list" in found else "",
        identification_text(found, what=title, label="size", beside=candidate_offers),
        also_text(found),
        checks_text(found["checks"], title=f"Checks of the leading {title}", name="what"),
        sources_text(found["sources"]),
        cautions_text(found["cautions"]),
    ]
    return "\n".join(section for section in sections if section)


def also_text(found: Answer) -> str:
    """The sizes that go into what was measured, as text; empty where none was looked for."""
    also = found.get("also")
    if not also:
        return ""
    return "\n".join(
        [heading("What goes in here"), *bullets(f"{one['size']}: {one['reason']}" for one in also)]
    )
