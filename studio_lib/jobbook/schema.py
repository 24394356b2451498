"""Tables of the job book. Changed only together with a migration."""

from __future__ import annotations

import sqlalchemy as sa

HEAD = "0002"
"""The migration this version of the code expects; see ``migrations/versions``."""

tables = sa.MetaData()

commission = sa.Table(
    "commission", tables,
    sa.Column("id", sa.Integer, primary_key=True),
    sa.Column("ref", sa.Text, nullable=False, unique=True),
    sa.Column("title", sa.Text, nullable=False),
    sa.Column("client", sa.Text, nullable=False),
    sa.Column("created_at", sa.Text, nullable=False),
    sa.Column("changed_at", sa.Text, nullable=False),
    sa.Column("latest", sa.Integer, nullable=False),
    sqlite_strict=True,
)

revision = sa.Table(
    "revision", tables,
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

paper = sa.Table(
    "paper", tables,
    sa.Column("id", sa.Integer, primary_key=True),
    sa.Column("commission_id", sa.Integer, sa.ForeignKey("commission.id"), nullable=False),
    sa.Column("revision", sa.Integer, nullable=False),
    sa.Column("issued_at", sa.Text, nullable=False),
    sa.Column("name", sa.Text, nullable=False),
    sa.Column("sha256", sa.Text, nullable=False),
    sa.Column("bytes", sa.LargeBinary, nullable=False),
    sqlite_strict=True,
)

attachment = sa.Table(
    "attachment", tables,
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

setting = sa.Table(
    "setting", tables,
    sa.Column("name", sa.Text, primary_key=True),
    sa.Column("value", sa.Text, nullable=False),
    sqlite_strict=True,
)
