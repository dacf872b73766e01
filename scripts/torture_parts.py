"""The invented parts of the list files, and a list file that is being written."""

from __future__ import annotations

import csv
import io
import random
from dataclasses import dataclass, field

METRIC = ((25, 40, 7), (35, 52, 7), (40, 62, 8), (45, 65, 8), (50, 72, 8), (60, 80, 10))
INCH = (
    ("1", "1-3/4", "1/4", (25400, 44450, 6350)),
    ("1-3/8", "2-1/8", "5/16", (34925, 53975, 7938)),
    ("1-1/2", "2-1/2", "3/8", (38100, 63500, 9525)),
    ("2", "3", "7/16", (50800, 76200, 11113)),
)
DECIMAL = {"1": "1.000", "1-3/4": "1.750", "1/4": ".250", "1-3/8": "1.375", "2-1/8": "2.125"}
DECIMAL |= {"5/16": ".3125", "1-1/2": "1.500", "2-1/2": "2.500", "3/8": ".375", "2": "2.000"}
DECIMAL |= {"3": "3.000", "7/16": ".4375"}
KEPT, REFUSED = "", "refused"

Size = tuple[int | None, int | None, int | None]
NO_SIZE: Size = (None, None, None)


@dataclass
class Part:
    """A part as the supplier knows it."""

    number: str
    size: Size
    words: str
    price: float
    names: tuple[str, ...] = ()

    @property
    def mm(self) -> tuple[str, ...]:
        """The three dimensions in mm."""
        return tuple(f"{value / 1000:g}" for value in self.size if value is not None)


@dataclass
class Sheet:
    """A list file that is being written: its rows, and the answers by line."""

    delimiter: str = ","
    end: str = "\n"
    encoding: str = "utf-8"
    text: str = ""
    answers: list[tuple[int, str, Size, str]] = field(default_factory=list)

    @property
    def line(self) -> int:
        """The line that the next row starts on."""
        return 1 + len(self.text.replace("\r\n", "\n").replace("\r", "\n").split("\n")) - 1

    def row(self, *cells: str, part: Part | None = None, outcome: str = KEPT) -> None:
        """Add a row, of a part or of none."""
        if part is not None:
            self.answers.append((self.line, part.number, part.size, outcome))
        out = io.StringIO()
        csv.writer(out, delimiter=self.delimiter, lineterminator=self.end).writerow(cells)
        self.text += out.getvalue()

    def head(self, *cells: str) -> Sheet:
        """Add the header."""
        self.row(*cells)
        return self

    def raw(self, text: str, part: Part | None = None, outcome: str = KEPT) -> None:
        """Add a row as it is."""
        if part is not None:
            self.answers.append((self.line, part.number, part.size, outcome))
        self.text += text + self.end

    def content(self) -> bytes:
        """The file."""
        return self.text.encode(self.encoding)


def parts(rng: random.Random, count: int = 8) -> list[Part]:
    """Metric seals with numbers of all sorts."""
    numbers = ["00621", "3E5", "AB-1234", "0012 34", "1.5E3", "7", "N/33/4", "12-05"]
    numbers += [f"{rng.randrange(10**6):06d}" for _ in range(count)]
    words = ("OIL SEAL", "Oil seal", "SEAL NBR", "shaft seal, dbl lip", "SEAL FKM single lip")
    made = []
    for i in range(count):
        size = tuple(1000 * value for value in rng.choice(METRIC))
        price = rng.randrange(150, 9000) / 100
        made.append(Part(numbers[i], (size[0], size[1], size[2]), rng.choice(words), price))
    return made


def inch_parts(rng: random.Random, count: int = 6) -> list[Part]:
    """Inch seals; ``names`` are their dimensions as fractions."""
    made = []
    for i in range(count):
        *names, size = rng.choice(INCH)
        number = f"IN-{i:03d}"
        made.append(Part(number, size, "SEAL", rng.randrange(150, 9000) / 100, tuple(names)))
    return made


HEADS = ("Part No", "Description", "Price")


def cells(part: Part, sign: str = ".") -> tuple[str, str, str]:
    """Number, description and price of a part."""
    price = f"{part.price:.2f}".replace(".", sign)
    return part.number, f"{part.words} {'x'.join(part.mm)}", price
