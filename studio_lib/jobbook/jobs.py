"""What is kept of a job beside its document: how it stands, its people, decisions, lessons, invoices."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import date
from decimal import Decimal, InvalidOperation

import sqlalchemy as sa

from studio_lib.jobbook.schema import commission, contact, invoice, note, step
from studio_lib.jobbook.store import Store

STATES = ("enquiry", "quoted", "accepted", "in the workshop", "delivered", "closed", "declined")
IN_HAND = STATES[:5]
NEXT = {
    "enquiry": ("the maker", "answer the brief and quote"),
    "quoted": ("the client", "answer the quote"),
    "accepted": ("the maker", "order boards and set the dates"),
    "in the workshop": ("the maker", "make it"),
    "delivered": ("the client", "pay the last invoice"),
    "closed": ("", ""),
    "declined": ("", ""),
}
"""Of each state, who is waited on and for what, until the maker says otherwise."""
KINDS = ("decision", "lesson")
INVOICES = ("deposit", "stage", "final", "variation", "credit")
LEAST_REASON = 3


@dataclass(frozen=True)
class Step:
    """How a job stood from a day on, and what it waited for."""

    state: str
    day: str
    at: str
    author: str
    reason: str
    waits_on: str
    waits_for: str
    due: str | None


@dataclass(frozen=True)
class Contact:
    """The person behind a client's role. Private: kept apart from the document, and erased on request."""

    name: str = ""
    address: str = ""
    phone: str = ""
    email: str = ""
    note: str = ""


@dataclass(frozen=True)
class Note:
    """A decision of a job, or a lesson for later ones (``ref`` empty when of no one job)."""

    number: int
    ref: str
    kind: str
    day: str
    who: str
    says: str


@dataclass(frozen=True)
class Invoice:
    """An invoice that went out: amounts are decimal text, net of tax and tax apart."""

    number: str
    kind: str
    issued_on: str
    net: str
    tax: str
    currency: str
    due_on: str | None = None
    paid_on: str | None = None
    says: str = ""


