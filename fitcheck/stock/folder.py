"""The shop's records from a folder of files: nothing is stored, everything is read anew."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

from fitcheck.errors import InputError
from fitcheck.lists.lines import Remark
from fitcheck.lists.source import LineSource
from fitcheck.stock.fleet import read_fleet
from fitcheck.stock.gather import Records
from fitcheck.stock.history import read_history
from fitcheck.stock.shelf import read_shelf
from fitcheck.stock.table_file import refused_words
from fitcheck.stock.terms import read_terms

HISTORY, FLEET, SHELF, TERMS = "history", "fleet", "shelf", "terms"
_ENDINGS = (".csv", ".xlsx")


def folder_records(
    path: str, *, today: date, source: LineSource | None = None, unit: str = "mm"
) -> Records:
    """Read the files history, fleet, shelf and terms of a folder, those that are there.

    Parameters
    ----------
    path : str
        The folder; the files end in .csv or .xlsx.
    today : date
        Today.
    source : LineSource, optional
        The lists whose part numbers are known.
    unit : str
        ``mm`` or ``in``, of sizes that name none.

    Raises
    ------
    InputError
        There is neither history nor fleet in the folder, or a line of a file is refused.
    """
    history = _file(path, HISTORY)
    if not history and not _file(path, FLEET):
        raise InputError(
            value=path,
            rule="there is no history.csv or history.xlsx in this folder, nor a fleet",
            todo="Name a folder that has one",
        )
    records = Records(history=())
    if history:
        asked = read_history(history, today=today, source=source, unit=unit)
        _refuse(history, asked.refused)
        records = replace(records, history=asked.lines)
    if name := _file(path, FLEET):
        fleet = read_fleet(name, source=source, unit=unit)
        _refuse(name, fleet.refused)
        records = replace(records, fleet=fleet.positions)
    if name := _file(path, TERMS):
        terms = read_terms(name, source=source, unit=unit)
        _refuse(name, terms.refused)
        records = replace(records, terms=tuple((one, said) for _, one, said in terms.lines))
    if name := _file(path, SHELF):
        shelf = read_shelf(name, today=today, source=source, unit=unit)
        _refuse(name, shelf.refused)
        records = replace(records, counts=shelf.counts, stretches=shelf.stretches)
    return records


def _file(folder: str, name: str) -> str:
    found = [Path(folder, name + ending) for ending in _ENDINGS]
    there = [str(path) for path in found if path.is_file()]
    if len(there) > 1:
        raise InputError(
            value=folder, rule=f"it has both {name}.csv and {name}.xlsx", todo="Leave one of them"
        )
    return there[0] if there else ""


def _refuse(path: str, refused: tuple[Remark, ...]) -> None:
    if refused:
        first = refused[0]
        raise InputError(
            value=f"{path}, line {first.line}, {first.column or 'the line'} {first.value!r}",
            rule=f"{first.reason}; {refused_words(refused)} in all",
            todo="Mend them; `fitcheck stock history add FILE` and its like list every one",
        )
