"""The cautions of a whole job: one wording for each subject, the most dangerous first."""

from __future__ import annotations

from collections.abc import Iterable

from fitcheck.tables import Row, table


def merged(cautions: Iterable[str]) -> list[str]:
    """Cautions from several positions, those about one thing in one wording.

    Parameters
    ----------
    cautions : iterable of str
        Cautions in any order, with repeats.

    Returns
    -------
    list of str
        The wordings of ``cautions/subjects`` by rank, then what is about nothing listed there.

    Examples
    --------
    >>> merged(["Mind the step.", "The machine's own manual comes first."])[1:]
    ['Mind the step.']
    """
    subjects: dict[str, Row] = {}
    others: dict[str, None] = {}
    for caution in cautions:
        row = subject(caution)
        if row is None:
            others[caution] = None
        else:
            subjects[row.text("subject")] = row
    ranked = sorted(subjects.values(), key=lambda row: row.number("rank"))
    return [*(row.text("caution") for row in ranked), *others]


def subject(caution: str) -> Row | None:
    """What a caution is about, as its row of ``cautions/subjects``; None where it is not listed.

    Parameters
    ----------
    caution : str
        The caution. Where it speaks of several things the first of the table counts.
    """
    text = caution.lower()
    for row in table("cautions/subjects").rows:
        if any(words.strip() in text for words in row.text("words").split(";")):
            return row
    return None