class Jobs:
    """States, people, notes and invoices of the commissions of one book."""

    def __init__(self, store: Store, me, now):
        self._store, self._me, self._now = store, me, now

    # how it stands

    def history(self, ref: str) -> list[Step]:
        """Every state the job has been in, the newest first; the last row is how it began."""
        s = step.c
        with self._store.reading() as db:
            ident, begun = self._ident(db, ref)
            rows = db.execute(
                sa.select(s.state, s.day, s.at, s.author, s.reason, s.waits_on, s.waits_for, s.due)
                .where(s.commission_id == ident).order_by(s.id.desc())
            )
            return [*(Step(*row) for row in rows),
                    Step("enquiry", begun[:10], begun, "", "begun", *NEXT["enquiry"], None)]

    def stands(self, ref: str) -> Step:
        """How the job stands now."""
        return self.history(ref)[0]

    def move(
        self, ref: str, state: str, day: date | None = None, reason: str = "",
        waits_on: str | None = None, waits_for: str | None = None, due: date | None = None, author: str = "",
    ) -> None:
        """Put a job into a state from a day on. Going back, or to 'declined', wants a reason.

        Who is waited on and for what are those usual for the state where not given. Raises
        ValueError in words, KeyError for an unknown reference.
        """
        if state not in STATES:
            raise ValueError(f"The state is {state!r}; give one of {', '.join(STATES)}.")
        now = self.stands(ref)
        back = STATES.index(state) < STATES.index(now.state) or state == "declined"
        if back and state != now.state and len(reason.strip()) < LEAST_REASON:
            raise ValueError(f"From {now.state!r} to {state!r} wants a reason of a few words: say why.")
        usual = NEXT[state]
        self._add_step(ref, state, day, reason, usual[0] if waits_on is None else waits_on,
                       usual[1] if waits_for is None else waits_for, due, author)

    def wait(self, ref: str, on: str, for_: str, due: date | None = None, author: str = "") -> None:
        """Say on whom the job waits, for what and until when; its state stays. By role, never by name."""
        now = self.stands(ref)
        self._add_step(ref, now.state, date.fromisoformat(now.day), "", on, for_, due, author)

    def _add_step(self, ref, state, day, reason, waits_on, waits_for, due, author) -> None:
        until = due.isoformat() if due else None
        with self._store.writing() as db:
            ident, _ = self._ident(db, ref)
            db.execute(step.insert().values(
                commission_id=ident, at=self._now(), author=author or self._me(), state=state,
                day=(day or date.today()).isoformat(), reason=reason.strip(), waits_on=waits_on.strip(),
                waits_for=waits_for.strip(), due=until,
            ))
            db.execute(commission.update().where(commission.c.id == ident).values(
                state=state, waits_on=waits_on.strip(), waits_for=waits_for.strip(), due=until,
            ))

    # people

    def contact(self, ref: str) -> Contact:
        """Who the client is; empty fields where nothing is kept."""
        c = contact.c
        with self._store.reading() as db:
            ident, _ = self._ident(db, ref)
            query = sa.select(c.name, c.address, c.phone, c.email, c.note).where(c.commission_id == ident)
            row = db.execute(query).first()
        return Contact(*row) if row else Contact()

    def keep_contact(self, ref: str, who: Contact) -> None:
        """Keep name, address, telephone and mail of the client, in place of those before."""
        with self._store.writing() as db:
            ident, _ = self._ident(db, ref)
            db.execute(contact.delete().where(contact.c.commission_id == ident))
            if any(asdict(who).values()):
                db.execute(contact.insert().values(commission_id=ident, **asdict(who)))

    # decisions and lessons

    def say(self, ref: str, kind: str, says: str, who: str = "", day: date | None = None) -> None:
        """Write down a decision of a job, or a lesson; a lesson may be of no one job (``ref`` empty)."""
        if kind not in KINDS:
            raise ValueError(f"A note is a {' or a '.join(KINDS)}; {kind!r} is neither.")
        if len(says.strip()) < LEAST_REASON:
            raise ValueError(f"The {kind} is empty: write it in a few words.")
        with self._store.writing() as db:
            ident = self._ident(db, ref)[0] if ref or kind == "decision" else None
            db.execute(note.insert().values(
                commission_id=ident, at=self._now(), author=self._me(), kind=kind,
                day=(day or date.today()).isoformat(), who=who.strip(), says=says.strip(),
            ))

    def notes(self, ref: str = "", kind: str = "") -> list[Note]:
        """Notes of one job, or of all; the newest first."""
        n = note.c
        query = (
            sa.select(n.id, sa.func.coalesce(commission.c.ref, ""), n.kind, n.day, n.who, n.says)
            .outerjoin(commission, commission.c.id == n.commission_id).order_by(n.day.desc(), n.id.desc())
        )
        if ref:
            query = query.where(commission.c.ref == ref)
        if kind:
            query = query.where(n.kind == kind)
        with self._store.reading() as db:
            return [Note(*row) for row in db.execute(query)]

    # invoices

    def invoice(self, ref: str, one: Invoice) -> None:
        """Keep an invoice that was issued. Raises ValueError for a number used before or an amount that is none."""
        if one.kind not in INVOICES:
            raise ValueError(f"An invoice is one of {', '.join(INVOICES)}; {one.kind!r} is not.")
        if not one.number.strip():
            raise ValueError("The invoice has no number; give it one.")
        for words, amount in (("net", one.net), ("tax", one.tax)):
            try:
                finite = Decimal(amount).is_finite()
            except (InvalidOperation, TypeError, ValueError):
                finite = False
            if not finite:
                raise ValueError(f"The invoice's {words} is {amount!r}; give an amount such as 1250.00.")
        for day in filter(None, (one.issued_on, one.due_on, one.paid_on)):
            date.fromisoformat(day)
        with self._store.writing() as db:
            ident, _ = self._ident(db, ref)
            if db.execute(sa.select(invoice.c.id).where(invoice.c.number == one.number)).first():
                raise ValueError(f"There is an invoice {one.number} already; a number is used once.")
            db.execute(invoice.insert().values(commission_id=ident, **asdict(one)))

    def paid(self, number: str, day: date) -> None:
        """Note when an invoice was paid. Raises KeyError for an unknown number."""
        with self._store.writing() as db:
            done = db.execute(invoice.update().where(invoice.c.number == number).values(paid_on=day.isoformat()))
            if done.rowcount != 1:
                raise KeyError(f"There is no invoice {number} in this book.")

    def invoices(self, ref: str = "") -> list[Invoice]:
        """Invoices of one job, or of all; the newest first."""
        i = invoice.c
        query = sa.select(
            i.number, i.kind, i.issued_on, i.net, i.tax, i.currency, i.due_on, i.paid_on, i.says
        ).join(commission, commission.c.id == i.commission_id).order_by(i.issued_on.desc(), i.id.desc())
        if ref:
            query = query.where(commission.c.ref == ref)
        with self._store.reading() as db:
            return [Invoice(*row) for row in db.execute(query)]

    @staticmethod
    def _ident(db, ref: str) -> tuple[int, str]:
        row = db.execute(sa.select(commission.c.id, commission.c.created_at).where(commission.c.ref == ref)).first()
        if row is None:
            raise KeyError(f"No commission {ref!r} in this book.")
        return tuple(row)
