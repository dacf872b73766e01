#!/usr/bin/env python3
"""Make the demo history in data/demo/stock: three invented years of a port workshop, or check it.

Saltmere Quay is invented: a small cargo port whose workshop has two branches, north quay and
container yard. Machines wear out their hubs at random, more often in the stormy months; a job
takes the whole kit of a hub, or only its seals; customers off the street ask for single sizes. Each
branch keeps a shelf by rules of thumb, so that some asks find nothing and are marked short. One
size goes by several names, as on real job cards. Everything comes from one seed.

    python scripts/make_stock_demo.py            write the files
    python scripts/make_stock_demo.py --check    exit 1 when a file differs
"""

from __future__ import annotations

import argparse
import csv
import io
import math
import random
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

TARGET = Path(__file__).resolve().parent.parent / "data" / "demo" / "stock"
SEED = 20_220_301
FIRST, LAST = date(2022, 1, 1), date(2024, 12, 31)
QUAY, YARD = "north quay", "container yard"
BRANCHES = {QUAY: "NQ", YARD: "CY"}
NOTE = "invented"
# Storms: demand of each month over the average.
MONTHS = (1.3, 1.2, 1.05, 0.9, 0.8, 0.8, 0.75, 0.8, 0.95, 1.1, 1.2, 1.15)
SEALS_ONLY = 0.25
# Asks of an empty shelf that nobody writes down.
UNWRITTEN = 0.35


@dataclass(frozen=True)
class Hub:
    """A kind of hub: its machine, how many of it each branch looks after, renewals a year."""

    machine: str
    hub: str
    count: dict[str, int]
    renewals: float
    needs: dict[str, int]


# Machine | hub | how many at each branch | renewals of each in a year | pieces of each size.
HUBS_TEXT = """\
mooring winch | drive hub | 6 0 | 0.55 |
  1 of 90 x 120 x 12; 1 of 70 x 90 x 10; 1 of 45 x 62 x 8; 1 of 32018 X;
  1 of 32215; 1 of sleeve 90.00 x 20; 2 of shim 0.2 mm
mooring winch | brake shaft | 6 0 | 0.35 | 2 of 60 x 80 x 10; 2 of 30212; 1 of shim 0.1 mm
capstan | main bearing | 4 0 | 0.4 |
  1 of 110 x 140 x 12; 1 of 85 x 110 x 12; 1 of 32222; 1 of 32017 X
hatch crane | slew gearbox | 3 1 | 0.6 |
  2 of 80 x 100 x 10; 1 of 55 x 72 x 8; 2 of 30216; 2 of shim 0.2 mm
quay crane | trolley wheel | 8 0 | 0.5 | 2 of 75 x 95 x 10; 2 of 32215
conveyor | head drum | 9 3 | 0.45 | 2 of 65 x 85 x 10; 2 of 30213; 1 of sleeve 65.00 x 16
conveyor | tail drum | 9 3 | 0.35 | 2 of 50 x 72 x 8; 2 of 30210
conveyor | return roller | 30 10 | 0.18 | 2 of 25 x 47 x 7; 2 of 30205
ballast pump | shaft end | 5 2 | 0.7 | 1 of 45 x 62 x 8; 1 of 40 x 62 x 8; 1 of sleeve 45.00 x 13
grab | sheave | 10 0 | 0.3 | 2 of 100 x 125 x 12; 2 of 30220
tug winch | drum end | 3 0 | 0.5 |
  1 of 120 x 150 x 12; 1 of 90 x 120 x 12; 1 of 32024 X; 1 of 32018 X; 2 of shim 0.2 mm
container trailer | wheel end | 2 34 | 0.3 |
  1 of 1.375 x 2.125 x 0.313 in; 1 of LM67048/LM67010; 1 of LM11949/LM11910
container trailer | heavy axle | 0 16 | 0.35 |
  1 of 2.125 x 3.371 x 0.468 in; 1 of 387A/382A; 1 of LM67048/LM67010
terminal tractor | front wheel | 1 9 | 0.5 |
  1 of 80 x 100 x 10; 1 of 32210; 1 of 30208; 1 of shim 0.1 mm
terminal tractor | rear hub | 1 9 | 0.4 | 1 of 120 x 150 x 12; 1 of 32017 X; 1 of 32215
reach stacker | steer hub | 0 4 | 0.9 |
  1 of 90 x 120 x 12; 1 of 32018 X; 1 of 32212; 1 of sleeve 90.00 x 20
reach stacker | drive hub | 0 4 | 0.6 | 1 of 150 x 180 x 15; 2 of 32028 X; 3 of shim 0.2 mm
forklift | steer wheel | 3 12 | 0.4 | 1 of 50 x 72 x 8; 1 of 32208; 1 of 30206
forklift | drive wheel | 3 12 | 0.25 | 1 of 75 x 95 x 10; 1 of 32211; 1 of 30209
spreader | flipper motor | 2 8 | 0.5 | 1 of 30 x 47 x 7; 1 of 25 x 47 x 7
straddle carrier | travel hub | 0 5 | 0.7 |
  1 of 130 x 160 x 12; 1 of 32026 X; 1 of 32022 X; 2 of shim 0.1 mm
straddle carrier | kingpin | 0 5 | 0.4 | 2 of 70 x 90 x 10; 1 of 30214
weighbridge | roller | 1 2 | 0.3 | 2 of 40 x 62 x 8; 2 of 30208
fuel bowser | wheel end | 1 2 | 0.3 | 1 of 1.750 x 2.565 x 0.438 in; 1 of LM501349/LM501310
"""


