"""The duty of a lip beside the answer about its seal: what it stands, and what is to be said."""

from __future__ import annotations

from fitcheck.job.against import beside_share
from fitcheck.job.answers import Answer
from fitcheck.job.bare_units import read_pressure, read_temperature
from fitcheck.quantities import speed
from fitcheck.verdicts import CHECK, GO, NO_GO, worst


def add_duty(
    result: Answer,
    *,
    shaft: tuple[float, str] | None,
    rpm: str,
    oil: str,
    oil_temp: str,
    pressure: str,
    inches: bool,
    certainty: float,
) -> None:
    """Judge the duty of a lip and put it beside the answer; what is open there caps the verdict.

    Parameters
    ----------
    result : dict
        The answer so far; it is changed.
    shaft : tuple of float and str or None
        Diameter [mm] and system of the shaft; None where neither is known.
    rpm, oil, oil_temp, pressure : str
        What was said of the duty, as text; empty where nothing was.
    inches : bool
        Whether the sizes are in inches, so that a bare temperature or pressure is asked about.
    certainty : float
        The share that settles a size [-].

    Raises
    ------
    InputError
        A text can't be read.
    """
    turning = speed(rpm) if rpm else None
    oil_temp_c = pressure_bar = None
    if oil_temp:
        oil_temp_c = read_temperature(oil_temp, place="--oil-temp", inches=inches)
    if pressure:
        pressure_bar = read_pressure(pressure, place="--pressure", inches=inches)
    if shaft is None:
        result["duty"] = None
        result["reasons"].append("the lip's duty can't be judged without a shaft diameter")
        return
    # Imported here: most questions are about no duty, and start the sooner without it.
    from fitcheck.assess.duty import lip_duty

    duty = lip_duty(
        shaft_mm=shaft[0],
        speed=turning,
        oil=oil or None,
        oil_temp_c=oil_temp_c,
        pressure_bar=pressure_bar,
        system=shaft[1],
    )
    result["duty"] = duty.as_json()
    if duty.verdict != GO:
        beside = beside_share(duty.verdict, result, "shaft_mm", certainty=certainty)
        result["verdict"] = worst(result["verdict"], beside)
        # What stands it is said with the materials; here stands what does not, or is open.
        undecided = [] if duty.best or duty.verdict == NO_GO else material_reasons(result["duty"])
        open_ones = duty.pressure.reasons if duty.pressure.verdict != GO else ()
        result["reasons"] += duty.reasons if duty.verdict == NO_GO else [*undecided, *open_ones]


def duty_question(duty: Answer) -> tuple[str, str] | None:
    """The option that would settle a duty, with its question; None where all is said.

    Parameters
    ----------
    duty : dict
        The duty as data.

    Returns
    -------
    tuple of str or None
        Option and question.
    """
    from fitcheck.assess.duty import HOW_FAST, HOW_HOT

    if duty["verdict"] != CHECK or not duty["questions"]:
        return None
    # Where a material stands it only the pressure is open, and that is asked last.
    asked = str(duty["questions"][-1 if duty["best"] else 0])
    if asked in (HOW_HOT, HOW_FAST):
        return ("oil-temp" if asked == HOW_HOT else "rpm"), asked
    return ("pressure" if duty["best"] else "oil"), asked


def material_reasons(duty: Answer) -> list[str]:
    """Which lip material a duty takes, in a line.

    Parameters
    ----------
    duty : dict
        The duty as data.
    """
    if duty["best"]:
        return [f"lip material for this duty: {', '.join(duty['best'])}"]
    possible = [m["material"] for m in duty["materials"] if m["verdict"] == CHECK]
    if possible:
        return [f"lip material: none is sure for this duty; to be settled: {', '.join(possible)}"]
    return ["lip material: none of the usual ones stands this duty"]


def material_to_order(found: Answer) -> str:
    """The lip material that goes with a seal's size on the order, in words.

    Parameters
    ----------
    found : dict
        The answer about the seal.

    Examples
    --------
    >>> material_to_order({"duty": {"best": ["FKM", "PTFE"]}}), material_to_order({})
    ('of FKM or PTFE', 'lip material by oil, heat and speed: not given')
    """
    duty = found.get("duty")
    if not duty:
        return "lip material by oil, heat and speed: not given"
    *others, last = duty["best"] or ["a material to be settled"]
    return f"of {', '.join(others)} or {last}" if others else f"of {last}"
