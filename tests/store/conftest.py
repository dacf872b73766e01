"""What the tests of the store share: a store on each database, and lists to put in it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import pytest

from fitcheck.lists.lines import FIELD_NAMES, Block, Remark
from fitcheck.store import open_store
from fitcheck.store.shop import Store

Lines = Sequence[dict[str, Any]]
Make = Callable[..., list[tuple[Block, list[Remark]]]]


def marked_blocks(
    lines: Lines, *, size: int = 1000, remarks: Sequence[Remark] = ()
) -> list[tuple[Block, list[Remark]]]:
    """Lines given field by field as blocks; the remarks come with the first block."""
    rows = [{"line": number, **line} for number, line in enumerate(lines, start=2)]
    blocks = [
        Block({name: [row.get(name) for row in rows[first : first + size]] for name in FIELD_NAMES})
        for first in range(0, len(rows), size)
    ]
    return [(block, list(remarks) if not n else []) for n, block in enumerate(blocks)]


def seals(count: int, *, first: int = 0, price: str = "4.20") -> Lines:
    """Invented seals over some sizes."""
    return [
        {
            "part_number": f"{n:06d}",
            "description": f"OIL SEAL {20 + n % 50}x90x7",
            "kind": "seal",
            "shaft_um": (20 + n % 50) * 1000,
            "bore_um": 90_000,
            "width_um": 7000,
            "system": "metric",
            "lip": "double" if n % 2 else None,
            "price": price,
            "on_hand": n % 5,
        }
        for n in range(first, first + count)
    ]


@pytest.fixture
def blocks_of() -> Make:
    """Makes blocks of lines."""
    return marked_blocks


@pytest.fixture
def invented() -> Callable[..., Lines]:
    """Makes invented seals."""
    return seals


@pytest.fixture
def store(shop: str) -> Store:
    """A store that isn't there yet."""
    return open_store(create=True)
