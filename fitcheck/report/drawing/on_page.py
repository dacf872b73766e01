"""A drawing as it goes on a page: smaller than drawn, its remarks in the text of the page."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from html import unescape

from fitcheck.records import dataclass

_NOTES = re.compile(r'\n<g data-part="notes" data-from="([0-9.]+)">.*?\n</g>(?=\n</svg>)', re.S)
_NOTE = re.compile(r'<g data-part="note" data-text="([^"]*)">')
_SCALE = re.compile(r'(<text data-part="scale"[^>]*>)([^<]*)(</text>)')
_RATIO = re.compile(r" [0-9.]+:[0-9.]+")
_HEIGHT = re.compile(r'viewBox="0 0 ([0-9.]+) ([0-9.]+)"')
# A sentence ends before the capital letter or figure of the next.
_SENTENCE = re.compile(r"(?<=\.) (?=[A-Z0-9])")


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing on a page: its name, its SVG, what is remarked on it, and height over width."""

    name: str
    svg: str
    remarks: tuple[str, ...] = ()
    tall: float = 1.0


def figures(drawings: Iterable[tuple[str, str]]) -> tuple[list[Figure], list[str]]:
    """Drawings as they go on a page, and the remarks that hold for more than one of them.

    On a page they are as wide as a column: the bars stay true there, and a ratio such as 2:1 would
    not, so it is left out. Remarks go into the page's own text, where they can be read.

    Parameters
    ----------
    drawings : iterable of (name, svg)
        The drawings.
    """
    made = [(name, *_parted(svg)) for name, svg in drawings]
    counted = Counter(sentence for _, _, remarks in made for sentence in dict.fromkeys(remarks))
    shared = [sentence for sentence, count in counted.items() if count > 1]
    return [
        Figure(
            name,
            svg,
            tuple(sentence for sentence in dict.fromkeys(remarks) if sentence not in shared),
            _tall(svg),
        )
        for name, svg, remarks in made
    ], shared


def _parted(svg: str) -> tuple[str, list[str]]:
    """A drawing without its remarks and ratios, and the remarks sentence by sentence."""
    svg = _SCALE.sub(lambda found: found[1] + _without_ratios(found[2]) + found[3], svg)
    notes = _NOTES.search(svg)
    if notes is None:
        return svg, []
    remarks = [
        sentence for note in _NOTE.findall(notes[0]) for sentence in _SENTENCE.split(unescape(note))
    ]
    svg = svg[: notes.start()] + svg[notes.end() :]
    return _shortened(svg, notes[1]), remarks


def _without_ratios(text: str) -> str:
    return "Detail Z" if text.startswith("Detail Z along") else _RATIO.sub("", text)


def _shortened(svg: str, height: str) -> str:
    """A drawing that ends higher up; its background is the first of its rectangles."""
    found = _HEIGHT.search(svg)
    if found is None:
        return svg
    width, old = found[1], found[2]
    for before, after in (
        (f'height="{old}mm"', f'height="{height}mm"'),
        (found[0], f'viewBox="0 0 {width} {height}"'),
        (f'<rect width="{width}" height="{old}"', f'<rect width="{width}" height="{height}"'),
    ):
        svg = svg.replace(before, after, 1)
    return svg


def _tall(svg: str) -> float:
    found = _HEIGHT.search(svg)
    return float(found[2]) / float(found[1]) if found else 1.0


def shares(made: Sequence[Figure]) -> list[float]:
    """The widths of figures that stand side by side, together 100: a tall one is narrower.

    >>> [round(one) for one in shares([Figure("", "", tall=1.6), Figure("", "", tall=0.8)])]
    [43, 57]
    """
    # In full proportion to their shape they would be equally tall, and the flat one far too large.
    weights = [one.tall**-0.4 for one in made]
    return [100.0 * weight / sum(weights) for weight in weights]
