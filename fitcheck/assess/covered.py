"""What stands on the shaft already: an earlier thin sleeve, or the ring of a two-part seal.

Either makes a reading too large by an amount of its own; the bands are those of the dimension
model of seals (``priors/bands``), so that every command explains the same reading alike.
"""

from __future__ import annotations

from fitcheck.accounts import Value
from fitcheck.assess.counterface import Ask, Counterface, Grade, mm
from fitcheck.assess.sleeving import pick
from fitcheck.assess.ways import Draft, Step, Way
from fitcheck.findings import Finding
from fitcheck.judging import COVERAGE
from fitcheck.likelihood import band_density
from fitcheck.parts.family import Band, band_rules
from fitcheck.records import dataclass
from fitcheck.verdicts import CHECK

EARLIER_SLEEVE = "earlier-sleeve"
RING_LEFT_ON = "ring-left-on"
WORN_TRACK_READ = "worn-track-read"
COVERING = (EARLIER_SLEEVE, RING_LEFT_ON)

_OWN = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Explained:
    """The explanation that fits a reading best, and its share among those that fit."""

    state: str
    probability: float


def explained(
    *,
    place: str,
    value_mm: float,
    error_mm: float,
    nominal_mm: float,
    lower_mm: float = 0.0,
    upper_mm: float = 0.0,
) -> Explained | None:
    """What explains a diameter beside the one it should be; None where nothing does.

    Parameters
    ----------
    place : str
        ``shaft`` or ``track``, as the dimension model of seals names them.
    value_mm : float
        The measured diameter [mm].
    error_mm : float
        Its standard error [mm].
    nominal_mm : float
        The diameter it should be: the seal's shaft, or the land beside a track [mm].
    lower_mm : float
        Lower limit of that diameter, as an offset [mm].
    upper_mm : float
        Upper limit of that diameter, as an offset [mm].

    Examples
    --------
    >>> explained(place="track", value_mm=35.53, error_mm=0.02, nominal_mm=35.0).state
    'earlier-sleeve'
    """
    bands = [
        rule.band(nominal_mm=nominal_mm, lower_mm=lower_mm, upper_mm=upper_mm)
        for rule in band_rules("seal", place)
    ]
    if not any(_reaches(band, value_mm, error_mm) for band in bands):
        return None
    value = Value(place, value_mm, max(error_mm, 1e-6))
    shares: dict[str, float] = {}
    for band in bands:
        shares[band.state] = shares.get(band.state, 0.0) + band_density((band,), value)
    state = max(shares, key=lambda name: shares[name])
    total = sum(shares.values())
    return Explained(state, shares[state] / total) if total > 0.0 else None


def _reaches(band: Band, value_mm: float, error_mm: float) -> bool:
    reach = COVERAGE * error_mm + 1e-6
    return band.low_mm - reach <= value_mm <= band.high_mm + reach


def finding_over_track(found: Explained, *, land_mm: float, track_mm: float) -> Finding:
    """The finding where the track reads larger than the land beside it.

    Parameters
    ----------
    found : Explained
        What explains it.
    land_mm : float
        The land [mm].
    track_mm : float
        The track [mm].
    """
    over = f"the track reads {mm(track_mm - land_mm)} mm over the land"
    if found.state == EARLIER_SLEEVE:
        reason = f"{over}, as a thin sleeve does: one covers the track already"
    else:
        reason = f"{over}: the ring of a two-part seal is still on the shaft"
    return Finding(found.state, found.probability, reason)


def finding_over_land(found: Explained, *, land_mm: float, shaft_mm: float) -> Finding:
    """The finding where the land is not the shaft that the seal is made for.

    Parameters
    ----------
    found : Explained
        What explains it.
    land_mm : float
        The land as read [mm].
    shaft_mm : float
        The shaft that the seal is made for [mm].
    """
    off = abs(land_mm - shaft_mm)
    if found.state == EARLIER_SLEEVE:
        reason = (
            f"the land reads {mm(off)} mm over the seal's {mm(shaft_mm)} mm shaft, as a thin "
            "sleeve does: it was read over an earlier sleeve"
        )
    elif found.state == RING_LEFT_ON:
        reason = (
            f"the land reads {mm(off)} mm over the seal's {mm(shaft_mm)} mm shaft: the ring of a "
            "two-part seal is still on it"
        )
    else:
        reason = (
            f"the land reads {mm(off)} mm under the seal's {mm(shaft_mm)} mm shaft: it may have "
            "been read in a track"
        )
    return Finding(found.state, found.probability, reason)


def way_under_sleeve(c: Counterface, *, land_is_bare: bool) -> Way:
    """The way on where an earlier sleeve stands on the shaft: off with it, measure, a new one.

    Parameters
    ----------
    c : Counterface
        The counterface; its depth is not known yet.
    land_is_bare : bool
        Whether the land was read beside the sleeve, not over it.
    """
    ask = Ask("track", "micrometer", "how deep the groove under the old sleeve is, once it is off")
    grade = Grade(
        way="thin-sleeve",
        verdict=CHECK,
        rank=1,
        needs=frozenset(),
        reasons=("the groove lies under the old sleeve and was not measured",),
        asks=(ask,),
        sources=(),
        straddles=False,
    )
    draft = Draft(grade)
    draft.work += [
        Step("Take the old sleeve off: cut nearly through it, without marking the shaft", _OWN),
        Step("Measure land and track on the bare shaft and ask again", _OWN),
    ]
    if land_is_bare and c.land_mm is not None:
        sleeve = pick(draft, land_mm=c.land_mm, error_mm=c.land_error_mm, measured=True)
        if sleeve is not None:
            draft.cite(sleeve.source)
            draft.dimensions_mm |= {
                "window_min": sleeve.window_min_mm,
                "window_max": sleeve.window_max_mm,
            }
    else:
        draft.asks.append(Ask("shaft", "micrometer", "the bare land, once the old sleeve is off"))
    return draft.done()
