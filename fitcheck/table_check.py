"""Whether the tables are those that were shipped, and what the shop's own change in them.

The manifest beside the shipped tables says what each file held when it was shipped. Edits belong
into the shop's folder: an update replaces the shipped files and never touches that one.
"""

from __future__ import annotations

import csv
import hashlib
import json
import os
from collections.abc import Iterator
from io import StringIO
from typing import Any

from fitcheck.errors import DataError
from fitcheck.tables import data_folder, package, shop_folder, table_names

MANIFEST = "manifest.json"
# What the shop's rows replaced when somebody last had it noted.
NOTED = "replaced.json"
# Invented sheets and lists to try things with; whoever writes in them means to.
DEMO = "demo"
PROVENANCE = ("source", "evidence")

Facts = dict[str, dict[str, Any]]
Key = tuple[str, ...]


def files_in(folder: str) -> Iterator[str]:
    """The files below a folder that its tables are made of, by their path in it, in order.

    Parameters
    ----------
    folder : str
        The folder.
    """
    for root, folders, names in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        if os.path.samefile(root, folder) and DEMO in folders:
            folders.remove(DEMO)
        for name in sorted(names):
            path = os.path.relpath(os.path.join(root, name), folder).replace(os.sep, "/")
            if not name.startswith(".") and path != MANIFEST:
                yield path


def facts_of(path: str) -> dict[str, Any]:
    """What a manifest says of a file: its checksum, and its rows where it is a CSV.

    Parameters
    ----------
    path : str
        The file.
    """
    with open(path, "rb") as handle:
        content = handle.read()
    found: dict[str, Any] = {}
    if path.endswith(".csv"):
        # An edit may have left anything; what can't be read as text still has lines.
        text = content.decode("utf-8", errors="replace")
        found["rows"] = max(0, sum(1 for _ in csv.reader(StringIO(text, newline=""))) - 1)
    return found | {"sha256": hashlib.sha256(content).hexdigest()}


def manifest_text(folder: str) -> str:
    """The manifest of a folder: JSON with a line for each file, so that changes stay small.

    Parameters
    ----------
    folder : str
        The folder of tables.
    """
    lines = ",\n".join(
        f"  {json.dumps(path)}: {json.dumps(facts_of(os.path.join(folder, path)))}"
        for path in files_in(folder)
    )
    return f"{{\n{lines}\n}}\n"


def shipped_facts(folder: str) -> Facts:
    """What the manifest of a folder says.

    Parameters
    ----------
    folder : str
        The folder of tables.

    Raises
    ------
    DataError
        There is none, or it can't be read.
    """
    path = os.path.join(folder, MANIFEST)
    try:
        with open(path, encoding="utf-8") as handle:
            found: Facts = json.load(handle)
        if all(isinstance(entry["sha256"], str) for entry in found.values()):
            return found
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        pass
    raise DataError(
        value=path,
        rule="the list of what was shipped is not there or can't be read",
        todo="Install the program again",
    )


def shipped_state(folder: str | None = None) -> dict[str, Any]:
    """Which shipped files are not as they were shipped.

    Parameters
    ----------
    folder : str, optional
        The folder of tables; the shipped one when left out.

    Returns
    -------
    dict
        ``folder``, how many ``files`` were shipped, which are ``edited`` (with their ``rows``,
        those ``shipped``, and whether only the ``line_ends`` differ), ``missing`` or ``added``.
    """
    folder = folder or data_folder()
    shipped, there = shipped_facts(folder), set(files_in(folder))
    edited = []
    for path in sorted(there & set(shipped)):
        whole = os.path.join(folder, path)
        found = facts_of(whole)
        if found["sha256"] != shipped[path]["sha256"]:
            with open(whole, "rb") as handle:
                plain = handle.read().replace(b"\r\n", b"\n")
            edited.append(
                {
                    "file": path,
                    "rows": found.get("rows"),
                    "shipped": shipped[path].get("rows"),
                    "line_ends": hashlib.sha256(plain).hexdigest() == shipped[path]["sha256"],
                }
            )
    return {
        "folder": folder,
        "files": len(shipped),
        "edited": edited,
        "missing": sorted(set(shipped) - there),
        "added": sorted(there - set(shipped)),
    }


# --- the shop's own -------------------------------------------------------------------------------


