"""The ways to bring a joint together: press it, heat the outer, cool the inner, or both."""

from __future__ import annotations

import math

from fitcheck.records import dataclass
from fitcheck.setup.joint import Joint, limit
from fitcheck.setup.shrink import cool_inner_by_k, heat_outer_by_k
from fitcheck.tables import Row, step_row, table


@dataclass(frozen=True, slots=True)
class Way:
    """A way to fit the parts; temperatures are None where a part stays at room temperature."""

    way: str
    verdict: str
    reason: str
    heat_outer_to_c: float | None = None
    cool_inner_to_c: float | None = None
    force_n: float | None = None


def slip_clearance(interface_mm: float) -> Row:
    """The row of the clearance wanted to slip a ring on, by diameter.

    Raises
    ------
    OffTableError
        The diameter is larger than the table covers.
    """
    return step_row(
        table("press/clearance").rows,
        value=interface_mm,
        over="over_mm",
        incl="incl_mm",
        what="the clearance wanted when hot",
    )


def ways(
    joint: Joint,
    *,
    interference_mm: float,
    clearance_mm: float,
    room_c: float,
    cap_c: float,
    press_force_n: float,
) -> tuple[Way, ...]:
    """Each way to fit the parts, with its verdict.

    Parameters
    ----------
    joint : Joint
        The two parts.
    interference_mm : float
        Diametral interference, the largest there can be [mm].
    clearance_mm : float
        Diametral clearance wanted to slip them together [mm].
    room_c : float
        Room temperature [C].
    cap_c : float
        Highest temperature the outer ring may be heated to [C].
    press_force_n : float
        Force the press must give [N].

    Returns
    -------
    tuple of Way
        Pressing, heating, cooling, and heating with cooling where neither is enough alone.
    """
    face = joint.interface_mm
    hot = room_c + heat_outer_by_k(
        interference_mm=interference_mm,
        clearance_mm=clearance_mm,
        interface_mm=face,
        outer_alpha=joint.outer.alpha,
    )
    cold = room_c - cool_inner_by_k(
        interference_mm=interference_mm,
        clearance_mm=clearance_mm,
        interface_mm=face,
        inner_alpha_cold=joint.inner.alpha_cold,
    )
    heat = Way(
        "heat",
        "go" if hot <= cap_c else "no-go",
        f"heat the {joint.outer_name} to {_at_least(hot):.0f} C, "
        f"the {joint.inner_name} at {room_c:.0f} C"
        + ("" if hot <= cap_c else f", over its cap of {cap_c:.0f} C"),
        heat_outer_to_c=hot,
    )
    cool = Way(
        "cool",
        _cold_verdict(cold),
        f"cool the {joint.inner_name}{_cold_words(cold)}",
        cool_inner_to_c=_reachable(cold),
    )
    found = [
        Way(
            "press",
            "go",
            f"press cold with up to {press_force_n / 1000.0:.1f} kN",
            force_n=press_force_n,
        ),
        heat,
        cool,
    ]
    if heat.verdict != "go" and cool.verdict != "go":
        found.append(_both(joint, interference_mm + clearance_mm, room_c, cap_c))
    return tuple(found)


def _both(joint: Joint, needed_mm: float, room_c: float, cap_c: float) -> Way:
    """Heat the outer to its cap and let the cold inner give the rest."""
    gained = joint.outer.alpha * joint.interface_mm * (cap_c - room_c)
    cold = room_c - cool_inner_by_k(
        interference_mm=needed_mm - gained,
        clearance_mm=0.0,
        interface_mm=joint.interface_mm,
        inner_alpha_cold=joint.inner.alpha_cold,
    )
    return Way(
        "heat-and-cool",
        _cold_verdict(cold),
        f"heat the {joint.outer_name} to {cap_c:.0f} C and cool the {joint.inner_name}"
        f"{_cold_words(cold)}",
        heat_outer_to_c=cap_c,
        cool_inner_to_c=_reachable(cold),
    )


def _cold_verdict(cold_c: float) -> str:
    if cold_c >= limit("dry_ice_c"):
        return "go"
    return "check" if cold_c >= limit("liquid_nitrogen_c") else "no-go"


def _reachable(cold_c: float) -> float | None:
    """The temperature, or None where nothing in a shop is that cold."""
    return cold_c if cold_c >= limit("liquid_nitrogen_c") else None


def _at_least(value_c: float) -> float:
    """A temperature in whole degrees that is no less than needed; binary dust is none."""
    return math.ceil(round(value_c, 6))


def _cold_words(cold_c: float) -> str:
    # In whole degrees that are cold enough.
    words = f" to {-_at_least(-cold_c):.0f} C"
    if cold_c >= limit("freezer_c"):
        return f"{words}: a freezer does it"
    if cold_c >= limit("dry_ice_c"):
        return f"{words}: within reach of dry ice"
    if cold_c >= limit("liquid_nitrogen_c"):
        return f"{words}: liquid nitrogen only"
    return ": not enough, colder than liquid nitrogen would be needed"
