"""Reading lists: descriptions into sizes, and a list added from file to store.

Two thirds of the lines repeat a description, as a supplier's do; rows with no two alike stand
beside. The others read three numbers with one pattern and make micrometres of them; what they can't
read they drop, where ours says why. Polars alone also gives the raw groups.
"""

from __future__ import annotations

import random
import tempfile
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import Any

import bench_cross
from bench_files import ROOT, child, write_files

from benches.timing import Measured, in_turns
from fitcheck.lists.describe import Describer

SECTION = "lists"
UM_PER_INCH = 25400
_NUMBER = r"(\d+-\d+/\d+|\d+/\d+|\d*\.?\d+)"
PATTERN = rf"{_NUMBER}\s*[xX*]\s*{_NUMBER}\s*[xX*]\s*{_NUMBER}"
_BEFORE = ("OIL SEAL ", "Seal ", "seal,", "SHAFT SEAL - ", "")
_AFTER = ("", " NBR", " NBR DBL LIP", " FKM double lip", " single lip", " (box of 10)", " FPM")
_INCHES = ("1-3/8 x 2-1/8 x 5/16", "3/4X1-1/4X1/4", "2-1/2 x 3-1/2 x 3/8")


def descriptions(count: int, different: int, *, numbered: bool = False) -> list[str]:
    """Invented descriptions, of which so many are different.

    Parameters
    ----------
    count, different : int
        How many, and how many of these are different.
    numbered : bool
        Whether each ends in a number of its own, so that not even the words around sizes repeat.
    """
    rng = random.Random(3)

    def one() -> str:
        if rng.random() < 0.01:
            size = rng.choice(_INCHES)
        else:
            shaft = rng.randint(20, 400) + rng.choice((0, 0, 0.5))
            bore = round(shaft + rng.randint(10, 60))
            width = rng.choice((7, 8, 9, 10, 12, 15))
            size = rng.choice(("x", " x ", "X", "*")).join(f"{v:g}" for v in (shaft, bore, width))
        return f"{rng.choice(_BEFORE)}{size}{rng.choice(_AFTER)}"

    texts: dict[str, None] = {}
    while len(texts) < different:
        texts[f"{one()} no{len(texts)}" if numbered else one()] = None
    known = list(texts)
    return known + [rng.choice(known) for _ in range(count - different)]


