"""The three verdicts, and which of several is the gravest."""

from __future__ import annotations

GO, CHECK, NO_GO = "go", "check", "no-go"
# From the best to the gravest.
VERDICTS = (GO, CHECK, NO_GO)


def worst(*verdicts: str) -> str:
    """The gravest of some verdicts; ``go`` where nothing was judged.

    Parameters
    ----------
    *verdicts : str
        Any of ``VERDICTS``.

    Raises
    ------
    ValueError
        A word that is no verdict.

    Examples
    --------
    >>> worst("go", "check", "go"), worst()
    ('check', 'go')
    """
    return max(verdicts, key=VERDICTS.index, default=GO)
