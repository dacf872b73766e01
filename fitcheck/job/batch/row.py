"""The answer about one row of a table of readings: ranked sizes, a verdict, what to read next.

Identical rows are answered once, identical texts read once, and identical seats judged once: a long
list repeats the few hundred diameters that parts come in. What is remembered is bounded, so a
list of any length takes the same memory.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cache, lru_cache
from typing import Any

from fitcheck.accounts import ORDER_SWAPPED, UNIT_MIXED
from fitcheck.advice import NextReading, next_reading
from fitcheck.assess.seal_pocket import pocket
from fitcheck.assess.seal_seat import counterface, seal_bore
from fitcheck.assess.within import Check
from fitcheck.errors import InputError
from fitcheck.identify import (
    CERTAINTY,
    NO_SIZE,
    Candidate,
    Identification,
    MarkLikelihood,
    candidate_verdict,
    identify,
)
from fitcheck.job import bearing, seal
from fitcheck.job.answers import checked_certainty, checked_top, misread_place
from fitcheck.job.batch.csv_rows import guarded
from fitcheck.job.cross_checks import mark_doubts, tabled_doubts
from fitcheck.job.identified import mark_evidence
from fitcheck.job.misfit import UNLISTED_LEADS
from fitcheck.marks import checked, checked_size
from fitcheck.parts.bearing import bearing_family
from fitcheck.parts.family import Size
from fitcheck.parts.seal import BORE, SHAFT, WIDTH, seal_family
from fitcheck.readings import Reading, instrument, read
from fitcheck.records import dataclass
from fitcheck.tables import shop_folder
from fitcheck.verdicts import CHECK, GO, NO_GO

PARTS = {"seal": seal.PLACES, "bearing": bearing.PLACES}
UNITS = ("mm", "in")
NO_LISTED_SIZE = "no listed size"
DEFAULT_RANKS = 5

# Sizes below this share are left out, as in the answer about one part.
LISTED = 1e-4
# The longest cell that is read, several readings of one place included [characters].
MAX_CELL = 1000
# How many answers, texts, seats and marks are remembered: some tens of megabytes in all.
_ANSWERS, _TEXTS, _SEATS, _MARKS = 16384, 32768, 32768, 256
# Between the entries of a finding, where no text of ours has one.
_AND = " | "
# The seats of a seal that a row can hold, in the order in which they are judged.
SEATS = (("bore", BORE), ("shaft", SHAFT), ("pocket", WIDTH))

# The columns of an answer after the id.
Line = tuple[str, str, str, str, str, str]


@dataclass(frozen=True, slots=True)
class BatchRequest:
    """How the rows are answered: what applies to every one of them."""

    unit: str = "mm"
    certainty: float = CERTAINTY
    top: int = DEFAULT_RANKS
    advise: bool = True


@dataclass(frozen=True, slots=True)
class _Asked:
    """A row as understood: the part, the cells and the readings by place, and the rest."""

    part: str
    texts: Mapping[str, str]
    readings: Mapping[str, Reading]
    marks: tuple[str, ...]
    unit: str
    tool: str


class RowAnswerer:
    """Answers requests, and remembers what it has read and answered."""

    def __init__(self, request: BatchRequest, names: tuple[str, ...]) -> None:
        self.request = request
        self.certainty = checked_certainty(request.certainty)
        self.top = checked_top(request.top)
        self.names = names
        # A refusal is an error, and those are not remembered: only sound rows take memory.
        self.answer = lru_cache(_ANSWERS)(self._answer)
        self.reading = lru_cache(_TEXTS)(_reading)
        self.seat = lru_cache(_SEATS)(_seat_check)
        self._mixed = lru_cache(_MARKS)(bearing.mixed_pair)
        self._mark = lru_cache(_MARKS)(_mark_evidence)
        self.tool = lru_cache(_MARKS)(instrument)
        self._doubts: dict[int, bool] = {}

    def _answer(self, cells: tuple[str, ...]) -> tuple[Line, ...]:
        """The lines about one request without its id: rank to next reading."""
        asked = self._asked(cells)
        if asked.part == "bearing" and self._mixed(asked.marks) is not None:
            return self._whole(asked, known=())
        family = seal_family() if asked.part == "seal" else bearing_family()
        used = dict(asked.readings)
        if "shaft" in used and "track" in used:
            # The land says the same about the size, and better.
            del used["track"]
        mark, mark_unlisted = self._mark(asked.part, asked.marks)
        found = identify(
            family, used, certainty=self.certainty, mark=mark, mark_unlisted=mark_unlisted
        )
        following = next_reading(family, found, used) if self.request.advise else None
        if len(used) < len(asked.readings) or not self._settled(asked, found, following):
            return self._whole(asked, known=[r for r in found.reasons if r not in found.notes])
        ranked = sorted(
            (*found.candidates, unlisted_candidate(found.unlisted)),
            key=lambda candidate: -candidate.probability,
        )
        return answer_lines(
            [
                (c.size.label, c.probability, candidate_verdict(c, certainty=self.certainty))
                for c in ranked[: self.top]
            ],
            verdict=found.verdict,
            findings=[*(f.finding for f in found.findings), *found.notes],
            following="" if following is None else f"{following.reading}@{following.instrument}",
        )

    def _asked(self, cells: tuple[str, ...]) -> _Asked:
        """A row as understood."""
        given = {n: c.strip() for n, c in zip(self.names, cells, strict=True) if c.strip()}
        for name, cell in given.items():
            if len(cell) > MAX_CELL:
                raise InputError(
                    value=f"{name} {cell[:60]}...",
                    rule=f"a cell holds at most {MAX_CELL} characters",
                    todo="Give the readings only, with ; between them",
                )
        part = given.pop("part", "").lower()
        if part not in PARTS:
            raise InputError(
                value=f"part {part or '(blank)'}",
                rule="a row is about a seal or a bearing",
                todo="Write seal or bearing",
            )
        unit = given.pop("unit", self.request.unit).lower()
        if unit not in UNITS:
            raise InputError(
                value=f"unit {unit}",
                rule="bare numbers are in mm or in",
                todo="Write mm or in, or write the unit beside each number",
            )
        tool = given.pop("instrument", "")
        if tool:
            self.tool(tool)
        marks = tuple(several(given.pop("mark", "")))
        columns = ", ".join(place.replace("-", "_") for place in PARTS[part])
        texts, readings = {}, {}
        for column, text in given.items():
            place = column.replace("_", "-")
            if place not in PARTS[part]:
                raise InputError(
                    value=f"{column} {text}",
                    rule=f"a {part} is not measured there",
                    todo=f"Use {columns}",
                )
            texts[place] = text
            readings[place] = self.reading(place, text, unit, tool)
        if not readings and not marks:
            raise InputError(
                value="no reading",
                rule="at least one place must be measured, or a mark read",
                todo=f"Fill in one of {columns}",
            )
        return _Asked(part, texts, readings, marks, unit, tool)

    def _settled(self, asked: _Asked, found: Identification, following: NextReading | None) -> bool:
        """Whether the whole answer would add nothing to the verdict or to what to read next."""
        if any(finding.finding in (UNIT_MIXED, ORDER_SWAPPED) for finding in found.findings):
            return False
        # A mark alone may have to be confirmed, and one misfit among the readings named.
        if not asked.readings or found.unlisted >= UNLISTED_LEADS:
            return False
        top = found.candidates[0]
        family = seal_family() if asked.part == "seal" else bearing_family()
        if found.verdict == GO and misread_place(family, top, asked.readings) is not None:
            return False
        if found.verdict == GO and _names_another(asked, top.size):
            return False
        if asked.part == "bearing":
            return not self._doubted(top) and not mark_doubts(asked.marks, asked.readings)
        # A width and a pocket may contradict each other.
        if "pocket" in asked.readings and "old-width" in asked.readings:
            return False
        if found.verdict == CHECK and following is None and self.request.advise:
            return False
        for place, dimension in SEATS:
            nominal = top.size.nominals[dimension]
            if place in asked.readings and nominal is not None:
                check = self.seat(place, *nominal, asked.readings[place])
                # A seat that rules out the size makes the whole answer no-go.
                if check.verdict == NO_GO:
                    return False
                if found.verdict == GO and check.verdict != GO and not check.holds_as_read:
                    return False
        return True

    def _doubted(self, top: Candidate) -> bool:
        """Whether the tabled size of a bearing contradicts itself."""
        found = self._doubts.get(top.position)
        if found is None:
            said = tabled_doubts(top.size, bearing_family().sizes)
            found = self._doubts[top.position] = bool(said)
        return found

    def _whole(self, asked: _Asked, *, known: Sequence[str]) -> tuple[Line, ...]:
        """The lines from the answer of the command for one part: slower, and all there is."""
        is_seal = asked.part == "seal"
        request: Any = (seal.SealRequest if is_seal else bearing.BearingRequest)(
            readings={place: several(text) for place, text in asked.texts.items()},
            mark=asked.marks,
            unit=asked.unit,
            instrument=asked.tool,
            top=self.top,
            certainty=self.certainty,
        )
        found = seal.answer(request) if is_seal else bearing.answer(request)
        name = "size" if is_seal else "designation"
        ranked = [(c[name], c["probability"], c["verdict"]) for c in found["candidates"]]
        unlisted = unlisted_candidate(found["unlisted"])
        place = sum(probability >= unlisted.probability for _, probability, _ in ranked)
        verdict = candidate_verdict(unlisted, certainty=self.certainty)
        ranked.insert(place, (NO_LISTED_SIZE, unlisted.probability, verdict))
        following = found["next_reading"] if self.request.advise else None
        return answer_lines(
            ranked[: self.top],
            verdict=found["verdict"],
            findings=[
                *(finding["finding"] for finding in found["findings"]),
                *(reason for reason in found["reasons"] if reason not in known),
            ],
            following=f"{following['reading']}@{following['instrument']}" if following else "",
        )


def answer_lines(
    ranked: Sequence[tuple[str, float, str]],
    *,
    verdict: str,
    findings: Sequence[str],
    following: str,
) -> tuple[Line, ...]:
    """The lines of an answer: the first says it all of the request, each other its size alone.

    Parameters
    ----------
    ranked : sequence of tuple
        Size, probability and the verdict on that size alone, by falling probability.
    verdict : str
        The verdict on the request.
    findings : sequence of str
        What speaks for or against it.
    following : str
        What to read next.
    """
    listed = [entry for entry in ranked if entry[1] >= LISTED] or [("", 0.0, "")]
    size, probability, _ = listed[0]
    share = f"{probability:.6f}" if size else ""
    finding = guarded(_AND.join(dict.fromkeys(findings)))
    lines: list[Line] = [("1", guarded(size), share, verdict, finding, following)]
    for rank, (size, probability, own) in enumerate(listed[1:], 2):
        lines.append((str(rank), guarded(size), f"{probability:.6f}", own, "", ""))
    return tuple(lines)


_NO_LISTED = Size(label=NO_LISTED_SIZE, system="", nominals=(), series=(), source="")


def unlisted_candidate(share: float) -> Candidate:
    """What no table lists, as a candidate that takes its rank among the sizes, and is never go."""
    return Candidate(NO_SIZE, _NO_LISTED, share, 0.0, {})


def several(cell: str) -> list[str]:
    """The texts of a cell that holds several, with semicolons between them."""
    return [text.strip() for text in cell.split(";") if text.strip()]


def _reading(place: str, cell: str, unit: str, tool: str) -> Reading:
    texts = tuple(several(cell))
    if not texts:
        raise InputError(
            value=f"{place} {cell}",
            rule="there is no reading in the cell",
            todo="Give a value, or leave the cell blank",
        )
    return read(place=place, texts=texts, unit=unit, tool=tool)


_CHECKERS: dict[str, Callable[[float, str, Reading], Check]] = {
    "bore": lambda mm, system, got: seal_bore(bore_mm=mm, system=system, measured=got),
    "shaft": lambda mm, system, got: counterface(shaft_mm=mm, system=system, measured=got),
    "pocket": lambda mm, system, got: pocket(width_mm=mm, system=system, measured=got),
}


def _seat_check(place: str, nominal_mm: float, system: str, measured: Reading) -> Check:
    return _CHECKERS[place](nominal_mm, system, measured)


# By part, how a size is marked, and how a marking is brought into the form that is compared.
_MARKING: dict[str, tuple[Callable[[Size], Iterable[str]], Callable[[str], str]]] = {
    "seal": (seal.mark_forms, checked_size),
    "bearing": (bearing.mark_forms, checked),
}


def _names_another(asked: _Asked, size: Size) -> bool:
    """Whether a mark spells another part than the one the readings name."""
    if not asked.marks:
        return False
    forms, compared = _MARKING[asked.part]
    others = {compared(mark) for mark in asked.marks}.difference(forms(size))
    return not others.isdisjoint(_spelled(asked.part, shop_folder()) if others else ())


@cache
def _spelled(part: str, _shop: str) -> frozenset[str]:
    """Every way in which a listed part is marked."""
    family = seal_family() if part == "seal" else bearing_family()
    forms, _ = _MARKING[part]
    return frozenset(form for size in family.sizes for form in forms(size))


def _mark_evidence(part: str, marks: tuple[str, ...]) -> tuple[MarkLikelihood | None, float]:
    """As in ``answers``, with each size's probability worked out once for all rows."""
    forms, compared = _MARKING[part]
    likelihood, unlisted = mark_evidence(marks, forms, compared=compared)
    if likelihood is None:
        return None, unlisted
    known: dict[str, float] = {}

    def remembered(size: Size) -> float:
        found = known.get(size.label)
        if found is None:
            found = known[size.label] = likelihood(size)
        return found

    return remembered, unlisted
