"""The maker's rack of boards and offcuts, and price lists by date."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date
from decimal import Decimal, InvalidOperation

import sqlalchemy as sa

from studio_lib.commission import OfferedBoard
from studio_lib.jobbook.schema import price_list, rack
from studio_lib.jobbook.store import Store
from studio_lib.stock.rack import leftover_rows, used_up

KINDS = ("board", "offcut")


@dataclass(frozen=True)
class RackBoard:
    """A board or offcut the maker has; ``board`` holds timber, sizes, faults and worth."""

    board: OfferedBoard
    kind: str
    came_on: str
    came_from: str = ""
    gone_on: str | None = None
    gone_to: str = ""
    place: str = ""
    says: str = ""

    @property
    def ref(self) -> str:
        return self.board.ref


class Rack:
    """Boards and offcuts; one that is used stays on file with where it went."""

    def __init__(self, store: Store):
        self._store = store

    def boards(self, gone: bool = False) -> list[RackBoard]:
        """What lies in the rack, or with ``gone`` what has left it, by reference."""
        r = rack.c
        query = sa.select(r.board, r.kind, r.came_on, r.came_from, r.gone_on, r.gone_to, r.place, r.says).where(
            r.gone_on.is_not(None) if gone else r.gone_on.is_(None)
        ).order_by(r.ref)
        with self._store.reading() as db:
            return [RackBoard(OfferedBoard.model_validate_json(text), *rest) for text, *rest in db.execute(query)]

    def add(self, *boards: RackBoard) -> None:
        """Lay boards into the rack, all or none. Raises ValueError for a reference that is taken."""
        with self._store.writing() as db:
            for one in boards:
                if one.kind not in KINDS:
                    raise ValueError(f"{one.ref} is a {one.kind!r}; give {' or '.join(KINDS)}.")
                if db.execute(sa.select(rack.c.id).where(rack.c.ref == one.ref)).first():
                    raise ValueError(
                        f"There is a board {one.ref} in the rack's book already; give this one another reference."
                    )
                db.execute(rack.insert().values(
                    ref=one.ref, kind=one.kind, came_on=one.came_on, came_from=one.came_from, gone_on=one.gone_on,
                    gone_to=one.gone_to, place=one.place, says=one.says,
                    board=one.board.model_copy(update={"source": "rack"}).model_dump_json(),
                ))

    def take(self, ref: str, to: str, day: date) -> None:
        """A board leaves the rack for a job or elsewhere. Raises KeyError where it does not lie there."""
        self._move(ref, rack.c.gone_on.is_(None), "does not lie in the rack", gone_on=day.isoformat(), gone_to=to.strip())

    def put_back(self, ref: str) -> None:
        """A board taken by mistake lies in the rack again."""
        self._move(ref, rack.c.gone_on.is_not(None), "has not left the rack", gone_on=None, gone_to="")

    def keep_leftovers(self, layout, job: str, offered, day: date) -> tuple[list[str], list[str]]:
        """Leftovers of a job's layout come into the rack, boards of the rack that it cut leave it.

        ``offered`` are the job's boards. Gives the references laid in and those used up. Raises ValueError
        where the job's leftovers are in the rack already or its layout lacks a piece.
        """
        there, gone = self.boards(), self.boards(gone=True)
        if any(b.came_from == job for b in (*there, *gone)):
            raise ValueError("The leftovers of this job are on the rack already.")
        if layout.missing:
            raise ValueError("Some pieces have no place yet, so what will be left over is not known. Lay all of them out first.")
        if not layout.boards_used:
            raise ValueError("No boards are laid out yet, so nothing is left over.")
        cut = used_up(layout)
        used = [b.ref for b in there if b.ref in cut]
        rows = leftover_rows(layout, {b.ref for b in (*there, *gone, *offered)})
        # Laid in first: a fault there leaves the rack as it was.
        self.add(*(RackBoard(OfferedBoard.model_validate(r), "offcut", day.isoformat(), came_from=job) for r in rows))
        for ref in used:
            self.take(ref, job, day)
        return [r["ref"] for r in rows], used

    def next_ref(self, kind: str = "offcut") -> str:
        """A free reference: 'R-004' for a board, 'O-004' for an offcut."""
        stem = {"board": "R-", "offcut": "O-"}[kind]
        with self._store.reading() as db:
            taken = set(db.execute(sa.select(rack.c.ref).where(rack.c.ref.startswith(stem))).scalars())
        n = len(taken) + 1
        while f"{stem}{n:03d}" in taken:
            n += 1
        return f"{stem}{n:03d}"

    def _move(self, ref, where, words, **values) -> None:
        with self._store.writing() as db:
            if db.execute(rack.update().where(rack.c.ref == ref, where).values(**values)).rowcount != 1:
                raise KeyError(f"Board {ref} {words}.")


@dataclass(frozen=True)
class PriceList:
    """What a yard asked on a day: rows of item, unit and price net of tax."""

    name: str
    day: str
    currency: str
    rows: tuple[dict, ...]
    says: str = ""


class Prices:
    """Price lists, each kept by name and day; a later one stands beside the earlier, never over it."""

    def __init__(self, store: Store):
        self._store = store

    def keep(self, one: PriceList) -> None:
        """Keep a list. Raises ValueError naming row and field of what cannot be."""
        date.fromisoformat(one.day)
        for i, row in enumerate(one.rows, 1):
            if set(row) != {"item", "unit", "price"}:
                raise ValueError(f"Row {i} of {one.name}: give item, unit and price; given were {', '.join(row) or 'none'}.")
            try:
                good = Decimal(str(row["price"])) >= 0
            except InvalidOperation:
                good = False
            if not good:
                raise ValueError(f"Row {i} of {one.name}: the price is {row['price']!r}; give an amount such as 1250.00.")
        rows = [{k: str(row[k]) for k in ("item", "unit", "price")} for row in one.rows]
        with self._store.writing() as db:
            p = price_list.c
            if db.execute(sa.select(p.id).where(p.name == one.name, p.day == one.day)).first():
                raise ValueError(f"A list {one.name} of {one.day} is kept already; give this one another day or name.")
            db.execute(price_list.insert().values(
                name=one.name, day=one.day, currency=one.currency, rows=json.dumps(rows), says=one.says
            ))

    def lists(self) -> list[PriceList]:
        """Every list, the newest first."""
        p = price_list.c
        with self._store.reading() as db:
            rows = db.execute(sa.select(p.name, p.day, p.currency, p.rows, p.says).order_by(p.day.desc(), p.name))
            return [PriceList(name, day, money, tuple(json.loads(text)), says) for name, day, money, text, says in rows]
