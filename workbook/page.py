"""A page of the workbook: one stage of the commission in hand."""

from __future__ import annotations

import atexit
import gc
from html import escape
from importlib import import_module

from studio_lib import summary
from studio_lib.jobbook import BadBook, Book, NewerDocument, open_book
from studio_lib.jobbook.backup import newest_good_copy, restore
from studio_lib.jobbook.places import place_of_the_book
from studio_lib.showing import as_shown
from workbook.desk import Desk

STAGES = ("book", "brief", "timber", "sizes", "joints", "look", "boards", "price", "record", "workshop", "client", "sources")
NEED_A_PIECE = ("sizes", "joints", "look", "boards", "price", "workshop")
"""Pages with nothing to say before there is a piece."""
SHOWN_TO_OTHERS = ("client",)
"""Pages without a word on how the checks stand."""


class Page:
    """One stage: its panel, and its closing summary in plain lines."""

    def __init__(self, stage: str, desk: Desk):
        self.stage, self.desk = stage, desk
        self._ears = self._rebuild = None

    def panel(self):
        """The stage's widgets, made anew."""
        import ipywidgets as w

        from workbook import show
        from workbook.parts import Ears, about, fill, onward, title, top

        if self._ears is None:
            self._ears = Ears()
        box = w.VBox()

        def build(_change=None):
            # What is pressed while all is made anew would be lost with what it was pressed on: it takes nothing till then.
            box.add_class("dw-waits")
            try:
                with self._ears:
                    show.use(self.desk.commission.shown)
                    built = self._built()
                    made = (
                        (title(self.desk), built) if self.stage in SHOWN_TO_OTHERS
                        else (top(self.desk, self.stage), built, onward(self.desk, self.stage), about(self.stage))
                    )
                    fill(box, made)
            finally:
                box.remove_class("dw-waits")

        build()
        if self._rebuild is not None:
            self.desk.unobserve(self._rebuild, ["ref", "shown"])
        self._rebuild = build
        self.desk.observe(build, ["ref", "shown"])
        self.desk.follow()
        collect_seldom()
        return box

    def put_away(self) -> None:
        """Let go of the commission, and close every widget of this kernel."""
        import ipywidgets as w

        self.desk.leave()
        self.desk.unobserve_all()
        w.Widget.close_all()

    def _built(self):
        """The stage's own panel, or a word on where to begin while there is no piece to work on."""
        from workbook.parts import rebuilt, where_to_begin

        make = import_module(f"workbook.panels.{self.stage}").panel
        if self.stage not in NEED_A_PIECE:
            return make(self.desk)
        return rebuilt(
            self.desk, lambda: [make(self.desk) if self.desk.commission.items else where_to_begin()],
            lambda c: bool(c.items),
        )

    def summary(self) -> None:
        """Print what this page found, as a maker would read it out."""
        if self.stage == "book":
            for line in summary.book(self.desk.book.commissions(), self.desk.ref):
                print(line)
            return
        if not self.desk.commission.items and self.stage != "brief":
            print("No piece yet. Add one on the Brief page.")
            return
        for line in getattr(summary, self.stage)(self.desk.derived):
            print(as_shown(line, self.desk.commission.shown))


def collect_seldom() -> None:
    """Let the collector of cyclic garbage leave alone what a page is built of, and come by less often.

    Going over all of it took up to a third of a second, while a figure was being moved.
    """
    gc.freeze()
    gc.set_threshold(20_000, 20, 20)
    atexit.register(gc.unfreeze)  # or solids of the mesh kernel would be called leaked as the kernel ends


def book_with_something(where=None) -> Book:
    """The job book; an empty one is begun with the demo commission."""
    book = open_book(where)
    if book.current is None and not book.read_only:
        from studio_lib.demo import demo

        document = demo()
        try:
            book.add(document, "the demo commission")
        except ValueError:
            pass  # another page has begun it in this moment
        book.take_up(document.ref)
    return book


def open_page(stage: str, where=None) -> Page | Closed:
    """The page of a stage on the commission in hand. Raises KeyError for an unknown stage."""
    if stage not in STAGES:
        raise KeyError(f"There is no page {stage!r}. Pages: {', '.join(STAGES)}.")
    try:
        book = book_with_something(where)
    except BadBook as error:
        return Closed(str(error), None, where)
    try:
        return Page(stage, Desk(book))
    except (BadBook, NewerDocument, LookupError) as error:
        return Closed(str(error.args[0]), book, where)


class Closed:
    """A page that cannot open: says why and what to do, and offers what can be done from here."""

    def __init__(self, says: str, book: Book | None, where=None):
        self._says, self._book, self._where = says, book, where

    def panel(self):
        """The sentence, and a button for the way on where there is one."""
        import ipywidgets as w

        from workbook import show

        said = w.HTML(show.page(f'<p class="fails">{escape(self._says)}</p>'))
        done = w.HTML()

        def tell(words):
            done.value = show.page(f"<p>{escape(words)} Run this page again from the top.</p>")

        def guarded(act):
            def pressed(_button):
                try:
                    tell(act())
                except (BadBook, NewerDocument, LookupError) as error:
                    done.value = show.page(f'<p class="fails">{escape(str(error.args[0]))}</p>')
            return pressed

        if self._book is None:
            place = place_of_the_book(self._where)
            copy = newest_good_copy(place)
            if copy is None:
                return w.VBox([said])
            put_back = w.Button(description=f"Put back the copy {copy.stem}", layout=w.Layout(width="auto"))
            put_back.on_click(guarded(lambda: f"{restore(copy, place).words} The damaged file is kept among the copies."))
            return w.VBox([said, put_back, done])
        refs = [(f"{e.ref}  {e.title}", e.ref) for e in self._book.commissions()]
        which = w.Dropdown(options=refs, layout=w.Layout(width="420px"))
        take = w.Button(description="Take this one up instead", layout=w.Layout(width="auto"))
        take.on_click(guarded(lambda: self._book.take_up(which.value) or f"{which.value} is in hand."))
        return w.VBox([said, w.HBox([which, take]), done])

    def put_away(self) -> None:
        """Nothing follows from here: it holds no commission."""

    def summary(self) -> None:
        """Print the sentence."""
        print(self._says)