def rows(quick: bool) -> list[Measured]:
    """The figures of the section."""
    count, runs = (30_000, 2) if quick else (300_000, 5)
    found = []
    kinds = (
        ("two thirds repeated", descriptions(count, count // 3)),
        ("no two alike", descriptions(count, count)),
        ("each with its own number", descriptions(count, count, numbered=True)),
    )
    for words, texts in kinds:
        jobs = others(texts)
        ours = partial(own, texts)
        mine = ours()
        for name, job in jobs.items():
            if name != _RAW and not agree(mine, job()):
                raise SystemExit(f"{words}: {name} reads other sizes")
        times = in_turns({"ours": ours, **jobs}, runs=runs)
        rate = {name: tuple(count / took for took in taken) for name, taken in times.items()}
        targets = {"pandas": "1.5", _RAW: "0.5"} if words == kinds[0][0] else {}
        found += [
            Measured(
                SECTION,
                f"{count:,} descriptions, {words}",
                "lines/s",
                rate["ours"],
                name,
                rate[name],
                targets.get(name, ""),
            )
            for name in jobs
        ]
    return found + _adding(100_000 if quick else 1_000_000, 1 if quick else 5)


_RAW = "polars, raw groups"
Size = tuple[int, int, int]


def own(texts: Sequence[str]) -> list[Size | None]:
    """Sizes by the program, which also reads kind, lip and material and keeps what it doubts."""
    read = Describer().read
    found: list[Size | None] = []
    for text in texts:
        size = read(text).size
        if size.shaft_um is None or size.bore_um is None or size.width_um is None:
            found.append(None)
        else:
            found.append((size.shaft_um, size.bore_um, size.width_um))
    return found


def agree(own_sizes: Sequence[Size | None], other: Any) -> bool:
    """Whether another engine has our size wherever we have one."""
    pairs = zip(own_sizes, zip(*other, strict=True), strict=True)
    return all(a is None or a == tuple(map(int, b)) for a, b in pairs)


def others(texts: list[str]) -> dict[str, Callable[[], Any]]:
    """The same numbers by general engines."""
    import duckdb
    import pandas as pd
    import polars as pl

    db = duckdb.connect(config={"threads": 2})
    frame = pd.DataFrame({"text": texts})
    db.register("held", frame)
    db.execute("create table texts as select row_number() over () as id, text from held")
    series = pl.Series("text", texts)
    return {
        "pandas": partial(_pandas, pd.Series(texts)),
        "polars": partial(_polars, series),
        _RAW: partial(_raw, series),
        "duckdb": partial(_duckdb, db),
    }


def _pandas(texts: Any) -> list[Any]:
    import numpy as np

    groups = texts.str.extract(PATTERN)
    inches = groups.apply(lambda column: column.str.contains("/", na=False)).any(axis=1)
    found = []
    for number in groups:
        parts = groups[number].str.extract(r"^(?:(\d+)-)?(\d*\.?\d+)(?:/(\d+))?$").astype(float)
        value = parts[0].fillna(0) + parts[1] / parts[2].fillna(1)
        found.append(np.floor(value * np.where(inches, UM_PER_INCH, 1000) + 0.5).astype(int))
    return found


def _raw(texts: Any) -> Any:
    return texts.str.extract_groups(PATTERN)


def _polars(texts: Any) -> list[Any]:
    import polars as pl

    groups = texts.str.extract_groups(PATTERN).struct.unnest()
    names = groups.columns
    inch = pl.any_horizontal(pl.col(name).str.contains("/", literal=True) for name in names)
    part = r"^(?:(\d+)-)?(\d*\.?\d+)(?:/(\d+))?$"
    sizes = groups.select(
        (
            (
                pl.col(name).str.extract(part, 1).cast(pl.Float64).fill_null(0.0)
                + pl.col(name).str.extract(part, 2).cast(pl.Float64)
                / pl.col(name).str.extract(part, 3).cast(pl.Float64).fill_null(1.0)
            )
            * pl.when(inch).then(UM_PER_INCH).otherwise(1000)
            + 0.5
        )
        .floor()
        .cast(pl.Int64)
        .alias(name)
        for name in names
    )
    return [sizes[name].to_list() for name in names]


_UM = r"""cast(floor((coalesce(try_cast(regexp_extract({n}, '^(\d+)-', 1) as double), 0)
 + cast(regexp_extract({n}, '(\d*\.?\d+)(/\d+)?$', 1) as double)
 / coalesce(try_cast(regexp_extract({n}, '/(\d+)$', 1) as double), 1))
 * case when contains(a || b || c, '/') then 25400 else 1000 end + 0.5) as integer)"""


def _duckdb(db: Any) -> list[Any]:
    sizes = ", ".join(f"{_UM.format(n=name)} as {name}_um" for name in "abc")
    found = db.execute(
        "with g as"
        f" (select id, regexp_extract(text, '{PATTERN}', ['a', 'b', 'c']) as s from texts),"
        " n as (select id, s.a as a, s.b as b, s.c as c from g)"
        f" select {sizes} from n order by id"
    ).fetchnumpy()
    return list(found.values())


def _adding(lines: int, runs: int) -> list[Measured]:
    """A list added from file to store: ours, and DuckDB loading it with a pattern."""
    lists = bench_cross.invented(lines=lines, wanted=1)
    seconds: dict[str, list[float]] = {"ours": [], "duckdb": []}
    memory: dict[str, list[float]] = {"ours": [], "duckdb": []}
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        _, listed = write_files(lists, folder)
        del lists
        own_store, other = folder / "lists.sqlite", folder / "lists.duckdb"
        words = {
            "ours": ["fitcheck.cli.main", "lists", "add", "big", str(listed)],
            "duckdb": [
                str(ROOT / "scripts" / "bench_duckdb.py"),
                "load",
                str(listed),
                str(other),
            ],
        }
        for turn in range(runs + 1):
            for key, command in words.items():
                for old in folder.glob("lists.*"):
                    old.unlink()
                took, mib = child(command, own_store)
                if turn:
                    seconds[key].append(took)
                    memory[key].append(mib)
    what = f"add {lines:,} lines, file to store"
    return [
        Measured(
            SECTION, what, "s", tuple(seconds["ours"]), "duckdb, pattern", tuple(seconds["duckdb"])
        ),
        Measured(
            SECTION,
            f"{what}, most memory",
            "MiB",
            tuple(memory["ours"]),
            "duckdb, pattern",
            tuple(memory["duckdb"]),
        ),
    ]
