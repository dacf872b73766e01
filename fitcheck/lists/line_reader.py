"""Lines of cells into blocks of fields, by a plan; every line is kept or refused, and counted."""

from __future__ import annotations

import gc
import re
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from typing import Any, TypeVar

from fitcheck.lists.columns import ColumnPlan
from fitcheck.lists.describe import NOTHING_DESCRIBED
from fitcheck.lists.find_columns import Shape
from fitcheck.lists.layout import Chunk
from fitcheck.lists.line_class import CLASS_FIELDS, CLASS_ROLES, Classifier, LineClass
from fitcheck.lists.lines import FIELD_NAMES, Block, Remark
from fitcheck.lists.numbers import (
    DATE_MARK,
    MARKS,
    NO_VALUE_MARK,
    NUMBER_MARK,
    NumberCell,
    guessed_number,
    is_other_currency,
    pack_words,
    price_of_one,
    read_count,
    read_currency,
    read_lead,
)
from fitcheck.lists.prices import read_price
from fitcheck.lists.repeats import Repeats
from fitcheck.lists.sizes import MM, NOTED
from fitcheck.lists.sort_rows import REFUSED, Report, RowSorter, Tally, bare, shown
from fitcheck.lists.words import is_blank

# So many different cells are remembered before the memory is emptied.
_KEPT = 200_000
_POWERS = re.compile(r"[0-9](?:[.,][0-9]+)?[eE]\+[0-9]+")
_LONGEST_NUMBER = 80
_TRUTHS = frozenset(
    ("TRUE", "FALSE", "WAHR", "FALSCH", "VRAI", "FAUX", "VERDADERO", "FALSO", "VERO", "WAAR")
)
# A number as a text for a spreadsheet: ="00621", '00621.
_FOR_SHEETS = re.compile(r"(?:=\"|')([^\"'=+@-][^\"']*)\"?")

_Read = TypeVar("_Read")


