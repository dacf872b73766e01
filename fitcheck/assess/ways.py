"""Ways out of a worn track that need no sleeve, how a way is written up, and how ways are ranked.

``draft.hold`` lowers a verdict and says why; a way held back only for want of a reading keeps its
place before a way that cuts metal away.
"""

from __future__ import annotations

import math
from dataclasses import field

from fitcheck.assess.counterface import Ask, Counterface, Grade, chance_between, limit, mm, surely
from fitcheck.errors import OffTableError
from fitcheck.records import dataclass
from fitcheck.tables import step_row, table
from fitcheck.verdicts import CHECK, GO, NO_GO, worst

# These cut the shaft or do away with it.
HEAVY = frozenset({"thick-sleeve", "next-seal", "replace"})

# Statements of the table that are no step of this work: of one machine, of taking a part off.
_ONE_MACHINE = frozenset(
    {
        "worn crankshaft, first re-seal",
        "worn crankshaft, second re-seal",
        "grooved rear end of a crankshaft",
        "the shaft cannot be cleaned up",
        "the spacer position is worn too",
        "taking the sleeve off",
        "process",
    }
)


@dataclass(frozen=True, slots=True)
class Part:
    """A part to order."""

    what: str
    size: str
    quantity: int = 1


@dataclass(frozen=True, slots=True)
class Step:
    """A step of work, and where it comes from."""

    step: str
    source: str


@dataclass(frozen=True, slots=True)
class Way:
    """One way out, judged.

    ``work`` is done in its order, ``care`` is heeded throughout. ``asks`` are readings that would
    raise a ``check``; ``waiting`` tells that nothing but such a reading holds it back.
    """

    way: str
    verdict: str
    reasons: tuple[str, ...]
    parts: tuple[Part, ...]
    dimensions_mm: dict[str, float]
    work: tuple[Step, ...]
    care: tuple[Step, ...]
    sources: tuple[str, ...]
    asks: tuple[Ask, ...]
    rank: int
    waiting: bool


@dataclass(slots=True)
class Draft:
    """A way being judged: starts from its grade, and can only be lowered from there."""

    grade: Grade
    verdict: str = ""
    firm: bool = False
    reasons: list[str] = field(default_factory=list)
    parts: list[Part] = field(default_factory=list)
    dimensions_mm: dict[str, float] = field(default_factory=dict)
    work: list[Step] = field(default_factory=list)
    care: list[Step] = field(default_factory=list)
    sources: list[str] = field(default_factory=list)
    asks: list[Ask] = field(default_factory=list)

    def __post_init__(self) -> None:
        """Take over what the ladder says."""
        self.verdict = self.grade.verdict
        self.reasons = list(self.grade.reasons)
        self.asks = list(self.grade.asks)
        self.sources = list(self.grade.sources)
        self.firm = self.verdict == CHECK and not self.asks

    @property
    def dead(self) -> bool:
        """Whether the way is ruled out already."""
        return self.verdict == NO_GO

    def hold(self, verdict: str, reason: str, ask: Ask | None = None) -> None:
        """Lower the verdict, with the reason and the reading that would raise it again."""
        self.reasons.append(reason)
        self.verdict = worst(self.verdict, verdict)
        if verdict == CHECK and ask is None:
            self.firm = True
        if ask is not None:
            self.asks.append(ask)

    def cite(self, source: str) -> None:
        """Name a source that this way relies on."""
        if source not in self.sources:
            self.sources.append(source)

    def uses(self, name: str) -> float:
        """A named limit's value, cited."""
        row = limit(name)
        self.cite(row.cite())
        return row.number("value")

    def uses_range(self, name: str) -> tuple[float, float]:
        """A named limit's range, cited."""
        row = limit(name)
        self.cite(row.cite())
        return row.number("low"), row.number("high")

    def practice(
        self,
        action: str,
        leave_out: frozenset[str] = frozenset(),
        first: tuple[str, ...] = (),
    ) -> None:
        """Add what manuals and handbooks say about an action to the work, or to what is heeded."""
        rows = [row for row in table("counterface/practices").rows if row.text("action") == action]
        rows.sort(key=lambda row: row.text("condition") not in first)
        for row in rows:
            condition = row.text("condition")
            if condition in _ONE_MACHINE | leave_out:
                continue
            self.cite(row.cite())
            if row.flag("care"):
                self.care.append(Step(row.text("statement"), row.cite()))
            else:
                text = f"{condition[0].upper()}{condition[1:]}: {row.text('statement')}"
                self.work.append(Step(text, row.cite()))

    def done(self) -> Way:
        """The way as judged."""
        live = self.verdict != NO_GO
        return Way(
            way=self.grade.way,
            verdict=self.verdict,
            reasons=tuple(dict.fromkeys(self.reasons)),
            parts=tuple(self.parts) if live else (),
            dimensions_mm={k: round(v, 4) for k, v in self.dimensions_mm.items()},
            work=tuple(self.work) if live else (),
            care=tuple(self.care) if live else (),
            sources=tuple(self.sources),
            asks=tuple(self.asks) if self.verdict == CHECK else (),
            rank=self.grade.rank,
            waiting=self.verdict == CHECK and not self.firm,
        )


