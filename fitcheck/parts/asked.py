"""What a family asks besides readings of its places, and what it says beside its parts.

Both are tables that a family may have: ``options`` and ``advice``.
"""

from __future__ import annotations

from fitcheck.records import dataclass
from fitcheck.tables import package, table


@dataclass(frozen=True, slots=True)
class Option:
    """One option of a family: its name, the words to choose from (none: a reading), its help.

    ``detail`` names what of a size the chosen word tells, where only such sizes are looked at then.
    """

    name: str
    choices: tuple[str, ...]
    words: str
    detail: str = ""

    @property
    def is_reading(self) -> bool:
        """Whether a length is read, not a word chosen."""
        return not self.choices


def has_table(family: str, name: str) -> bool:
    """Whether the folder of a family has a table of this name."""
    return any(resource["name"] == name for resource in package(family)["resources"])


def options(family: str) -> tuple[Option, ...]:
    """The options of a family, in the order of its table.

    Examples
    --------
    >>> [(option.name, option.choices) for option in options("oring")]
    [('seal', ('radial', 'face'))]
    >>> options("collar")
    ()
    """
    if not has_table(family, "options"):
        return ()
    return tuple(
        Option(
            row.text("option"),
            tuple(choice for choice in row.text("choices").split("|") if choice),
            row.text("words"),
            row.cells().get("detail", ""),
        )
        for row in table(f"{family}/options").rows
    )


def advice(family: str, when: str) -> tuple[tuple[str, str], ...]:
    """What a family says beside its parts, with its source.

    Parameters
    ----------
    family : str
        The family.
    when : str
        ``fit`` (how it goes together), ``look`` (what to look at) or ``caution``.

    Examples
    --------
    >>> [source for _, source in advice("felt", "fit")]
    ['common practice, no source (from memory)']
    """
    if not has_table(family, "advice"):
        return ()
    return tuple(
        (row.text("advice"), row.cite())
        for row in table(f"{family}/advice").rows
        if row.text("when") == when
    )
