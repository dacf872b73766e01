"""What the fleet will ask for: machines, the hubs on them, and the sizes in each hub.

A fleet file has a line for each position of a hub. How often a hub is renewed is given as renewals
a year, or as the hours it runs in a year and the hours it lasts. A hub's positions are one kit.
"""

from __future__ import annotations

from collections.abc import Mapping

from fitcheck.lists.lines import Remark
from fitcheck.lists.source import LineSource
from fitcheck.records import dataclass
from fitcheck.stock.history import ONE_BRANCH
from fitcheck.stock.parts import Asked, Named, names_of, notes_of
from fitcheck.stock.table_file import REFUSED, Cells, Column, table_rows

COLUMNS = (
    Column("machine", "the machine or the kind of machine", needed=True),
    Column("part", "size, designation or part number", ("size", "item", "number"), needed=True),
    Column("branch", "the branch that looks after it", ("place",)),
    Column("machines", "how many of them; 1 when left out", ("count",)),
    Column("hub", "which hub of the machine"),
    Column("hubs", "how many such hubs each machine has; 1 when left out"),
    Column("position", "where in the hub the part sits"),
    Column("what", "seal, bearing, sleeve or other", ("kind",)),
    Column("quantity", "pieces in each hub; 1 when left out", ("qty", "pieces")),
    Column("renewals", "renewals of each hub in a year", ("renewals_per_year",)),
    Column("hours", "hours a machine runs in a year", ("hours_per_year",)),
    Column("life", "hours a hub lasts between renewals", ("life_hours",)),
    Column("note", "free words"),
)
# A hub renewed more often than daily is a slip of the pen.
MOST_RENEWALS = 366.0


@dataclass(frozen=True, slots=True)
class Position:
    """One position of a hub, as it was written, with its renewals worked out.

    ``jobs`` is how many renewals of such hubs come in a year at the branch, all machines together.
    """

    line: int
    branch: str
    machine: str
    hub: str
    position: str
    text: str
    what: str
    quantity: int
    jobs: float


@dataclass(frozen=True, slots=True)
class FleetFile:
    """A fleet file as read: its good lines, what each text names, and what was refused."""

    positions: tuple[Position, ...]
    names: Mapping[Asked, Named]
    refused: tuple[Remark, ...]

    def notes(self) -> tuple[str, ...]:
        """What was assumed about its parts, each once."""
        return notes_of(self.names, ((one.text, one.what) for one in self.positions))


@dataclass(frozen=True, slots=True)
class FleetKit:
    """What renewing one hub takes, and how many renewals the fleet makes in a year."""

    branch: str
    name: str
    needs: Mapping[str, int]
    jobs: float


def read_fleet(path: str, *, source: LineSource | None = None, unit: str = "mm") -> FleetFile:
    """Read a fleet file; what is refused is told, and the caller keeps all of it or nothing.

    Parameters
    ----------
    path : str
        The file, CSV or XLSX.
    source : LineSource, optional
        The lists whose part numbers are known.
    unit : str
        ``mm`` or ``in``, of sizes that name none.

    Raises
    ------
    InputError
        The file can't be read, or its heading is not that of a fleet.
    """
    found: list[Position] = []
    refused: list[Remark] = []
    first: dict[tuple[str, str, str], Position] = {}
    for cells in table_rows(path, COLUMNS, what="a fleet"):
        one = _position(cells)
        hub = (one.branch, one.machine, one.hub)
        known = first.setdefault(hub, one)
        if not cells.refused and abs(known.jobs - one.jobs) > 1e-9:
            cells.refuse(
                "hub",
                f"line {known.line} says that this hub is renewed {known.jobs:g} times a year, "
                f"and here it is {one.jobs:g}",
            )
        refused += cells.refused
        if not cells.refused:
            found.append(one)
    names = names_of(((one.text, one.what) for one in found), source=source, unit=unit)
    good = []
    for one in found:
        reason = names[one.text, one.what].refused
        if reason:
            refused.append(Remark(REFUSED, one.line, "part", one.text[:80], reason))
        else:
            good.append(one)
    return FleetFile(tuple(good), names, tuple(sorted(refused, key=lambda r: r.line)))


def _position(cells: Cells) -> Position:
    machines = cells.whole("machines", least=1, blank=1)
    hubs = cells.whole("hubs", least=1, blank=1)
    return Position(
        cells.line,
        cells.text("branch") or ONE_BRANCH,
        cells.needed("machine"),
        cells.text("hub"),
        cells.text("position"),
        cells.needed("part"),
        cells.text("what").lower(),
        cells.whole("quantity", least=1, blank=1),
        machines * hubs * _renewals(cells),
    )


def _renewals(cells: Cells) -> float:
    """Renewals of one hub in a year."""
    before = len(cells.refused)
    renewals = cells.decimal("renewals", blank=None)
    hours, life = cells.decimal("hours", blank=None), cells.decimal("life", blank=None)
    if len(cells.refused) > before:
        return 0.0
    if renewals is None:
        if hours is None or life is None:
            cells.refuse("renewals", "give the renewals a year, or both the hours and the life")
            return 0.0
        if life == 0.0:
            cells.refuse("life", "a hub that lasts no hours is renewed without end")
            return 0.0
        renewals = hours / life
    elif hours is not None and life and abs(hours / life - renewals) > 0.01 * (1.0 + renewals):
        cells.refuse("renewals", f"the hours and the life make {hours / life:g} renewals a year")
    if renewals > MOST_RENEWALS:
        cells.refuse(
            "renewals", f"{renewals:g} renewals a year of one hub: {MOST_RENEWALS:g} is the most"
        )
    return renewals


def fleet_kits(
    positions: tuple[Position, ...], names: Mapping[Asked, Named]
) -> tuple[FleetKit, ...]:
    """The kits of a fleet, one for each hub.

    Parameters
    ----------
    positions : tuple of Position
        The lines.
    names : mapping
        What their texts name.
    """
    hubs: dict[tuple[str, str, str], list[Position]] = {}
    for one in positions:
        hubs.setdefault((one.branch, one.machine, one.hub), []).append(one)
    kits = []
    for (branch, machine, hub), rows in hubs.items():
        needs: dict[str, int] = {}
        for one in rows:
            key = names[one.text, one.what].key
            needs[key] = needs.get(key, 0) + one.quantity
        name = f"{machine}, {hub}" if hub else machine
        kits.append(FleetKit(branch, name, needs, rows[0].jobs))
    return tuple(kits)