def polish(grade: Grade, c: Counterface) -> Way:
    """Polish the track and use it again.

    Parameters
    ----------
    grade : Grade
        What the ladder makes of it.
    c : Counterface
        The counterface as measured.
    """
    draft = Draft(grade)
    if draft.dead:
        return draft.done()
    defect_mm = draft.uses("handbook_defect_depth_mm")
    draft.reasons.append(
        f"a handbook asks for no defect deeper than {defect_mm:g} mm on a ground shaft; polishing "
        "up to a step nobody feels is workshop practice"
    )
    _doubt(draft, c)
    draft.practice("polish")
    return draft.done()


def move_lip(grade: Grade, c: Counterface) -> Way:
    """Seat the seal elsewhere, so that the lip runs beside the old track.

    Parameters
    ----------
    grade : Grade
        What the ladder makes of it.
    c : Counterface
        The counterface as measured.
    """
    draft = Draft(grade)
    if draft.dead:
        return draft.done()
    clear_min = draft.uses("lip_clear_of_track_min_mm")
    clear_mm = draft.uses("lip_clear_of_track_preferred_mm")
    if c.groove_width_mm is None:
        draft.hold(
            CHECK,
            f"the lip must run {mm(clear_min)} to {mm(clear_mm)} mm clear of the edge of the old "
            "track; how wide the track is was not measured",
            Ask("groove-width", "caliper", "how far the lip has to move"),
        )
        if "room" in grade.needs and c.room_mm is None:
            draft.asks.append(_room_ask())
    else:
        least = c.groove_width_mm / 2.0 + clear_min
        wanted = c.groove_width_mm / 2.0 + clear_mm
        draft.dimensions_mm["shift_min"] = least
        if "room" in grade.needs:
            _room(draft, c, least=least, wanted=wanted)
        else:
            draft.dimensions_mm["shift"] = wanted
    _doubt(draft, c)
    draft.practice("move-lip")
    return draft.done()


def _room(draft: Draft, c: Counterface, *, least: float, wanted: float) -> None:
    """Whether the bore is deep enough for the shift."""
    if c.room_mm is None:
        draft.dimensions_mm["shift"] = wanted
        draft.hold(
            CHECK,
            f"needs {mm(least)} mm of free bore beyond the seal, better {mm(wanted)} mm; the room "
            "was not measured",
            _room_ask(),
        )
        return
    verdict = surely(
        chance_between(
            # Exactly the room that is needed is room enough.
            value_mm=c.room_mm,
            error_mm=c.room_error_mm,
            low_mm=least - 1e-9,
            high_mm=None,
        )
    )
    if verdict == NO_GO:
        _outward(draft, c, wanted=wanted)
        return
    shift = min(wanted, max(least, c.room_mm))
    draft.dimensions_mm["shift"] = shift
    if c.lip_at_mm is not None:
        draft.dimensions_mm["new_lip_at"] = c.lip_at_mm + shift
    text = (
        f"{mm(shift)} mm deeper puts the lip {mm(shift - (c.groove_width_mm or 0.0) / 2.0)} mm "
        f"clear of the track; the bore has {mm(c.room_mm)} mm"
    )
    if verdict == CHECK:
        draft.hold(CHECK, f"{text}, too close to tell with this reading", _room_ask())
    else:
        draft.reasons.append(text)


