"""Papers of the price: all of them at once; quotes, variations and invoices under their numbers, and how they stand."""

from __future__ import annotations

import threading
from datetime import date
from html import escape

import ipywidgets as w

from studio_lib.costing import billing
from studio_lib.costing.records import as_reckoned
from studio_lib.derive import derive
from studio_lib.papers import PAPERS, words, write
from studio_lib.papers.write import issue_account, issue_quote, wanted
from workbook import parts, show
from workbook.desk import Desk


def panel(desk: Desk) -> w.Widget:
    return w.VBox([papers(desk), issuing(desk)])


def papers(desk: Desk) -> w.Widget:
    """Write the quote, any one paper, or all of them, with progress."""
    bar = w.IntProgress(min=0, max=len(PAPERS), layout=w.Layout(width="260px", visibility="hidden"))
    said = w.HTML()

    def run(commission, revision, only):
        folder = desk.book.folder / "papers" / commission.ref

        def progress(name, done, of):
            bar.max, bar.value = of, done
            said.value = show.page(f"<p>{done} of {of}: {escape(name)}</p>")

        try:
            written = write(
                commission,
                folder,
                only=only,
                revision=revision,
                maker=desk.book.maker,
                progress=progress,
                known=desk.known,
                attachments=desk.book.files(commission.ref),
            )
            for path in written:
                desk.book.keep_paper(commission.ref, revision, path.name, path.read_bytes())
            many = "1 paper is" if len(written) == 1 else f"{len(written)} papers are"
            none = "" if written else f"<p>There is no {escape(only[0])} yet: choose a timber first.</p>"
            said.value = show.page(
                none or f"<p>{many} in {escape(str(folder))}:</p>{show.papers(commission.ref, [p.name for p in written])}"
            )
            desk.papers += 1
        except Exception as error:  # noqa: BLE001 - a fault in a thread would be lost
            said.value = show.page(f'<p class="fails">{escape(str(error.args[0]) if error.args else type(error).__name__)}</p>')
        finally:
            bar.layout.visibility = "hidden"
            for b in buttons:
                b.disabled = False

    def begin(only=()):
        bar.value, bar.max, bar.layout.visibility = 0, len(wanted(only)), "visible"
        said.value = show.page("<p>Being written ...</p>")
        for b in buttons:
            b.disabled = True
        threading.Thread(target=run, args=(desk.commission, desk.revision, only), daemon=True).start()

    def newest() -> dict[str, int]:
        """The papers written so far, each with the revision it was last written at."""
        out: dict[str, int] = {}
        for name, number, *_ in desk.book.papers(desk.ref):
            if name in PAPERS:
                out[name] = max(number, out.get(name, 0))
        return out

    def there_already():
        """Papers written before this page was opened, those of the newest revision first."""
        folder = desk.book.folder / "papers" / desk.ref
        kept = {name: number for name, number in newest().items() if (folder / name).is_file()}
        told = [
            f"<p>Written at revision {number}:</p>{show.papers(desk.ref, [n for n in PAPERS if kept.get(n) == number])}"
            for number in sorted(set(kept.values()), reverse=True)
        ]
        if told:
            said.value = show.page("".join(told))

    def behind() -> str:
        """That the job has moved on since its papers were written; '' where it has not."""
        old = {n: number for n, number in newest().items() if number < desk.revision}
        if not old:
            return ""
        first, last = min(old.values()), max(old.values())
        those = "These papers are" if len(old) == len(newest()) else f"{', '.join(old)} {'is' if len(old) == 1 else 'are'}"
        return (f'<p class="again">{escape(those)} of revision {first if first == last else f"{first} to {last}"}; the job stands at revision {desk.revision}. '
                "Write them again before one goes out.</p>")

    one = w.Dropdown(options=PAPERS, value="cutting list and boards.pdf", tooltip="Which paper", layout=w.Layout(width="260px"))
    there_already()
    state = parts.live(desk, behind, ("commission", "revision", "papers"))
    buttons = [
        parts.button(desk, "Write the quote alone", lambda: begin(("quote.pdf",)), "In some seconds, without the other papers"),
        parts.button(desk, "Write the quote and all papers", begin, "Into the job book's folder"),
        parts.button(desk, "Write this one alone", lambda: begin((one.value,)), "The job folder holds every other paper, and writes them all"),
    ]
    return w.VBox([
        parts.heading("Papers"), w.HBox([*buttons[:2], bar], layout=w.Layout(flex_flow="row wrap")),
        w.HBox([one, buttons[2]], layout=w.Layout(flex_flow="row wrap", align_items="center")), state, said,
    ])


def how_it_becomes_firm(d) -> str:
    """Why a quote cannot go yet, and where that is mended."""
    why, page, under = words.lacks_to_be_firm(d)
    stopped = "It can go once what stops it is answered, or accepted on a condition that the quote then prints (as 'subject to the owner's leave')," if under == "Stops" else f"It cannot go yet. {escape(why)} That is mended"
    return f"<p>{stopped} on the {parts.link(page)} page, under '{escape(under)}'.</p>"


