"""The fields of a list line, and a block of lines as columns.

Lists run to a million lines, so lines travel in blocks of columns: plain Python lists of equal
length, one per field, None where a line does not give the field. Sizes are whole micrometres, so
that equality and windows are exact.
"""

from __future__ import annotations

from typing import Any

from fitcheck.records import dataclass

UM_PER_MM = 1000
UM_PER_INCH = 25400

BLOCK_LINES = 20_000

TEXT, INTEGER, DECIMAL = "text", "integer", "decimal"


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a list line: its name, what it holds, and what it is in plain words."""

    name: str
    holds: str
    words: str


FIELDS = (
    Field("line", INTEGER, "line of the supplier's file, the header being line 1"),
    Field("part_number", TEXT, "the supplier's number, as text: leading zeros and 3E5 stay"),
    Field("description", TEXT, "the supplier's words"),
    Field("kind", TEXT, "seal, bearing, sleeve or other"),
    Field("shaft_um", INTEGER, "seal: shaft; bearing: bore of the cone [um]"),
    Field("bore_um", INTEGER, "seal: housing bore; bearing: outside diameter of the cup [um]"),
    Field("width_um", INTEGER, "seal: width; bearing: assembled width [um]"),
    Field("system", TEXT, "metric, inch or mixed: how the size was written"),
    Field("designation", TEXT, "bearing designation, or cone/cup"),
    Field("lip", TEXT, "single, double (main and dust lip) or axial"),
    Field("case", TEXT, "metal or rubber"),
    Field("material", TEXT, "lip material by its ISO 1629 name, or PTFE"),
    Field("spring", TEXT, "yes or no"),
    Field("lubricant", TEXT, "oil or grease"),
    Field("direction", TEXT, "left, right or both"),
    Field("price", DECIMAL, "price of one, as a decimal text"),
    Field("currency", TEXT, "three-letter currency code"),
    Field("pack", INTEGER, "pieces in a pack"),
    Field("minimum", INTEGER, "least order"),
    Field("lead_days", INTEGER, "lead time [days]"),
    Field("on_hand", INTEGER, "pieces on hand"),
)
FIELD_NAMES = tuple(field.name for field in FIELDS)


@dataclass(frozen=True, slots=True)
class Block:
    """Lines as columns: ``columns[name][i]`` is a field of the i-th line of the block."""

    columns: dict[str, list[Any]]

    def __len__(self) -> int:
        return len(self.columns["line"])

    @staticmethod
    def empty() -> Block:
        """A block without lines."""
        return Block({name: [] for name in FIELD_NAMES})


@dataclass(frozen=True, slots=True)
class Remark:
    """What was noticed about a cell: ``repaired`` lines are kept, ``refused`` ones are not."""

    outcome: str
    line: int
    column: str
    value: str
    reason: str
