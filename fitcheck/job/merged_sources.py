"""The sources of a whole job: each said once with what it covers, kindred ones on one line."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache

from fitcheck.records import dataclass
from fitcheck.tables import package, table_names

_TAGS = (" (from memory)", " (invented)")
_PARTLY = " (in part from memory)"
# What a source's title begins with -> the line it stands on, and whether the beginning is said
# there already.
_KINDRED = (
    ("us army technical manual of", "US Army technical manuals", False),
    ("us army technical manuals", "US Army technical manuals", False),
    ("us army technical manual, ", "US Army technical manuals", True),
    ("us army technical manual ", "US Army technical manuals", True),
    ("us army ", "US Army technical manuals", True),
    ("vehicle workshop manual", "Vehicle workshop manuals", False),
    ("agency maintenance manuals", "Maintenance manuals", False),
    *(
        (start, "Trade press and forums", False)
        for start in ("hobby machinery", "newspaper", "trade and newspaper", "trade article")
    ),
    *(
        (start, "No published text", False)
        for start in (
            *("a choice of this project", "common practice", "common trade", "general practice"),
            *("general trade", "own calculation", "rule of our own", "standard atmosphere"),
            *("the step below", "thick-ring theory", "typical values", "worked out from"),
        )
    ),
)
_STANDARD = re.compile(
    r"(?P<name>(?:ANSI/ABMA|ASME|BS|DIN|GB/T|GB|GOST|ISO/TR|ISO|JIS B|MIL-STD|RMA OS|SAE)[ -]"
    r"[A-Z]?[0-9.]+|RMA OS)(?P<rest>.*)"
)


@dataclass(frozen=True, slots=True)
class _Cited:
    """A source as cited: its title with edition, how it is known, and what it covers."""

    title: str
    tag: str
    covers: tuple[str, ...]

    def words(self, title: str, *, tagged: bool = True) -> str:
        """The source in words, under a title or what is left of it."""
        said = title + (self.tag if tagged else "")
        return f"{said} for {', '.join(self.covers)}" if self.covers else said


def merged_sources(sources: Iterable[str]) -> list[str]:
    """Sources from several positions, each once with what it covers.

    Parameters
    ----------
    sources : iterable of str
        Citations in any order, with repeats; what a citation covers may stand before it and a
        colon.

    Returns
    -------
    list of str
        One line for each standard or kind of source, in the order they are met.

    Examples
    --------
    >>> for line in merged_sources(
    ...     [
    ...         "DIN 3760, Table 1, 1996 (from memory)",
    ...         "usual fill: Common practice, no source (from memory)",
    ...         "DIN 3760, pressure table, 1996 (from memory)",
    ...         "bore-gauge: Common practice, no source (from memory)",
    ...     ]
    ... ):
    ...     print(line)
    DIN 3760 (from memory): Table 1, 1996; pressure table, 1996
    Common practice, no source (from memory) for usual fill, bore-gauge
    """
    groups: dict[str, list[tuple[_Cited, str]]] = {}
    for cited in _once(sources):
        head, rest = _kin(cited.title)
        groups.setdefault(head, []).append((cited, rest))
    return [_line(head, members) for head, members in groups.items()]


def _once(sources: Iterable[str]) -> list[_Cited]:
    """Each source once, whatever it was cited for and however its title was spelled."""
    found: dict[str, tuple[str, list[str], set[str]]] = {}
    for source in (part for several in sources for part in _several(several)):
        body = _untagged(source)
        tag = source[len(body) :]
        title, covers = _parted(body)
        _, covered, tags = found.setdefault(title.casefold(), (title, [], set()))
        tags.add(tag)
        if covers and covers not in covered:
            covered.append(covers)
    return [
        _Cited(title, tags.pop() if len(tags) == 1 else _PARTLY, tuple(covers))
        for title, covers, tags in found.values()
    ]


def _several(source: str) -> list[str]:
    """The sources of a citation that names several, all of them for the same thing."""
    first, *others = source.split("; ")
    if not all(_untagged(other) in _titles() for other in others):
        # A title may have a semicolon of its own.
        return [source]
    _, covers = _parted(_untagged(first))
    return [first, *(f"{covers}: {other}" if covers else other for other in others)]


def _untagged(source: str) -> str:
    return next((source.removesuffix(tag) for tag in _TAGS if source.endswith(tag)), source)


def _parted(body: str) -> tuple[str, str]:
    """The title of a citation, and what stands before it: what it covers."""
    known = _titles()
    # A title may have a colon of its own, so the longest that is known counts.
    at = -2
    while body[at + 2 :] not in known:
        at = body.find(": ", at + 2)
        if at < 0:
            return body, ""
    return body[at + 2 :], body[: max(at, 0)]


@cache
def _titles() -> frozenset[str]:
    """Every source of the tables, in one line each."""
    return frozenset(
        ", ".join(filter(None, (source["title"], source.get("edition", ""))))
        for folder in dict.fromkeys(name.partition("/")[0] for name in table_names())
        for source in package(folder)["sources"]
    )


def _kin(title: str) -> tuple[str, str]:
    """The line that a source stands on with its kin, and what it says there."""
    lower = title.casefold()
    for start, head, said in _KINDRED:
        if lower.startswith(start):
            return head, title[len(start) :] if said else title
    standard = _STANDARD.fullmatch(title)
    if standard is None:
        return title, title
    rest = standard["rest"]
    if re.match(r"-[0-9]", rest):
        rest = f"part {rest[1:]}"
    elif rest.startswith(" / "):
        rest = f"with {rest[3:]}"
    return standard["name"], rest.lstrip(" ,") or title


def _line(head: str, members: list[tuple[_Cited, str]]) -> str:
    """One line for sources that are kin."""
    if len(members) == 1:
        cited = members[0][0]
        return cited.words(cited.title)
    tags = {cited.tag for cited, _ in members}
    common = tags.pop() if len(tags) == 1 else ""
    said = "; ".join(cited.words(rest, tagged=not common) for cited, rest in members)
    return f"{head}{common}: {said}"
