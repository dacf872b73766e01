"""Scenarios of the simulated bench for the families that their tables describe.

Each is read at the places of its own example: as such parts are met, each explanation by its
prior, as made, and with sizes taken out of the table.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from simulate_parts import Scenario

from fitcheck.identify import Identification
from fitcheck.job.part.doubts import doubt
from fitcheck.parts.asked import options
from fitcheck.parts.family import Family
from fitcheck.parts.kind import kind, kind_family, kind_names
from fitcheck.readings import Reading

# Places read beside or in place of those of the example, where a family is met in other ways.
MORE = {
    "oring": (("id", "section"), ("groove-bottom", "groove-depth", "groove-width")),
    "ball": (("journal", "housing", "width"),),
    "circlip": (("shaft-groove", "groove-width"), ("bore",), ("free-inside", "thickness")),
    "bushing": (("shaft", "housing", "length", "old-od"),),
}
_MANY = 100


def doubted(family: Family, found: Identification, readings: Mapping[str, Reading]) -> str:
    """The verdict as it is answered: of a described family, with what the command doubts."""
    name = next((name for name in kind_names() if kind(name).title == family.name), "")
    if not name or not found.candidates:
        return found.verdict
    top = found.candidates[0]
    first = {"size": top.size.label, "probability": top.probability, "verdict": found.verdict}
    result: dict[str, Any] = {
        "verdict": found.verdict,
        "reasons": list(found.reasons),
        "candidates": [first],
        "next_reading": None,
    }
    doubt(
        result,
        found,
        family=family,
        readings=readings,
        marks=(),
        forms=kind(name).forms,
        open_options=[option for option in options(name) if option.detail],
        told={},
    )
    return str(result["verdict"])


def example_places(name: str) -> tuple[str, ...]:
    """The places that the example of a family reads."""
    flags = (word.removeprefix("--") for word in kind(name).example.split() if word[:2] == "--")
    return tuple(flag for flag in flags if flag in kind_family(name).places)


def kind_scenarios() -> Iterator[Scenario]:
    """Every scenario, family by family."""
    for name in kind_names():
        family = kind_family(name)
        for number, places in enumerate((example_places(name), *MORE.get(name, ()))):
            tools = {
                place: (family.places[place].instruments or ("caliper",))[0] for place in places
            }
            said = "" if number == 0 else ", by " + ", ".join(places)
            yield Scenario(f"as met{said}", name, tools, dict.fromkeys(places, "*"), account="*")
            if number == 0:
                yield Scenario("as made", name, tools)
                # One size in twelve is taken out: of few, none that others don't stand in for.
                if len(family.sizes) >= _MANY:
                    yield Scenario("unlisted, removed", name, tools, unlisted="removed")