def shop_state() -> dict[str, Any]:
    """What each of the shop's own tables does to the shipped one.

    Returns
    -------
    dict
        ``folder`` (blank where there is none), ``tables`` and ``strays``. A table has its rows that
        ``replaces`` a shipped one (with what they change), that are the ``same`` as shipped, that
        ``adds`` one, that are ``unmatched`` (meant for a shipped row that is not there, or that has
        changed since), and its ``faults``. Strays are files that nothing reads.
    """
    folder = shop_folder()
    tables: list[dict[str, Any]] = []
    strays: list[dict[str, str]] = []
    if folder and not os.path.isdir(folder):
        raise DataError(
            value=folder,
            rule="FITCHECK_TABLES names it, and there is no such folder",
            todo="Correct FITCHECK_TABLES, or make the folder",
        )
    by_file = {_file(name): name for name in table_names()} if folder else {}
    noted = _noted(folder) if folder else {}
    for path in files_in(folder) if folder else ():
        if path in by_file:
            entry = _compared(by_file[path], os.path.join(folder, path), noted)
            tables.append({"name": by_file[path], "file": path, **entry})
        elif path != NOTED:
            strays.append({"file": path, "reason": _stray(path, by_file)})
    return {"folder": folder, "tables": tables, "strays": strays}


def replaced_rows(state: dict[str, Any]) -> str:
    """What the shop's rows replace now, as the text of a note to compare with after an update.

    Parameters
    ----------
    state : dict
        What :func:`shop_state` gave.
    """
    noted = {}
    for table in state["tables"]:
        shipped = _shipped(table["name"])
        rows = [row for kind in ("replaces", "same", "unmatched") for row in table[kind]]
        keys = [tuple(row["key"]) for row in rows]
        noted[table["name"]] = [shipped[key] for key in keys if key in shipped]
    return json.dumps(noted, indent=1, ensure_ascii=False) + "\n"


def _file(name: str) -> str:
    folder, _, _ = name.partition("/")
    return f"{folder}/{_resource(name)['path']}"


def _resource(name: str) -> dict[str, Any]:
    folder, _, short = name.partition("/")
    found: dict[str, Any] = next(r for r in package(folder)["resources"] if r["name"] == short)
    return found


def _stray(path: str, by_file: dict[str, str]) -> str:
    from difflib import get_close_matches

    near = get_close_matches(path, by_file, n=1, cutoff=0.6)
    return "no shipped table has this name, so nothing reads it" + (
        f"; the nearest is {near[0]}" if near else ""
    )


def _noted(folder: str) -> dict[str, list[dict[str, str]]]:
    path = os.path.join(folder, NOTED)
    if not os.path.isfile(path):
        return {}
    try:
        with open(path, encoding="utf-8") as handle:
            found: dict[str, list[dict[str, str]]] = json.load(handle)
        if all(isinstance(row, dict) for rows in found.values() for row in rows):
            return found
    except (OSError, ValueError, TypeError, AttributeError):
        pass
    raise DataError(
        value=path,
        rule="the note of what was replaced can't be read",
        todo="Remove it and run `fitcheck tables check --note` again",
    )


def _records(path: str) -> tuple[list[str], list[tuple[int, list[str]]]]:
    """The header of a CSV and its rows with their lines."""
    try:
        with open(path, encoding="utf-8", newline="") as handle:
            reader = csv.reader(handle)
            header = next(reader, [])
            return header, [(reader.line_num, cells) for cells in reader]
    except (UnicodeDecodeError, csv.Error, OSError) as error:
        raise DataError(
            value=path,
            rule=f"this is no CSV in UTF-8 that can be read ({error})",
            todo="Save it as CSV, UTF-8",
        ) from error


def _shipped(name: str) -> dict[Key, dict[str, str]]:
    header, rows = _records(os.path.join(data_folder(), _file(name)))
    key = _resource(name)["schema"]["primaryKey"]
    records = [dict(zip(header, cells, strict=False)) for _, cells in rows]
    return {tuple(record.get(column, "") for column in key): record for record in records}


