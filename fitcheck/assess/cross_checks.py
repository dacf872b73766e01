"""Second opinions: what one value says of another by physics or by a standard's own rules.

Each function holds two things against each other that were read or tabled apart, and says in words
what is wrong; the empty text means that they agree, or that nothing can be told.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping

from fitcheck.quantities import plain

# A series, of one digit behind letters only, and a bore in fives, or in mm behind a stroke.
_DESIGNATION = r"(?:[A-Z]+ \d{1,3}|\d{2,3})(?P<bore>\d\d|/\d+)(?: [A-Z])?"
_BORES = {"00": 10.0, "01": 12.0, "02": 15.0, "03": 17.0}
# The contact angle is tabled in whole minutes, the factor e in two decimals [deg].
_E_ROUNDING = 0.3
# Two readings to a thousandth may each be rounded by half of it [mm].
_ROUNDED_MM = 0.001

Steps = Mapping[tuple[str, str], tuple[float, float]]


def interference_against_diameters(
    *,
    hole_mm: float,
    shaft_mm: float,
    sure_mm: float,
    least_mm: float,
    most_mm: float,
    given: str,
) -> str:
    """An interference against that of the two diameters it comes from.

    Parameters
    ----------
    hole_mm : float
        Bore of the outer part as measured [mm].
    shaft_mm : float
        Outside diameter of the inner part as measured [mm].
    sure_mm : float
        Half of the 95 % interval of everything measured together [mm].
    least_mm, most_mm : float
        What the fit or the given interference allows [mm].
    given : str
        What gives it, in words.

    Returns
    -------
    str
        What is wrong; empty where they agree.

    Notes
    -----
    interference = shaft - hole.

    Examples
    --------
    >>> interference_against_diameters(hole_mm=60.01, shaft_mm=60.06, sure_mm=0.005,
    ...                                least_mm=0.023, most_mm=0.072, given="H7/s6")
    ''
    >>> said = interference_against_diameters(hole_mm=60.01, shaft_mm=60.60, sure_mm=0.005,
    ...                                       least_mm=0.023, most_mm=0.072, given="H7/s6")
    >>> print(said.replace(", and", "\\nand").replace("; ", "\\n"))
    the two diameters make 60.6 - 60.01 = 0.59 mm of interference
    and H7/s6 is 0.023 to 0.072 mm
    60.06 for 60.6 would agree

    Source: definition of interference (ISO 286-1).
    """
    found = shaft_mm - hole_mm
    room = sure_mm + _ROUNDED_MM
    if least_mm - room <= found <= most_mm + room:
        return ""
    kind = "interference" if found >= 0.0 else "clearance"
    span = plain(round(least_mm, 4))
    if most_mm > least_mm:
        span += f" to {plain(round(most_mm, 4))}"
    said = (
        f"the two diameters make {plain(round(shaft_mm, 4))} - {plain(round(hole_mm, 4))} = "
        f"{plain(round(abs(found), 4))} mm of {kind}, and {given} is {span} mm"
    )
    likely = [
        *slips_into(shaft_mm, low=hole_mm + least_mm - room, high=hole_mm + most_mm + room),
        *slips_into(hole_mm, low=shaft_mm - most_mm - room, high=shaft_mm - least_mm + room),
    ]
    return said + _meant(likely)


def face_against_diameter(
    *, interface_mm: float, measured_mm: float, most_share: float, sure_mm: float, what: str
) -> str:
    """The diameter of the fitted faces against one of the two that were measured for it.

    Parameters
    ----------
    interface_mm : float
        Diameter of the fitted faces [mm].
    measured_mm : float
        The hole or the shaft as measured [mm].
    most_share : float
        The largest interference that metal carries, as a share of the diameter [-].
    sure_mm : float
        Half of the 95 % interval of both together [mm].
    what : str
        Which of the two, for the words.

    Returns
    -------
    str
        What is wrong; empty where they agree.

    Examples
    --------
    >>> face_against_diameter(interface_mm=60, measured_mm=66.02, most_share=0.01, sure_mm=0.02,
    ...                       what="shaft")
    'the interface is given as 60 mm and the shaft measures 66.02 mm, which is another part'

    Source: no joint of metal has more interference than the limit (from memory).
    """
    if abs(measured_mm - interface_mm) <= most_share * interface_mm + sure_mm + _ROUNDED_MM:
        return ""
    return (
        f"the interface is given as {plain(round(interface_mm, 4))} mm and the {what} measures "
        f"{plain(round(measured_mm, 4))} mm, which is another part"
    )


def pack_against_gap(
    *, pack_mm: float, gap_mm: float, play_most_mm: float, preload_most_mm: float
) -> str:
    """The pack that came out against the gap it filled.

    Parameters
    ----------
    pack_mm : float
        The pack that came out, counted or measured [mm].
    gap_mm : float
        The gap measured without shims, or the crushed thickness [mm].
    play_most_mm : float
        More end play is no setting [mm].
    preload_most_mm : float
        With more preload a set can't be turned [mm].

    Returns
    -------
    str
        What is wrong; empty where the old setting was possible.

    Notes
    -----
    With the pack in, the set had pack - gap of end play, or gap - pack of preload.

    Examples
    --------
    >>> pack_against_gap(pack_mm=0.5, gap_mm=0.6, play_most_mm=2, preload_most_mm=0.5)
    ''
    >>> for pack, gap in ((0.6, 6.1), (8, 0.9)):
    ...     said = pack_against_gap(pack_mm=pack, gap_mm=gap, play_most_mm=2, preload_most_mm=0.5)
    ...     print(said.replace(", and ", "\\n").replace(", would", "\\nwould").replace("; ", "\\n"))
    the pack that came out, 0.6 mm
    would have left 5.5 mm of preload in a gap of 6.1 mm
    with more than 0.5 mm nothing turns
    6 for 0.6 or 0.61 for 6.1 would agree
    the pack that came out, 8 mm
    would have left 7.1 mm of end play over a gap of 0.9 mm
    more than 2 mm is no setting
    0.8 for 8 would agree

    Source: the pack closes the gap; the limits are own rules (from memory).
    """
    play = pack_mm - gap_mm
    if -preload_most_mm - _ROUNDED_MM <= play <= play_most_mm + _ROUNDED_MM:
        return ""
    start = f"the pack that came out, {plain(round(pack_mm, 4))} mm, would have left "
    gap = plain(round(gap_mm, 4))
    if play < 0.0:
        said = (
            f"{start}{plain(round(-play, 4))} mm of preload in a gap of {gap} mm, and with more "
            f"than {plain(preload_most_mm)} mm nothing turns"
        )
    else:
        said = (
            f"{start}{plain(round(play, 4))} mm of end play over a gap of {gap} mm, and more than "
            f"{plain(play_most_mm)} mm is no setting"
        )
    likely = [
        *slips_into(pack_mm, low=gap_mm - preload_most_mm, high=gap_mm + play_most_mm),
        *slips_into(gap_mm, low=pack_mm - play_most_mm, high=pack_mm + preload_most_mm),
    ]
    return said + _meant(likely)


def width_against_pocket(*, width_mm: float, pocket_mm: float, sure_mm: float) -> str:
    """A seal's measured width against the pocket it came out of.

    Parameters
    ----------
    width_mm : float
        Width of the old seal as measured [mm].
    pocket_mm : float
        Depth of its pocket as measured [mm].
    sure_mm : float
        Half of the 95 % interval of both together [mm].

    Returns
    -------
    str
        What is wrong; empty where the seal fits in.

    Examples
    --------
    >>> width_against_pocket(width_mm=10.1, pocket_mm=10.4, sure_mm=0.1)
    ''
    >>> width_against_pocket(width_mm=10.1, pocket_mm=1.04, sure_mm=0.1)
    'the old seal is 10.1 mm wide and its pocket 1.04 mm deep: it would stand out by 9.06 mm'

    Source: common practice, no source: a seal does not stand out of its pocket.
    """
    out = width_mm - pocket_mm
    if out <= sure_mm + _ROUNDED_MM:
        return ""
    return (
        f"the old seal is {plain(round(width_mm, 3))} mm wide and its pocket "
        f"{plain(round(pocket_mm, 3))} mm deep: it would stand out by {plain(round(out, 3))} mm"
    )


def bore_told(designation: str) -> float | None:
    """The bore that the designation of a rolling bearing tells.

    Parameters
    ----------
    designation : str
        As it is written on the bearing.

    Returns
    -------
    float or None
        The bore [mm]; None where the designation tells none.

    Examples
    --------
    >>> bore_told("30206"), bore_told("302/22"), bore_told("6203"), bore_told("LM11949")
    (30.0, 22.0, 17.0, None)

    Source: ISO 15, bore numbers of bearings (from memory).
    """
    found = re.fullmatch(_DESIGNATION, designation)
    if not found:
        return None
    bore = found["bore"]
    return float(bore[1:]) if bore[0] == "/" else _BORES.get(bore, 5.0 * int(bore))


def bore_against_designation(*, designation: str, bore_mm: float) -> str:
    """A bearing's bore against that of its designation.

    Parameters
    ----------
    designation : str
        As it is written on the bearing.
    bore_mm : float
        The bore that is tabled for it [mm].

    Returns
    -------
    str
        What is wrong; empty where they agree or nothing can be told.

    Examples
    --------
    >>> bore_against_designation(designation="30206", bore_mm=35)
    'its bore, 35 mm, is not that of 30206, which is 30 mm'

    Source: ISO 15, bore numbers of bearings (from memory).
    """
    told = bore_told(designation)
    if told is None or told == bore_mm:
        return ""
    return f"its bore, {plain(bore_mm)} mm, is not that of {designation}, which is {plain(told)} mm"


def shape_against_series(
    *,
    code: str,
    bore_mm: float,
    od_mm: float,
    width_mm: float | None,
    e_factor: float | None,
    steps: Steps,
) -> dict[str, str]:
    """A tapered bearing's dimensions against its ISO 355 series code.

    Parameters
    ----------
    code : str
        The series code, such as ``3DB``: contact angle, diameter and width series.
    bore_mm, od_mm : float
        Bore and outside diameter [mm].
    width_mm : float or None
        Assembled width [mm].
    e_factor : float or None
        The factor e, which follows from the contact angle [-].
    steps : mapping
        Over and up to and including, by what it is of and its sign: table ``tapered/codes``.

    Returns
    -------
    dict of str to str
        What is wrong, by the dimension it shows in: ``od``, ``width`` or ``e_factor``.

    Notes
    -----
    The diameter series goes by D / d^0.77, the width series by T / (D - d)^0.95, and the angle is
    atan(e / 1.5).

    Examples
    --------
    >>> steps = {("angle", "3"): (13.87, 15.98), ("diameter", "D"): (4.4, 4.7),
    ...          ("width", "B"): (0.5, 0.68)}
    >>> shape_against_series(code="3DB", bore_mm=30, od_mm=62, width_mm=17.25, e_factor=0.37,
    ...                      steps=steps)
    {}
    >>> shape_against_series(code="3DB", bore_mm=30, od_mm=68, width_mm=17.25, e_factor=0.37,
    ...                      steps=steps)
    {'od': 'is against the series 3DB: its diameter 4.96 is not in D'}

    Source: ISO 355, series codes (from memory).
    """
    if not code or not od_mm > bore_mm > 0.0:
        return {}
    told = [("od", "diameter", code[1:2], od_mm / bore_mm**0.77, 0.0)]
    if width_mm is not None:
        told.append(("width", "width", code[2:], width_mm / (od_mm - bore_mm) ** 0.95, 0.0))
    if e_factor is not None:
        angle = math.degrees(math.atan(e_factor / 1.5))
        told.append(("e_factor", "angle", code[:1], angle, _E_ROUNDING))
    wrong = {}
    for dimension, of, sign, value, room in told:
        low, high = steps.get((of, sign), (math.inf, -math.inf))
        if not low - room <= value <= high + room:
            wrong[dimension] = (
                f"is against the series {code}: its {of} {value:.3g} is not in {sign}"
            )
    return wrong


def slips_into(value_mm: float, *, low: float, high: float) -> list[str]:
    """What was meant, where one slip of the pen or the eye would bring a value into a range.

    Parameters
    ----------
    value_mm : float
        The value as read [mm].
    low, high : float
        The range [mm].

    Returns
    -------
    list of str
        Each as ``60.06 for 60.6``: the point moved by one place, two neighbours swapped, or a
        zero left out behind the point.

    Examples
    --------
    >>> slips_into(6.1, low=0.5, high=0.7), slips_into(51.98, low=20, high=21)
    (['0.61 for 6.1'], [])
    >>> slips_into(52.19, low=52.9, high=52.92)
    ['52.91 for 52.19']
    """
    text = plain(round(value_mm, 4))
    digits, _, decimals = text.partition(".")
    meant = {value_mm * 10.0, value_mm / 10.0}
    if decimals:
        meant.add(float(f"{digits}.0{decimals}"))
    for at in range(len(text) - 1):
        if "." not in text[at : at + 2]:
            meant.add(float(f"{text[:at]}{text[at + 1]}{text[at]}{text[at + 2 :]}"))
    return [
        f"{plain(round(other, 5))} for {text}"
        for other in sorted(meant)
        if low <= other <= high and round(other, 5) != round(value_mm, 5)
    ]


def _meant(likely: list[str]) -> str:
    """What slips would explain, where they are few enough to be worth a look."""
    return f"; {' or '.join(likely)} would agree" if 0 < len(likely) <= 2 else ""
