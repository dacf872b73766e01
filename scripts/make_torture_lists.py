#!/usr/bin/env python3
"""Make the invented list files of tests/lists/torture, each another mess, and what they hold.

answers.csv says of every line what a reader must find: the part number and the size, or that the
line is refused. The lists are invented; the sizes are common ones and the numbers nobody's.

    python scripts/make_torture_lists.py            write the files
    python scripts/make_torture_lists.py --check    exit 1 when a file differs from the rule
"""

from __future__ import annotations

import argparse
import csv
import io
import random
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))
from torture_books import books
from torture_parts import (
    DECIMAL,
    HEADS,
    KEPT,
    NO_SIZE,
    REFUSED,
    Part,
    Sheet,
    Size,
    cells,
    inch_parts,
    parts,
)

TARGET = Path(__file__).resolve().parent.parent / "tests" / "lists" / "torture"
COLUMNS = ("file", "line", "part_number", "shaft_um", "bore_um", "width_um", "outcome")
MESSES: dict[str, Callable[[random.Random], Sheet]] = {}


def mess(name: str) -> Callable[[Callable[[random.Random], Sheet]], object]:
    """Name a file and the function that writes it."""

    def keep(make: Callable[[random.Random], Sheet]) -> object:
        MESSES[name] = make
        return make

    return keep


def simple(
    rng: random.Random, sheet: Sheet, *, sign: str = ".", heads: Sequence[str] = HEADS
) -> Sheet:
    """A header and eight parts."""
    sheet.row(*heads)
    for part in parts(rng):
        sheet.row(*cells(part, sign), part=part)
    return sheet


def plain(
    delimiter: str = ",", end: str = "\n", encoding: str = "utf-8", sign: str = "."
) -> Callable[[random.Random], Sheet]:
    """A mess that is only a way of writing the file."""
    return lambda rng: simple(rng, Sheet(delimiter, end, encoding), sign=sign)


for _name, _make in {
    "01-comma.csv": plain(),
    "02-semicolon-decimal-comma.csv": plain(";", sign=","),
    "03-tab.csv": plain("\t"),
    "04-bar.csv": plain("|"),
    "05-utf8-bom.csv": plain(encoding="utf-8-sig"),
    "06-utf16-le-bom.CSV": plain(encoding="utf-16"),
    "07-utf16-le.CSV": plain("\t", "\r\n", "utf-16-le"),
    "08-utf16-be.CSV": plain(";", "\r\n", "utf-16-be", ","),
    "09-crlf.csv": plain(end="\r\n"),
    "10-cr.csv": plain(end="\r"),
    "11-comma-delimited-decimal-comma.csv": plain(sign=","),
}.items():
    MESSES[_name] = _make


@mess("12-latin1.CSV")
def _latin1(rng: random.Random) -> Sheet:
    sheet = Sheet(";", "\r\n", "latin-1").head("Artikelnummer", "Größe", "Stückpreis")
    for part in parts(rng):
        sheet.row(part.number, "Ø" + "×".join(part.mm), cells(part, ",")[2], part=part)
    return sheet


@mess("13-cp1252-euro.CSV")
def _cp1252(rng: random.Random) -> Sheet:
    sheet = Sheet(";", "\r\n", "cp1252").head("Référence", "Désignation", "Prix")
    for part in parts(rng):
        sheet.row(part.number, cells(part)[1], "€ " + cells(part, ",")[2], part=part)
    return sheet


@mess("14-fixed-columns.csv")
def _fixed(rng: random.Random) -> Sheet:
    sheet = Sheet()
    sheet.raw(f"{'Part No':<12}{'Description':<38}{'Price':>10}")
    for part in parts(rng):
        number, text, price = cells(part)
        sheet.raw(f"{number:<12}{text:<38}{price:>10}", part)
    return sheet


