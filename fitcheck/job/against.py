"""What speaks against a part that was found: its seats and its duty, as far as it is settled."""

from __future__ import annotations

from fitcheck.job.answers import Answer
from fitcheck.verdicts import CHECK, NO_GO


def beside_share(verdict: str, result: Answer, dimension: str, *, certainty: float) -> str:
    """What a seat or a duty that does not hold makes of the whole answer.

    Parameters
    ----------
    verdict : str
        The verdict on the seat or the duty of the leading size.
    result : dict
        The answer so far, with its candidates.
    dimension : str
        The key of the dimension that it goes by, such as ``shaft_mm``.
    certainty : float
        The share that settles a size [-].

    Returns
    -------
    str
        ``no-go`` where it is that for every size still in question, else ``check``.

    Examples
    --------
    Two widths on one shaft leave nothing open about what is too fast for that shaft:

    >>> sizes = [{"shaft_mm": 35, "width_mm": w, "probability": 0.49} for w in (7, 8)]
    >>> answer = {"candidates": sizes}
    >>> beside_share("no-go", answer, "shaft_mm", certainty=0.95)
    'no-go'
    >>> beside_share("no-go", answer, "width_mm", certainty=0.95)
    'check'
    """
    candidates = result["candidates"]
    if verdict != NO_GO or not candidates:
        return CHECK
    leading = candidates[0][dimension]
    alike = [c["probability"] for c in candidates if c[dimension] == leading]
    return NO_GO if sum(alike) >= certainty else CHECK
