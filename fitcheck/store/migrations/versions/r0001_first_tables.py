"""The first tables: supplier lists, column plans, job cards, stock and demand."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None

NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "column_plan",
        sa.Column("supplier_key", sa.Text(), nullable=False),
        sa.Column("supplier", sa.Text(), nullable=False),
        sa.Column("plan", sa.Text(), nullable=False),
        sa.Column("kept_at", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("supplier_key"),
    )
    op.create_table(
        "demand",
        sa.Column("id", NUMBER, autoincrement=True, nullable=False),
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("item", sa.Text(), nullable=False),
        sa.Column("day", sa.Text(), nullable=False),
        sa.Column("quantity", NUMBER, nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id"),
        sqlite_autoincrement=True,
    )
    op.create_index("demand_item", "demand", ["item", "day"], unique=False)
    op.create_table(
        "job_card",
        sa.Column("id", NUMBER, autoincrement=True, nullable=False),
        sa.Column("kept_at", sa.Text(), nullable=False),
        sa.Column("day", sa.Text(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("machine", sa.Text(), nullable=False),
        sa.Column("machine_key", sa.Text(), nullable=False),
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("verdict", sa.Text(), nullable=False),
        sa.Column("search_text", sa.Text(), nullable=False),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.Column("card", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("digest", name="job_card_digest"),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "list_line",
        sa.Column("list_id", NUMBER, autoincrement=False, nullable=False),
        sa.Column("size_id", NUMBER, autoincrement=False, nullable=False),
        sa.Column("position", NUMBER, autoincrement=False, nullable=False),
        sa.Column("execution_id", NUMBER, nullable=False),
        sa.Column("line", NUMBER, nullable=False),
        sa.Column("part_number", sa.Text(), nullable=True),
        sa.Column("description", sa.Text(), nullable=True),
        sa.Column("price", sa.Text(), nullable=True),
        sa.Column("currency", sa.Text(), nullable=True),
        sa.Column("pack", NUMBER, nullable=True),
        sa.Column("minimum", NUMBER, nullable=True),
        sa.Column("lead_days", NUMBER, nullable=True),
        sa.Column("on_hand", NUMBER, nullable=True),
        sa.PrimaryKeyConstraint("list_id", "size_id", "position"),
        sqlite_with_rowid=False,
    )
    op.create_table(
        "stock_level",
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("item", sa.Text(), nullable=False),
        sa.Column("on_hand", NUMBER, nullable=False),
        sa.Column("counted_at", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("place", "item"),
    )
    op.create_table(
        "supplier_list",
        sa.Column("id", NUMBER, autoincrement=True, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("name_key", sa.Text(), nullable=False),
        sa.Column("added_at", sa.Text(), nullable=False),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("unit", sa.Text(), nullable=False),
        sa.Column("plan", sa.Text(), nullable=True),
        sa.Column("lines", NUMBER, nullable=False),
        sa.Column("accepted", NUMBER, nullable=False),
        sa.Column("repaired", NUMBER, nullable=False),
        sa.Column("refused", NUMBER, nullable=False),
        sa.Column("sizes", NUMBER, nullable=False),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("name_key", name="supplier_list_name"),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "job_position",
        sa.Column("card_id", NUMBER, nullable=False),
        sa.Column("number", NUMBER, autoincrement=False, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("name_key", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("verdict", sa.Text(), nullable=False),
        sa.Column("pick", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["card_id"], ["job_card.id"], ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("card_id", "number"),
    )
    op.create_table(
        "list_execution",
        sa.Column("list_id", NUMBER, nullable=False),
        sa.Column("execution_id", NUMBER, autoincrement=False, nullable=False),
        sa.Column("lip", sa.Text(), nullable=True),
        sa.Column("case", sa.Text(), nullable=True),
        sa.Column("material", sa.Text(), nullable=True),
        sa.Column("spring", sa.Text(), nullable=True),
        sa.Column("lubricant", sa.Text(), nullable=True),
        sa.Column("direction", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(
            ["list_id"],
            ["supplier_list.id"],
        ),
        sa.PrimaryKeyConstraint("list_id", "execution_id"),
        sqlite_with_rowid=False,
    )
    op.create_table(
        "list_remark",
        sa.Column("list_id", NUMBER, nullable=False),
        sa.Column("number", NUMBER, autoincrement=False, nullable=False),
        sa.Column("outcome", sa.Text(), nullable=False),
        sa.Column("line", NUMBER, nullable=False),
        sa.Column("column_name", sa.Text(), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["list_id"],
            ["supplier_list.id"],
        ),
        sa.PrimaryKeyConstraint("list_id", "number"),
        sqlite_with_rowid=False,
    )
    op.create_table(
        "list_size",
        sa.Column("list_id", NUMBER, nullable=False),
        sa.Column("size_id", NUMBER, autoincrement=False, nullable=False),
        sa.Column("kind", sa.Text(), nullable=True),
        sa.Column("shaft_um", NUMBER, nullable=True),
        sa.Column("bore_um", NUMBER, nullable=True),
        sa.Column("width_um", NUMBER, nullable=True),
        sa.Column("system", sa.Text(), nullable=True),
        sa.Column("designation", sa.Text(), nullable=True),
        sa.Column("lines", NUMBER, nullable=False),
        sa.ForeignKeyConstraint(
            ["list_id"],
            ["supplier_list.id"],
        ),
        sa.PrimaryKeyConstraint("list_id", "size_id"),
        sqlite_with_rowid=False,
    )
    op.create_table(
        "job_size",
        sa.Column("card_id", NUMBER, autoincrement=False, nullable=False),
        sa.Column("position", NUMBER, autoincrement=False, nullable=False),
        sa.Column("number", NUMBER, autoincrement=False, nullable=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("size", sa.Text(), nullable=False),
        sa.Column("size_key", sa.Text(), nullable=False),
        sa.Column("shaft_um", NUMBER, nullable=True),
        sa.Column("bore_um", NUMBER, nullable=True),
        sa.Column("width_um", NUMBER, nullable=True),
        sa.ForeignKeyConstraint(
            ["card_id", "position"],
            ["job_position.card_id", "job_position.number"],
            name="job_size_position",
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("card_id", "position", "number"),
    )
    op.create_index("job_size_dimensions", "job_size", ["shaft_um", "bore_um"], unique=False)
    op.create_index("job_size_key", "job_size", ["size_key"], unique=False)