@mess("15-quoted-newlines.csv")
def _newlines(rng: random.Random) -> Sheet:
    sheet = Sheet().head(*HEADS)
    for part in parts(rng):
        number, text, price = cells(part)
        sheet.row(number, text.replace(" ", "\n", 1), price, part=part)
    return sheet


@mess("16-short-rows.csv")
def _short(rng: random.Random) -> Sheet:
    sheet = Sheet().head(*HEADS, "Stock")
    for i, part in enumerate(parts(rng)):
        sheet.row(*cells(part)[: 2 + i % 2], part=part)
    return sheet


@mess("17-unquoted-commas.csv")
def _long(rng: random.Random) -> Sheet:
    sheet = Sheet().head(*HEADS)
    for i, part in enumerate(parts(rng)):
        number, text, price = cells(part)
        text = text.replace(",", "") + (", boxed" if i % 3 == 0 else "")
        sheet.raw(f"{number},{text},{price}", part, REFUSED if i % 3 == 0 else KEPT)
    return sheet


@mess("18-blank-rows.csv")
def _blank(rng: random.Random) -> Sheet:
    sheet = Sheet()
    sheet.raw("")
    sheet.row(*HEADS)
    for part in parts(rng):
        sheet.row(*cells(part), part=part)
        sheet.raw(rng.choice(("", ",,", "  , ,")))
    return sheet


@mess("19-title-above.csv")
def _title(rng: random.Random) -> Sheet:
    sheet = Sheet(";")
    for title in ("Harbour Parts (invented)", "Price list, valid from 1 March", ""):
        sheet.raw(title)
    sheet.row("Valid until", "31.12.2026")
    return simple(rng, sheet, sign=",")


@mess("20-totals-below.csv")
def _totals(rng: random.Random) -> Sheet:
    sheet = simple(rng, Sheet())
    foot = Part("", NO_SIZE, "", 0)
    sheet.row("Total", "", "123.45", part=foot, outcome=REFUSED)
    sheet.row("All prices ex works, errors excepted", "", "", part=foot, outcome=REFUSED)
    return sheet


@mess("21-repeated-headers.csv")
def _repeated(rng: random.Random) -> Sheet:
    sheet = Sheet()
    for _ in range(3):
        simple(rng, sheet)
    return sheet


@mess("22-no-header.csv")
def _headless(rng: random.Random) -> Sheet:
    sheet = Sheet(";")
    for part in parts(rng, 12):
        sheet.row(*cells(part, ","), part=part)
    return sheet


def headed(*heads: str, delimiter: str = ";") -> Callable[[random.Random], Sheet]:
    """Other words in the header."""
    return lambda rng: simple(rng, Sheet(delimiter), sign=",", heads=heads)


MESSES["23-unknown-headers.csv"] = headed("Zaza", "Zuzu", "Zozo")
MESSES["24-misspelt-headers.csv"] = headed("Part Numbr", "Desciption", "Priice")
MESSES["25-german-headers.csv"] = headed("Artikel-Nr.", "Bezeichnung", "Netto €")
MESSES["26-spanish-headers.csv"] = headed("Referencia", "Descripción", "Precio")
MESSES["27-wrong-header.csv"] = headed("Item", "Price", "Cost each")


@mess("28-one-column.csv")
def _one(rng: random.Random) -> Sheet:
    sheet = Sheet()
    sheet.raw("Description")
    for part in parts(rng):
        sheet.raw(cells(part)[1].replace(",", ""), Part("", part.size, "", 0))
    return sheet


def sized(name: str, write: Callable[[Part, int], str], *, inch: bool = False) -> None:
    """A file with a way of writing sizes."""

    def make(rng: random.Random) -> Sheet:
        sheet = Sheet("\t")
        sheet.row("Part No", "Description")
        for i, part in enumerate(inch_parts(rng) if inch else parts(rng)):
            sheet.row(part.number, write(part, i), part=part)
        return sheet

    MESSES[name] = make


def _decimals(part: Part) -> list[str]:
    return [DECIMAL[name] for name in part.names]


