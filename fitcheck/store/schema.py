"""The tables of the store, as the newest migration leaves them.

A list's lines stand in the order of its distinct sizes, so that the lines of a few sizes are read
without an index of their own, and each line names its size and execution by number: a million
lines hold a few thousand sizes.
"""

from __future__ import annotations

from sqlalchemy import (
    BigInteger,
    Column,
    Float,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    Integer,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
)

# The newest migration.
HEAD = "0002"
VERSION_TABLE = "fitcheck_version"

metadata = MetaData()

# SQLite numbers rows only in a column that is INTEGER by name.
Number = BigInteger().with_variant(Integer(), "sqlite")


def _id() -> Column[int]:
    return Column("id", Number, primary_key=True, autoincrement=True)


supplier_list = Table(
    "supplier_list",
    metadata,
    _id(),
    Column("name", Text, nullable=False),
    Column("name_key", Text, nullable=False),
    Column("added_at", Text, nullable=False),
    Column("source", Text, nullable=False),
    Column("unit", Text, nullable=False),
    Column("plan", Text),
    Column("lines", Number, nullable=False),
    Column("accepted", Number, nullable=False),
    Column("repaired", Number, nullable=False),
    Column("refused", Number, nullable=False),
    Column("sizes", Number, nullable=False),
    UniqueConstraint("name_key", name="supplier_list_name"),
    sqlite_autoincrement=True,
)

list_size = Table(
    "list_size",
    metadata,
    Column("list_id", ForeignKey("supplier_list.id"), primary_key=True),
    Column("size_id", Number, primary_key=True, autoincrement=False),
    Column("kind", Text),
    Column("shaft_um", Number),
    Column("bore_um", Number),
    Column("width_um", Number),
    Column("system", Text),
    Column("designation", Text),
    Column("lines", Number, nullable=False),
    sqlite_with_rowid=False,
)

list_execution = Table(
    "list_execution",
    metadata,
    Column("list_id", ForeignKey("supplier_list.id"), primary_key=True),
    Column("execution_id", Number, primary_key=True, autoincrement=False),
    Column("lip", Text),
    Column("case", Text),
    Column("material", Text),
    Column("spring", Text),
    Column("lubricant", Text),
    Column("direction", Text),
    sqlite_with_rowid=False,
)

# No foreign keys here: lines are only ever written as a whole list together with their sizes, and
# a million look-ups would be paid for what `faults_found` proves at once.
list_line = Table(
    "list_line",
    metadata,
    Column("list_id", Number, primary_key=True, autoincrement=False),
    Column("size_id", Number, primary_key=True, autoincrement=False),
    Column("position", Number, primary_key=True, autoincrement=False),
    Column("execution_id", Number, nullable=False),
    Column("line", Number, nullable=False),
    Column("part_number", Text),
    Column("description", Text),
    Column("price", Text),
    Column("currency", Text),
    Column("pack", Number),
    Column("minimum", Number),
    Column("lead_days", Number),
    Column("on_hand", Number),
    sqlite_with_rowid=False,
)

list_remark = Table(
    "list_remark",
    metadata,
    Column("list_id", ForeignKey("supplier_list.id"), primary_key=True),
    Column("number", Number, primary_key=True, autoincrement=False),
    Column("outcome", Text, nullable=False),
    Column("line", Number, nullable=False),
    Column("column_name", Text, nullable=False),
    Column("value", Text, nullable=False),
    Column("reason", Text, nullable=False),
    sqlite_with_rowid=False,
)

column_plan = Table(
    "column_plan",
    metadata,
    Column("supplier_key", Text, primary_key=True),
    Column("supplier", Text, nullable=False),
    Column("plan", Text, nullable=False),
    Column("kept_at", Text, nullable=False),
)

job_card = Table(
    "job_card",
    metadata,
    _id(),
    Column("kept_at", Text, nullable=False),
    Column("day", Text, nullable=False),
    Column("title", Text, nullable=False),
    Column("machine", Text, nullable=False),
    Column("machine_key", Text, nullable=False),
    Column("place", Text, nullable=False),
    Column("verdict", Text, nullable=False),
    Column("search_text", Text, nullable=False),
    Column("digest", Text, nullable=False),
    Column("card", Text, nullable=False),
    UniqueConstraint("digest", name="job_card_digest"),
    sqlite_autoincrement=True,
)

