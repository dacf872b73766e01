"""The lips of a job against the oil of its hub: each by its shaft, its sleeve and its speed."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from fitcheck.judging import COVERAGE
from fitcheck.quantities import plain
from fitcheck.records import dataclass
from fitcheck.verdicts import CHECK, GO, NO_GO, VERDICTS, worst

Answer = dict[str, Any]

# A size of at least this share may be the one.
_POSSIBLE = 0.02
# The diameter that a way with the counterface leaves the lip to run on.
_LEAVES = ("counterface", "next_shaft")


@dataclass(frozen=True, slots=True)
class Lip:
    """A lip of the job: the least and the most its counterface may be [mm], and its speed.

    Both are None where nothing is known of the shaft; ``sleeved`` tells whether a sleeve that goes
    on, or one that is there already, makes it the most.
    """

    name: str
    least_mm: float | None
    most_mm: float | None
    speed: str
    sleeved: bool = False


def lips_of(positions: Iterable[Answer], *, speeds: Mapping[str, str]) -> tuple[Lip, ...]:
    """The lips of the seals of a job.

    Parameters
    ----------
    positions : iterable of dict
        The positions as answered; those of other parts are left out.
    speeds : mapping of str to str
        The speed of each position by its name.
    """
    return tuple(
        _lip(position, speeds.get(position["name"], ""))
        for position in positions
        if position["kind"] == "seal"
    )


def _lip(position: Answer, speed: str) -> Lip:
    found, name = position["answer"], position["name"]
    if found is None:
        return Lip(name, None, None, speed)
    sizes = [c["shaft_mm"] for c in found["candidates"] if c["probability"] >= _POSSIBLE]
    spans = [(size, size) for size in sizes]
    reading = next((r for r in found["readings"] if r["place"] == "shaft"), None)
    sleeved = False
    if reading is not None:
        sure = COVERAGE * reading["standard_error_mm"]
        low, high = (round(reading["mean_mm"] + way * sure, 6) for way in (-1.0, 1.0))
        # A shaft over every size that is possible carries a sleeve or a ring already.
        sleeved = bool(sizes) and low > max(sizes)
        unlisted = position["pick"] is None and found["unlisted"] >= _POSSIBLE
        if sleeved or unlisted or not sizes:
            spans.append((low, high))
    way = ((found.get("counterface") or {}).get("ways") or [None])[0]
    left = _left_mm(way)
    if way is not None and left is not None:
        sleeved = True
        settled = way["verdict"] == GO and position["verdict"] != NO_GO
        spans = [*([] if settled else spans), (left, left)]
    if not spans:
        return Lip(name, None, None, speed)
    return Lip(name, min(s[0] for s in spans), max(s[1] for s in spans), speed, sleeved)


def _left_mm(way: Answer | None) -> float | None:
    """What the lip runs on once the counterface is mended in its first way [mm]."""
    if way is None or way["verdict"] == NO_GO:
        return None
    dimensions = way["dimensions_mm"]
    return next((float(dimensions[key]) for key in _LEAVES if key in dimensions), None)


def graver(ask: Callable[[str, str], Answer], lips: Iterable[Lip], *, given: Lip | None) -> Answer:
    """The answer about the oil for the lip that holds least.

    Parameters
    ----------
    ask : callable
        The answer for a shaft and a speed, as text.
    lips : iterable of Lip
        The lips of the job; there is at least one where no shaft is given.
    given : Lip or None
        The shaft that the sheet gives for the oil, if any.

    Returns
    -------
    dict
        That of the lip with the gravest verdict; ``check`` where it is ``no-go`` only for what the
        counterface may still turn out to be.
    """
    lips = [*([given] if given else []), *lips]
    known: dict[tuple[str, str], Answer] = {}

    def asked(value_mm: float | None, speed: str) -> Answer:
        key = ("" if value_mm is None else f"{plain(round(value_mm, 6))}mm", speed)
        if key not in known:
            known[key] = ask(*key)
        return known[key]

    def weight(lip: Lip) -> tuple[int, float, float]:
        answer = asked(lip.most_mm, lip.speed)
        limit = answer["limit_bar"]
        return (
            VERDICTS.index(answer["verdict"]),
            -(0.0 if limit is None else limit),
            lip.most_mm or 0.0,
        )

    # The first of equals: the shaft that the sheet gives needs no word.
    lip = max(lips, key=weight)
    found = asked(lip.most_mm, lip.speed)
    sure = worst(*(asked(one.least_mm, one.speed)["verdict"] for one in lips))
    reasons, assumptions = list(found["reasons"]), list(found["assumptions"])
    if lip is not given:
        assumptions.append(_taken(lip, lips, given))
        reasons.append(assumptions[-1])
    verdict = found["verdict"]
    if verdict == NO_GO and sure != NO_GO:
        verdict = CHECK
        reasons.insert(0, _open(lip))
    return {**found, "verdict": verdict, "reasons": reasons, "assumptions": assumptions}


def _taken(lip: Lip, lips: Iterable[Lip], given: Lip | None) -> str:
    """Which lip the answer is for."""
    if lip.most_mm is None:
        return f"the shaft of {lip.name} is not known yet"
    size = f"{plain(round(lip.most_mm, 3))} mm"
    of = f"what the lip of {lip.name} may run on" if _is_open(lip) else f"that of {lip.name}"
    if lip.sleeved:
        of += ", with its sleeve"
    elif not _is_open(lip) and all(lip.most_mm >= (one.most_mm or 0.0) for one in lips):
        of = "the largest of this job's seals"
    if given is not None:
        return f"the shaft given for the oil does not hold least: {size}, {of}, is taken"
    return f"the shaft was not given: {size}, {of}, is taken"


def _is_open(lip: Lip) -> bool:
    return lip.least_mm != lip.most_mm


def _open(lip: Lip) -> str:
    if lip.most_mm is None or lip.least_mm is None:
        return f"what {lip.name} runs on is not known: settle it before the hub is filled"
    ends = " to ".join(plain(round(end, 3)) for end in (lip.least_mm, lip.most_mm))
    return (
        f"what {lip.name} runs on is not settled, {ends} mm: settle it before the hub is filled; "
        "at worst it does not hold"
    )
