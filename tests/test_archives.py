"""What is zipped - workbooks and backups - is written whatever the clock says."""

from __future__ import annotations

import time
import zipfile
from io import BytesIO
from pathlib import Path

import pytest

from fitcheck.archives import DatedZip, zip_moment
from fitcheck.report.workbook import Column, Table, write_workbook


@pytest.mark.parametrize(("year", "kept"), [(1970, 1980), (1979, 1980), (2026, 2026), (2150, 2107)])
def test_a_clock_outside_the_years_of_a_zip(
    year: int, kept: int, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    moment = time.struct_time((year, 1, 2, 3, 4, 5, 0, 2, 0))
    monkeypatch.setattr(time, "localtime", lambda *_: moment)
    assert zip_moment()[0] == kept
    whole = BytesIO()
    with DatedZip(whole, level=9) as archive:
        archive.writestr("one", "1" * 1000)
        with archive.open("two", "w", force_zip64=True) as member:
            member.write(b"2" * 1000)
    with zipfile.ZipFile(whole) as archive:
        assert archive.testzip() is None
        assert {info.date_time[0] for info in archive.infolist()} == {kept}
        assert all(info.compress_size < 100 for info in archive.infolist())
    book = tmp_path / "book.xlsx"
    write_workbook(str(book), [Table("a", [Column("b")], [["c"]])])
    assert zipfile.ZipFile(book).testzip() is None
