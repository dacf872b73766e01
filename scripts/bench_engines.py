"""General engines that answer the join of crossing, each by its own best means."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

from bench_duckdb import REACH_UM, TOP, WIDTH_UM, Triple

Columns = tuple[Sequence[int], Sequence[int], Sequence[int], Sequence[str]]
Pairs = tuple[Any, Any]


def agrees(own: Sequence[Sequence[int]], other: Any) -> bool:
    """Whether another engine gave the lines that ours gave for every wanted size."""
    ids, lines = (other["id"], other["line"]) if isinstance(other, dict) else other
    mine = {(number, line) for number, found in enumerate(own) for line in found}
    theirs = list(zip(map(int, ids), map(int, lines), strict=True))
    return len(theirs) == len(mine) and set(theirs) == mine


def ready(lines: Columns, wanted: Sequence[Triple]) -> dict[str, Callable[[], Pairs]]:
    """The engines with the lists loaded, by name; each gives (wanted, line) pairs as columns."""
    import numpy as np
    import pandas as pd  # type: ignore[import-untyped]
    import polars as pl
    from scipy.spatial import cKDTree  # type: ignore[import-untyped]

    size = np.array(lines[:3]).T
    price = np.array([float(text) for text in lines[3]])
    sought = np.array(wanted)
    names = ("shaft", "bore", "width")
    have = {**{n: size[:, i] for i, n in enumerate(names)}, "price": price}
    have["line"] = np.arange(2, len(size) + 2)
    want = {**{n: sought[:, i] for i, n in enumerate(names)}, "id": np.arange(len(sought))}
    # Widths are stretched so that one reach holds for all three dimensions.
    scale = np.array([1.0, 1.0, REACH_UM / WIDTH_UM])
    tree = cKDTree(size * scale)
    found: dict[str, Callable[[], Pairs]] = {
        "scipy cKDTree": partial(_tree, tree, sought * scale, price),
        "pandas, cells": partial(_pandas, pd.DataFrame(have), pd.DataFrame(want)),
        "polars, cells": partial(_polars, pl.DataFrame(have), pl.DataFrame(want)),
    }
    if len(size) * len(sought) <= 100_000_000:
        found["numpy, brute force"] = partial(_brute, size, sought, price)
        found["sqlite, index"] = partial(_sqlite, _database(have, want, rtree=False), _BY_INDEX)
        found["sqlite, R*Tree"] = partial(_sqlite, _database(have, want, rtree=True), _BY_TREE)
    return found


def _top(near: Any, price: Any) -> Any:
    """The cheapest of some lines, ties by the line."""
    import numpy as np

    return near[np.lexsort((near, price[near]))[:TOP]]


def _gathered(best: Sequence[Any]) -> Pairs:
    import numpy as np

    ids = np.repeat(np.arange(len(best)), [len(lines) for lines in best])
    return ids, np.concatenate(best) + 2


def _tree(tree: Any, sought: Any, price: Any) -> Pairs:
    import numpy as np

    # Half a micrometre more, so that a distance of just the reach is not lost to rounding.
    near = tree.query_ball_point(sought, REACH_UM + 0.5, p=np.inf, workers=2)
    return _gathered([_top(np.array(lines, dtype=int), price) for lines in near])


def _brute(size: Any, sought: Any, price: Any) -> Pairs:
    import numpy as np

    reach = np.array([REACH_UM, REACH_UM, WIDTH_UM])
    near = (np.flatnonzero((abs(size - one) <= reach).all(axis=1)) for one in sought)
    return _gathered([_top(lines, price) for lines in near])


def _pandas(have: Any, want: Any) -> Pairs:
    import pandas as pd

    cells = have.assign(cx=have.shaft // REACH_UM, cy=have.bore // REACH_UM)
    steps = [(x, y) for x in (-1, 0, 1) for y in (-1, 0, 1)]
    asked = pd.concat(
        want.assign(cx=want.shaft // REACH_UM + x, cy=want.bore // REACH_UM + y) for x, y in steps
    )
    pairs = asked.merge(cells, on=["cx", "cy"], suffixes=("_w", ""))
    near = pairs[
        ((pairs.shaft - pairs.shaft_w).abs() <= REACH_UM)
        & ((pairs.bore - pairs.bore_w).abs() <= REACH_UM)
        & ((pairs.width - pairs.width_w).abs() <= WIDTH_UM)
    ]
    best = near.sort_values(["id", "price", "line"]).groupby("id").head(TOP)
    return best.id.to_numpy(), best.line.to_numpy()


def _polars(have: Any, want: Any) -> Pairs:
    import polars as pl

    steps = pl.LazyFrame({"dx": [-1, 0, 1]}).join(pl.LazyFrame({"dy": [-1, 0, 1]}), how="cross")
    cells = have.lazy().with_columns(cx=pl.col("shaft") // REACH_UM, cy=pl.col("bore") // REACH_UM)
    asked = (
        want.lazy()
        .join(steps, how="cross")
        .with_columns(
            cx=pl.col("shaft") // REACH_UM + pl.col("dx"),
            cy=pl.col("bore") // REACH_UM + pl.col("dy"),
        )
    )
    best = (
        asked.join(cells, on=["cx", "cy"], suffix="_l")
        .filter(
            ((pl.col("shaft") - pl.col("shaft_l")).abs() <= REACH_UM)
            & ((pl.col("bore") - pl.col("bore_l")).abs() <= REACH_UM)
            & ((pl.col("width") - pl.col("width_l")).abs() <= WIDTH_UM)
        )
        .sort("id", "price", "line")
        .group_by("id", maintain_order=True)
        .head(TOP)
        .collect()
    )
    return best["id"].to_numpy(), best["line"].to_numpy()


_PICK = """
with near as (select w.id, l.line, row_number() over
 (partition by w.id order by l.price, l.line) as place from wanted w {join})
