"""Torques in words: in N.m, and in the unit they were read in."""

from __future__ import annotations

from fitcheck.quantities import plain
from fitcheck.units import TORQUE, UNITS


class TorqueWords:
    """Torques in words: in N.m, and in the unit of the user where that is another."""

    def __init__(self, unit: str) -> None:
        self.unit = unit if unit in UNITS and UNITS[unit].dimension == TORQUE else "N.m"

    def text(self, value_nm: float) -> str:
        """A torque in words."""
        newton = f"{plain(round(value_nm, 2))} N.m"
        if self.unit == "N.m":
            return newton
        return f"{plain(round(value_nm / UNITS[self.unit].to_base(1.0), 2))} {self.unit} ({newton})"

    def span(self, low_nm: float, high_nm: float) -> str:
        """A range of torques in words."""
        ends = (low_nm, high_nm)
        newton = f"{' to '.join(plain(round(end, 2)) for end in ends)} N.m"
        if self.unit == "N.m":
            return newton
        factor = UNITS[self.unit].to_base(1.0)
        own = " to ".join(plain(round(end / factor, 2)) for end in ends)
        return f"{own} {self.unit} ({newton})"
