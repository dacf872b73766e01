"""Reads the drawings back: points, texts with their boxes, and what lies outside the paper."""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import combinations
from xml.etree import ElementTree as ET

from fitcheck.report.drawing.svg import text_width

NS = "{http://www.w3.org/2000/svg}"
Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Label:
    """A text and the room it takes on the paper: left, top, right, bottom."""

    text: str
    box: Box


class Drawing:
    """An SVG document read back."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.root = ET.fromstring(text)
        assert self.root.tag == f"{NS}svg"
        _, _, self.width, self.height = map(float, self.root.attrib["viewBox"].split())

    @property
    def title(self) -> str:
        found = self.root.find(f"{NS}title")
        assert found is not None
        return found.text or ""

    @property
    def description(self) -> str:
        found = self.root.find(f"{NS}desc")
        assert found is not None
        return found.text or ""

    def parts(self, name: str) -> list[list[tuple[float, float]]]:
        """The points of every path that shows a part."""
        return [
            points(path.attrib["d"])
            for path in self.root.iter(f"{NS}path")
            if path.attrib.get("data-part") == name
        ]

    def part(self, name: str) -> list[tuple[float, float]]:
        """The points of the one path that shows a part."""
        (found,) = self.parts(name)
        return found

    def circle(self, name: str) -> tuple[float, float, float]:
        """Centre and radius of the one circle that shows a part."""
        (found,) = (c for c in self.root.iter(f"{NS}circle") if c.attrib.get("data-part") == name)
        x, y, r = (float(found.attrib[k]) for k in ("cx", "cy", "r"))
        return x, y, r

    def labels(self) -> list[Label]:
        """Every text with its box."""
        return [_label(text) for text in self.root.iter(f"{NS}text")]

    def texts(self) -> list[str]:
        """Every text."""
        return [label.text for label in self.labels()]

    def scale(self, name: str) -> float:
        """The scale a view is labelled with."""
        (found,) = (t for t in self.texts() if t.startswith(f"{name} ") and ":" in t)
        above, _, below = found.removeprefix(f"{name} ").partition(":")
        return float(above) / float(below)

    def overlapping(self) -> list[tuple[str, str]]:
        """Texts that stand on one another."""
        return [(a.text, b.text) for a, b in combinations(self.labels(), 2) if _meet(a.box, b.box)]

    def outside(self) -> list[str]:
        """What reaches over the edge of the paper, or is no number."""
        found = []
        if re.search(r"\b(nan|inf)\b", re.sub(r"<(title|desc|text).*?</\1>", "", self.text)):
            found.append("a number that is none")
        for path in self.root.iter(f"{NS}path"):
            for x, y in points(path.attrib["d"]):
                if not self._within(x, y):
                    found.append(f"{path.attrib.get('data-part', 'path')} at {x:g}, {y:g}")
                    break
        for label in self.labels():
            left, top, right, bottom = label.box
            if not (self._within(left, top) and self._within(right, bottom)):
                found.append(f"{label.text} at {label.box}")
        return found

    def _within(self, x: float, y: float) -> bool:
        return -0.01 <= x <= self.width + 0.01 and -0.01 <= y <= self.height + 0.01


def points(data: str) -> list[tuple[float, float]]:
    """The points of a path's data."""
    numbers = [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?(?:e-?\d+)?", data)]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def _label(element: ET.Element) -> Label:
    text, size = element.text or "", float(element.attrib["font-size"])
    x, y = float(element.attrib["x"]), float(element.attrib["y"])
    wide = text_width(text, size) * (1.12 if element.attrib.get("font-weight") else 1.0)
    back = {"start": 0.0, "middle": 0.5, "end": 1.0}[element.attrib.get("text-anchor", "start")]
    if element.attrib.get("transform", "").startswith("rotate(-90"):
        start = y + back * wide
        return Label(text, (x - 0.75 * size, start - wide, x + 0.2 * size, start))
    start = x - back * wide
    return Label(text, (start, y - 0.75 * size, start + wide, y + 0.2 * size))


def _meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
