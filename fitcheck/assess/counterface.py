"""The worn counterface: how deep its groove is, and what the shop's ladder allows at that depth.

The ladder and the limits are tables (``counterface/groove_ladder``, ``counterface/limits``) that a
shop may lay its own rows over; nothing here repeats their numbers.
"""

from __future__ import annotations

import math

from fitcheck.identify import CERTAINTY
from fitcheck.judging import COVERAGE
from fitcheck.parts.size_text import METRIC, SizeText
from fitcheck.quantities import plain
from fitcheck.records import dataclass
from fitcheck.tables import Row, named_row, table
from fitcheck.verdicts import CHECK, GO, NO_GO

WAYS = ("polish", "move-lip", "thin-sleeve", "thick-sleeve", "next-seal", "replace")

# A rung of the ladder that holds less of the probability than this is left out.
_UNLIKELY = 1.0 - CERTAINTY


@dataclass(frozen=True, slots=True)
class Counterface:
    """A worn counterface as measured; what was not measured is None.

    ``depth_error_mm``, ``land_error_mm`` and ``room_error_mm`` are standard errors; ``lip_at_mm``
    is the distance of the middle of the track from the shaft end and ``room_mm`` the free bore
    depth beyond the seal; ``shaft_end_mm`` is the diameter at the small end of the lead-in chamfer.
    ``inches`` tells that it was measured in inches. ``damage`` names what
    rules out a thin repair (pitted, out of round), ``doubt`` what the land's readings leave open.
    """

    depth_mm: float
    depth_error_mm: float = 0.0
    land_mm: float | None = None
    land_error_mm: float = 0.0
    groove_width_mm: float | None = None
    lip_at_mm: float | None = None
    shaft_end_mm: float | None = None
    room_mm: float | None = None
    room_error_mm: float = 0.0
    speed_mps: float | None = None
    seal: SizeText | None = None
    inches: bool = False
    damage: tuple[str, ...] = ()
    doubt: str = ""

    @property
    def shaft_mm(self) -> float | None:
        """The shaft the seal is made for, or the land where the seal is not known [mm]."""
        return self.seal.shaft_mm if self.seal else self.land_mm

    @property
    def system(self) -> str:
        """``metric`` or ``inch``."""
        return self.seal.system if self.seal else METRIC


@dataclass(frozen=True, slots=True)
class Ask:
    """A reading that would settle something, with which instrument, and why."""

    reading: str
    instrument: str
    reason: str


@dataclass(frozen=True, slots=True)
class Grade:
    """What the ladder makes of one way at the measured depth.

    ``straddles`` holds when the depth's uncertainty reaches over a step where the verdict changes.
    """

    way: str
    verdict: str
    rank: int
    needs: frozenset[str]
    reasons: tuple[str, ...]
    asks: tuple[Ask, ...]
    sources: tuple[str, ...]
    straddles: bool


def limit(name: str) -> Row:
    """A named limit of counterface work, with its source.

    Raises
    ------
    DataError
        The table has no such limit.
    """
    return named_row("counterface/limits", name)


def mm(value_mm: float) -> str:
    """A length for people: at most a thousandth of a millimetre, no needless zeros.

    >>> mm(35.0), mm(0.0508)
    ('35', '0.051')
    """
    return plain(round(value_mm, 3) + 0.0)


def groove_depth_mm(*, land_mm: float, track_mm: float) -> float:
    """Depth of the groove a lip has worn, from the two diameters.

    Parameters
    ----------
    land_mm : float
        Diameter of the unworn land beside the track [mm].
    track_mm : float
        Diameter at the bottom of the track [mm].

    Returns
    -------
    float
        Depth of the groove on one side [mm]; negative where the track is the larger.

    Notes
    -----
    Half the difference of the diameters. People report the whole difference.

    Examples
    --------
    A land of 2.248 in and a track of 2.244 in is a groove of 0.002 in:

    >>> round(groove_depth_mm(land_mm=57.0992, track_mm=56.9976) / 25.4, 6)
    0.002

    Source: common practice, no source.
    """
    # Diameters carry binary dust, and a step of the ladder must not be missed by it.
    return round((land_mm - track_mm) / 2.0, 6)


def groove_depth_error_mm(*, land_error_mm: float, track_error_mm: float) -> float:
    """Standard error of the groove depth.

    Parameters
    ----------
    land_error_mm : float
        Standard error of the land's diameter [mm].
    track_error_mm : float
        Standard error of the track's diameter [mm].

    Returns
    -------
    float
        Half the two errors together, added as squares [mm].

    Examples
    --------
    >>> round(groove_depth_error_mm(land_error_mm=0.003, track_error_mm=0.004), 6)
    0.0025
    """
    return math.hypot(land_error_mm, track_error_mm) / 2.0


def surface_speed_mps(*, diameter_mm: float, speed_rpm: float) -> float:
    """Surface speed of a turning shaft.

    Parameters
    ----------
    diameter_mm : float
        Diameter of the counterface [mm].
    speed_rpm : float
        Turning speed [rpm].

    Returns
    -------
    float
        Speed of the surface [m/s].

    Examples
    --------
    >>> round(surface_speed_mps(diameter_mm=35.0, speed_rpm=1500.0), 2)
    2.75
    """
    return math.pi * diameter_mm * speed_rpm / 60_000.0


def section_left(*, before_mm: float, after_mm: float) -> float:
    """Share of the bending and twisting strength that a solid shaft keeps when turned down.

    Parameters
    ----------
    before_mm : float
        Diameter before [mm].
    after_mm : float
        Diameter after [mm].

    Returns
    -------
    float
        (after / before) cubed, the ratio of the section moduli.

    Examples
    --------
    >>> round(section_left(before_mm=35.0, after_mm=31.0), 2)
    0.69
    """
    return (after_mm / before_mm) ** 3