def issuing(desk: Desk) -> w.Widget:
    """Quote, variation and invoice: each gets the next number, is kept in the book and cannot be changed after."""
    said = w.HTML()
    buttons: list[w.Button] = []

    def run(make):
        try:
            paper, content, document = make()
            name = f"{billing.CALLED[paper.kind].lower()} {paper.number}.pdf"
            revision = desk.revision
            if not desk.put(document, f"{billing.CALLED[paper.kind].lower()} {paper.number} issued"):
                raise ValueError(f"{desk.notice} Press 'Read again' above, then issue it once more.")
            folder = desk.book.folder / "papers" / document.ref
            folder.mkdir(parents=True, exist_ok=True)
            (folder / name).write_bytes(content)
            desk.book.keep_paper(document.ref, revision, name, content)
            said.value = show.page(
                f"<p>Issued, and kept in the book: {show.paper_link(document.ref, name)} (in {escape(str(folder))}).</p>"
            )
        except Exception as error:  # noqa: BLE001 - a fault in a thread would be lost
            said.value = show.page(
                f'<p class="fails">{escape(str(error.args[0]) if error.args else type(error).__name__)}</p>'
            )
        finally:
            for b in buttons:
                b.disabled = False

    def begin(make):
        ask.children = ()
        for b in buttons:
            b.disabled = True
        said.value = show.page("<p>Being typeset ...</p>")
        threading.Thread(target=run, args=(make,), daemon=True).start()

    ask = w.VBox()

    def first_ask(make):
        """Say what is still open before a quote goes out; nothing open, and it goes at once."""
        open_things = billing.before_it_goes(desk.derived, desk.book.maker, date.today())
        if not open_things:
            begin(make)
            return
        said.value = ""
        firm = not words.not_firm(desk.derived)
        ask.children = (
            w.HTML(show.page(
                "<p><b>Before it goes:</b></p><ul>" + "".join(f"<li>{escape(t)}</li>" for t in open_things) + "</ul>"
            )),
            w.HBox([
                *([parts.button(desk, "Issue it as it is", lambda: begin(make))] if firm else []),
                parts.button(desk, "Not yet", lambda: ask.set_trait("children", ())),
            ]),
            *([] if firm else [w.HTML(show.page(how_it_becomes_firm(desk.derived)))]),
        )

    def quote():
        c, d, number, day = desk.commission, desk.derived, desk.revision, date.today()
        paper = billing.quote_issued(c, d.price, number, day, words.not_firm(d))
        content = issue_quote(c, paper.number, revision=number, maker=desk.book.maker, today=day, known=desk.known)
        kept = as_reckoned(d, number, day).model_dump(mode="json")
        return paper, content, c.changed("issued", billing.with_issued(c, paper)).changed("estimate", kept)

    def variation():
        c, d, number, day = desk.commission, desk.derived, desk.revision, date.today()
        agreed, before = billing.last_agreed(c), d
        if agreed is not None:
            document, _ = desk.book.open(c.ref, agreed.revision)
            before = derive(billing.at_todays_rates(document, c), desk.known)
        paper = billing.variation_issued(c, before, d, number, day, words.not_firm(d))
        content = issue_account(paper, c, maker=desk.book.maker, known=desk.known)
        return paper, content, c.changed("issued", billing.with_issued(c, paper))

    def invoice():
        c, number, day = desk.commission, desk.revision, date.today()
        paper = billing.invoice_issued(c, number, day)
        content = issue_account(paper, c, maker=desk.book.maker, known=desk.known)
        return paper, content, c.changed("issued", billing.with_issued(c, paper))

    buttons += [
        parts.button(
            desk,
            "Issue the quote",
            lambda: first_ask(quote),
            "Under the next number, with its range kept to be held against the hours",
        ),
        parts.button(
            desk,
            "Issue a variation",
            lambda: begin(variation),
            "What has changed since the accepted quote, as a difference",
        ),
        parts.button(
            desk, "Issue the next invoice", lambda: begin(invoice), "The deposit first, all that is left at the end"
        ),
    ]
    return w.VBox(
        [
            parts.heading("Quotes, variations, invoices"),
            w.HBox(buttons, layout=w.Layout(flex_flow="row wrap")),
            ask,
            said,
            parts.rebuilt(desk, lambda: standing(desk), lambda c: c.issued),
        ]
    )


def mark_answered(desk: Desk, paper) -> None:
    """Mark a paper as accepted or paid today, or take the mark away; an accepted variation moves the range kept."""
    day = None if paper.agreed else date.today()
    rows = billing.with_answer(desk.commission, paper.number, day)
    if paper.kind != "variation" or day is None:
        desk.change("issued", rows)
        return
    kept = as_reckoned(desk.derived, desk.revision, day).model_dump(mode="json")
    document = desk.commission.changed("issued", rows).changed("estimate", kept)
    desk.put(document, f"variation {paper.number} accepted")


def standing(desk: Desk) -> list[w.Widget]:
    """Each paper that went out, with the day it was answered, and what is open."""
    c = desk.commission
    if not c.issued:
        return [w.HTML(show.page('<p class="quiet">None has gone out. A quote can go as soon as nothing stops the piece and all that is bought for it has a price.</p>'))]
    rows = []
    for paper in c.issued:
        answer = "paid" if billing.SERIES[paper.kind] == "I" else "accepted"
        text = w.HTML(
            show.page(
                f"{escape(paper.number)}, {billing.CALLED[paper.kind].lower()} of {paper.day.isoformat()}: "
                f"<b>{paper.gross:.2f} {escape(paper.currency)}</b>"
                + (f", {answer} on {paper.agreed.isoformat()}" if paper.agreed else ", open")
            ),
            layout=w.Layout(width="480px"),
        )
        mark = parts.button(
            desk,
            "Take the mark away" if paper.agreed else f"Mark as {answer} today",
            lambda p=paper: mark_answered(desk, p),
        )
        rows.append(w.HBox([text, mark], layout=w.Layout(align_items="center", flex_flow="row wrap")))
    a = billing.account(c)
    total = (
        f"Agreed {a.agreed:.2f}, asked for {a.asked:.2f}, paid {a.paid:.2f}, left to ask for {a.rest:.2f} "
        f"{escape(c.issued[-1].currency)}."
        if a.quote
        else "No quote is accepted yet."
    )
    return [*rows, w.HTML(show.page(f"<p>{total}</p>"))]