def _outward(draft: Draft, c: Counterface, *, wanted: float) -> None:
    """No room deeper in: is there sound land towards the shaft end?"""
    draft.dimensions_mm["shift"] = wanted
    blocked = f"the bore has {mm(c.room_mm or 0.0)} mm and the lip would have to move {mm(wanted)}"
    if c.lip_at_mm is None or c.shaft_mm is None:
        draft.hold(
            NO_GO,
            f"{blocked}; moving it outward was not looked at: that takes --lip-at and the shaft",
        )
        return
    chamfer = _chamfer_mm(draft, c.shaft_mm)
    new_at = c.lip_at_mm - wanted
    if chamfer is None or new_at <= chamfer:
        draft.hold(
            NO_GO,
            f"{blocked}; outward the lip would stand {mm(max(new_at, 0.0))} mm from the shaft "
            "end, on or before the lead-in chamfer",
        )
        return
    draft.dimensions_mm["new_lip_at"] = new_at
    draft.hold(
        CHECK,
        f"{blocked}; outward by as much it runs {mm(new_at)} mm from the shaft end: only if the "
        "seal then still stands fully past the chamfer of the bore",
    )


def _chamfer_mm(draft: Draft, shaft_mm: float) -> float | None:
    """How far the lead-in chamfer of the shaft may reach at its flattest angle [mm]."""
    rows = [r for r in table("seal_tolerances/shaft_chamfer").rows if r.flag("preferred")]
    try:
        row = step_row(
            rows, value=shaft_mm, over="over_mm", incl="incl_mm", what="the shaft chamfer"
        )
    except OffTableError:
        return None
    draft.cite(row.cite())
    flattest_deg = draft.uses_range("lead_in_angle_deg")[0]
    return row.number("reduction_min_mm") / 2.0 / math.tan(math.radians(flattest_deg))


def _room_ask() -> Ask:
    return Ask("room", "depth-gauge", "whether the lip can be moved deeper: no part to buy")


def _doubt(draft: Draft, c: Counterface) -> None:
    if c.doubt:
        draft.hold(CHECK, c.doubt, Ask("shaft", "micrometer", c.doubt))


def replace(grade: Grade, c: Counterface) -> Way:
    """Replace the worn part, or have it built up and ground.

    Parameters
    ----------
    grade : Grade
        What the ladder makes of it.
    c : Counterface
        The counterface as measured.
    """
    draft = Draft(grade)
    draft.parts.append(
        Part(
            "shaft, spindle or ring that carries the worn track", "as the machine's manual lists it"
        )
    )
    low, high = draft.uses_range("spray_undercut_mm")
    draft.reasons.append(
        f"building up by spraying is the alternative: it takes {low:g} to {high:g} mm off the "
        "radius first"
    )
    if c.shaft_mm is not None:
        draft.dimensions_mm["shaft"] = c.shaft_mm
    draft.practice("thermal-spray")
    return draft.done()


def ranked(ways: list[Way]) -> list[Way]:
    """The ways in the order to consider them.

    ``go`` ways come first in the ladder's order; but a way that cuts the shaft does not pass a
    gentler one that waits only for a reading, and replacing comes after every way that stands.
    """
    waiting = [w.rank for w in ways if w.waiting and w.way not in HEAVY]
    gentlest = min(waiting, default=math.inf)

    def place(way: Way) -> tuple[float, int, str]:
        if way.verdict == NO_GO:
            tier = 4.0
        elif way.way == "replace":
            tier = 3.0
        elif way.verdict == GO:
            tier = 2.0 if way.way in HEAVY and way.rank > gentlest else 0.0
        else:
            tier = 1.0 if way.waiting and way.way not in HEAVY else 2.5
        return tier, way.rank, way.way

    return sorted(ways, key=place)


def overall(ways: list[Way]) -> str:
    """The verdict over ranked ways: that of the first; ``no-go`` when only replacing is left."""
    kept = [w for w in ways if w.way != "replace" and w.verdict != NO_GO]
    return kept[0].verdict if kept else NO_GO


def readings_wanted(ways: list[Way]) -> list[Ask]:
    """The readings that would settle something, each once.

    Where the first way is ``go``, only readings for ways that the ladder prefers to it.
    """
    first = ways[0] if ways else None
    found: dict[str, Ask] = {}
    for way in ways:
        if first is not None and first.verdict == GO and way.rank >= first.rank:
            continue
        for ask in way.asks:
            found.setdefault(ask.reading, ask)
    return list(found.values())
