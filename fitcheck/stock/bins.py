"""A stocking list as what stands on the labels of its bins."""

from __future__ import annotations

import re

from fitcheck.errors import InputError
from fitcheck.lists.lines import Remark
from fitcheck.records import dataclass
from fitcheck.stock.parts import names_of
from fitcheck.stock.plan_sheet import COLUMNS
from fitcheck.stock.shelf import COLUMNS as COUNT_COLUMNS
from fitcheck.stock.table_file import Column, refused_words, table_rows

_LETTERS = {"seal": "S", "bearing": "B", "sleeve": "R", "shim": "H"}
_SIZE = re.compile(r"^(\d+(?:\.\d+)?(?: x \d+(?:\.\d+)?)+)( in)?$")


@dataclass(frozen=True, slots=True)
class Bin:
    """One size at one branch: what it is, where it lies, and its levels where they are known."""

    size: str
    what: str
    text: str
    branch: str = ""
    level: int | None = None
    order_at: int | None = None


def bin_text(*, what: str, size: str) -> str:
    """A short text to find a bin by: a letter for the kind, then the size; bins sort by shaft.

    Metric figures are written in tenths of a millimetre without their point where they have one,
    inch figures in thousandths after an I. What is no size is taken as it is.

    Parameters
    ----------
    what : str
        ``seal``, ``bearing``, ``sleeve``, ``shim`` or anything else.
    size : str
        The size or designation.

    Examples
    --------
    >>> bin_text(what="seal", size="35 x 52 x 7")
    'S 035-052-07'
    >>> bin_text(what="seal", size="1.375 x 2.125 x 0.313 in")
    'S I1375-2125-0313'
    >>> bin_text(what="bearing", size="LM11949/LM11910")
    'B LM11949/LM11910'
    """
    letter = _LETTERS.get(what, "P")
    found = _SIZE.match(size)
    if found is None:
        return f"{letter} {size}"
    figures = found[1].split(" x ")
    if found[2]:
        return f"{letter} I" + "-".join(f"{round(float(one) * 1000):04d}" for one in figures)
    widths = [3] * (len(figures) - 1) + [2]
    shown = [
        f"{int(whole):0{width}d}" + (f".{part}" if part else "")
        for width, (whole, _, part) in zip(
            widths, (one.partition(".") for one in figures), strict=True
        )
    ]
    return f"{letter} {'-'.join(shown)}"


# What a list may have: a plan as it was saved, or a count of the shelf, with a bin where the shop
# has names of its own.
_BIN_COLUMNS = (
    *COUNT_COLUMNS,
    *(
        Column(column.name, column.words, column.also)
        for column in COLUMNS
        if column.name not in {one.name for one in COUNT_COLUMNS}
    ),
    Column("bin", "the shop's own name of the bin"),
)


def read_bins(path: str, *, branch: str | None = None, unit: str = "mm") -> list[Bin]:
    """The bins of a stocking list, in the list's order.

    Parameters
    ----------
    path : str
        The file, CSV or XLSX; a size with the level 0 has no bin.
    branch : str, optional
        The branch whose bins are wanted; all when left out.
    unit : str
        ``mm`` or ``in``, of sizes that name none.

    Returns
    -------
    list of Bin

    Raises
    ------
    InputError
        The list or a row of it can't be read, or no bin is left.
    """
    refused: list[Remark] = []
    rows = []
    for cells in table_rows(path, _BIN_COLUMNS, what="a stocking list"):
        part = cells.needed("part")
        level = cells.whole("level", least=0, blank=-1)
        order_at = cells.whole("order_at", least=0, blank=-1)
        refused += cells.refused
        if level and branch in (None, cells.text("branch")):
            rows.append((part, cells.text("what"), level, order_at, cells))
    if refused:
        first = min(refused, key=lambda remark: remark.line)
        raise InputError(
            value=f"{path}, line {first.line}, {first.column} {first.value!r}",
            rule=f"{first.reason}; {refused_words(refused)} in all",
            todo="Mend them; no label was made",
        )
    if not rows:
        raise InputError(
            value=f"{path}, branch {branch}" if branch else path,
            rule="no size in it has a place on the shelf",
            todo="Name a branch of the list, or a list with levels above 0",
        )
    names = names_of([(part, what) for part, what, *_ in rows], unit=unit)
    bins = []
    alone: set[tuple[str, str]] = set()
    for part, what, level, order_at, cells in rows:
        named = names[part, what]
        # The days on which a shelf was empty stand in lines of their own, of a bin that has one.
        place = named.key, cells.text("branch")
        if place in alone and cells.text("empty_from") and not cells.text("on_hand"):
            continue
        alone.add(place)
        kind = what or named.what
        bins.append(
            Bin(
                size=named.key,
                what=kind,
                text=cells.text("bin") or bin_text(what=kind, size=named.key),
                branch=cells.text("branch"),
                level=level if level > 0 else None,
                order_at=order_at if order_at >= 0 else None,
            )
        )
    return bins
