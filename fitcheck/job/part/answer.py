"""`fitcheck part`: from readings and marks of a part of any described family to an answer."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import field

from fitcheck.assess.within import Check
from fitcheck.errors import InputError, NotKnownError, OffTableError
from fitcheck.identify import CERTAINTY, Candidate, Identification
from fitcheck.job.against import beside_share
from fitcheck.job.answers import (
    DEFAULT_TOP,
    Answer,
    cautions,
    checked_certainty,
    checked_top,
    readings_from,
)
from fitcheck.job.cross_checks import add_rolling_doubts
from fitcheck.job.identified import identified, leading
from fitcheck.job.part.checks import ALSO, checks_of
from fitcheck.job.part.doubts import doubt, not_in_the_list
from fitcheck.job.sources import instrument_sources
from fitcheck.parts.asked import Option, advice, options
from fitcheck.parts.family import Family, Size
from fitcheck.parts.kind import Kind, kind, kind_family, narrowed
from fitcheck.parts.listed import marked_by_digits
from fitcheck.readings import Reading
from fitcheck.records import dataclass
from fitcheck.tables import table
from fitcheck.verdicts import CHECK, GO, worst


@dataclass(frozen=True, slots=True)
class PartRequest:
    """What was asked about one part: the options of the command, as text.

    ``readings`` holds texts by place, and by option where a family asks for more readings;
    ``choices`` the words chosen, by option.
    """

    kind: str
    readings: dict[str, Sequence[str]] = field(default_factory=dict)
    choices: dict[str, str] = field(default_factory=dict)
    mark: Sequence[str] = ()
    unit: str = "mm"
    instrument: str = ""
    top: int = DEFAULT_TOP
    certainty: float = CERTAINTY


def answer(request: PartRequest, *, family: Family | None = None) -> Answer:
    """The answer of `fitcheck part` as data.

    Parameters
    ----------
    request : PartRequest
        What was asked.
    family : Family, optional
        The sizes to choose from; those of the family's tables when left out.

    Raises
    ------
    NotKnownError
        There is no such family.
    InputError
        A text can't be read, a word can't be chosen, or nothing was measured.
    OffTableError
        The readings lie outside everything the tables cover.
    """
    certainty, top = checked_certainty(request.certainty), checked_top(request.top)
    found_kind = kind(request.kind)
    _check_choices(request)
    from_list = family not in (None, kind_family(request.kind))
    told = _told(request)
    if family is None:
        family = kind_family(request.kind, told)
    elif told:
        family = narrowed(family, told)
    forms = _forms(found_kind)
    read = readings_from(request.readings, unit=request.unit, tool=request.instrument)
    beside = {option.name for option in options(request.kind) if option.is_reading}
    readings = {place: reading for place, reading in read.items() if place not in beside}
    known = identified(
        family,
        readings,
        marks=request.mark,
        forms=forms,
        compared=found_kind.read_mark,
        fields=lambda candidate: _fields(found_kind, candidate),
        certainty=certainty,
        top=top,
        ask=next(iter(family.places)),
    )
    found, restated = known.found, known.restated
    result = {"kind": request.kind, "title": found_kind.title, **known.result}
    marks = [found_kind.read_mark(mark) for mark in request.mark if mark]
    doubt(
        result,
        found,
        family=family,
        readings=readings,
        marks=marks,
        forms=forms,
        open_options=[o for o in _telling(request.kind) if o.detail not in told],
        told=told,
    )
    if from_list and result["verdict"] == GO:
        # What the tables do not cover is nothing else that it could be.
        with suppress(OffTableError, NotKnownError):
            not_in_the_list(result, answer(request), {size.label for size in family.sizes})
    result["marked"] = [
        said for mark in request.mark if mark for said in found_kind.said_by_mark(mark)
    ]
    if result["marked"]:
        result["reasons"].append(
            f"its mark says more, to be ordered so: {', '.join(result['marked'])}"
        )
    if found_kind.standing and result["candidates"] and not from_list:
        result["reasons"].append(found_kind.standing)
    believed = {place: r for place, r in read.items() if place not in restated}
    _add_checks(result, found, request, family, believed, certainty=certainty)
    add_rolling_doubts(result, leading(found), family=request.kind, sizes=family.sizes)
    if request.kind in ALSO:
        result["also"] = ALSO[request.kind](found, believed, request.choices)
    result["sources"] = _sources(request.kind, found, readings)
    result["cautions"] = [text for text, _ in advice(request.kind, "caution")] + cautions()
    return result


def _forms(found_kind: Kind) -> Callable[[Size], Iterable[str]]:
    """How a size is marked; one that only a list has carries its dimensions."""

    def forms(size: Size) -> Iterable[str]:
        return found_kind.forms(size) if size.details else marked_by_digits(size)

    return forms


def _told(request: PartRequest) -> dict[str, str]:
    """What the words chosen tell of the part, by the detail of its sizes."""
    chosen = {o.detail: request.choices.get(o.name, "") for o in _telling(request.kind)}
    return {detail: word for detail, word in chosen.items() if word}


def _telling(name: str) -> list[Option]:
    return [option for option in options(name) if option.detail]


def _check_choices(request: PartRequest) -> None:
    """Refuse a word that no option knows.

    Raises
    ------
    InputError
        The option is not one of the family's, or the word none of its choices.
    """
    known = {option.name: option.choices for option in options(request.kind) if option.choices}
    for name, chosen in request.choices.items():
        if chosen and name not in known:
            raise InputError(
                value=f"{name} {chosen}",
                rule=f"a {kind(request.kind).title} has no such option",
                todo="Use " + ", ".join(known) if known else "Leave it out",
            )
        if chosen and chosen not in known[name]:
            raise InputError(
                value=f"{name} {chosen}",
                rule=f"the {name} is none of those known",
                todo="Use " + " or ".join(known[name]),
            )


def _fields(found_kind: Kind, candidate: Candidate) -> Answer:
    size = candidate.size
    dimensions = {
        f"{name}_mm": None if nominal is None else round(nominal[0], 4)
        for name, nominal in zip(found_kind.dimensions, size.nominals, strict=True)
    }
    return {
        "size": size.label,
        **dimensions,
        "system": size.system,
        "series": list(size.series),
        "details": dict(size.details),
    }


def _add_checks(
    result: Answer,
    found: Identification,
    request: PartRequest,
    family: Family,
    readings: Mapping[str, Reading],
    *,
    certainty: float,
) -> None:
    """Judge the seats and what else the family checks, against the leading size."""
    size = leading(found)
    checks = (
        [] if size is None else checks_of(request.kind, size, family, readings, request.choices)
    )
    result["checks"] = [check.as_json() for check in checks]
    of_old = {option.name for option in options(request.kind) if option.is_reading}
    for check in checks:
        if check.verdict != GO and not check.holds_as_read:
            result["reasons"].append(check.reason)
            # What the old part has worn to puts no doubt on the new one.
            if check.what not in of_old:
                beside = _beside(check, result, family, request.kind, certainty=certainty)
                result["verdict"] = worst(result["verdict"], beside)


def _beside(check: Check, result: Answer, family: Family, name: str, *, certainty: float) -> str:
    """What a check that does not hold makes of the whole answer."""
    place = family.places.get(check.what)
    # A seat is judged by how sure its reading is; a gland or a clearance takes several at their
    # word, so it asks and refuses nothing by itself.
    if place is None:
        return CHECK
    dimension = f"{kind(name).dimensions[place.views[0].dimension]}_mm"
    return beside_share(check.verdict, result, dimension, certainty=certainty)


def _sources(name: str, found: Identification, readings: Mapping[str, Reading]) -> list[str]:
    rows = table(f"{name}/bands").rows
    shares = dict.fromkeys(row.cite() for row in rows if row.text("place") in readings)
    leader = [found.candidates[0].size.source] if found.candidates else []
    return [
        *leader,
        *instrument_sources(readings),
        *(f"shares of wear and mistakes: {source}" for source in shares),
    ]