sized("29-spaces.csv", lambda p, i: "SEAL " + " ".join(p.mm))
sized("30-dashes-and-strokes.csv", lambda p, i: ("-" if i % 2 else "/").join(p.mm) + " seal")
sized("31-words-before-numbers.csv", lambda p, i: "shaft {} bore {} w {}".format(*p.mm))
sized("32-letters-before-numbers.csv", lambda p, i: "seal D{} D{} B{}".format(*p.mm))
sized("33-stars-and-times.csv", lambda p, i: "×".join(p.mm) if i % 2 else "*".join(p.mm) + " mm")
sized("34-other-order.csv", lambda p, i: "seal " + "x".join((p.mm[1], p.mm[0], p.mm[2])))
sized("35-fractions.csv", lambda p, i: "seal," + " X ".join(p.names).replace("-", " "), inch=True)
sized("36-inches-no-unit.csv", lambda p, i: "x".join(_decimals(p)) + " seal", inch=True)
sized("37-inch-marks.csv", lambda p, i: " x ".join(d + '"' for d in _decimals(p)), inch=True)
sized("38-glyph-fractions.csv", lambda p, i: "x".join(p.names).replace("-3/8", "⅜"), inch=True)


@mess("39-no-width.csv")
def _no_width(rng: random.Random) -> Sheet:
    sheet = Sheet().head("Part No", "Size")
    for part in parts(rng):
        found = Part(part.number, (part.size[0], part.size[1], None), "", 0)
        sheet.row(part.number, "x".join(part.mm[:2]), part=found)
    return sheet


