"""What takes interference away from a joint between the bench and the road."""

from __future__ import annotations

from fitcheck.records import dataclass
from fitcheck.setup.joint import Joint, limit
from fitcheck.setup.shrink import (
    roughness_loss_mm,
    speed_loss_mm,
    spin_hoop_mpa,
    temperature_loss_mm,
)


@dataclass(frozen=True, slots=True)
class Losses:
    """Diametral interference lost, negative where it grows, and the stress of turning."""

    roughness_mm: float
    temperature_mm: float
    speed_mm: float
    spin_hoop_mpa: float

    @property
    def total_mm(self) -> float:
        """All that is lost [mm]."""
        return self.roughness_mm + self.temperature_mm + self.speed_mm


def lost(
    joint: Joint,
    *,
    room_c: float,
    service_c: float | None,
    rpm: float | None,
    outer_rz_um: float,
    inner_rz_um: float,
) -> Losses:
    """What a joint loses to roughness, to its service temperature and to its speed.

    Parameters
    ----------
    joint : Joint
        The two parts.
    room_c : float
        Temperature at which the interference was measured [C].
    service_c : float, optional
        Temperature of both parts in service [C].
    rpm : float, optional
        Speed in service [rpm].
    outer_rz_um : float
        Roughness Rz of the outer ring's bore, 0 when not known [um].
    inner_rz_um : float
        Roughness Rz of the inner part, 0 when not known [um].

    Returns
    -------
    Losses
    """
    outer, inner = joint.outer, joint.inner
    temperature = speed = spin = 0.0
    if service_c is not None:
        temperature = temperature_loss_mm(
            interface_mm=joint.interface_mm,
            service_c=service_c,
            room_c=room_c,
            outer_alpha=outer.alpha,
            inner_alpha=inner.alpha,
        )
    if rpm:
        speed = speed_loss_mm(
            rpm=rpm,
            interface_mm=joint.interface_mm,
            outer_mm=joint.outer_mm,
            inner_mm=joint.inner_mm,
            outer_density_kg_m3=outer.density_kg_m3,
            outer_e_mpa=outer.e_mpa,
            outer_poisson=outer.poisson,
            inner_density_kg_m3=inner.density_kg_m3,
            inner_e_mpa=inner.e_mpa,
            inner_poisson=inner.poisson,
        )
        spin = spin_hoop_mpa(
            rpm=rpm,
            bore_mm=joint.interface_mm,
            outside_mm=joint.outer_mm,
            density_kg_m3=outer.density_kg_m3,
            poisson=outer.poisson,
        )
    return Losses(
        roughness_mm=roughness_loss_mm(
            outer_rz_um=outer_rz_um,
            inner_rz_um=inner_rz_um,
            loss_share=limit("roughness_loss_share"),
        ),
        temperature_mm=temperature,
        speed_mm=speed,
        spin_hoop_mpa=spin,
    )
