"""Which column of a list holds what: found from the file, given by the user, or remembered."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, field, replace
from typing import Any

from fitcheck.errors import DataError, InputError
from fitcheck.lists.attributes import ATTRIBUTES
from fitcheck.records import dataclass

# What a column can hold: fields of a line, and what several fields are read from.
ROLES = (
    "part_number",
    "description",
    "kind",
    "size",
    "shaft",
    "bore",
    "width",
    "unit",
    "designation",
    "cone",
    "cup",
    *ATTRIBUTES,
    "price",
    "price_per",
    "currency",
    "pack",
    "minimum",
    "lead_days",
    "on_hand",
)
PLACES = ("shaft", "bore", "width")
NUMERIC_ROLES = (*PLACES, "price")
# What makes a line a line: one of these must be found.
TELLING = ("part_number", "description", "size", "designation", "shaft", "cone", "cup")


@dataclass(frozen=True, slots=True)
class ColumnPlan:
    """How a list is read: its columns by role, its units, its decimal signs.

    A column is named by its header, or by ``#3`` for the third; ``-`` leaves a role out. As an
    argument a plan holds what the user gave, now or for a list before: its columns are used as
    they are; ``unit``, ``decimal`` and ``decimals`` count where the file itself shows nothing.
    ``guessed`` says what speaks for a decimal sign that is not sure, ``last`` has the columns of
    the list before.
    """

    columns: dict[str, tuple[str, ...]] = field(default_factory=dict)
    header_line: int = 0
    unit: str = ""
    units: dict[str, str] = field(default_factory=dict)
    decimals: dict[str, str] = field(default_factory=dict)
    guessed: dict[str, str] = field(default_factory=dict)
    decimal: str = ""
    last: dict[str, tuple[str, ...]] = field(default_factory=dict)
    currency: str = ""
    price_per: int = 1
    lead_unit_days: int = 1
    encoding: str = ""
    delimiter: str = ""
    sheet: str = ""
    notes: tuple[str, ...] = ()

    def to_json(self) -> str:
        """The plan as text, to be remembered."""
        return json.dumps(asdict(self), ensure_ascii=False, sort_keys=True)

    @staticmethod
    def from_json(text: str) -> ColumnPlan:
        """The plan that :meth:`to_json` wrote.

        Raises
        ------
        DataError
            The text is no plan.
        """
        try:
            found: dict[str, Any] = json.loads(text)
            for name in ("columns", "last"):
                columns = found["columns"] if name == "columns" else found.get(name, {})
                found[name] = {role: tuple(refs) for role, refs in columns.items()}
            found["notes"] = tuple(found.get("notes", ()))
            return ColumnPlan(**found)
        except (ValueError, TypeError, KeyError, AttributeError):
            raise DataError(
                value=text[:60],
                rule="the remembered columns of this list can't be read",
                todo="Name the columns again",
            ) from None


def plan_of(columns: Mapping[str, str], *, plan: ColumnPlan | None = None) -> ColumnPlan:
    """A plan from columns that the user names, laid over a remembered one.

    Parameters
    ----------
    columns : mapping
        Role to column, such as ``{"size": "Dims", "price": "Netto"}``.
    plan : ColumnPlan, optional
        What was remembered.

    Raises
    ------
    InputError
        There is no such role.

    Examples
    --------
    >>> plan_of({"size": "Dims"}).columns
    {'size': ('Dims',)}
    """
    unknown = [role for role in columns if role not in ROLES]
    if unknown:
        raise InputError(
            value=unknown[0],
            rule="no column of a list is called so here",
            todo=f"Use one of {', '.join(ROLES)}",
        )
    base = plan or ColumnPlan()
    new = {role: (column.strip(),) for role, column in columns.items()}
    # A column named for a new role leaves its old one.
    taken = set(new.values())
    kept = {role: refs for role, refs in base.columns.items() if refs not in taken}
    return replace(base, columns={**kept, **new})


def changed_columns(
    before: Mapping[str, tuple[str, ...]], now: Mapping[str, tuple[str, ...]]
) -> str:
    """What is another column than in the list before, in words; empty where nothing is.

    Examples
    --------
    >>> changed_columns({"price": ("Netto",), "pack": ("VE",)}, {"price": ("Brutto",)})
    'price is Brutto, was Netto; pack is gone, was VE'
    """
    told = []
    for role in ROLES:
        old, new = before.get(role, ()), now.get(role, ())
        if old == new:
            continue
        was = f", was {' + '.join(old)}" if old else ", is new"
        told.append(f"{role} is {' + '.join(new) if new else 'gone'}{was}")
    return "; ".join(told)


def column_number(ref: str, headers: Sequence[str]) -> int | None:
    """The position of a column named by its header or as ``#3``; None when there is none.

    Raises
    ------
    InputError
        Two columns have the header.
    """
    wanted = " ".join(ref.split())
    names = [" ".join(name.split()) for name in headers]
    # d and D are two columns: the case counts where it tells them apart.
    found = [i for i, name in enumerate(names) if name == wanted] or [
        i for i, name in enumerate(names) if name.casefold() == wanted.casefold()
    ]
    if len(found) > 1:
        numbers = ", ".join(f"#{i + 1}" for i in found)
        raise InputError(
            value=f"column {ref}",
            rule=f"several columns have this header: {numbers}",
            todo="Name the one you mean by its number",
        )
    if found:
        return found[0]
    if ref[:1] == "#" and ref[1:].isascii() and ref[1:].isdigit() and int(ref[1:]) > 0:
        return int(ref[1:]) - 1
    return None


def column_ref(number: int, headers: Sequence[str]) -> str:
    """How a column is named: by its header where only one has it, else by its number."""
    name = " ".join(headers[number].split()) if number < len(headers) else ""
    same = sum(" ".join(header.split()) == name for header in headers)
    return name if name and same == 1 and name != "-" else f"#{number + 1}"


def given_columns(
    plan: ColumnPlan, headers: Sequence[str], width: int
) -> tuple[dict[str, tuple[int, ...]], set[str]]:
    """The columns that a plan fixes, and the roles it leaves out.

    Raises
    ------
    InputError
        A column of the plan is not in the file.
    """
    found: dict[str, tuple[int, ...]] = {}
    left_out: set[str] = set()
    for role, refs in plan.columns.items():
        if refs in (("-",), ("",), ()):
            left_out.add(role)
            continue
        numbers = []
        for ref in refs:
            number = column_number(ref, headers)
            if number is None or number >= width:
                have = ", ".join(h for h in headers if h.strip()) or f"#1 to #{width}"
                raise InputError(
                    value=f"column {ref}",
                    rule=f"the list has no such column for {role}; it has {have}",
                    todo=f"Name the column that holds {role}, or - for none",
                )
            numbers.append(number)
        found[role] = tuple(numbers)
    return found, left_out
