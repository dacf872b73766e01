"""What nobody asked about and may still loosen a fit: heat at work, and the roughness of faces."""

from __future__ import annotations

from fitcheck.job.press.given import Given
from fitcheck.job.press.words import limit_row
from fitcheck.setup.joint import State, limit, loads, state
from fitcheck.setup.losses import lost
from fitcheck.setup.oil import oil_row
from fitcheck.setup.shrink import roughness_loss_mm
from fitcheck.verdicts import CHECK, GO

# No pair of metals that is pressed together differs by less, but the same metal from two tables
# may [1/K].
_ALIKE = 1e-9


def grow_alike(asked: Given) -> bool:
    """Whether heat takes nothing from the fit, and adds nothing."""
    return abs(asked.joint.outer.alpha - asked.joint.inner.alpha) < _ALIKE


def unasked_roughness(asked: Given, loose: State) -> list[tuple[str, str]]:
    """What the usual roughness would leave of a small interference, where none was given.

    Parameters
    ----------
    asked : Given
        The request as understood.
    loose : State
        What stands in the joint at the loose limit.

    Returns
    -------
    list of (str, str)
        Verdict and reason; none where a roughness was given or something would be left.
    """
    if asked.outer_rz_um or asked.inner_rz_um or loose.interference_mm <= 0.0:
        return []
    usual = limit_row("usual_rz_um").number("value")
    taken = roughness_loss_mm(
        outer_rz_um=usual, inner_rz_um=usual, loss_share=limit("roughness_loss_share")
    )
    if loose.interference_mm > taken:
        return []
    return [
        (
            CHECK,
            f"no roughness was given, and two faces of Rz {usual:g} um take {taken:.3f} mm, all of "
            f"the {loose.interference_mm:.3f} mm interference"
            + ("" if asked.loose_mm is None else " at the loose limit")
            + ": measure both parts and give their interference, and --outer-rz and --inner-rz",
        )
    ]


def unasked_heat(asked: Given, tight: State, loose: State) -> list[tuple[str, str]]:
    """What the usual heat of a hub at work would do, where no service temperature was given.

    Parameters
    ----------
    asked : Given
        The request as understood.
    tight, loose : State
        What stands in the joint at either limit; the same where there is one interference.

    Returns
    -------
    list of (str, str)
        Verdict and reason; none where the temperature was given, or where both parts grow alike.
    """
    if asked.service_c is not None or grow_alike(asked) or loose.interference_mm <= 0.0:
        return []
    joint, row = asked.joint, oil_row("to_c")
    warm_c = row.number("value")
    losses = lost(
        joint,
        room_c=asked.room_c,
        service_c=warm_c,
        rpm=asked.rpm,
        outer_rz_um=asked.outer_rz_um,
        inner_rz_um=asked.inner_rz_um,
    )
    more, less = joint.outer, joint.inner
    left = loose.interference_mm - losses.total_mm
    if more.alpha > less.alpha:
        names = (joint.outer_name, joint.inner_name)
        free_c = warm_c + left / (joint.interface_mm * (more.alpha - less.alpha))
        verdict = GO if left >= limit("left_share_go") * loose.interference_mm else CHECK
        does = f"the fit comes free at {free_c:.0f} C"
    else:
        names = (joint.inner_name, joint.outer_name)
        hot = state(joint, interference_mm=tight.interference_mm - losses.temperature_mm)
        most = max(loads(joint, hot), key=lambda load: load.share)
        # That temperature is only usual, so it asks and refuses nothing.
        verdict = GO if most.verdict == GO else CHECK
        does = (
            f"at {warm_c:g} C the fit grows tighter, to {hot.interference_mm:.3f} mm, and the "
            f"{most.part} stands at {most.share:.0%} of its strength"
        )
    return [
        (
            verdict,
            f"no service temperature was given, and the {names[0]} grows more than the {names[1]}: "
            f"{does}; give --service-temp",
        )
    ]