class LineReader:
    """Reads the rows of one list."""

    def __init__(self, plan: ColumnPlan, shape: Shape, tally: Tally) -> None:
        self._plan, self._shape, self._tally = plan, shape, tally
        self._classifier = Classifier(
            unit=plan.unit or MM,
            known=bool(plan.unit),
            units=plan.units,
            decimals=plan.decimals,
            guessed=plan.guessed,
            doubted=shape.doubted,
        )
        self._described = _Remembered(self._classifier.describe)
        self._class_roles = tuple(role for role in CLASS_ROLES if role in shape.roles)
        self._classes: dict[tuple[Any, ...], LineClass] = {}
        self._said: set[str] = set()
        self._sorter = RowSorter(shape, tally, plan.encoding)
        style = plan.decimals.get("price", "")
        guess = plan.guessed.get("price", "")
        # Where a price is for so many anyway, what a cell says of pieces would count twice.
        of_one = plan.price_per == 1 and "price_per" not in shape.roles
        read = read_price if of_one else guessed_number
        self._prices = _Remembered(lambda text: read(text, style, guess))
        self._repeats = Repeats()
        self._packs = _Remembered(pack_words)
        self._pers = _Remembered(lambda text: read_count(text, ""))
        self._counts = _Remembered(lambda text: read_count(text, style))
        self._leads = _Remembered(lambda text: read_lead(text, plan.lead_unit_days))

    def blocks(self, chunks: Iterable[Chunk]) -> Iterator[tuple[Block, list[Remark]]]:
        """The lines that are kept and the remarks, block by block."""
        source = iter(chunks)
        unread = self._shape.unread
        while True:
            with _no_collection():
                chunk = next(source, None)
                if chunk is None:
                    return
                report = self._sorter.lines_of(chunk)
                for column, reason in unread:
                    line = max(self._plan.header_line, 1)
                    report.remarks.append(Remark(NOTED, line, column, "", reason))
                unread = []
                block = self._block(report) if report.rows else Block.empty()
            yield block, report.remarks

    def _name(self, role: str) -> str:
        numbers = self._shape.roles.get(role)
        return self._shape.name(numbers[0]) if numbers else role

    def _block(self, report: Report) -> Block:
        count = len(report.rows)
        whole = [list(column) for column in zip(*report.rows, strict=True)]
        columns: dict[str, list[str]] = {
            role: _joined([whole[number] for number in numbers])
            for role, numbers in self._shape.roles.items()
        }
        classes = self._classified(columns, count)
        for index, found in enumerate(classes):
            if found.refused:
                role, value, reason = found.refused
                value = value or bare(columns.get(role, [""] * count)[index])
                report.refuse(index, self._name(role), value, reason)
            elif found.notes:
                for outcome, role, value, reason in found.notes:
                    report.say(outcome, index, self._name(role), value, reason)
        values = zip(*(found.values for found in classes), strict=True)
        out: dict[str, list[Any]] = dict(zip(CLASS_FIELDS, map(list, values), strict=True))
        out["line"] = report.lines
        out["part_number"] = self._part_numbers(columns, classes, report)
        out["description"] = [
            bare(text.strip()) or None for text in columns.get("description", [""] * count)
        ]
        self._repeats.look(out, report, self._name("part_number"))
        self._money(columns, out, report)
        for role in ("pack", "minimum", "on_hand", "lead_days"):
            out[role] = self._whole_numbers(role, columns, report)
        return self._finished(out, report)

    def _classified(self, columns: dict[str, list[str]], count: int) -> list[LineClass]:
        """What each line's telling cells mean: different ones once, lines last."""
        roles, known, classifier = self._class_roles, self._classes, self._classifier
        if "description" in columns:
            described = [self._described[text] for text in columns["description"]]
        else:
            described = [NOTHING_DESCRIBED] * count
        keys = list(zip(described, *(columns[role] for role in roles), strict=True))
        found: list[LineClass] = []
        for key in keys:
            one = known.get(key)
            if one is None:
                if len(known) >= _KEPT:
                    known.clear()
                cells = dict(zip(roles, key[1:], strict=True))
                one = known[key] = classifier.classify(cells, key[0])
            found.append(one)
        return found

    def _part_numbers(
        self,
        columns: dict[str, list[str]],
        classes: list[LineClass],
        report: Report,
    ) -> list[str | None]:
        texts = columns.get("part_number")
        name = self._name("part_number")
        found: list[str | None] = []
        for index in range(len(report.rows)):
            text = texts[index].strip() if texts else ""
            if text[:1] in MARKS and text:
                text = self._marked_number(text, index, name, report)
            text = bare(text)
            if text[:1] in ("'", "=") and (inner := _FOR_SHEETS.fullmatch(text)):
                reason = "the signs that make it a text in a spreadsheet are left out"
                report.repair(index, name, text, reason)
                text = inner[1]
            if not text:
                if not classes[index].identified and index not in report.refused:
                    reason = "neither part number, size nor designation"
                    report.refuse(index, "", shown(report.rows[index]), reason)
                found.append(None)
                continue
            if len(text) > _LONGEST_NUMBER:
                reason = f"is longer than {_LONGEST_NUMBER} characters, no part number"
                report.refuse(index, name, text, reason)
            elif "+" in text and _POWERS.fullmatch(text):
                reason = "may be a longer number that a spreadsheet has shortened"
                report.note(index, name, text, reason)
            elif text.upper() in _TRUTHS:
                reason = "a spreadsheet's yes or no: the part number it was can't be told"
                report.note(index, name, text, reason)
            found.append(text)
        return found

    def _marked_number(self, text: str, index: int, name: str, report: Report) -> str:
        """A part number that the workbook holds as a number, a date or an error."""
        mark, text = text[0], text[1:]
        if mark == DATE_MARK:
            report.refuse(index, name, text, "is a date: the part number it was can't be told")
        elif mark == NO_VALUE_MARK:
            report.refuse(index, name, text, "an error, or a formula without a stored value")
        elif mark == NUMBER_MARK and "zeros" not in self._said:
            self._said.add("zeros")
            reason = "a number in the workbook: leading zeros may be lost, here and further down"
            report.note(index, name, text, reason)
        return text

    def _money(
        self, columns: dict[str, list[str]], out: dict[str, list[Any]], report: Report
    ) -> None:
        count = len(report.lines)
        texts = columns.get("price")
        if texts is None:
            out["price"], out["currency"] = [None] * count, [None] * count
            return
        name = self._name("price")
        found = [self._prices[text] for text in texts]
        prices: list[str | None] = [cell.text for cell in found]
        for index, cell in enumerate(found):
            if _told(report, index, name, texts[index], cell, without="no price"):
                continue
            head = self._plan.currency
            if cell.currency == "" and head and is_other_currency(texts[index], head):
                reason = f"its sign can't be {head}, which the heading says"
                report.refuse(index, name, bare(texts[index]), reason)
            if cell.currency == "" and "currency" not in columns and not self._plan.currency:
                reason = "its sign names several currencies: no currency"
                report.repair(index, name, texts[index], reason)
        self._for_one(columns, prices, report)
        out["price"] = prices
        currencies = columns.get("currency", [""] * count)
        codes: dict[str, str | None] = {text: read_currency(bare(text)) for text in set(currencies)}
        out["currency"] = [
            codes[text] or cell.currency or self._plan.currency or None if cell.text else None
            for text, cell in zip(currencies, found, strict=True)
        ]
        if "currency" in columns:
            self._currency_remarks(currencies, codes, texts, found, report)

    def _currency_remarks(
        self,
        texts: list[str],
        codes: dict[str, str | None],
        written: list[str],
        prices: list[NumberCell],
        report: Report,
    ) -> None:
        bad = {text for text, code in codes.items() if code is None and not is_blank(text)}
        name = self._name("currency")
        for index, (text, price) in enumerate(zip(texts, prices, strict=True)):
            if text in bad:
                report.repair(index, name, bare(text), "is no currency, or one of several")
            elif price.currency and codes[text] and price.currency != codes[text]:
                reason = f"the price says {price.currency} and the currency {codes[text]}"
                report.refuse(index, name, text, reason)
            elif price.currency == "" and is_other_currency(written[index], codes[text] or ""):
                reason = f"the sign of the price {bare(written[index])} can't be {codes[text]}"
                report.refuse(index, name, text, reason)

    def _for_one(
        self, columns: dict[str, list[str]], prices: list[str | None], report: Report
    ) -> None:
        """Prices that are for several pieces, by their header or by a column."""
        per = self._plan.price_per
        texts = columns.get("price_per")
        if texts is None:
            if per == 1:
                self._without_packs(columns, prices, report)
            else:
                prices[:] = [price_of_one(p, per) if p else None for p in prices]
            return
        name = self._name("price_per")
        for index, text in enumerate(texts):
            cell = self._pers[text]
            given = int(cell.text) if cell.text and not cell.choice else 0
            pieces = given if cell.text or cell.problem else per
            if pieces < 1:
                report.repair(index, name, bare(text), "is no number of pieces: no price")
                prices[index] = None
            elif prices[index] and pieces != 1:
                prices[index] = price_of_one(prices[index] or "", pieces)

    def _without_packs(
        self, columns: dict[str, list[str]], prices: list[str | None], report: Report
    ) -> None:
        """Leave out prices that the description calls those of several pieces."""
        packs = columns.get("pack")
        for index, text in enumerate(columns.get("description", ())):
            if prices[index] is None or (packs and not is_blank(packs[index])):
                continue
            if words := self._packs[text]:
                reason = f"the description says {words}: a price of a pack, left out"
                report.repair(index, self._name("price"), prices[index] or "", reason)
                prices[index] = None

    def _whole_numbers(
        self, role: str, columns: dict[str, list[str]], report: Report
    ) -> list[int | None]:
        texts = columns.get(role)
        if texts is None:
            return [None] * len(report.lines)
        cells = self._leads if role == "lead_days" else self._counts
        found = [cells[text] for text in texts]
        name = self._name(role)
        for index, cell in enumerate(found):
            _told(report, index, name, texts[index], cell, without="left out")
        return [int(cell.text) if cell.text else None for cell in found]

    def _finished(self, out: dict[str, list[Any]], report: Report) -> Block:
        """The block without the refused lines, and the tally."""
        count, refused = len(report.lines), report.refused
        tally = self._tally
        tally.refused += len(refused)
        repaired = len(report.repaired - refused)
        tally.repaired += repaired
        tally.accepted += count - len(refused) - repaired
        if refused:
            kept = [index for index in range(count) if index not in refused]
            out = {name: [column[i] for i in kept] for name, column in out.items()}
            lost = {report.lines[index] for index in refused}
            # Of a refused line only the refusal is told: what was repaired in it is of no use.
            report.remarks[:] = [
                r for r in report.remarks if r.outcome == REFUSED or r.line not in lost
            ]
        report.remarks.sort(key=lambda remark: remark.line)
        return Block({name: out[name] for name in FIELD_NAMES})