job_position = Table(
    "job_position",
    metadata,
    Column("card_id", ForeignKey("job_card.id", ondelete="CASCADE"), primary_key=True),
    Column("number", Number, primary_key=True, autoincrement=False),
    Column("name", Text, nullable=False),
    Column("name_key", Text, nullable=False),
    Column("kind", Text, nullable=False),
    Column("verdict", Text, nullable=False),
    Column("pick", Text, nullable=False),
)

job_size = Table(
    "job_size",
    metadata,
    Column("card_id", Number, primary_key=True, autoincrement=False),
    Column("position", Number, primary_key=True, autoincrement=False),
    Column("number", Number, primary_key=True, autoincrement=False),
    Column("what", Text, nullable=False),
    Column("size", Text, nullable=False),
    Column("size_key", Text, nullable=False),
    Column("shaft_um", Number),
    Column("bore_um", Number),
    Column("width_um", Number),
    ForeignKeyConstraint(
        ["card_id", "position"],
        ["job_position.card_id", "job_position.number"],
        ondelete="CASCADE",
        name="job_size_position",
    ),
    Index("job_size_key", "size_key"),
    Index("job_size_dimensions", "shaft_um", "bore_um"),
)

stock_level = Table(
    "stock_level",
    metadata,
    Column("place", Text, primary_key=True),
    Column("item", Text, primary_key=True),
    Column("on_hand", Number, nullable=False),
    Column("counted_at", Text, nullable=False),
    Column("what", Text, nullable=False, server_default=""),
)

demand = Table(
    "demand",
    metadata,
    _id(),
    Column("place", Text, nullable=False),
    Column("item", Text, nullable=False),
    Column("day", Text, nullable=False),
    Column("quantity", Number, nullable=False),
    Column("note", Text, nullable=False),
    Column("job", Text, nullable=False, server_default=""),
    Column("what", Text, nullable=False, server_default=""),
    Column("short", Number),
    Column("line", Number, nullable=False, server_default="0"),
    # The file it came from; none where it was written down by itself.
    Column("source_id", Number),
    Index("demand_item", "item", "day"),
    Index("demand_source", "source_id"),
    sqlite_autoincrement=True,
)

# A file of the shop's own records: history, fleet or terms.
stock_source = Table(
    "stock_source",
    metadata,
    _id(),
    Column("kind", Text, nullable=False),
    Column("name", Text, nullable=False),
    Column("name_key", Text, nullable=False),
    Column("added_at", Text, nullable=False),
    Column("digest", Text, nullable=False),
    Column("lines", Number, nullable=False),
    UniqueConstraint("kind", "name_key", name="stock_source_name"),
    sqlite_autoincrement=True,
)

fleet_position = Table(
    "fleet_position",
    metadata,
    Column("source_id", ForeignKey("stock_source.id"), primary_key=True),
    Column("line", Number, primary_key=True, autoincrement=False),
    Column("place", Text, nullable=False),
    Column("machine", Text, nullable=False),
    Column("hub", Text, nullable=False),
    Column("position", Text, nullable=False),
    Column("item", Text, nullable=False),
    Column("what", Text, nullable=False),
    Column("quantity", Number, nullable=False),
    Column("jobs", Float, nullable=False),
)

part_terms = Table(
    "part_terms",
    metadata,
    Column("source_id", ForeignKey("stock_source.id"), primary_key=True),
    Column("line", Number, primary_key=True, autoincrement=False),
    Column("item", Text, nullable=False),
    Column("what", Text, nullable=False),
    Column("price", Float),
    Column("currency", Text, nullable=False),
    Column("lead_days", Float),
    Column("lead_days_sd", Float),
    Column("pack", Number),
    Column("minimum", Number),
    Column("shelf_life_months", Float),
    Column("critical", Number),
)

empty_shelf = Table(
    "empty_shelf",
    metadata,
    Column("place", Text, primary_key=True),
    Column("item", Text, primary_key=True),
    Column("what", Text, primary_key=True),
    Column("first_day", Text, primary_key=True),
    Column("end_day", Text, nullable=False),
)
