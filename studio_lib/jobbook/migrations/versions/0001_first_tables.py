"""Commissions, their revisions, papers issued, settings."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade():
    op.create_table(
        "commission",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("ref", sa.Text, nullable=False, unique=True),
        sa.Column("title", sa.Text, nullable=False),
        sa.Column("client", sa.Text, nullable=False),
        sa.Column("created_at", sa.Text, nullable=False),
        sa.Column("changed_at", sa.Text, nullable=False),
        sa.Column("latest", sa.Integer, nullable=False),
        sqlite_strict=True,
    )
    op.create_table(
        "revision",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("commission_id", sa.Integer, sa.ForeignKey("commission.id"), nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("saved_at", sa.Text, nullable=False),
        sa.Column("author", sa.Text, nullable=False),
        sa.Column("reason", sa.Text, nullable=False),
        sa.Column("name", sa.Text),
        sa.Column("document", sa.Text, nullable=False),
        sa.UniqueConstraint("commission_id", "number"),
        sqlite_strict=True,
    )
    op.create_table(
        "paper",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("commission_id", sa.Integer, sa.ForeignKey("commission.id"), nullable=False),
        sa.Column("revision", sa.Integer, nullable=False),
        sa.Column("issued_at", sa.Text, nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("sha256", sa.Text, nullable=False),
        sa.Column("bytes", sa.LargeBinary, nullable=False),
        sqlite_strict=True,
    )
    op.create_table(
        "setting",
        sa.Column("name", sa.Text, primary_key=True),
        sa.Column("value", sa.Text, nullable=False),
        sqlite_strict=True,
    )


def downgrade():
    for name in ("setting", "paper", "revision", "commission"):
        op.drop_table(name)