def chance_between(
    *, value_mm: float, error_mm: float, low_mm: float, high_mm: float | None
) -> float:
    """Probability that the true value lies over one limit, up to and including another.

    Parameters
    ----------
    value_mm : float
        The measured value [mm].
    error_mm : float
        Its standard error; 0 takes the value as it stands [mm].
    low_mm : float
        Over this [mm].
    high_mm : float or None
        Up to and including this; None for no upper limit [mm].

    Examples
    --------
    >>> chance_between(value_mm=0.10, error_mm=0.0, low_mm=0.02, high_mm=0.10)
    1.0
    >>> round(chance_between(value_mm=0.10, error_mm=0.02, low_mm=0.02, high_mm=0.10), 2)
    0.5
    """
    if error_mm <= 0.0:
        return float(value_mm > low_mm and (high_mm is None or value_mm <= high_mm))
    scale = error_mm * math.sqrt(2.0)
    below = 0.5 * (1.0 + math.erf((low_mm - value_mm) / scale))
    upto = 1.0 if high_mm is None else 0.5 * (1.0 + math.erf((high_mm - value_mm) / scale))
    return max(0.0, upto - below)


def surely(chance: float) -> str:
    """A verdict from the probability that a thing holds: sure, surely not, or open."""
    if chance >= CERTAINTY:
        return GO
    return NO_GO if chance <= _UNLIKELY else CHECK


def rungs(way: str) -> tuple[Row, ...]:
    """The ladder's rows for one way, shallow to deep."""
    rows = [row for row in table("counterface/groove_ladder").rows if row.text("way") == way]
    return tuple(sorted(rows, key=lambda row: row.number("over_mm")))


def _likely(way: str, c: Counterface) -> list[tuple[float, Row]]:
    """The rungs the depth may stand on with their probabilities, the most likely first."""
    rows = rungs(way)
    if c.damage:
        # Pits and ovality go by the last rung, whatever the depth.
        return [(1.0, row) for row in rows if row.maybe("incl_mm") is None]
    found = []
    for row in rows:
        over = row.number("over_mm")
        # No groove at all stands on the first rung.
        chance = chance_between(
            value_mm=c.depth_mm,
            error_mm=c.depth_error_mm,
            low_mm=over if over > 0.0 else -math.inf,
            high_mm=row.maybe("incl_mm"),
        )
        if chance > _UNLIKELY:
            found.append((chance, row))
    return sorted(found, key=lambda item: -item[0])


def grade(way: str, c: Counterface) -> Grade | None:
    """What the ladder makes of one way; None where it does not list the way at this depth.

    Parameters
    ----------
    way : str
        One of ``WAYS``.
    c : Counterface
        The counterface as measured.
    """
    likely = _likely(way, c)
    if not likely:
        return None
    main = likely[0][1]
    judged = [(row, *_at_speed(row, c)) for _, row in likely]
    verdicts = {verdict for _, verdict, _, _ in judged}
    straddles = len(verdicts) > 1
    reasons = [f"{name}: goes by the last step of the ladder" for name in c.damage]
    asks: list[Ask] = []
    if straddles:
        reasons.append(_straddle(judged, c))
        asks.append(depth_ask(c))
    reasons.append(main.text("condition"))
    for _, _, reason, ask in judged:
        reasons += [reason] if reason and reason not in reasons else []
        asks += [ask] if ask and ask not in asks else []
    return Grade(
        way=way,
        verdict=CHECK if straddles else verdicts.pop(),
        rank=int(main.number("rank")),
        needs=frozenset(word for _, row in likely for word in row.text("needs").split()),
        reasons=tuple(reasons),
        asks=tuple(asks),
        sources=tuple(dict.fromkeys(row.cite() for _, row in likely)),
        straddles=straddles,
    )


def _at_speed(row: Row, c: Counterface) -> tuple[str, str, Ask | None]:
    """A rung's verdict once the speed is looked at, where the rung asks for a low one."""
    verdict = row.text("verdict")
    if "low-speed" not in row.text("needs").split() or verdict == NO_GO:
        return verdict, "", None
    low_mps = limit("low_speed_mps").number("value")
    if c.speed_mps is None:
        reason = f"only at low speed, up to {low_mps:g} m/s at the lip; the speed is not given"
        return CHECK, reason, Ask("rpm", "", "whether the lip runs slowly enough for this way")
    if c.speed_mps > low_mps:
        return NO_GO, f"the lip runs at {c.speed_mps:.1f} m/s, over {low_mps:g} m/s", None
    return verdict, f"the lip runs at {c.speed_mps:.1f} m/s, not over {low_mps:g} m/s", None


def _straddle(judged: list[tuple[Row, str, str, Ask | None]], c: Counterface) -> str:
    ordered = sorted(judged, key=lambda item: item[0].number("over_mm"))
    parts = [f"{ordered[0][1]} up to {mm(ordered[1][0].number('over_mm'))} mm"]
    parts += [
        f"{verdict} over {mm(row.number('over_mm'))} mm" for row, verdict, _, _ in ordered[1:]
    ]
    return (
        f"a depth of {mm(c.depth_mm)} +/- {mm(COVERAGE * c.depth_error_mm)} mm reaches over a step "
        f"of the ladder: {', '.join(parts)}"
    )


def depth_ask(c: Counterface) -> Ask:
    """The reading that would tell the depth of the groove more closely."""
    return Ask(
        "track",
        "micrometer",
        f"the groove depth is known to +/- {mm(COVERAGE * c.depth_error_mm)} mm; read land and "
        "track again, three times each: it decides between two steps of the ladder",
    )