def _compared(name: str, path: str, noted: dict[str, list[dict[str, str]]]) -> dict[str, Any]:
    """One table of the shop's against the shipped one."""
    schema = _resource(name)["schema"]
    fields = {field["name"]: field for field in schema["fields"]}
    key = schema["primaryKey"]
    found: dict[str, Any] = {
        kind: [] for kind in ("replaces", "adds", "same", "unmatched", "faults")
    }
    header, rows = _records(path)
    wrong = [f"{c}: not a column of the table" for c in header if c not in fields]
    wrong += [f"{c}: part of the key, and there is no such column" for c in key if c not in header]
    wrong += [
        f"{c}: this column is there twice" for c in sorted(set(header)) if header.count(c) > 1
    ]
    if wrong:
        found["faults"] = wrong
        return found
    shipped = _shipped(name)
    before = {tuple(row.get(c, "") for c in key): row for row in noted.get(name, [])}
    seen: dict[Key, int] = {}
    for line, cells in rows:
        if len(cells) != len(header):
            found["faults"].append(f"line {line}: {len(cells)} cells for {len(header)} columns")
            continue
        record = dict(zip(header, cells, strict=True))
        found["faults"] += [
            f"line {line}, {column}: {fault}"
            for column, cell in record.items()
            if column not in PROVENANCE
            and (fault := _cell_fault(cell, fields[column], is_key=column in key))
        ]
        at = tuple(record[column] for column in key)
        if at in seen:
            found["faults"].append(f"line {line}: the same key as line {seen[at]}, which it hides")
        seen[at] = line
        kind, more = _row_kind(record, at, shipped, before.get(at), fields)
        found[kind].append({"line": line, "key": list(at), **more})
    for at in before:
        if at not in seen and at not in shipped:
            found["faults"].append(f"{', '.join(at)}: noted before, and now in neither table")
    return found


def _row_kind(
    record: dict[str, str],
    at: Key,
    shipped: dict[Key, dict[str, str]],
    before: dict[str, str] | None,
    fields: dict[str, Any],
) -> tuple[str, dict[str, Any]]:
    """What a row of the shop's does, and what is to be said of it."""
    base = shipped.get(at)
    if base is None:
        reason = "the shipped row that it replaced is gone" if before else ""
        twin = next((other for other in shipped if _same_numbers(at, other)), None)
        if twin:
            reason = f"the shipped row is written {', '.join(twin)}; write the key like that"
        blank = [
            name
            for name, field in fields.items()
            if field.get("constraints", {}).get("required")
            and name not in PROVENANCE
            and not record.get(name)
        ]
        if not reason and blank:
            reason = (
                f"no shipped row has this key, and for a row of its own it lacks {', '.join(blank)}"
            )
        return ("unmatched", {"reason": reason}) if reason else ("adds", {})
    moved = [c for c, cell in base.items() if before is not None and before.get(c, "") != cell]
    changes = {
        column: [base.get(column, ""), cell]
        for column, cell in record.items()
        if column not in PROVENANCE and base.get(column, "") != cell
    }
    if any(column not in PROVENANCE for column in moved):
        reason = f"the shipped row has changed since it was noted: {', '.join(moved)}"
        return "unmatched", {"reason": reason, "changes": changes}
    return ("replaces", {"changes": changes}) if changes else ("same", {})


def _same_numbers(one: Key, other: Key) -> bool:
    def values(key: Key) -> list[float | str]:
        return [float(cell) if _is_number(cell) else cell.strip().casefold() for cell in key]

    return values(one) == values(other)


def _is_number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return cell.isascii() and "_" not in cell


def _cell_fault(cell: str, field: dict[str, Any], *, is_key: bool) -> str:
    """What is wrong with a cell by the descriptor; blank where nothing is."""
    rules = field.get("constraints", {})
    if not cell:
        return "blank, and it is required" if rules.get("required") and not is_key else ""
    kind = field["type"]
    if kind in ("number", "integer"):
        if not _is_number(cell) or float(cell) - float(cell) != 0.0:
            return f"{cell} is no number"
        if kind == "integer" and not float(cell).is_integer():
            return f"{cell} is no whole number"
        if float(cell) < rules.get("minimum", float(cell)):
            return f"{cell} is below {rules['minimum']:g}"
        if float(cell) > rules.get("maximum", float(cell)):
            return f"{cell} is above {rules['maximum']:g}"
    if kind == "boolean" and cell not in ("true", "false"):
        return f"{cell} is neither true nor false"
    if "enum" in rules and cell not in rules["enum"]:
        return f"{cell} is none of {', '.join(map(str, rules['enum']))}"
    return ""