def hubs() -> tuple[Hub, ...]:
    """The hubs of the text above; a line that is set in continues the one before."""
    found = []
    for line in HUBS_TEXT.replace("\n  ", " ").splitlines():
        machine, name, count, renewals, needs = (cell.strip() for cell in line.split("|"))
        pairs = (entry.partition(" of ") for entry in needs.split("; "))
        found.append(
            Hub(
                machine,
                name,
                dict(zip(BRANCHES, map(int, count.split()), strict=True)),
                float(renewals),
                {size: int(number) for number, _, size in pairs},
            )
        )
    return tuple(found)


HUBS = hubs()

# Single sizes that customers off the street ask for, pieces a year at each branch.
STREET = {
    "35 x 52 x 7": (3.0, 2.0),
    "35 x 52 x 8": (0.7, 0.4),
    "40 x 52 x 7": (1.0, 0.6),
    "30 x 47 x 7": (1.2, 0.8),
    "45 x 62 x 8": (1.0, 0.9),
    "25 x 47 x 7": (1.5, 0.7),
    "20 x 35 x 7": (1.1, 1.3),
    "28 x 47 x 7": (0.5, 0.2),
    "42 x 62 x 8": (0.3, 0.4),
    "55 x 72 x 8": (0.5, 0.6),
    "95 x 120 x 12": (0.4, 0.1),
    "140 x 170 x 15": (0.2, 0.2),
    "30206": (2.0, 1.6),
    "30205": (1.3, 1.0),
    "32206": (0.5, 0.3),
    "30204": (0.6, 0.9),
    "LM11949/LM11910": (0.8, 2.2),
    "L44649/L44610": (0.6, 1.8),
    "32304": (0.2, 0.3),
    "sleeve 35.00 x 13": (0.6, 0.4),
    "sleeve 45.00 x 13": (0.4, 0.2),
    "1.250 x 1.979 x 0.313 in": (0.4, 1.0),
    "rope guide": (0.3, 0.0),
}

# How the same sizes are written on other days.
OTHER_NAMES = {
    "35 x 52 x 7": ("35x52x7", "OIL SEAL 35X52X7", "1.378 x 2.047 x 0.276 in"),
    "90 x 120 x 12": ("90x120x12", "seal 90 x 120 x 12"),
    "1.375 x 2.125 x 0.313 in": ("1-3/8 x 2-1/8 x 5/16 in", "34.925x53.975x7.95 mm"),
    "25 x 47 x 7": ("25x47x7 NBR",),
    "30206": ("bearing 30206",),
    "LM11949/LM11910": ("LM11949 / LM11910",),
}

