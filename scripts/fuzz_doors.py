"""The doors through which text comes in, each as one function that holds the program to its word.

A door takes any text. It raises where the program shows a fault, takes too long, or gives an answer
that contradicts itself; a refusal with its reason is an answer.
"""

from __future__ import annotations

import atexit
import json
import math
import os
import shutil
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from click.testing import CliRunner  # noqa: E402

from fitcheck.cli.main import cli  # noqa: E402
from fitcheck.errors import FitcheckError  # noqa: E402
from fitcheck.identify import CERTAINTY  # noqa: E402

# An answer to one text that takes longer hangs, in seconds of the processor.
HANGS_S = 10.0
# Probabilities are rounded to six decimals each.
ROUNDED = 1e-4
FOLDER = Path(tempfile.gettempdir()) / f"fitcheck-fuzz-{os.getpid()}"
atexit.register(shutil.rmtree, FOLDER, ignore_errors=True)


class FaultError(Exception):
    """The program did what it must never do."""


def asked(*words: str) -> dict[str, Any] | None:
    """Ask a command with --json: its answer, or None where it refuses."""
    start = time.process_time()
    done = CliRunner().invoke(cli, [*words, "--json"], catch_exceptions=True)
    if time.process_time() - start > HANGS_S:
        raise FaultError(f"{words}: took {time.process_time() - start:.1f} s")
    if done.exception and not isinstance(done.exception, SystemExit):
        raise FaultError(f"{words}: {done.exception!r}") from done.exception
    # A card none of whose questions could be answered says why, and ends with 1.
    if done.exit_code == 0 or (done.exit_code == 1 and done.stdout.strip()):
        found: dict[str, Any] = json.loads(done.stdout)
        return found
    if done.exit_code not in (1, 2) or not done.stderr.strip():
        raise FaultError(f"{words}: exit status {done.exit_code}, says {done.stderr!r}")
    return None


def consistent(answer: dict[str, Any] | None) -> None:
    """An answer does not contradict itself."""
    if not answer or "candidates" not in answer:
        return
    shares = [entry["probability"] for entry in answer["candidates"]]
    if any(not 0.0 <= share <= 1.0 for share in shares) or shares != sorted(shares, reverse=True):
        raise FaultError(f"probabilities that are none, or out of order: {shares}")
    if sum(shares) + answer.get("unlisted", 0.0) > 1.0 + ROUNDED:
        raise FaultError(f"probabilities add up to more than 1: {shares}")
    if answer["verdict"] == "go" and (not shares or shares[0] < CERTAINTY - ROUNDED):
        raise FaultError(f"go, and the first stands at {shares[:1]}")
    if answer["verdict"] == "go" and answer["candidates"][0]["verdict"] != "go":
        raise FaultError("go, and its first candidate is not")


def quantity(text: str) -> None:
    """A quantity of each kind, by the functions that read them."""
    from fitcheck import quantities

    for read in (
        quantities.length_mm,
        quantities.number,
        quantities.temperature_c,
        quantities.pressure_bar,
        quantities.force_n,
        quantities.torque_nm,
    ):
        try:
            value = read(text)
        except FitcheckError as error:
            if not (error.rule and error.todo):
                raise FaultError(f"{text!r}: refused without a reason") from error
        else:
            if not math.isfinite(value):
                raise FaultError(f"{text!r}: read as {value}")


def reading(text: str) -> None:
    """A reading of a shaft, all the way to the answer."""
    consistent(asked("seal", f"--shaft={text}", "--bore=52.02"))


def mark(text: str) -> None:
    """What can be read on an old seal and an old bearing."""
    consistent(asked("seal", f"--mark={text}"))
    consistent(asked("bearing", f"--mark={text}"))


def _file(name: str, text: str) -> str:
    FOLDER.mkdir(exist_ok=True)
    path = FOLDER / name
    path.write_bytes(text.encode("utf-8", "surrogatepass"))
    return str(path)


def description(text: str) -> None:
    """A wanted line and a list's description, one against the other."""
    line = " ".join(text.split())
    held = _file("list.csv", f'no;description;price\n1;"{line.replace(chr(34), "")}";3,20\n')
    asked("cross", _file("wanted.txt", f"{line}\n"), "--file", held)


def price_list(text: str) -> None:
    """A price list, whatever is in it: every line is accepted, repaired or refused."""
    os.environ["FITCHECK_DATABASE"] = str(FOLDER / "none.sqlite")
    _counted(asked("lists", "add", "fuzz", _file("any.csv", text), "--preview"))


def _counted(answer: dict[str, Any] | None) -> None:
    """Every line of a list is told of once."""
    told = (answer or {}).get("list", answer or {})
    if "lines" in told:
        parts = [told.get(kind, 0) for kind in ("accepted", "repaired", "refused")]
        if sum(parts) != told["lines"]:
            raise FaultError(f"{told['lines']} lines, and {parts} are told of")


def workbook(text: str) -> None:
    """A price list as a workbook: cells, or the sheet's own XML where the text begins as one."""
    import zipfile

    import openpyxl
    from openpyxl.utils.exceptions import IllegalCharacterError
    from openpyxl.xml.constants import SHEET_MAIN_NS

    os.environ["FITCHECK_DATABASE"] = str(FOLDER / "none.sqlite")
    FOLDER.mkdir(exist_ok=True)
    path = FOLDER / "any.xlsx"
    book = openpyxl.Workbook()
    held = book.worksheets[0]
    rows = [line.split(";") for line in text.splitlines()]
    for row in rows if not text.startswith("<") else ():
        try:
            held.append([_cell(value) for value in row])
        except IllegalCharacterError:
            # No workbook holds such a text.
            continue
    book.save(path)
    if text.startswith("<"):
        with zipfile.ZipFile(path) as archive:
            parts = {name: archive.read(name) for name in archive.namelist()}
        # The address that names the elements stands in no corpus.
        named = text.replace('"NAMES"', f'"{SHEET_MAIN_NS}"')
        parts["xl/worksheets/sheet1.xml"] = named.encode("utf-8", "surrogatepass")
        with zipfile.ZipFile(path, "w") as archive:
            for name, content in parts.items():
                archive.writestr(name, content)
    _counted(asked("lists", "add", "fuzz", str(path), "--preview"))


def _cell(text: str) -> str | float:
    try:
        value = float(text)
    except ValueError:
        return text
    return value if math.isfinite(value) else text


def json_question(text: str) -> None:
    """A question to the page as JSON."""
    import fuzz_web

    fuzz_web.question(text)


def web_form(text: str) -> None:
    """A form of the page."""
    import fuzz_web

    fuzz_web.form(text)


def sheet(text: str) -> None:
    """A bench sheet."""
    answer = asked("hub", _file("sheet.toml", text), "--no-offers")
    verdicts = [entry["verdict"] for entry in (answer or {}).get("positions", [])]
    if answer and answer["verdict"] == "go" and set(verdicts) - {"go"}:
        raise FaultError(f"go, and its positions are {verdicts}")


DOORS: dict[str, Callable[[str], None]] = {
    "quantity": quantity,
    "reading": reading,
    "mark": mark,
    "description": description,
    "list": price_list,
    "workbook": workbook,
    "sheet": sheet,
    "json": json_question,
    "form": web_form,
}
