"""Tables of the job book. Changed only together with a migration.

Days and times are ISO 8601 text, amounts of money decimal text, documents packed (``packing``).
"""

from __future__ import annotations

import sqlalchemy as sa

HEAD = "0003"
"""The migration this version of the code expects; see ``migrations/versions``."""

tables = sa.MetaData()


def _words(name: str) -> sa.Column:
    return sa.Column(name, sa.Text, nullable=False, server_default="")


def _of_commission(nullable: bool = False) -> sa.Column:
    return sa.Column("commission_id", sa.Integer, sa.ForeignKey("commission.id"), nullable=nullable, index=True)


commission = sa.Table(
    "commission", tables,
    sa.Column("id", sa.Integer, primary_key=True),
    sa.Column("ref", sa.Text, nullable=False, unique=True),
    sa.Column("title", sa.Text, nullable=False),
    sa.Column("client", sa.Text, nullable=False),
    sa.Column("created_at", sa.Text, nullable=False),
    sa.Column("changed_at", sa.Text, nullable=False),
    sa.Column("latest", sa.Integer, nullable=False),
    sa.Column("finished", sa.Integer, nullable=False, server_default="0"),
    sa.Column("wanted_by", sa.Text),
    sa.Column("state", sa.Text, nullable=False, server_default="enquiry"),
    _words("waits_on"), _words("waits_for"),
    sa.Column("due", sa.Text),
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
    sa.Column("built_on", sa.Integer),
    sa.Column("stands_for", sa.Integer),
    sa.Column("sha256", sa.Text, nullable=False),
    sa.Column("packed_on", sa.Integer),
    sa.Column("document", sa.LargeBinary, nullable=False),
    sa.UniqueConstraint("commission_id", "number"),
    sqlite_strict=True,
)
"""``built_on``: the revision it was changed from; ``stands_for``: of an undo or redo, the revision it is again."""

paper = sa.Table(
    "paper", tables,
    sa.Column("id", sa.Integer, primary_key=True),
    sa.Column("commission_id", sa.Integer, sa.ForeignKey("commission.id"), nullable=False),
    sa.Column("revision", sa.Integer, nullable=False),
    sa.Column("issued_at", sa.Text, nullable=False),
    sa.Column("name", sa.Text, nullable=False),
    sa.Column("sha256", sa.Text, nullable=False),
    sa.Column("bytes", sa.LargeBinary, nullable=False),
    sa.Column("erased_at", sa.Text),
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

contact = sa.Table(
    "contact", tables,
    sa.Column("commission_id", sa.Integer, sa.ForeignKey("commission.id"), primary_key=True, autoincrement=False),
    _words("name"), _words("address"), _words("phone"), _words("email"), _words("note"),
    sqlite_strict=True,
)
"""The only place for what identifies a person; documents and papers name people by role."""

step = sa.Table(
    "step", tables,
    sa.Column("id", sa.Integer, primary_key=True),
    _of_commission(),
    sa.Column("at", sa.Text, nullable=False),
    sa.Column("author", sa.Text, nullable=False),
    sa.Column("state", sa.Text, nullable=False),
    sa.Column("day", sa.Text, nullable=False),
    _words("reason"), _words("waits_on"), _words("waits_for"),
    sa.Column("due", sa.Text),
    sqlite_strict=True,
)
"""Every state a job has been in, and what it waited for; the last row is how it stands."""

note = sa.Table(
    "note", tables,
    sa.Column("id", sa.Integer, primary_key=True),
    _of_commission(nullable=True),
    sa.Column("at", sa.Text, nullable=False),
    sa.Column("author", sa.Text, nullable=False),
    sa.Column("kind", sa.Text, nullable=False),
    sa.Column("day", sa.Text, nullable=False),
    _words("who"),
    sa.Column("says", sa.Text, nullable=False),
    sqlite_strict=True,
)
"""Decisions of a job, and lessons for later ones."""

invoice = sa.Table(
    "invoice", tables,
    sa.Column("id", sa.Integer, primary_key=True),
    _of_commission(),
    sa.Column("number", sa.Text, nullable=False, unique=True),
    sa.Column("kind", sa.Text, nullable=False),
    sa.Column("issued_on", sa.Text, nullable=False),
    sa.Column("due_on", sa.Text),
    sa.Column("net", sa.Text, nullable=False),
    sa.Column("tax", sa.Text, nullable=False),
    sa.Column("currency", sa.Text, nullable=False),
    sa.Column("paid_on", sa.Text),
    _words("says"),
    sqlite_strict=True,
)

rack = sa.Table(
    "rack", tables,
    sa.Column("id", sa.Integer, primary_key=True),
    sa.Column("ref", sa.Text, nullable=False, unique=True),
    sa.Column("kind", sa.Text, nullable=False),
    sa.Column("came_on", sa.Text, nullable=False),
    _words("came_from"),
    sa.Column("gone_on", sa.Text),
    _words("gone_to"), _words("place"), _words("says"),
    sa.Column("board", sa.Text, nullable=False),
    sqlite_strict=True,
)
"""Boards and offcuts in the maker's rack; one that was used stays on file with where it went."""

price_list = sa.Table(
    "price_list", tables,
    sa.Column("id", sa.Integer, primary_key=True),
    sa.Column("name", sa.Text, nullable=False),
    sa.Column("day", sa.Text, nullable=False),
    sa.Column("currency", sa.Text, nullable=False),
    sa.Column("rows", sa.Text, nullable=False),
    _words("says"),
    sa.UniqueConstraint("name", "day"),
    sqlite_strict=True,
)

picture = sa.Table(
    "picture", tables,
    sa.Column("commission_id", sa.Integer, sa.ForeignKey("commission.id"), primary_key=True, autoincrement=False),
    sa.Column("of", sa.Text, nullable=False),
    sa.Column("bytes", sa.LargeBinary, nullable=False),
    sqlite_strict=True,
)
"""A small PNG for the list of jobs, drawn again when ``of`` (the document's SHA-256) no longer holds."""
