"""What a stocking list is made from: jobs and shortages, files, fleet, terms, empty shelves."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"

NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def upgrade() -> None:
    """Make the tables, and the columns that demand and stock levels lack."""
    op.create_table(
        "stock_source",
        sa.Column("id", NUMBER, autoincrement=True, nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("name_key", sa.Text(), nullable=False),
        sa.Column("added_at", sa.Text(), nullable=False),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.Column("lines", NUMBER, nullable=False),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("kind", "name_key", name="stock_source_name"),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "fleet_position",
        sa.Column("source_id", NUMBER, nullable=False),
        sa.Column("line", NUMBER, autoincrement=False, nullable=False),
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("machine", sa.Text(), nullable=False),
        sa.Column("hub", sa.Text(), nullable=False),
        sa.Column("position", sa.Text(), nullable=False),
        sa.Column("item", sa.Text(), nullable=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("quantity", NUMBER, nullable=False),
        sa.Column("jobs", sa.Float(), nullable=False),
        sa.ForeignKeyConstraint(["source_id"], ["stock_source.id"]),
        sa.PrimaryKeyConstraint("source_id", "line"),
    )
    op.create_table(
        "part_terms",
        sa.Column("source_id", NUMBER, nullable=False),
        sa.Column("line", NUMBER, autoincrement=False, nullable=False),
        sa.Column("item", sa.Text(), nullable=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("price", sa.Float(), nullable=True),
        sa.Column("currency", sa.Text(), nullable=False),
        sa.Column("lead_days", sa.Float(), nullable=True),
        sa.Column("lead_days_sd", sa.Float(), nullable=True),
        sa.Column("pack", NUMBER, nullable=True),
        sa.Column("minimum", NUMBER, nullable=True),
        sa.Column("shelf_life_months", sa.Float(), nullable=True),
        sa.Column("critical", NUMBER, nullable=True),
        sa.ForeignKeyConstraint(["source_id"], ["stock_source.id"]),
        sa.PrimaryKeyConstraint("source_id", "line"),
    )
    op.create_table(
        "empty_shelf",
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("item", sa.Text(), nullable=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("first_day", sa.Text(), nullable=False),
        sa.Column("end_day", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("place", "item", "what", "first_day"),
    )
    op.add_column("stock_level", sa.Column("what", sa.Text(), nullable=False, server_default=""))
    op.add_column("demand", sa.Column("job", sa.Text(), nullable=False, server_default=""))
    op.add_column("demand", sa.Column("what", sa.Text(), nullable=False, server_default=""))
    op.add_column("demand", sa.Column("short", NUMBER, nullable=True))
    op.add_column("demand", sa.Column("line", NUMBER, nullable=False, server_default="0"))
    op.add_column("demand", sa.Column("source_id", NUMBER, nullable=True))
    op.create_index("demand_source", "demand", ["source_id"], unique=False)
