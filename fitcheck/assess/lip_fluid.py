"""Which fluid a text means, and what each lip material makes of it.

A text is understood in full or not at all: a word that is not known may change everything.
"""

from __future__ import annotations

from itertools import groupby

from fitcheck.errors import NotKnownError
from fitcheck.records import dataclass
from fitcheck.tables import Row, table

# What may stand beside a fluid without changing what it is: viscosity grades and their systems.
_HARMLESS = frozenset(("iso", "vg", "sae", "api", "nlgi", "w", "cst"))
GREASE = "grease"
# Not one fluid: the handbook's column stands for all of them.
CHEMICAL = "chemical-fluid"


@dataclass(frozen=True, slots=True)
class Fluid:
    """What a text about the oil can mean: fluid keys, and the question that would settle it.

    ``kinds`` is empty when the text was not given or not understood. ``question`` is empty when
    there is one kind.
    """

    kinds: tuple[str, ...]
    question: str
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Suitability:
    """What a material makes of a fluid: ``good``, ``limited`` or ``no``, and up to which sump.

    ``others`` are texts about sources that say otherwise and are not used.
    """

    word: str
    max_sump_c: float | None
    note: str
    source: str
    others: tuple[str, ...]


def fluid_name(kind: str) -> str:
    """The name of a fluid as people write it.

    >>> fluid_name("ep-gear-oil"), fluid_name("atf")
    ('EP gear oil', 'ATF')
    """
    for row in table("lip/fluid_words").rows:
        if row.text("fluid") == kind:
            return row.text("word")
    return kind.replace("-", " ")


def fluid_meant(text: str | None) -> Fluid:
    """The fluids that a text about the oil can mean.

    Parameters
    ----------
    text : str or None
        The oil as written on the can or the sheet; None or blank when not given.

    Returns
    -------
    Fluid

    Notes
    -----
    The longest known words are taken first. Words that agree narrow each other down: ``gear oil``
    may be plain or EP, ``gear oil GL-5`` is EP. Numbers and the names of viscosity systems beside
    a known word are passed over; any other word makes the whole text a question.

    Examples
    --------
    >>> fluid_meant("SAE 80W-90 GL-5").kinds
    ('ep-gear-oil',)
    >>> fluid_meant("gear oil").question
    '"gear oil" can be plain gear oil or EP gear oil: which is it?'
    >>> fluid_meant("bio hydraulic oil").kinds
    ()

    Source: table ``lip/fluid_words``: common trade words, no source.
    """
    if text is None or not text.strip():
        return Fluid((), "Which oil or grease does the lip keep in?", ())
    shown = " ".join(text.split())
    found, left = _words_in(_tokens(shown))
    if not found:
        known = ", ".join(dict.fromkeys(fluid_name(k) for k in _kinds()))
        return Fluid((), f'"{shown}" is not a fluid known here: which is it, of {known}?', ())
    strange = [token for token in left if not token.isdigit() and token not in _HARMLESS]
    kinds = _agreed([kinds for kinds, _ in found])
    sources = tuple(dict.fromkeys(source for _, cited in found for source in cited))
    names = " or ".join(
        f"plain {name}" if name.casefold() == shown.casefold() and len(kinds) > 1 else name
        for name in map(fluid_name, kinds)
    )
    if strange:
        words = " ".join(strange)
        return Fluid(
            (), f'"{words}" in "{shown}" is not understood: is it simply {names}?', sources
        )
    if kinds == (CHEMICAL,):
        return Fluid(kinds, f'Which chemical is "{shown}"? They differ too much for one answer', ())
    if len(kinds) > 1:
        return Fluid(kinds, f'"{shown}" can be {names}: which is it?', sources)
    return Fluid(kinds, "", sources)


def suitability(*, material: str, fluid: str) -> Suitability:
    """What a lip material makes of a fluid.

    Parameters
    ----------
    material : str
        The lip material, such as ``NBR``.
    fluid : str
        A fluid key, as :func:`fluid_meant` gives it.

    Raises
    ------
    NotKnownError
        No table says anything of this pair.

    Examples
    --------
    >>> found = suitability(material="NBR", fluid="ep-gear-oil")
    >>> found.word, found.max_sump_c
    ('limited', 80.0)

    Source: table ``lip/fluids``.
    """
    rows = [
        row
        for row in table("lip/fluids").rows
        if row.text("material") == material and row.text("fluid") == fluid
    ]
    used = [row for row in rows if row.flag("preferred")]
    if not used:
        raise NotKnownError(
            value=f"{material} in {fluid_name(fluid)}",
            rule="no table says whether they go together",
            todo="Ask the supplier of the seal",
        )
    row = used[-1]
    return Suitability(
        word=row.text("suitability"),
        max_sump_c=row.maybe("max_sump_c"),
        note=row.text("note"),
        source=row.cite(),
        others=tuple(
            f"{other.text('suitability')} by {other.cite()}"
            for other in rows
            if other is not row and other.text("suitability") != row.text("suitability")
        ),
    )


def _tokens(text: str) -> tuple[str, ...]:
    """Runs of letters and runs of digits: 15W-40, 15w40 and 15 W 40 are the same."""
    runs = groupby(
        text.casefold(), key=lambda c: "d" if c.isdigit() else "a" if c.isalpha() else ""
    )
    return tuple("".join(run) for kind, run in runs if kind)


def _kinds() -> tuple[str, ...]:
    return tuple(dict.fromkeys(row.text("fluid") for row in table("lip/fluid_words").rows))


def _vocabulary() -> dict[tuple[str, ...], list[Row]]:
    """The rows by the tokens of their word."""
    found: dict[tuple[str, ...], list[Row]] = {}
    for row in table("lip/fluid_words").rows:
        found.setdefault(_tokens(row.text("word")), []).append(row)
    return found


def _words_in(
    tokens: tuple[str, ...],
) -> tuple[list[tuple[tuple[str, ...], tuple[str, ...]]], list[str]]:
    """Known words in a text, longest first, as (kinds, sources), and the tokens left over."""
    known = _vocabulary()
    longest = max(map(len, known), default=0)
    free: list[str | None] = list(tokens)
    found = []
    for length in range(longest, 0, -1):
        for start in range(len(free) - length + 1):
            window = free[start : start + length]
            rows = known.get(tuple(t for t in window if t is not None), [])
            if rows and None not in window:
                free[start : start + length] = [None] * length
                kinds = tuple(dict.fromkeys(row.text("fluid") for row in rows))
                found.append((kinds, tuple(row.cite() for row in rows)))
    return found, [token for token in free if token is not None]


def _agreed(meanings: list[tuple[str, ...]]) -> tuple[str, ...]:
    """What all words can mean; where nothing is common to all, everything any of them means."""
    common = [kind for kind in meanings[0] if all(kind in kinds for kinds in meanings)]
    return tuple(common or dict.fromkeys(kind for kinds in meanings for kind in kinds))
