"""The workbooks among the invented list files: numbers for texts, dates for fractions, formulas."""

from __future__ import annotations

import datetime as dt
import io
import re
import zipfile
from typing import Any

from openpyxl import Workbook

Size = tuple[int | None, int | None, int | None]
Answer = tuple[int, str, Size, str]
NO_SIZE: Size = (None, None, None)
SEAL: Size = (35000, 52000, 7000)
SMALL: Size = (25000, 40000, 7000)
INCH: Size = (34925, 53975, 9525)
REFUSED = "refused"


def books() -> dict[str, tuple[bytes, list[Answer]]]:
    """Every workbook by name, with its answers."""
    return {
        "51-workbook.xlsx": _book(
            [["Part No", "Size", "Price"], ["00621", "35x52x7", 4.2], ["3E5", "25x40x7", "4,20"]],
            [(2, "00621", SEAL, ""), (3, "3E5", SMALL, "")],
        ),
        "52-workbook-numbers.xlsx": _book(
            [["Part No", "ID", "OD", "Width"], [621, 35, 52, 7], [12345678, 25.0, 40, 7]],
            [(2, "621", SEAL, ""), (3, "12345678", SMALL, "")],
        ),
        "53-workbook-dates.xlsx": _book(
            [
                ["Part No", "ID", "OD", "Width"],
                ["A1", "1-3/8", "2-1/8", dt.date(2026, 3, 8)],
                ["A2", 35, 52, dt.date(2026, 3, 8)],
                [dt.date(2026, 5, 12), 35, 52, 7],
                ["A3", 35, 52, 7],
            ],
            [
                (2, "A1", INCH, ""),
                (3, "A2", SEAL, REFUSED),
                (4, "", SEAL, REFUSED),
                (5, "A3", SEAL, ""),
            ],
        ),
        "54-workbook-formulas.xlsx": _book(
            [
                ["Part No", "Size", "Price"],
                ["A1", "35x52x7", "=1+1"],
                ['="A"&2', "35x52x7", 2],
                ["A3", '="35x52x7"', 3],
                ["A4", "#REF!", 3],
            ],
            [
                (2, "A1", SEAL, ""),
                (3, "", SEAL, REFUSED),
                (4, "A3", SEAL, REFUSED),
                (5, "A4", SEAL, REFUSED),
            ],
        ),
        "55-workbook-titles.xlsx": _book(
            [
                ["Harbour Parts (invented)"],
                [None],
                [None, None, "all prices net"],
                ["Item", "Description", "Net EUR", None],
                ["A1", "OIL SEAL 35x52x7", 4.2],
                [None],
                ["Item", "Description", "Net EUR"],
                ["A2", "SEAL 25 x 40 x 7", 3],
                ["TOTAL", None, 7.2],
            ],
            [(5, "A1", SEAL, ""), (8, "A2", SMALL, ""), (9, "", NO_SIZE, REFUSED)],
            others=("Notes",),
        ),
    }


def _book(
    rows: list[list[Any]], answers: list[Answer], others: tuple[str, ...] = ()
) -> tuple[bytes, list[Answer]]:
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Prices"
    for row in rows:
        sheet.append(row)
    for name in others:
        book.create_sheet(name).append(["nothing of interest"])
    out = io.BytesIO()
    book.save(out)
    return _dateless(out.getvalue()), answers


def _dateless(content: bytes) -> bytes:
    """The same archive without the time it was made at, so that it is made alike again."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as old, zipfile.ZipFile(out, "w") as new:
        for name in old.namelist():
            data = old.read(name)
            if name == "docProps/core.xml":
                data = re.sub(rb"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", b"2026-01-01T00:00:00Z", data)
            info = zipfile.ZipInfo(name, (2026, 1, 1, 0, 0, 0))
            info.compress_type = zipfile.ZIP_DEFLATED
            new.writestr(info, data)
    return out.getvalue()
