"""Packed documents with their fingerprints, undo, states, contacts, notes, invoices, rack, price lists, pictures."""

import hashlib
import json

import sqlalchemy as sa
from alembic import op

from studio_lib.jobbook.packing import packed_on

revision = "0003"
down_revision = "0002"


def _words(name):
    return sa.Column(name, sa.Text, nullable=False, server_default="")


def _of_commission(nullable=False):
    return sa.Column("commission_id", sa.Integer, sa.ForeignKey("commission.id"), nullable=nullable, index=True)


def upgrade():
    for column in (
        sa.Column("finished", sa.Integer, nullable=False, server_default="0"),
        sa.Column("wanted_by", sa.Text),
        sa.Column("state", sa.Text, nullable=False, server_default="enquiry"),
        _words("waits_on"), _words("waits_for"),
        sa.Column("due", sa.Text),
    ):
        op.add_column("commission", column)
    op.add_column("paper", sa.Column("erased_at", sa.Text))
    _new_tables()
    _pack_revisions()


def _new_tables():
    op.create_table(
        "contact",
        sa.Column("commission_id", sa.Integer, sa.ForeignKey("commission.id"), primary_key=True, autoincrement=False),
        _words("name"), _words("address"), _words("phone"), _words("email"), _words("note"),
        sqlite_strict=True,
    )
    op.create_table(
        "step",
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
    op.create_table(
        "note",
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
    op.create_table(
        "invoice",
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
    op.create_table(
        "rack",
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
    op.create_table(
        "price_list",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("day", sa.Text, nullable=False),
        sa.Column("currency", sa.Text, nullable=False),
        sa.Column("rows", sa.Text, nullable=False),
        _words("says"),
        sa.UniqueConstraint("name", "day"),
        sqlite_strict=True,
    )
    op.create_table(
        "picture",
        sa.Column("commission_id", sa.Integer, sa.ForeignKey("commission.id"), primary_key=True, autoincrement=False),
        sa.Column("of", sa.Text, nullable=False),
        sa.Column("bytes", sa.LargeBinary, nullable=False),
        sqlite_strict=True,
    )


def _pack_revisions():
    """Every document as it was, packed; each built on the one before it."""
    db = op.get_bind()
    db.execute(sa.text("create table revision_before as select * from revision"))
    op.drop_table("revision")
    made = op.create_table(
        "revision",
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
    for ident, latest in db.execute(sa.text("select id, latest from commission")).all():
        whole, whole_number = b"", None
        for row in db.execute(
            sa.text("select * from revision_before where commission_id = :c order by number"), {"c": ident}
        ).mappings().all():
            text = row["document"].encode()
            packed, on = packed_on(text, whole, whole_number)
            if on is None:
                whole, whole_number = text, row["number"]
            db.execute(made.insert().values(
                {k: row[k] for k in ("commission_id", "number", "saved_at", "author", "reason", "name")}
                | {"built_on": row["number"] - 1 or None, "sha256": hashlib.sha256(text).hexdigest(),
                   "packed_on": on, "document": packed}
            ))
            if row["number"] == latest:
                plain = json.loads(text)
                db.execute(
                    sa.text("update commission set finished = :f, wanted_by = :w where id = :c"),
                    {"f": int(bool(plain.get("finished"))), "w": plain.get("brief", {}).get("wanted_by"), "c": ident},
                )
    op.drop_table("revision_before")


def downgrade():
    raise NotImplementedError("A book is not taken back to older tables: put back the copy made before the change.")
