"""The head-space of a hub's oil as the lips of its seals meet it."""

from __future__ import annotations

from fitcheck.errors import FitcheckError
from fitcheck.job.oil.answer import answer
from fitcheck.job.oil.text import OilRequest
from fitcheck.quantities import plain

_NOT_TAKEN = "pressure was not given, and that of the head-space was not taken"


def head_space(request: OilRequest) -> tuple[str, str]:
    """The pressure that the oil of a hub puts on its lips, with its unit, and where it is from.

    Parameters
    ----------
    request : OilRequest
        The oil of the hub.

    Returns
    -------
    tuple of str
        The pressure as text and what is taken; the pressure is blank, and said why it was not
        taken, where the oil can't be answered or leaves no head-space at all.

    Examples
    --------
    >>> head_space(OilRequest(diameter="180", length="120", to_temp="80C", from_temp="20C"))[1]
    'pressure was not given: that of the head-space, 0.26 bar, is taken'
    >>> head_space(OilRequest(diameter="180", length="120", vented=True))
    ('0bar', 'pressure was not given: 0 bar, as the hub is vented')
    >>> head_space(OilRequest(diameter="180", length="120", fill="100%"))[1].partition(": ")[2]
    'the oil leaves no head-space'
    """
    try:
        found = answer(request)
    except FitcheckError as error:
        # The oil's own position says what to do about it.
        return "", f"{_NOT_TAKEN}: the oil can't be answered ({error.value}: {error.rule})"
    if found["vented"]:
        return "0bar", "pressure was not given: 0 bar, as the hub is vented"
    if found["pressure_bar"] is None:
        return "", f"{_NOT_TAKEN}: the oil leaves no head-space"
    pressure = f"{plain(found['pressure_bar'])}bar"
    return pressure, (
        f"pressure was not given: that of the head-space, {found['pressure_bar']:.2f} bar, is taken"
    )
