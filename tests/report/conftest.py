"""How the tests of drawings and charts read them back."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest


@pytest.fixture(scope="session")
def svg() -> Iterator[Callable[[str], Any]]:
    """Reads a drawing back from its text."""
    folder = str(Path(__file__).parent)
    sys.path.insert(0, folder)
    try:
        from svg_reader import Drawing

        yield Drawing
    finally:
        sys.path.remove(folder)
