"""A plain bushing pressed in: its seats, what its bore becomes, and how the shaft runs in it."""

from __future__ import annotations

from collections.abc import Mapping

from fitcheck.assess.within import Check
from fitcheck.limits import class_limits
from fitcheck.parts.bushing import bore_fitted_mm, fit_class, od_loose_mm
from fitcheck.parts.family import Size
from fitcheck.readings import Reading
from fitcheck.tables import Row, table
from fitcheck.verdicts import CHECK, GO, NO_GO

SHAFT, OUTSIDE = 0, 1
_PLACES = {"shaft": ("shaft", SHAFT), "housing": ("housing", OUTSIDE)}
_DEFAULT_USE = "slow, greased"


def seat_classes(size: Size) -> dict[str, tuple[str, str]]:
    """The class a bushing of a size asks of each seat, with its source.

    Parameters
    ----------
    size : Size
        The bushing.
    """
    found: dict[str, tuple[str, str]] = {}
    if "form" not in size.details:
        # Of a size that only a list has nobody says how it is made.
        return found
    for place, (column, dimension) in _PLACES.items():
        nominal = size.nominals[dimension]
        assert nominal is not None
        row = fit_class(form=size.details["form"], place=column, nominal_mm=nominal[0])
        found[place] = row.text("class"), row.cite()
    return found


def clearance_checks(
    size: Size, readings: Mapping[str, Reading], choices: Mapping[str, str]
) -> list[Check]:
    """The press in the housing and the running clearance on the shaft, as far as they were read.

    Parameters
    ----------
    size : Size
        The bushing.
    readings : mapping of str to Reading
        What was read, by place.
    choices : mapping of str to str
        ``use`` where it was chosen.
    """
    checks: list[Check] = []
    if "form" not in size.details:
        return checks
    if "housing" in readings:
        checks.append(_press(size, readings["housing"]))
    if "shaft" in readings or "old-bore" in readings:
        checks.append(_running(size, readings, choices.get("use") or _DEFAULT_USE))
    return checks


def _press(size: Size, housing: Reading) -> Check:
    outside = size.nominals[OUTSIDE]
    assert outside is not None
    lower, upper = od_loose_mm(*outside)
    least, most = (outside[0] + off - housing.mean_mm for off in (lower, upper))
    row = fit_class(form=size.details["form"], place="housing", nominal_mm=outside[0])
    words = f"the bushing goes into the housing with {least:.3f} to {most:.3f} mm press"
    if least > 0.0:
        verdict, reason = GO, words
    elif most > 0.0:
        verdict, reason = CHECK, f"{words}: one of the smaller ones would turn; glue it or bush it"
    else:
        verdict, reason = NO_GO, f"{words}: it does not hold; bore it out for a thicker one"
    return Check(
        what="press",
        verdict=verdict,
        reason=reason,
        source=row.cite(),
        press_um=(
            least * 1000.0,
            most * 1000.0,
        ),
    )


def _running(size: Size, readings: Mapping[str, Reading], use: str) -> Check:
    nominal = size.nominals[SHAFT]
    assert nominal is not None
    row = _use(use)
    lower, upper = bore_fitted_mm(*nominal)
    bore = readings.get("old-bore")
    low, high = nominal[0] + lower, nominal[0] + upper
    shaft = readings.get("shaft")
    if shaft is not None:
        # A new bushing on the shaft that is there.
        thin, thick = shaft.mean_mm, shaft.mean_mm
    else:
        asked = fit_class(form=size.details["form"], place="shaft", nominal_mm=nominal[0])
        limits = class_limits(nominal_mm=nominal[0], tolerance_class=asked.text("class"))
        thin, thick = limits.lower_mm, limits.upper_mm
    least, most = low - thick, high - thin
    words = f"a new bushing runs with {least:.3f} to {most:.3f} mm clearance"
    permille = 1000.0 / nominal[0]
    if least * permille < 0.0:
        verdict, reason = NO_GO, f"{words}: it may seize; ream it or dress the shaft"
    elif most * permille > row.number("worn_permille"):
        verdict, reason = NO_GO, f"{words}: too loose for {use}: the shaft is worn"
    elif least * permille < row.number("low_permille") or most * permille > row.number(
        "high_permille"
    ):
        verdict, reason = CHECK, f"{words}: at the edge of what {use} wants"
    else:
        verdict, reason = GO, words
    if bore is not None and shaft is not None:
        old = bore.mean_mm - shaft.mean_mm
        worn = old * permille > row.number("worn_permille")
        reason += f"; the old one had {old:.3f} mm" + (", worn out" if worn else "")
    return Check(what="clearance", verdict=verdict, reason=reason, source=row.cite())


def _use(use: str) -> Row:
    return next(row for row in table("bushing/running").rows if row.text("use") == use)
