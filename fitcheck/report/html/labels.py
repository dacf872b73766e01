"""Labels for the bins of a shelf: the size, where it lies, and a symbol to scan."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from fitcheck.errors import printable
from fitcheck.extras import import_needed
from fitcheck.report.html.page import page
from fitcheck.stock.bins import Bin

# Labels stand in this many columns and rows of a sheet.
COLUMNS, ROWS = 3, 8


def symbol(text: str) -> str:
    """A QR symbol that reads as a text, as SVG without a size of its own.

    Parameters
    ----------
    text : str
        What a scanner types.

    Raises
    ------
    NotKnownError
        The package that makes it is not installed.
    """
    import_needed("segno", what="a label's symbol")
    import segno

    made = segno.make(text, error="m", micro=False)
    return str(made.svg_inline(border=2, omitsize=True, lineclass=None, svgclass=None))


def _fitting(label: Bin) -> Bin:
    """A label whose texts have room on it, in wide letters too; what is longer ends in dots."""
    return replace(
        label,
        size=_cut(label.size, 30),
        what=_cut(label.what, 16),
        text=_cut(label.text, 34),
        branch=_cut(label.branch, 20),
    )


def _cut(text: str, most: int) -> str:
    shown = printable(text)
    return shown if len(shown) <= most else f"{shown[: most - 3].rstrip()}..."


def labels_page(labels: Iterable[Bin], *, paper: str = "a4") -> str:
    """Labels as pages to print, three by eight on a sheet.

    Parameters
    ----------
    labels : iterable of Bin
        The labels, in their order.
    paper : str
        ``a4`` or ``letter``.

    Returns
    -------
    str
    """
    made = [(_fitting(label), symbol(label.size)) for label in labels]
    sheets: Sequence[Sequence[tuple[Bin, str]]] = [
        made[at : at + COLUMNS * ROWS] for at in range(0, len(made), COLUMNS * ROWS)
    ]
    return page("labels", paper=paper, sheets=sheets)
