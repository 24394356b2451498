"""Pictures and other files that belong to a commission."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade():
    op.create_table(
        "attachment",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("commission_id", sa.Integer, sa.ForeignKey("commission.id"), nullable=False),
        sa.Column("added_at", sa.Text, nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("media_type", sa.Text, nullable=False),
        sa.Column("note", sa.Text, nullable=False),
        sa.Column("sha256", sa.Text, nullable=False),
        sa.Column("bytes", sa.LargeBinary, nullable=False),
        sqlite_strict=True,
    )


def downgrade():
    op.drop_table("attachment")