select id, line from near where place <= {top}
"""
_BY_INDEX = _PICK.format(
    top=TOP,
    join=f"""cross join lines l on l.shaft between w.shaft - {REACH_UM} and w.shaft + {REACH_UM}
 and l.bore between w.bore - {REACH_UM} and w.bore + {REACH_UM}
 and l.width between w.width - {WIDTH_UM} and w.width + {WIDTH_UM}""",
)
_BY_TREE = _PICK.format(
    top=TOP,
    join=f"""cross join tree t on t.a0 >= w.shaft - {REACH_UM} and t.a1 <= w.shaft + {REACH_UM}
 and t.b0 >= w.bore - {REACH_UM} and t.b1 <= w.bore + {REACH_UM}
 and t.c0 >= w.width - {WIDTH_UM} and t.c1 <= w.width + {WIDTH_UM}
 join lines l on l.line = t.id""",
)


def _database(have: dict[str, Any], want: dict[str, Any], *, rtree: bool) -> sqlite3.Connection:
    db = sqlite3.connect(":memory:")
    db.execute(
        "create table lines (shaft int, bore int, width int, price real, line integer primary key)"
    )
    db.execute("create table wanted (shaft int, bore int, width int, id integer primary key)")
    for name, columns in (("lines", have), ("wanted", want)):
        rows = list(zip(*(column.tolist() for column in columns.values()), strict=True))
        marks = ",".join("?" * len(columns))
        db.executemany(f"insert into {name} values ({marks})", rows)
    if rtree:
        db.execute("create virtual table tree using rtree_i32(id, a0, a1, b0, b1, c0, c1)")
        db.execute(
            "insert into tree select line, shaft, shaft, bore, bore, width, width from lines"
        )
    else:
        db.execute("create index by_size on lines (shaft, bore, width, price)")
    return db


def _sqlite(db: sqlite3.Connection, query: str) -> Pairs:
    pairs = db.execute(query).fetchall()
    return [pair[0] for pair in pairs], [pair[1] for pair in pairs]
