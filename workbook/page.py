"""A page of the workbook: one stage of the commission in hand."""

from __future__ import annotations

from importlib import import_module

from studio_lib import summary
from studio_lib.jobbook import Book, open_book
from workbook.desk import Desk

STAGES = ("book", "brief", "timber", "sizes", "joints", "look", "boards", "price", "record", "workshop")


class Page:
    """One stage: its panel, and its closing summary in plain lines."""

    def __init__(self, stage: str, desk: Desk):
        self.stage, self.desk = stage, desk
        self._ears = self._rebuild = None

    def panel(self):
        """The stage's widgets, made anew."""
        import ipywidgets as w

        from workbook.parts import Ears, top

        if self._ears is None:
            self._ears = Ears()
        box = w.VBox()

        def build(_change=None):
            with self._ears:
                built = import_module(f"workbook.panels.{self.stage}").panel(self.desk)
                box.children = (top(self.desk), built)

        build()
        if self._rebuild is not None:
            self.desk.unobserve(self._rebuild, "ref")
        self._rebuild = build
        self.desk.observe(build, "ref")
        self.desk.follow()
        return box

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
            print(line)


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


def open_page(stage: str, where=None) -> Page:
    """The page of a stage on the commission in hand. Raises KeyError for an unknown stage."""
    if stage not in STAGES:
        raise KeyError(f"There is no page {stage!r}. Pages: {', '.join(STAGES)}.")
    return Page(stage, Desk(book_with_something(where)))