class _Remembered(dict[str, _Read]):
    """What texts mean, each different one read once."""

    def __init__(self, read: Callable[[str], _Read]) -> None:
        super().__init__()
        self._read = read

    def __missing__(self, text: str) -> _Read:
        if len(self) >= _KEPT:
            self.clear()
        found = self[text] = self._read(text)
        return found


@contextmanager
def _no_collection() -> Iterator[None]:
    """A block is made of tens of thousands of lists and no cycle: searching for one costs most."""
    enabled = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if enabled:
            gc.enable()


def _joined(columns: list[list[str]]) -> list[str]:
    if len(columns) == 1:
        return columns[0]
    return [
        " ".join(text for cell in cells if (text := bare(cell).strip()))
        for cells in zip(*columns, strict=True)
    ]


def _told(
    report: Report, index: int, name: str, text: str, cell: NumberCell, *, without: str
) -> bool:
    """Whether a cell of numbers left something to tell; it is told then."""
    if cell.problem:
        report.repair(index, name, bare(text), f"{cell.problem}: {without}")
    elif cell.choice:
        report.repair(index, name, bare(text), cell.choice)
    elif cell.unsaid or cell.noted:
        report.note(index, name, bare(text), cell.unsaid or cell.noted)
        return bool(cell.unsaid)
    else:
        return False
    return True
