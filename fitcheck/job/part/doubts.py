"""What keeps an identified part from being sure, beyond the share that its size stands at.

One reading may meet a size by chance, a mark may name a part of another kind with the same
dimensions, an inch part lies near a metric one, a form shows in no dimension, and a table may be
made up. None of these changes which size is the likeliest; each takes ``go`` away until it is
cleared up.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence

from fitcheck.identify import Identification
from fitcheck.job.answers import Answer, asked
from fitcheck.parts.asked import Option
from fitcheck.parts.family import Family, Size
from fitcheck.parts.kind import detail_word
from fitcheck.quantities import plain
from fitcheck.readings import Reading
from fitcheck.units import MM_PER_INCH
from fitcheck.verdicts import CHECK, GO

Forms = Callable[[Size], Iterable[str]]
# What a table says of rows that are made up.
INVENTED = "(invented)"

# Inch parts are made in these steps; readings in inches tell finer ones [1/in].
_STEPS = {"mm": 16, "in": 32}
# A reading is an inch size's when it is this near, and no metric one's when that is this far off:
# half of a thousandth of an inch, and what a caliper tells apart. Common practice, no source.
_NEAR_MM, _APART_MM = 0.013, 0.05
# Limits that are wider are a range of shafts or soft stuff; there an inch size is as good.
_RANGE_MM = 1.0
# Sizes of at least this share are in question.
_OPEN = 0.05
# So much of a mark must be left for its ends to be worn away only.
_ENDS = 3


def doubt(
    result: Answer,
    found: Identification,
    *,
    family: Family,
    readings: Mapping[str, Reading],
    marks: Sequence[str],
    forms: Forms,
    open_options: Sequence[Option],
    told: Mapping[str, str],
) -> None:
    """Take ``go`` away where something is in doubt, and say what and how to settle it.

    Parameters
    ----------
    result : dict
        The answer so far; it is changed.
    found : Identification
        The posterior.
    family : Family
        The sizes that were looked at.
    readings : mapping of str to Reading
        The readings by place.
    marks : sequence of str
        The marks, as they are compared.
    forms : callable
        The ways a size is marked.
    open_options : sequence of Option
        What tells a form and was not chosen.
    told : mapping of str to str
        What was chosen, by the detail of the sizes.
    """
    if result["verdict"] not in (GO, CHECK) or not result["candidates"]:
        return
    top = found.candidates[0].size
    spelled = any(_spells(mark, form) for mark in marks for form in forms(top))
    _open_form(result, found, open_options)
    for detail, word in told.items():
        if not detail_word(top, detail):
            _check(result, f"the list does not say whether {top.label} is {word}: ask")
    _other_mark(result, top, marks, forms)
    if not spelled:
        _inch_part(result, top, family, readings)
        _one_reading(result, top, family, readings, marks)
    if INVENTED in top.source:
        _made_up(result, top)


def not_in_the_list(result: Answer, of_tables: Answer, has: Collection[str]) -> None:
    """Take ``go`` away where a list has one size of several that the tables leave open.

    Parameters
    ----------
    result : dict
        The answer from the list's sizes; it is changed.
    of_tables : dict
        The answer from the standard tables.
    has : collection of str
        The sizes the list has.
    """
    others = [
        candidate["size"]
        for candidate in of_tables["candidates"]
        if candidate["size"] not in has
        and candidate["probability"] >= _OPEN
        and INVENTED not in candidate["source"]
    ]
    if others:
        _check(
            result,
            f"the list does not have {' or '.join(others)}, which it could be as well",
            of_tables["next_reading"],
        )


def _made_up(result: Answer, top: Size) -> None:
    """A row that somebody made up is no size to order by."""
    _check(
        result,
        f"{top.label} is from a table that is made up: it is no size to order by",
        asked(
            reading="mark",
            instrument="eye",
            reason="read the number on the old part, or match against a supplier's list",
            certainty=result["candidates"][0]["probability"],
        ),
    )


def _check(result: Answer, reason: str, ask: Answer | None = None) -> None:
    """Say a doubt; the first one that asks for something is what to do next."""
    if result["verdict"] == GO:
        result["reasons"][0] = result["reasons"][0].replace(" and every reading holds", "")
        result["verdict"] = CHECK
    result["reasons"].append(reason)
    for candidate in result["candidates"][:1]:
        if candidate["verdict"] == GO:
            candidate["verdict"] = CHECK
    if ask is not None and result["next_reading"] is None:
        result["next_reading"] = ask


def _open_form(result: Answer, found: Identification, options: Sequence[Option]) -> None:
    """A form that tells the sizes in question apart is asked for; no reading does that."""
    sizes = [c.size for c in found.candidates if c.probability >= _OPEN]
    for option in options:
        said = (detail_word(size, option.detail) for size in sizes)
        words = [word for word in dict.fromkeys(said) if word]
        if len(words) < 2:
            continue
        following = result["next_reading"]
        if following is None or following["reading"] == "mark":
            result["next_reading"] = asked(
                reading=option.name,
                instrument="eye",
                reason=f"look and say the {option.name}: {_lower(option.words)}",
                certainty=sum(c.probability for c in found.candidates[: len(words)]),
            )
        _check(result, f"the {option.name} is open: {' or '.join(words)}")


def _lower(words: str) -> str:
    return words[:1].lower() + words[1:]


def _other_mark(result: Answer, top: Size, marks: Sequence[str], forms: Forms) -> None:
    """A mark that spells something else: other kinds share these dimensions."""
    ways = list(forms(top))
    other = [mark for mark in marks if not any(_spells(mark, way) for way in ways)]
    if not other or result["verdict"] != GO:
        return
    named = ", ".join(other)
    _check(
        result,
        f"the readings fit {top.label}, but {named} is not how it is marked: it was misread, or it "
        "is a part of another kind with the same dimensions",
        asked(
            reading="mark",
            instrument="eye",
            reason=f"read the number again, ? for each character that is lost: {named} is not "
            f"{top.label}",
            certainty=result["candidates"][0]["probability"],
        ),
    )


def _spells(mark: str, form: str) -> bool:
    """Whether a mark is a form, as far as it can be read: ends may be worn away or carry letters.

    >>> _spells("6?05", "6205"), _spells("6205LB", "6205"), _spells("7205", "6205")
    (True, True, False)
    """
    if len(mark) < len(form):
        ends = (form[: len(mark)], form[len(form) - len(mark) :])
        return len(mark) >= _ENDS and any(_same(mark, end) for end in ends)
    return _same(mark[: len(form)], form) and (mark[len(form) :][:1] or "?") in _AFTER


# What may follow a designation: nothing, or letters.
_AFTER = frozenset("?ABCDEFGHIJKLMNOPQRSTUVWXYZ")


def _same(mark: str, text: str) -> bool:
    return all(a in ("?", b) for a, b in zip(mark, text, strict=True))


def _inch_part(result: Answer, top: Size, family: Family, readings: Mapping[str, Reading]) -> None:
    """A reading that is an inch size's and not the metric nominal, inside its limits or not."""
    if any(size.system == "inch" for size in family.sizes):
        return
    for place in sorted(readings):
        reading, view = readings[place], family.places[place].views[0]
        nominal = top.nominals[view.dimension]
        steps = _STEPS[reading.unit]
        count = round(reading.mean_mm / MM_PER_INCH * steps)
        inch_mm = count * MM_PER_INCH / steps
        if nominal is None or count == 0 or abs(reading.mean_mm - inch_mm) > _NEAR_MM:
            continue
        low, high = view.limits(*nominal)
        if high - low > _RANGE_MM or abs(inch_mm - nominal[0]) <= _APART_MM:
            continue
        inch, metric = _inch_text(count, steps), plain(nominal[0])
        _check(
            result,
            f"{place} {plain(round(reading.mean_mm, 3))} mm is {inch} in, and {top.label} has "
            f"{metric} mm: the tables here have no inch {family.name}, and this may be one",
            asked(
                reading="mark" if reading.instrument == "micrometer" else place,
                instrument="eye" if reading.instrument == "micrometer" else "micrometer",
                reason="read the number on the old part, or lay it beside a new one"
                if reading.instrument == "micrometer"
                else f"take the {place} again, with a micrometer: {metric} mm or {inch} in",
                certainty=result["candidates"][0]["probability"],
            ),
        )
        return


