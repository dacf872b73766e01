"""The hub that is filled, as understood: what its head-space does at a fill."""

from __future__ import annotations

from fitcheck.job.oil.speed import Turning
from fitcheck.records import dataclass
from fitcheck.setup.oil import head_space_pressure_bar, warm_fraction


@dataclass(frozen=True, slots=True)
class Hub:
    """The hub as understood: cavity [l, mm], temperatures [C], whether vented, limit [bar]."""

    cavity_l: float | None
    diameter_mm: float | None
    from_c: float
    to_c: float
    vented: bool
    shaft_mm: float | None
    limit_bar: float | None
    turning: Turning | None
    strictest_bar: float
    widest_bar: float
    limit_share: float
    expansion: float
    atmosphere_bar: float
    diameter_error_mm: float
    notes: tuple[str, ...]
    assumptions: tuple[str, ...]

    def pressure_bar(self, fill: float) -> float:
        """Gauge pressure in the head-space; none where the hub is vented."""
        return 0.0 if self.vented else self.sealed_bar(fill)

    def sealed_bar(self, fill: float) -> float:
        """Gauge pressure in the head-space with the breather blocked or none there."""
        return head_space_pressure_bar(
            fill_fraction=fill,
            from_c=self.from_c,
            to_c=self.to_c,
            expansion=self.expansion,
            atmosphere_bar=self.atmosphere_bar,
        )

    def warm(self, fill: float) -> float:
        """Share the oil takes at the higher of the two temperatures."""
        return warm_fraction(
            fill_fraction=fill,
            warmer_k=max(0.0, self.to_c - self.from_c),
            expansion=self.expansion,
        )