# Lead time in days and its spread, by the kind of part.
LEADS = {"seal": (6.0, 2.0), "bearing": (9.0, 3.0), "sleeve": (16.0, 5.0), "other": (5.0, 1.0)}
# Not in the terms: nobody knows their price.
NO_PRICE = ("rope guide", "140 x 170 x 15")
CRITICAL = ("32028 X", "150 x 180 x 15")


def kind(size: str) -> str:
    """What kind of part a size names."""
    if size.startswith("sleeve"):
        return "sleeve"
    if size.startswith(("shim", "rope")):
        return "other"
    return "seal" if " x " in size else "bearing"


def price(size: str) -> float:
    """A price that grows with the part."""
    first = "".join(c if c.isdigit() or c == "." else " " for c in size).split()
    if kind(size) == "other":
        return 0.9
    if kind(size) == "bearing":
        bore = int(first[0][3:5]) * 5 if len(first[0]) == 5 and "/" not in size else 45
        return round(4.0 + 0.012 * bore**2, 2)
    scale = 25.4 if size.endswith(" in") else 1.0
    shaft = float(first[0]) * scale
    return round((14.0 if kind(size) == "sleeve" else 1.2) + 0.0016 * shaft**2, 2)


@dataclass
class Ask:
    """What one customer asks for at once."""

    day: date
    branch: str
    whose: str
    needs: dict[str, int]


def days_of(rate: float, draw: random.Random) -> Iterator[date]:
    """Days drawn at random, so many a year, more in stormy months."""
    day, top = FIRST, max(MONTHS)
    while True:
        day += timedelta(days=max(0.0, draw.expovariate(rate * top / 365.25)) if rate else 9999)
        if day > LAST:
            return
        if draw.random() < MONTHS[day.month - 1] / top:
            yield day


def asks(draw: random.Random) -> list[Ask]:
    """Everything that is asked for in three years, by day."""
    found = []
    for one in HUBS:
        wear = math.exp(draw.gauss(0.0, 0.35))
        for branch, count in one.count.items():
            for day in days_of(count * one.renewals * wear, draw):
                needs = dict(one.needs)
                if draw.random() < SEALS_ONLY:
                    needs = {size: n for size, n in needs.items() if kind(size) == "seal"}
                found.append(Ask(day, branch, f"{one.machine}, {one.hub}", needs))
    for size, rates in STREET.items():
        for branch, rate in zip(BRANCHES, rates, strict=True):
            for day in days_of(rate, draw):
                found.append(Ask(day, branch, "", {size: 2 if draw.random() < 0.3 else 1}))
    return sorted(found, key=lambda ask: (ask.day, ask.branch, ask.whose, sorted(ask.needs)))