@mess("40-in-doubt.csv")
def _doubt(rng: random.Random) -> Sheet:
    sheet = Sheet(";").head("Part No", "Size", "Description")
    for i, part in enumerate(parts(rng)):
        if i % 2:
            doubt = ("25x7x10", "35x52x7x9", "100x50x10x2", "abc")[i // 2]
            sheet.row(part.number, doubt, "seal", part=part, outcome=REFUSED)
        else:
            sheet.row(part.number, "x".join(part.mm), "seal", part=part)
    return sheet


@mess("41-two-sizes-in-a-line.csv")
def _contradiction(rng: random.Random) -> Sheet:
    sheet = Sheet(";").head("Part No", "Size", "Description")
    for i, part in enumerate(parts(rng)):
        words, size = cells(part)[1], "x".join(part.mm)
        if i % 3:
            sheet.row(part.number, size, words, part=part)
        else:
            sheet.row(part.number, size, "SEAL 100x125x12", part=part, outcome=REFUSED)
    return sheet


@mess("42-own-columns-mm.csv")
def _own_mm(rng: random.Random) -> Sheet:
    sheet = Sheet(";").head("Ref.", "d", "D", "B", "Price/100")
    for part in parts(rng):
        sheet.row(part.number, *part.mm, cells(part, ",")[2], part=part)
    return sheet


@mess("43-own-columns-inch.csv")
def _own_inch(rng: random.Random) -> Sheet:
    sheet = Sheet().head("Item", "ID (in)", "OD (in)", "Width (in)")
    for i, part in enumerate(inch_parts(rng)):
        sheet.row(part.number, *(part.names if i % 2 else _decimals(part)), part=part)
    return sheet


@mess("44-unit-by-line.csv")
def _units(rng: random.Random) -> Sheet:
    sheet = Sheet().head("Item", "Shaft", "Housing", "Width", "Unit")
    for part in parts(rng):
        sheet.row(part.number, *part.mm, "mm", part=part)
    for part in inch_parts(rng):
        sheet.row(part.number, *_decimals(part), "inch", part=part)
    return sheet


@mess("45-units-below-header.csv")
def _units_row(rng: random.Random) -> Sheet:
    sheet = Sheet().head("Item", "ID", "OD", "Width")
    sheet.row("", "mm", "mm", "mm")
    for part in parts(rng):
        sheet.row(part.number, *part.mm, part=part)
    return sheet


@mess("46-money.csv")
def _money(rng: random.Random) -> Sheet:
    sheet = Sheet(";").head("Item", "Description", "Price", "Lead time", "Stock")
    money = ("€ 4,20", "1.234,50 EUR", "12,-", "on request", "$ 5,00", "4.20", "free", "-3,10")
    times = ("2 weeks", "14", "ex stock", "1-2 weeks", "soon", "3 d", "", "n/a")
    for part, price, time in zip(parts(rng), money, times, strict=True):
        stock = rng.choice(("5", "> 10", ""))
        sheet.row(part.number, cells(part)[1], price, time, stock, part=part)
    return sheet


@mess("47-stray-quotes.csv")
def _quotes(rng: random.Random) -> Sheet:
    sheet = Sheet(";").head(*HEADS)
    for i, part in enumerate(parts(rng, 30)):
        number, text, price = cells(part, ",")
        stray = '"' if i == 4 else ""
        sheet.raw(f"{number};{stray}{text};{price}", part, REFUSED if stray else KEPT)
    return sheet


@mess("48-attributes.csv")
def _attributes(rng: random.Random) -> Sheet:
    sheet = Sheet(";").head(
        "Item", "Size", "Lip", "Case", "Material", "Spring", "Direction", "Medium"
    )
    for part in parts(rng):
        lip, case = rng.choice(("double", "SL", "??")), rng.choice(("metal", "rubber covered"))
        sheet.row(
            part.number,
            "x".join(part.mm),
            lip,
            case,
            rng.choice(("NBR", "FPM", "wool")),
            rng.choice(("yes", "no", "-")),
            rng.choice(("RH", "both", "")),
            "oil",
            part=part,
        )
    return sheet


@mess("49-bearings.csv")
def _bearings(rng: random.Random) -> Sheet:
    sheet = Sheet().head("Item", "Description")
    texts = ("BRG 30206", "taper brg LM11949/10", "bearing 32006X", "CONE LM11949 CUP LM11910")
    for i, text in enumerate((*texts, "30206 30x62x17.25 bearing", "bearing 2475/2420")):
        size: Size = (30000, 62000, 17250) if "x62" in text else NO_SIZE
        sheet.row(f"B{i}", text, part=Part(f"B{i}", size, "", 0))
    return sheet


@mess("50-other-goods.csv")
def _other(rng: random.Random) -> Sheet:
    sheet = simple(rng, Sheet())
    for i, text in enumerate(("BOLT M8x25", "O-RING 35x3", "V-BELT 13x1000", "=1+1")):
        sheet.row(f"X{i}", text, "1.00", part=Part(f"X{i}", NO_SIZE, "", 0))
    return sheet


def files() -> dict[str, bytes]:
    """Every file by name, answers.csv among them."""
    found: dict[str, bytes] = {}
    rows: list[list[object]] = []
    made: dict[str, tuple[bytes, list[tuple[int, str, Size, str]]]] = {}
    for name, make in sorted(MESSES.items()):
        sheet = make(random.Random(name))
        made[name] = (sheet.content(), sheet.answers)
    made |= books()
    for name, (content, answers) in made.items():
        found[name] = content
        rows += [[name, line, number, *size, outcome] for line, number, size, outcome in answers]
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerows([COLUMNS, *rows])
    found["answers.csv"] = out.getvalue().encode()
    return found


def main() -> int:
    """Write the files, or compare them."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--check", action="store_true", help="compare, and write nothing")
    check = parser.parse_args().check
    TARGET.mkdir(parents=True, exist_ok=True)
    wrong = []
    for name, content in files().items():
        path = TARGET / name
        if check and (not path.exists() or path.read_bytes() != content):
            wrong.append(name)
        elif not check:
            path.write_bytes(content)
    for name in wrong:
        print(f"{name} differs from what this script writes", file=sys.stderr)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
