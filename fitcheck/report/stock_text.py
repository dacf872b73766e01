"""Stocking lists, frontiers and replays as text for a terminal."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from fitcheck.report.workbook import Table

Aligned = Callable[..., str]


def amount(value: float) -> str:
    """A sum of money without its cents, thousands parted.

    Parameters
    ----------
    value : float
        The sum [currency].

    Examples
    --------
    >>> amount(8000.4)
    '8,000'
    """
    return f"{value:,.0f}"


def share(value: float) -> str:
    """A share in per cent, one decimal; what is not quite all never reads as all.

    Parameters
    ----------
    value : float
        From 0 to 1.

    Examples
    --------
    >>> share(0.9543), share(0.99999)
    ('95.4%', '99.9%')
    """
    return f"{min(value, 0.999) if value < 1 else value:.1%}"


def dead_text(answer: Mapping[str, Any]) -> str:
    """What of today's shelf is dead stock, and what lies beyond the list and sells in time.

    Parameters
    ----------
    answer : mapping
        The answer.

    Examples
    --------
    >>> found = {"dead_pieces": 1, "dead_money": 8.0, "over_pieces": 0, "over_money": 0.0}
    >>> dead_text({**found, "currency": "EUR"})
    "Of today's shelf 1 piece is dead stock, more than two years are likely to use: returning it \
frees 8.00 EUR."
    """
    dead, over = int(answer["dead_pieces"]), int(answer["over_pieces"])
    words = []
    if dead:
        are, them = ("piece is", "it") if dead == 1 else ("pieces are", "them")
        words.append(
            f"Of today's shelf {dead} {are} dead stock, more than two years are likely to use: "
            f"returning {them} frees {answer['dead_money']:,.2f} {answer['currency']}."
        )
    if over:
        lie = "lies beyond the list and sells" if over == 1 else "lie beyond the list and sell"
        more = f"{over} more" if dead else f"Of today's shelf {over}"
        words.append(f"{more} ({answer['over_money']:,.2f} {answer['currency']}) {lie} in time.")
    return " ".join(words)


FIGURE_HEADS = ("", "complete", "lines", "money", "on_shelf", "turns", "emergency", "sizes")
FIGURE_RIGHT = frozenset(range(1, len(FIGURE_HEADS)))


def figure_cells(name: str, figures: Mapping[str, Any]) -> tuple[str, ...]:
    """The figures of a list as a row: see `FIGURE_HEADS`.

    Parameters
    ----------
    name : str
        What the list is called.
    figures : mapping
        Its figures, as `Figures.as_json` gives them.
    """
    return (
        name,
        share(figures["jobs_complete_share"]),
        share(figures["line_fill_share"]),
        amount(figures["money"]),
        amount(figures["money_on_shelf"]),
        f"{figures['turns']:.1f}",
        f"{figures['emergency_orders_a_year']:.1f}",
        f"{figures['sizes']}",
    )


def figures_text(answer: Mapping[str, Any], aligned: Aligned, *, width: int, name: str) -> str:
    """The figures of a list, and of those it is held against.

    Parameters
    ----------
    answer : mapping
        The answer.
    aligned : callable
        Lays cells out in columns.
    width : int
        Longest line.
    name : str
        What the list is called.
    """
    rows = [figure_cells(name, answer["figures"])]
    for key, words in (
        ("best", "the plan, same money"),
        ("per_line", "single lines, same money"),
        ("today", "today's shelf"),
    ):
        if answer.get(key):
            rows.append(figure_cells(words, answer[key]))
    return aligned(FIGURE_HEADS, rows, right=FIGURE_RIGHT, width=width)


def list_cells(line: Mapping[str, Any]) -> tuple[str, ...]:
    """A line of a list: part, level, order at, now, buy, money, met, jobs, lost without it.

    Parameters
    ----------
    line : mapping
        The line.
    """
    return (
        line["part"],
        str(line["level"]),
        "" if line["order_at"] is None else str(line["order_at"]),
        "?" if line["on_hand"] is None else str(line["on_hand"]),
        str(line["buy"]) if line["buy"] else "",
        f"{line['money']:,.2f}" + ("*" if line["price_assumed"] else ""),
        share(line["met"]),
        f"{line['jobs_a_year']:.1f}",
        f"{line['dropped']:.2f}",
    )


LIST_HEADS = ("part", "level", "order_at", "now", "buy", "money", "met", "jobs", "lost")
LIST_RIGHT = frozenset(range(1, len(LIST_HEADS)))


# What the next level adds is told from so many jobs a year on.
_LEAST_TOLD = 0.005


def explained(line: Mapping[str, Any], *, currency: str) -> str:
    """Why a size is on a list or is not, and what the next level of it costs and does.

    Parameters
    ----------
    line : mapping
        The line.
    currency : str
        The currency of the money; may be blank.
    """

    def money(value: float) -> str:
        return f"{value:.2f} {currency}".rstrip()

    held = "not counted" if line["on_hand"] is None else f"{line['on_hand']} there now"
    words = (
        f"{line['part']}, {line['branch']}, level {line['level']} ({money(line['money'])}), "
        f"{held}: {line['why']}"
    )
    if not line["level"] or line["one_more"] < _LEAST_TOLD or not line["one_more_money"]:
        return words
    does = f"completes {line['one_more']:.2f} more a year"
    above = int(line["level"]) + round(line["one_more_money"] / line["price"])
    if (line["on_hand"] or 0) >= above:
        # What lies there already costs nothing more.
        return f"{words}; one more lies there already: kept at level {above} it {does}"
    return f"{words}; one more costs {money(line['one_more_money'])} and {does}"


def bar(value: float, *, width: int) -> str:
    """A bar as long as a share of a width.

    Parameters
    ----------
    value : float
        From 0 to 1.
    width : int
        Characters of a whole bar.

    Examples
    --------
    >>> bar(0.5, width=8)
    '####'
    """
    return "#" * round(value * width)


def frontier_text(points: Sequence[Mapping[str, Any]], aligned: Aligned, *, width: int) -> str:
    """Money against complete jobs, a line a list.

    Parameters
    ----------
    points : sequence of mapping
        The lists in the order of their money; ``name`` marks today's shelf.
    aligned : callable
        Lays cells out in columns.
    width : int
        Longest line.
    """
    room = max(10, width - 46)
    rows = [
        (
            amount(point["money"]),
            share(point["jobs_complete_share"]),
            share(point["line_fill_share"]),
            f"{point['emergency_orders_a_year']:.1f}",
            bar(point["jobs_complete_share"], width=room)
            + (f" {point['name']}" if point["name"] else ""),
        )
        for point in points
    ]
    heads = ("money", "complete", "lines", "emergency", "")
    return aligned(heads, rows, right={0, 1, 2, 3}, width=max(width, room + 60))


REPLAY_HEADS = ("list", "complete", "lines", "emergency", "money", "on_shelf", "sizes")


def replay_text(lists: Sequence[Mapping[str, Any]], aligned: Aligned, *, width: int) -> str:
    """What each list did in the held-back year.

    Parameters
    ----------
    lists : sequence of mapping
        The lists with their figures.
    aligned : callable
        Lays cells out in columns.
    width : int
        Longest line.
    """
    rows = [
        (
            one["name"],
            f"{one['jobs_complete']} ({share(one['jobs_complete_share'])})",
            f"{one['lines_filled']} ({share(one['line_fill_share'])})",
            str(one["emergency_orders"]),
            amount(one["money"]),
            amount(one["money_on_shelf"]),
            str(one["sizes"]),
        )
        for one in lists
    ]
    return aligned(REPLAY_HEADS, rows, right=set(range(1, 7)), width=width)


# What a column of the list holds, its unit, and how wide it is; the money's unit is the currency.
_MONEY = "money"
_SHEET = {
    "branch": ("text", "", 18),
    "part": ("text", "", 24),
    "what": ("text", "", 10),
    "level": ("whole", "pieces", 10),
    "order_at": ("whole", "pieces", 10),
    "order_quantity": ("whole", "pieces", 14),
    "on_hand": ("whole", "pieces", 10),
    "buy": ("whole", "pieces", 10),
    "price": (_MONEY, "", 10),
    "price_assumed": ("text", "", 10),
    "currency": ("text", "", 9),
    "money": (_MONEY, "", 11),
    "met": ("share", "of asks", 10),
    "jobs_a_year": ("number", "", 11),
    "one_more": ("number", "jobs a year", 12),
    "one_more_money": (_MONEY, "", 12),
    "dropped": ("number", "jobs a year", 12),
    "always": ("text", "", 8),
    "dead": ("whole", "pieces", 10),
    "why": ("text", "", 70),
}


def plan_table(rows: Iterable[Sequence[Any]], *, currency: str) -> Table:
    """A list as a sheet of a workbook: units in the heading, numbers as numbers.

    Parameters
    ----------
    rows : iterable of list
        The cells in the order of `plan_sheet.COLUMNS`.
    currency : str
        The currency of the money.
    """
    from fitcheck.report.workbook import Column, Table
    from fitcheck.stock.plan_sheet import COLUMNS

    columns = []
    for one in COLUMNS:
        kind, unit, width = _SHEET[one.name]
        unit = currency if kind == _MONEY else unit
        columns.append(Column(f"{one.name} ({unit})" if unit else one.name, kind, width))
    return Table("Stocking list", columns, rows)
