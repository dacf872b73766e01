"""What heat takes from a tight cup in a light-alloy hub: the seat is judged cold."""

from __future__ import annotations

from fitcheck.assess.seat import bearing_od_limits_mm
from fitcheck.job.answers import Answer
from fitcheck.quantities import plain, temperature_c
from fitcheck.setup.materials import material
from fitcheck.setup.oil import oil_row
from fitcheck.setup.settings import setting_limit
from fitcheck.verdicts import CHECK, NO_GO, worst


def add_warm_cup(found: Answer, *, turning: str, temperature: str) -> None:
    """Say what heat leaves of the fit of a cup that a light-alloy hub turns with.

    Parameters
    ----------
    found : dict
        The answer about the bearing, with its seats; added to.
    turning : str
        The member that turns: a cup in a turning hub is held tight, one in a standing housing may
        be loose.
    temperature : str
        That of the job with its unit; that of a hub at work is taken where it is empty.

    Notes
    -----
    lost = diameter * (growth of the alloy - growth of the bearing's steel) * the heat over the
    shop; what is left of the loosest cup that its tolerance allows must be over nothing.
    """
    seat = next((s for s in found.get("seats", ()) if s["seat"] == "housing"), None)
    if seat is None or turning != "hub" or seat["verdict"] == NO_GO or seat["measured_um"] is None:
        return
    warm_c = temperature_c(temperature) if temperature else oil_row("to_c").number("value")
    leader = found["candidates"][0]
    hub, cup = material("cast-aluminium"), material("bearing-steel")
    warmer_k = warm_c - setting_limit("room_c").value
    lost_mm = leader["od_mm"] * (hub.alpha - cup.alpha) * warmer_k
    limits = bearing_od_limits_mm(od_mm=leader["od_mm"], system=leader["system"])
    least, most = (
        off / 1000.0 - seat["measured_um"] / 1000.0 - lost_mm
        for off in (limits.lower_um, limits.upper_um)
    )
    at = f"at {plain(round(warm_c, 1))} C"
    if not temperature:
        at += ", which is taken as nobody gave it,"
    left = f"{at} a light-alloy hub takes {lost_mm:.3f} mm from the fit of the cup"
    if least > 0.0:
        found["reasons"].append(f"{left}: {least:.3f} to {most:.3f} mm tight are left")
    else:
        found["verdict"] = worst(found["verdict"], CHECK)
        found["reasons"].append(
            f"{left}, and "
            + (
                f"of the loosest cup {-least:.3f} mm clearance is left"
                if most > 0.0
                else "no cup is tight any more"
            )
            + ": it may turn in the hub; ask the manual, or reckon it as a press fit of use cup"
        )
    found["sources"] += [f"{part.name}: {part.source}" for part in (hub, cup)]
