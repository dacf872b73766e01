"""The general engine that crossing is measured beside: the same join said in SQL, three ways."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from typing import Any

REACH_UM, WIDTH_UM, TOP = 500, 300, 10
THREADS = 2

Triple = tuple[int, int, int]

_RANGE = """
select w.id, l.line from wanted w join lines l
 on l.shaft between w.shaft - {reach} and w.shaft + {reach}
 and l.bore between w.bore - {reach} and w.bore + {reach}
 and l.width between w.width - {wide} and w.width + {wide}
qualify row_number() over (partition by w.id order by l.price, l.line) <= {top}
"""
# The hash join on cells: each wanted size looks into its own cell and its neighbours.
_CELLS = """
select w.id, l.line
from (select *, (shaft // {cell}) + dx as cx, (bore // {cell}) + dy as cy
      from wanted, (values (-1), (0), (1)) x(dx), (values (-1), (0), (1)) y(dy)) w
join (select *, shaft // {cell} as cx, bore // {cell} as cy from lines) l
 on l.cx = w.cx and l.cy = w.cy
 and abs(l.shaft - w.shaft) <= {reach} and abs(l.bore - w.bore) <= {reach}
 and abs(l.width - w.width) <= {wide}
qualify row_number() over (partition by w.id order by l.price, l.line) <= {top}
"""
# The same idea as the program's, said in SQL: the best lines of each size first.
_SIZES = """
with best as (select * from lines qualify row_number() over
              (partition by shaft, bore, width order by price, line) <= {top}),
 sizes as (select distinct shaft, bore, width from lines),
 asked as (select distinct shaft, bore, width from wanted),
 pairs as (select a.shaft as ws, a.bore as wb, a.width as ww, s.*
  from asked a join sizes s
  on s.shaft between a.shaft - {reach} and a.shaft + {reach}
  and s.bore between a.bore - {reach} and a.bore + {reach}
  and s.width between a.width - {wide} and a.width + {wide}),
 found as (select ws, wb, ww, line, row_number() over
            (partition by ws, wb, ww order by price, line) as place
           from pairs join best using (shaft, bore, width) qualify place <= {top})
select w.id, f.line from wanted w join found f
 on f.ws = w.shaft and f.wb = w.bore and f.ww = w.width
"""
QUERIES = {"range join": _RANGE, "hash join on cells": _CELLS, "distinct sizes first": _SIZES}


def _query(form: str) -> str:
    return QUERIES[form].format(reach=REACH_UM, wide=WIDTH_UM, top=TOP, cell=REACH_UM)


class Duck:
    """The general engine, with the lists in memory as columns."""

    def __init__(
        self,
        lines: tuple[Sequence[int], Sequence[int], Sequence[int], Sequence[str]],
        wanted: Sequence[Triple],
    ) -> None:
        import duckdb
        import numpy as np

        self.version = duckdb.__version__
        self._db = duckdb.connect(config={"threads": THREADS, "memory_limit": "8GB"})
        shaft, bore, width, price = lines
        count = len(shaft)
        columns = {
            "line": np.arange(2, count + 2),
            "shaft": np.array(shaft),
            "bore": np.array(bore),
            "width": np.array(width),
            "price": np.array([float(text) for text in price]),
        }
        asked = np.array(wanted)
        sought = {
            "id": np.arange(len(asked)),
            "shaft": asked[:, 0],
            "bore": asked[:, 1],
            "width": asked[:, 2],
        }
        for name, held in (("lines", columns), ("wanted", sought)):
            self._db.register("held", held)
            self._db.execute(f"create table {name} as select * from held")
            self._db.unregister("held")

    def join(self, form: str) -> dict[str, Any]:
        """The pairs of a wanted size and a line, as columns."""
        found: dict[str, Any] = self._db.execute(_query(form)).fetchnumpy()
        return found


# A size out of a description, as the program reads one: three numbers with x between, each whole,
# decimal or a fraction, inches where there is a fraction; lip and material by their words.
_LOAD = r"""
create or replace table lines as
with read as (
 select row_number() over () + 1 as line, part_number, description, price, currency,
  regexp_extract(description,
   '(\d+-\d+/\d+|\d+/\d+|\d*\.?\d+)\s*[xX]\s*(\d+-\d+/\d+|\d+/\d+|\d*\.?\d+)\s*[xX]\s*(\d+-\d+/\d+|\d+/\d+|\d*\.?\d+)',
   ['a', 'b', 'c']) as size,
  case when description ilike '%double lip%' or description ilike '%dbl lip%' then 'double'
   when description ilike '%single lip%' then 'single' end as lip,
  nullif(regexp_extract(description, '\b(NBR|FKM|ACM|PTFE)\b', 1), '') as material
 from read_csv('{listed}', types={{'part_number': 'VARCHAR'}}))
select line, part_number, description, price, currency, lip, material,
 {a} as shaft, {b} as bore, {c} as width from read where size.a <> ''
"""
_UM = r"""cast(round(case when size.{n} like '%/%' then 25400 * (
 coalesce(try_cast(regexp_extract(size.{n}, '^(\d+)-', 1) as double), 0)
 + cast(regexp_extract(size.{n}, '(\d+)/', 1) as double)
 / cast(regexp_extract(size.{n}, '/(\d+)', 1) as double))
 else 1000 * try_cast(size.{n} as double) end) as integer)"""
_WANTED = """
create or replace table wanted as select row_number() over () - 1 as id,
 cast(round(shaft * 1000) as integer) as shaft, cast(round(bore * 1000) as integer) as bore,
 cast(round(width * 1000) as integer) as width from read_csv('{wanted}')
"""
_OUT = """
copy (select f.id, w.shaft, w.bore, w.width, l.part_number, l.description, l.shaft, l.bore,
 l.width, l.lip, l.material, l.price, l.currency from ({query}) f join wanted w using (id)
 join lines l using (line) order by f.id, l.price, l.line) to '{out}' (header)
"""


def main() -> None:
    """From file to file in a process of its own: load LIST DATABASE, cross WANTED DATABASE OUT."""
    import duckdb

    job, *names = sys.argv[1:]
    database = names[1]
    db = duckdb.connect(database, config={"threads": THREADS, "memory_limit": "8GB"})
    if job == "load":
        sizes = {name: _UM.format(n=name) for name in "abc"}
        db.execute(_LOAD.format(listed=names[0], **sizes))
    else:
        db.execute(_WANTED.format(wanted=names[0]))
        form = "hash join on cells"
        db.execute(_OUT.format(query=_query(form), out=names[2]))
    db.close()


if __name__ == "__main__":
    main()
