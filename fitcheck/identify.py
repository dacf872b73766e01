"""Readings and a family in, a posterior over sizes out: ranked candidates, findings, a verdict.

Every listed size, and "no listed size", competes under every account of the readings (see
``accounts``) and every explanation of each place (see ``priors/bands``). The probabilities add
up to one over the sizes and ``unlisted``. Nothing is snapped to a neighbour: a size whose bands
do not reach a reading is out.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import field
from functools import partial

from fitcheck.accounts import AS_GIVEN, ROUNDED, Account, Value, accounts, prior
from fitcheck.errors import InputError, OffTableError
from fitcheck.findings import (
    UNLISTED_SIZE,
    Finding,
    Tally,
    listed_spans,
    state_words,
    unlisted_words,
)
from fitcheck.likelihood import account_likelihoods, band_density, margin_mm, value_key
from fitcheck.parts.family import Family, Size
from fitcheck.quantities import percent
from fitcheck.readings import Reading
from fitcheck.records import dataclass
from fitcheck.unlisted import out_of_reach, unlisted_density
from fitcheck.verdicts import CHECK, GO, NO_GO

# One size at or above this share is an answer; a shop can ask for more.
CERTAINTY = 0.95
# Findings below this share are not worth a line.
FINDING_FLOOR = 0.03
# Readings beyond the listed sizes by this factor are off the tables.
_FAR = 1.5
# A size below this share has the readings against it.
AGAINST = 0.01
# A reading holds when ordinary tolerance and wear explain it at least to this share. One reading's
# doubt does not add to another's: the prior doubt that every place carries must not grow with the
# number of readings that agree.
HOLDS = 0.9
# A ring of a two-part seal left on a smaller shaft can read just like a larger listed shaft, and
# no prior tells the two apart: while a size explained so stands at this share, somebody looks.
TO_LOOK_FOR, LOOK_SHARE = "ring-left-on", 1e-5
# Fainter sizes are weighed in the sum and not looked at one by one.
FAINT = 1e-5


@dataclass(frozen=True, slots=True)
class Candidate:
    """A listed size, how probable it is, and what each place says about it.

    ``explanations`` gives for each place the explanation of its reading, most probable first, as
    (state, probability). ``clean`` is the probability that the readings are as given, or that
    ordinary tolerance and wear explain the most doubtful of them, whichever is less.
    """

    position: int
    size: Size
    probability: float
    clean: float
    explanations: Mapping[str, tuple[tuple[str, float], ...]]


@dataclass(frozen=True, slots=True)
class Identification:
    """The posterior: candidates by falling probability, ``unlisted``, findings and the verdict.

    ``hidden`` names the smaller size whose shaft, with a ring left on it, would read the same.
    """

    candidates: tuple[Candidate, ...]
    unlisted: float
    findings: tuple[Finding, ...]
    verdict: str
    reasons: tuple[str, ...]
    notes: tuple[str, ...] = field(default=())
    hidden: str = ""

    @property
    def sure(self) -> bool:
        """Whether the verdict names one size without reserve."""
        return self.verdict == GO


# What is known of the marking: the probability of the text read, given a size.
MarkLikelihood = Callable[[Size], float]


def identify(
    family: Family,
    readings: Mapping[str, Reading],
    *,
    certainty: float = CERTAINTY,
    mark: MarkLikelihood | None = None,
    mark_unlisted: float = 1.0,
) -> Identification:
    """The posterior over the sizes of a family, given readings.

    Parameters
    ----------
    family : Family
        The sizes and their dimension model.
    readings : mapping of str to Reading
        The readings by place; any of the family's places, at least one unless there is a mark.
    certainty : float
        The share one size needs for the verdict ``go``, 0.5 to 1.
    mark : callable, optional
        Probability of the marking as read, for a size.
    mark_unlisted : float
        Probability of the marking as read, for a part of no listed size.

    Returns
    -------
    Identification

    Raises
    ------
    InputError
        Nothing was measured, or a place is not one of the family's.
    OffTableError
        The readings lie outside everything the tables cover.
    """
    _check_request(family, readings, certainty, mark is not None)
    weights, unlisted, shares = _posterior(family, readings, mark, mark_unlisted)
    total = sum(weights.values()) + unlisted
    if total <= 0.0 and (not readings or _beyond(family, readings)):
        raise OffTableError(
            value=listed_spans(family, readings),
            rule=f"no {family.name} in the tables, whole or misread, gives these readings",
            todo="Check the digits and the unit; if they are right, order it by its dimensions",
        )
    if total <= 0.0:
        # Each reading could be of some listed size; together they are of none, nor of any other.
        unlisted = total = 1.0
    ranked = sorted(weights.items(), key=lambda item: (-item[1], item[0]))
    candidates = []
    tally = Tally()
    for position, weight in ranked:
        probability = weight / total
        if probability < FAINT:
            break
        candidate = _explained(family, position, probability, shares[position])
        candidates.append(candidate)
        _gather(tally, candidate, readings, family)
    weights[NO_SIZE] = unlisted
    _gather_accounts(tally, shares, {p: w / total for p, w in weights.items()}, family)
    share = unlisted / total
    tally.add(UNLISTED_SIZE, share, partial(unlisted_words, family, readings))
    findings = tally.findings(floor=FINDING_FLOOR, harmless=family.harmless)
    notes = tuple(note for place in sorted(readings) for note in readings[place].notes())
    hidden = _hidden(candidates)
    verdict, reasons = _verdict(
        candidates, share, findings, notes, certainty=certainty, hidden=hidden
    )
    return Identification(
        candidates=tuple(candidates),
        unlisted=share,
        findings=tuple(findings),
        verdict=verdict,
        reasons=reasons,
        notes=notes,
        hidden=hidden,
    )


def _check_request(
    family: Family, readings: Mapping[str, Reading], certainty: float, marked: bool
) -> None:
    if not readings and not marked:
        places = ", ".join(f"--{place}" for place in family.places)
        raise InputError(
            value="no reading",
            rule="at least one place must be measured, or a mark read",
            todo=f"Give one or more of {places}",
        )
    unknown = [place for place in readings if place not in family.places]
    if unknown:
        raise InputError(
            value=", ".join(unknown),
            rule=f"a {family.name} is not measured there",
            todo="Use " + ", ".join(family.places),
        )
    if not 0.5 <= certainty <= 1.0:
        raise InputError(
            value=f"{certainty:g}",
            rule="the certainty asked for lies from 0.5 to 1",
            todo="Give for example 0.95",
        )


def _beyond(family: Family, readings: Mapping[str, Reading]) -> bool:
    """Whether a reading lies outside anything that is listed for its dimension."""
    for place, reading in readings.items():
        smallest, largest = family.span_mm(family.places[place].views[0].dimension)
        if not smallest / _FAR < reading.mean_mm < largest * _FAR:
            return True
    return False


# For each size (and for NO_SIZE), the accounts that speak for it and their weight.
NO_SIZE = -1
_Shares = dict[int, list[tuple[Account, float]]]


def _posterior(
    family: Family,
    readings: Mapping[str, Reading],
    mark: MarkLikelihood | None,
    mark_unlisted: float,
) -> tuple[dict[int, float], float, _Shares]:
    no_size = prior(UNLISTED_SIZE)
    each = (1.0 - no_size) / family.total_weight
    weights: dict[int, float] = {}
    shares: _Shares = {}
    unlisted = 0.0
    for account in accounts(readings, family.order_group):
        if out_of_reach(family, account):
            continue
        if account.values:
            found = account_likelihoods(family, account)
        else:
            found = dict.fromkeys(range(len(family.sizes)), 1.0)
        for position, density in found.items():
            weight = each * family.sizes[position].weight * account.prior * density
            if mark is not None:
                weight *= mark(family.sizes[position])
            if weight > 0.0:
                weights[position] = weights.get(position, 0.0) + weight
                shares.setdefault(position, []).append((account, weight))
        weight = no_size * account.prior * unlisted_density(family, account) * mark_unlisted
        unlisted += weight
        if weight > 0.0:
            shares.setdefault(NO_SIZE, []).append((account, weight))
    return weights, unlisted, shares


def _explained(
    family: Family, position: int, probability: float, shares: list[tuple[Account, float]]
) -> Candidate:
    """What each place says about one size, averaged over the accounts that speak for it."""
    size = family.sizes[position]
    total = sum(weight for _, weight in shares)
    by_place: dict[str, dict[str, float]] = {}
    as_given = 0.0
    for account, weight in shares:
        share = weight / total
        if account.name in (AS_GIVEN, ROUNDED):
            as_given += share
        for value in account.values:
            place = by_place.setdefault(value.place, {})
            for state, part in place_states(family, size, value).items():
                place[state] = place.get(state, 0.0) + share * part
    harmless = (
        sum(part for state, part in states.items() if state in family.harmless)
        for states in by_place.values()
    )
    clean = min([as_given, *harmless])
    return Candidate(
        position=position,
        size=size,
        probability=probability,
        clean=clean,
        explanations={
            place: tuple(sorted(states.items(), key=lambda item: (-item[1], item[0])))
            for place, states in by_place.items()
        },
    )


def place_states(family: Family, size: Size, value: Value) -> dict[str, float]:
    """The share of each explanation in a reading, given a size; the shares add up to 1."""
    place = family.places[value.place]
    indexes = family.indexes(value.place)
    keys = tuple(size.nominals[view.dimension] for view in place.views)
    # Sizes that share what the place shows explain a reading alike, and readings repeat.
    asked = ("states", *value_key(value), keys)
    known: dict[str, float] | None = indexes[0].memo.get(asked)
    if known is not None:
        return known
    found: dict[str, float] = {}
    margin = margin_mm(value)
    for view, index, key in zip(place.views, indexes, keys, strict=True):
        if key is None:
            continue
        for band in index.bands(index.positions[key]):
            if band.low_mm - margin < value.value_mm < band.high_mm + margin:
                density = view.share * band_density((band,), value, slip=index.slip)
                state = view.state or band.state
                found[state] = found.get(state, 0.0) + density
    total = sum(found.values())
    shares = {state: density / total for state, density in found.items()} if total else {}
    indexes[0].remember(asked, shares)
    return shares


def _gather(
    tally: Tally, candidate: Candidate, readings: Mapping[str, Reading], family: Family
) -> None:
    for place, explanations in candidate.explanations.items():
        for state, share in explanations:
            tally.add(
                state,
                candidate.probability * share,
                partial(state_words, state, readings[place], candidate.size, family.words),
            )


def _gather_accounts(
    tally: Tally, shares: _Shares, probabilities: Mapping[int, float], family: Family
) -> None:
    for position, parts in shares.items():
        total = sum(weight for _, weight in parts)
        fits = "no listed size" if position == NO_SIZE else family.sizes[position].label
        for account, weight in parts:
            if account.name != AS_GIVEN:
                words = partial(_account_words, account, fits)
                tally.add(account.name, probabilities[position] * weight / total, words)


def _account_words(account: Account, fits: str) -> str:
    return f"{account.words}; that fits {fits}"


def _verdict(
    candidates: list[Candidate],
    unlisted: float,
    findings: list[Finding],
    notes: tuple[str, ...],
    *,
    certainty: float,
    hidden: str,
) -> tuple[str, tuple[str, ...]]:
    reasons: list[str] = []
    top = candidates[0] if candidates else None
    if top is None or unlisted >= certainty:
        return NO_GO, ("no listed size: the readings speak against every one of them",)
    if top.probability >= certainty and top.clean >= HOLDS and not notes and not hidden:
        stands = f"{top.size.label} stands at {percent(top.probability)}"
        holds = "and every reading holds" if top.explanations else "by its mark"
        return GO, (f"{stands} {holds}",)
    if top.probability < certainty:
        near = [c.size.label for c in candidates[1:4] if c.probability > AGAINST]
        also = f"; also possible: {', '.join(near)}" if near else ""
        stands = f"{top.size.label} stands at {percent(top.probability)}"
        reasons.append(f"these readings can't decide: {stands}{also}")
        if unlisted > AGAINST:
            reasons.append(f"no listed size stands at {percent(unlisted)}")
    if top.clean < HOLDS:
        for finding in findings:
            if finding.finding != UNLISTED_SIZE and finding.probability >= 1.0 - HOLDS:
                share = percent(finding.probability)
                reasons.append(f"{finding.finding} ({share}): {finding.reason}")
    if hidden and not reasons:
        reasons.append(
            f"{top.size.label} stands at {percent(top.probability)}, but the ring of a two-part "
            f"seal left on the shaft of {hidden} would read the same: look that the shaft is bare"
        )
    reasons += notes
    if not reasons:
        doubt = percent(1.0 - top.clean)
        reasons.append(
            f"{top.size.label}: several small doubts about the readings add up to {doubt}"
        )
    return CHECK, tuple(reasons)


def _hidden(candidates: list[Candidate]) -> str:
    """The size that would explain the readings if a ring were still on the shaft, or nothing."""
    for candidate in candidates[1:]:
        if candidate.probability >= LOOK_SHARE and any(
            states and states[0][0] == TO_LOOK_FOR for states in candidate.explanations.values()
        ):
            return candidate.size.label
    return ""


def candidate_verdict(candidate: Candidate, *, certainty: float = CERTAINTY) -> str:
    """The verdict on one size alone: go, check or no-go.

    Parameters
    ----------
    candidate : Candidate
        The size, with its probability.
    certainty : float
        The share a size needs for ``go`` [-].
    """
    if candidate.probability < AGAINST:
        return NO_GO
    if candidate.probability >= certainty and candidate.clean >= HOLDS:
        return GO
    return CHECK
