#!/usr/bin/env python3
"""Make the table of thin repair sleeves, data/sleeves/thin.csv, or check it.

There is no open standard for thin repair sleeves, so the table follows a rule of our own:

- one sleeve for every nominal shaft of the seal tables from 12 to 200 mm and from 0.5 to 8 in;
- a nominal at least 0.01 mm inside the window of a sleeve already made shares that sleeve:
  metric shafts are taken first, then inch shafts on whole sixteenths, then the rest;
- wall 0.254 mm to and including a 100 mm shaft, 0.28 mm above;
- shaft window from 0.07 mm below nominal to 0.03 mm above to and including 100 mm, from 0.10 mm
  below to 0.06 mm above over that. The middle stands 0.02 mm below nominal, because shafts are
  made to minus tolerances, and 34.925 and 35 mm still get a sleeve each;
- working width by shaft diameter, and a flange of 2.5 mm, or 3 mm above an 80 mm shaft.

The counterface after sleeving is the shaft plus twice the wall. Everything here is invented.

    python scripts/make_sleeves.py            write the table
    python scripts/make_sleeves.py --check    exit 1 when the file differs from the rule
"""

from __future__ import annotations

import argparse
import csv
import io
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path
from typing import TypeVar

DATA = Path(__file__).resolve().parent.parent / "data"
TARGET = DATA / "sleeves" / "thin.csv"

COLUMNS = (
    "designation",
    "shaft_mm",
    "window_min_mm",
    "window_max_mm",
    "wall_mm",
    "width_mm",
    "overall_mm",
    "source",
    "evidence",
    "note",
)

MM_PER_IN = Decimal("25.4")
METRIC_RANGE_MM = (Decimal(12), Decimal(200))
INCH_RANGE_IN = (Decimal("0.5"), Decimal(8))
SHARE_MARGIN_MM = Decimal("0.01")
SIXTEENTH_IN = Decimal("0.0625")

# Shaft up to and including [mm]; None: no upper limit.
WALLS = ((Decimal(100), Decimal("0.254")), (None, Decimal("0.28")))
WINDOWS = (
    (Decimal(100), (Decimal("0.07"), Decimal("0.03"))),
    (None, (Decimal("0.10"), Decimal("0.06"))),
)
WIDTHS = (
    (Decimal(18), Decimal(8)),
    (Decimal(30), Decimal(10)),
    (Decimal(50), Decimal(13)),
    (Decimal(80), Decimal(16)),
    (Decimal(120), Decimal(20)),
    (None, Decimal(25)),
)
FLANGES = ((Decimal(80), Decimal("2.5")), (None, Decimal(3)))


T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Nominal:
    """A nominal shaft of the seal tables."""

    shaft_mm: Decimal
    shaft_in: Decimal | None

    @property
    def turn(self) -> int:
        """When it is taken: metric shafts, whole sixteenths of an inch, the rest."""
        if self.shaft_in is None:
            return 0
        return 1 if self.shaft_in % SIXTEENTH_IN == 0 else 2


def step(steps: tuple[tuple[Decimal | None, T], ...], shaft_mm: Decimal) -> T:
    """The value of the first step whose upper end is not below the shaft [mm]."""
    return next(value for incl, value in steps if incl is None or shaft_mm <= incl)


def window_mm(shaft_mm: Decimal) -> tuple[Decimal, Decimal]:
    """Smallest and largest shaft that the sleeve of this nominal takes [mm]."""
    below, above = step(WINDOWS, shaft_mm)
    return shaft_mm - below, shaft_mm + above


def column(table: str, name: str) -> list[Decimal]:
    """One column of a seal table, as written."""
    with (DATA / "seals" / f"{table}.csv").open(encoding="utf-8", newline="") as handle:
        return [Decimal(row[name]) for row in csv.DictReader(handle)]


def nominals() -> list[Nominal]:
    """Every nominal shaft in range, in the order in which they are given sleeves."""
    found: set[Nominal] = set()
    low, high = METRIC_RANGE_MM
    for table in ("iso6194", "din3760", "metric_other"):
        found |= {Nominal(mm, None) for mm in column(table, "shaft_mm") if low <= mm <= high}
    low, high = INCH_RANGE_IN
    found |= {
        Nominal(inch * MM_PER_IN, inch)
        for inch in column("inch", "shaft_in")
        if low <= inch <= high
    }
    return sorted(found, key=lambda n: (n.turn, n.shaft_mm))


def served() -> list[Nominal]:
    """The nominals that get a sleeve of their own, by shaft diameter."""
    kept: list[Nominal] = []
    for nominal in nominals():
        windows = (window_mm(other.shaft_mm) for other in kept)
        if not any(
            low + SHARE_MARGIN_MM <= nominal.shaft_mm <= high - SHARE_MARGIN_MM
            for low, high in windows
        ):
            kept.append(nominal)
    return sorted(kept, key=lambda n: n.shaft_mm)


def plain(value: Decimal) -> str:
    """A number without trailing zeros or an exponent."""
    return f"{value.normalize():f}"


def rows() -> Iterator[tuple[str, ...]]:
    """The rows of the table by shaft diameter."""
    for nominal in served():
        shaft = nominal.shaft_mm
        low, high = window_mm(shaft)
        width = step(WIDTHS, shaft)
        named = shaft.quantize(Decimal("0.01"), rounding=ROUND_HALF_UP)
        yield (
            f"sleeve {named} x {plain(width)}",
            plain(shaft),
            plain(low),
            plain(high),
            plain(step(WALLS, shaft)),
            plain(width),
            plain(width + step(FLANGES, shaft)),
            "rule",
            "invented",
            "" if nominal.shaft_in is None else f"for a {plain(nominal.shaft_in)} in shaft",
        )


def text() -> str:
    """The whole file as it should be."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    writer.writerows(rows())
    return out.getvalue()


def main() -> int:
    """Write the table, or with --check compare it."""
    parser = argparse.ArgumentParser(description="Make the table of thin repair sleeves.")
    parser.add_argument("--check", action="store_true", help="compare only; exit 1 on a difference")
    arguments = parser.parse_args()
    wanted = text()
    if not arguments.check:
        TARGET.parent.mkdir(parents=True, exist_ok=True)
        TARGET.write_text(wanted, encoding="utf-8", newline="\n")
        return 0
    found = TARGET.read_text(encoding="utf-8") if TARGET.is_file() else ""
    if found == wanted:
        return 0
    print(f"{TARGET} differs from the rule: run scripts/make_sleeves.py", file=sys.stderr)
    return 1


if __name__ == "__main__":
    sys.exit(main())
