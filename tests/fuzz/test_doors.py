"""Any text at every door: no fault, no hang, no answer against itself. `scripts/fuzz` runs on."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "scripts"))

import fuzz_doors  # noqa: E402

CORPUS = {
    name: (Path(__file__).parent / "corpus" / f"{name}.txt")
    .read_text(encoding="utf-8")
    .split("\n%%\n")
    for name in fuzz_doors.DOORS
}
# What a door costs decides how many texts go through it here.
EXAMPLES = {
    "quantity": 150,
    "reading": 25,
    "mark": 10,
    "description": 15,
    "list": 15,
    "workbook": 15,
    "sheet": 15,
    "json": 25,
    "form": 15,
}


@pytest.mark.parametrize(("door", "text"), [(d, t) for d, texts in CORPUS.items() for t in texts])
def test_what_is_kept(door: str, text: str) -> None:
    fuzz_doors.DOORS[door](text)


@pytest.mark.parametrize("door", fuzz_doors.DOORS)
def test_any_text(door: str) -> None:
    pieces = st.lists(st.sampled_from(CORPUS[door]) | st.text(max_size=12), min_size=1, max_size=3)
    glue = st.sampled_from(["", " ", "\n", "x", "/", ";", "-"])

    @settings(
        max_examples=EXAMPLES[door],
        deadline=None,
        derandomize=True,
        database=None,
        suppress_health_check=list(HealthCheck),
    )
    @given(pieces, glue)
    def through(texts: list[str], between: str) -> None:
        fuzz_doors.DOORS[door](between.join(texts))

    through()
