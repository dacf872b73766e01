"""From a filled-in form to the answer: the same functions that the commands call."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from dataclasses import field
from typing import TYPE_CHECKING, Any

from fitcheck.errors import FitcheckError, InputError
from fitcheck.records import dataclass
from fitcheck.web.pages.field import CHOICE, PICK, READING, YES, Field
from fitcheck.web.pages.fields import KINDS, part
from fitcheck.web.pages.kind_answers import kind_answer, pivot_answer

if TYPE_CHECKING:
    from fitcheck.report.drawing.on_page import Figure

Answer = dict[str, Any]
Pairs = Iterable[tuple[str, str]]

# What one form may hold: far more than anybody types.
MOST_VALUES, LONGEST_VALUE = 50, 500
TOOL = ".tool"
# A size that leads by less is one of several: none is shown beside the verdict, none is drawn.
LEADS = 0.5


@dataclass(frozen=True, slots=True)
class Given:
    """What was typed about one part: values by field, and the instrument of each reading."""

    kind: str
    name: str = ""
    unit: str = "mm"
    values: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    tools: Mapping[str, str] = field(default_factory=dict)

    @property
    def is_empty(self) -> bool:
        """Whether nothing was measured or read yet."""
        return not any(
            text
            for one in part(self.kind).fields
            if one.how not in (CHOICE, PICK, YES)
            for text in self.values.get(one.key, ())
        )

    def entry(self) -> dict[str, Any]:
        """The part as an entry of a bench sheet: readings carry their instrument."""
        found: dict[str, Any] = {}
        for one in part(self.kind).fields:
            texts = [text for text in self.values.get(one.key, ()) if text]
            if texts:
                # "upper-bore" is the bore of the upper bearing, in a table of its own.
                inner, _, key = one.key.rpartition("-")
                table = found.setdefault(inner, {}) if inner else found
                table[key] = self._value(one, texts)
        return found

    def _value(self, one: Field, texts: list[str]) -> Any:
        if one.how == YES:
            return True
        if one.how == READING:
            tool = self.tools.get(one.key, one.tools[0] if one.tools else "")
            return [f"{text}@{tool}" if tool and "@" not in text else text for text in texts]
        return texts if one.many else texts[0]

    def as_json(self) -> dict[str, Any]:
        """What was typed, to be kept in a page and sent again."""
        return {
            "kind": self.kind,
            "name": self.name,
            "unit": self.unit,
            "values": {key: list(texts) for key, texts in self.values.items()},
            "tools": dict(self.tools),
        }


def given_of_form(kind: str, pairs: Pairs) -> Given:
    """What a form holds about one part.

    Parameters
    ----------
    kind : str
        The kind of part.
    pairs : iterable of tuple
        The names and texts of the form's fields.

    Raises
    ------
    InputError
        There is far more in it than a form holds.
    """
    values: dict[str, list[str]] = {}
    for name, text in pairs:
        values.setdefault(name, []).append(text)
    tools = {
        name.removesuffix(TOOL): texts[0] for name, texts in values.items() if name.endswith(TOOL)
    }
    return _given(
        kind,
        name=values.get("name", [""])[0],
        unit=values.get("unit", ["mm"])[0],
        values=values,
        tools=tools,
    )


def given_of_json(raw: Any) -> Given:
    """What was typed about one part, as `Given.as_json` gave it.

    Parameters
    ----------
    raw : object
        What was read.

    Raises
    ------
    InputError
        It is something else.
    """
    match raw:
        case {
            "kind": str(kind),
            "name": str(name),
            "unit": str(unit),
            "values": dict(values),
            "tools": dict(tools),
        } if kind in KINDS and all(
            isinstance(texts, list) and all(isinstance(text, str) for text in texts)
            for texts in values.values()
        ):
            return _given(
                kind,
                name=name,
                unit=unit,
                values=values,
                tools={key: tool for key, tool in tools.items() if isinstance(tool, str)},
            )
    raise InputError(
        value="the job",
        rule="a position of it can't be read",
        todo="Take the position out of the job and put it in again",
    )


def _given(
    kind: str,
    *,
    name: str,
    unit: str,
    values: Mapping[str, list[str]],
    tools: Mapping[str, str],
) -> Given:
    known = part(kind).fields
    kept: dict[str, tuple[str, ...]] = {}
    for one in known:
        texts = [text.strip() for text in values.get(one.key, ())]
        if len(texts) > MOST_VALUES or any(len(text) > LONGEST_VALUE for text in texts):
            raise InputError(
                value=one.name,
                rule=f"a field takes {MOST_VALUES} values of {LONGEST_VALUE} characters at most",
                todo="Leave some out",
            )
        if one.how in (CHOICE, PICK):
            allowed = {value for value, _ in one.choices}
            for text in texts:
                if text not in allowed:
                    raise InputError(
                        value=f"{one.name}, {text}",
                        rule="there is no such choice",
                        todo="Take one of those on the page",
                    )
        if any(texts):
            kept[one.key] = tuple(texts)
    return Given(
        kind,
        name=name.strip()[:LONGEST_VALUE],
        unit="in" if unit == "in" else "mm",
        values=kept,
        tools={one.key: tools[one.key] for one in known if tools.get(one.key) in one.tools},
    )


def answer_of(given: Given) -> Answer:
    """The answer about one part, by the function that its command calls.

    Parameters
    ----------
    given : Given
        What was typed.

    Raises
    ------
    FitcheckError
        It can't be answered.
    """
    # The same functions as behind the endpoints, so that page and interface can't disagree.
    from fitcheck.web.api import parts

    answers: dict[str, Callable[..., Answer]] = {
        "seal": parts.seal,
        "bearing": parts.bearing,
        "sleeve": parts.sleeve,
        "press": parts.press,
        "shims": parts.shim,
        "oil": parts.oil,
    }
    if given.kind not in answers:
        work = pivot_answer if given.kind == "pivot" else kind_answer
        return work(given.kind, given.entry(), unit=given.unit)
    options: dict[str, Any] = {}
    if given.kind in ("seal", "bearing"):
        places = [one.key for one in part(given.kind).fields if one.how == READING]
        options = {"name": "", "no_offers": False, **dict.fromkeys(places, ())}
    if given.kind == "seal":
        options |= {"case": "", "bare_shaft": False}
    return answers[given.kind](**{**options, **given.entry(), "unit": given.unit})


def drawing_of(given: Given, found: Answer) -> Figure | None:
    """The drawing to scale that an answer gives, and its remarks; None where nothing is decided.

    Parameters
    ----------
    given : Given
        What was typed.
    found : dict
        The answer.
    """
    from fitcheck.job.drawn import sheet_extras
    from fitcheck.job.sheet import sheet_of
    from fitcheck.report.drawing.answers import card_drawings
    from fitcheck.report.drawing.on_page import figures

    if given.kind not in ("seal", "bearing", "shims"):
        return None
    name = given.name or given.kind
    leading = found["candidates"][0] if found.get("candidates") else None
    position = {
        "name": name,
        "kind": given.kind,
        "pick": leading["designation"] if leading and given.kind == "bearing" else None,
        "answer": found,
    }
    if leading is not None and leading["probability"] < LEADS:
        return None
    # What can't be drawn must not cost the answer.
    with suppress(FitcheckError):
        extra = None
        if given.kind == "seal":
            # What a seal's answer does not hold of it: its lead-in chamfers, its case.
            told = {"name": name, "unit": given.unit, **given.entry()}
            extra = sheet_extras(sheet_of({"seal": [told]}))
        drawn = card_drawings({"positions": [position]}, unit=given.unit, extra=extra)
        for figure in figures(drawn.items())[0]:
            if figure.name == name:
                return figure
    return None


_PANELS = {
    "seal": ("seat", "old-seal"),
    "sleeve": ("seat",),
    "bearing": ("bearing",),
    "shims": ("gap",),
}


def places_of(kind: str) -> str:
    """The drawing that shows where to measure a part; empty where there is none.

    Parameters
    ----------
    kind : str
        The kind of part.
    """
    if kind not in _PANELS:
        return ""
    from fitcheck.report.drawing.places import places_svg

    return places_svg(_PANELS[kind])