def _inch_text(count: int, steps: int) -> str:
    """A length in inches as the trade writes it.

    >>> _inch_text(22, 16), _inch_text(16, 16), _inch_text(6, 32)
    ('1-3/8', '1', '3/16')
    """
    whole, rest = divmod(count, steps)
    by = math.gcd(rest, steps)
    part = f"{rest // by}/{steps // by}" if rest else ""
    return "-".join(text for text in (str(whole) if whole or not part else "", part) if text)


def _one_reading(
    result: Answer,
    top: Size,
    family: Family,
    readings: Mapping[str, Reading],
    marks: Sequence[str],
) -> None:
    """One reading is met by a part of no listed size too: a second witness is wanted."""
    if marks or len(readings) != 1 or result["verdict"] != GO:
        return
    ((place, reading),) = readings.items()
    second = next(
        (
            other
            for other in family.places.values()
            if other.name != place
            and not other.not_with.intersection(readings)
            and top.nominals[other.views[0].dimension] is not None
            and other.views[0].dimension != family.places[place].views[0].dimension
        ),
        None,
    )
    if second is None:
        return
    _check(
        result,
        f"the {place} alone names it: a part of no listed size may read "
        f"{plain(round(reading.mean_mm, 3))} mm too",
        asked(
            reading=second.name,
            instrument=(second.instruments or ("caliper",))[-1],
            reason=f"read {second.words}; it is a second witness for {top.label}",
            certainty=result["candidates"][0]["probability"],
        ),
    )