def shelf_levels(wanted: list[Ask]) -> dict[tuple[str, str], int]:
    """What each branch has kept so far: habit, after a look at the first year."""
    seen: Counter[tuple[str, str]] = Counter()
    for ask in wanted:
        if ask.day.year == FIRST.year:
            for size in ask.needs:
                seen[ask.branch, size] += 1
    keys = sorted({(ask.branch, size) for ask in wanted for size in ask.needs})
    return {key: 0 if seen[key] < 3 else 1 + seen[key] // 4 for key in keys}


def written(size: str, draw: random.Random) -> str:
    """The size as it was written that day."""
    names = OTHER_NAMES.get(size, ())
    return draw.choice(names) if names and draw.random() < 0.4 else size


Row = tuple[object, ...]


def history(draw: random.Random) -> tuple[list[Row], list[Row]]:
    """The history and the shelf at its end."""
    wanted = asks(draw)
    level = shelf_levels(wanted)
    shelf = dict(level)
    due: list[tuple[date, tuple[str, str], int]] = []
    rows: list[Row] = []
    numbers: Counter[str] = Counter()
    for ask in wanted:
        for entry in [one for one in due if one[0] <= ask.day]:
            shelf[entry[1]] += entry[2]
            due.remove(entry)
        numbers[ask.branch] += 1
        job = f"{BRANCHES[ask.branch]}-{numbers[ask.branch]:04d}" if ask.whose else ""
        for size, pieces in ask.needs.items():
            key = (ask.branch, size)
            short = shelf[key] < pieces
            taken = min(shelf[key], pieces)
            shelf[key] -= taken
            if taken:
                mean, spread = LEADS[kind(size)]
                lead = max(1, round(draw.gauss(mean, spread)))
                due.append((ask.day + timedelta(days=lead), key, taken))
            if short and not ask.whose and draw.random() < UNWRITTEN:
                continue
            text = written(size, draw)
            rows.append((ask.day, ask.branch, job, text, pieces, "yes" if short else "no", NOTE))
    counts: list[Row] = [
        (LAST, branch, size, pieces, NOTE)
        for (branch, size), pieces in sorted(shelf.items())
        if level[branch, size] > 0
    ]
    # Two sizes that nobody asks for any more.
    counts += [(LAST, QUAY, "62 x 85 x 10", 6, NOTE), (LAST, YARD, "32304", 4, NOTE)]
    return rows, counts


def fleet(draw: random.Random) -> list[Row]:
    """The fleet as the workshop has it written down: renewals as the machines' books say."""
    rows: list[Row] = []
    for one in HUBS:
        said = round(one.renewals * math.exp(draw.gauss(0.0, 0.15)), 2)
        for branch, count in one.count.items():
            for number, (size, pieces) in enumerate(one.needs.items(), start=1):
                if count:
                    what = (branch, one.machine, count, one.hub, number, size, pieces, said, NOTE)
                    rows.append(what)
    return rows


def terms() -> list[Row]:
    """What every size costs and how long it takes."""
    sizes = {size for one in HUBS for size in one.needs} | {*STREET, "62 x 85 x 10"}
    rows: list[Row] = []
    for size in sorted(sizes - set(NO_PRICE)):
        mean, spread = LEADS[kind(size)]
        pack = 10 if kind(size) == "other" else 1
        critical = "yes" if size in CRITICAL else ""
        rows.append((size, f"{price(size):.2f}", "EUR", mean, spread, pack, critical, NOTE))
    return rows


def files() -> dict[str, str]:
    """Every file by its name."""
    draw = random.Random(SEED)
    rows, counts = history(draw)
    tables: dict[str, tuple[str, list[Row]]] = {
        "history.csv": ("date,branch,job,part,quantity,short,note", rows),
        "shelf.csv": ("date,branch,part,on_hand,note", counts),
        "fleet.csv": (
            "branch,machine,machines,hub,position,part,quantity,renewals,note",
            fleet(draw),
        ),
        "terms.csv": (
            "part,price,currency,lead_days,lead_days_sd,pack,critical,note",
            terms(),
        ),
    }
    found = {}
    for name, (heading, lines) in tables.items():
        out = io.StringIO()
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(heading.split(","))
        writer.writerows(lines)
        found[name] = out.getvalue()
    return found


def main() -> int:
    """Write the files, or with --check compare them."""
    parser = argparse.ArgumentParser(description="Make the demo history of data/demo/stock.")
    parser.add_argument("--check", action="store_true", help="compare only; exit 1 on a difference")
    arguments = parser.parse_args()
    wrong = []
    for name, text in files().items():
        path = TARGET / name
        if not arguments.check:
            TARGET.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8", newline="\n")
        elif not path.is_file() or path.read_text(encoding="utf-8") != text:
            wrong.append(name)
    for name in wrong:
        print(f"{TARGET / name} differs: run scripts/make_stock_demo.py", file=sys.stderr)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
