"""Materials of rings and shafts: elasticity, expansion, density, strength and heating cap."""

from __future__ import annotations

from functools import lru_cache

from fitcheck.errors import InputError
from fitcheck.records import dataclass
from fitcheck.tables import Row, shop_folder, table

TABLE = "materials/materials"


@dataclass(frozen=True, slots=True)
class Material:
    """A material in one condition.

    ``alpha`` is the expansion when heated and ``alpha_cold`` the contraction when cooled [1/K].
    ``strength`` tells whether ``strength_mpa`` is a yield or, for brittle materials, a tensile
    strength; it is None where nobody knows it. ``source`` is one line to show.
    """

    name: str
    condition: str
    e_mpa: float
    poisson: float
    alpha: float
    alpha_cold: float
    density_kg_m3: float
    strength: str
    strength_mpa: float | None
    heat_cap_c: float | None
    source: str

    @property
    def brittle(self) -> bool:
        """Whether it cracks instead of yielding."""
        return self.strength == "tensile"


def material_names() -> tuple[str, ...]:
    """The names of the listed materials, in the order of the table."""
    return tuple(row.text("name") for row in table(TABLE).rows)


def material(name: str) -> Material:
    """A listed material by its name or another spelling of it.

    Parameters
    ----------
    name : str
        The name, in small or capital letters.

    Returns
    -------
    Material

    Raises
    ------
    InputError
        No such material is listed; the message lists them all.

    Examples
    --------
    >>> material("Cast iron").name, material("steel").e_mpa
    ('grey-iron', 200000.0)
    """
    return _material(name, shop_folder())


@lru_cache(maxsize=64)
def _material(name: str, _shop: str) -> Material:
    wanted = _folded(name)
    for row in table(TABLE).rows:
        spellings = (row.text("name"), *row.text("aliases").split(";"))
        if wanted and wanted in {_folded(spelling) for spelling in spellings}:
            return _from_row(row)
    raise InputError(
        value=name.strip() or "(empty)",
        rule="this material is not listed",
        todo=f"Use one of {', '.join(material_names())}, or give its values like "
        "e=200000,nu=0.3,alpha=11.7e-6,yield=350",
    )


def _folded(name: str) -> str:
    return " ".join(name.strip().lower().replace("-", " ").split())


def _from_row(row: Row) -> Material:
    return Material(
        name=row.text("name"),
        condition=row.text("condition"),
        e_mpa=row.number("e_mpa"),
        poisson=row.number("poisson"),
        alpha=row.number("alpha_per_k"),
        alpha_cold=row.number("alpha_cold_per_k"),
        density_kg_m3=row.number("density_kg_m3"),
        strength=row.text("strength"),
        strength_mpa=row.number("strength_mpa"),
        heat_cap_c=row.number("heat_cap_c"),
        source=row.cite(),
    )
