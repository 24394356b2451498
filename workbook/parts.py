"""Fields bound to the document, and the other small parts that panels are put together from."""

from __future__ import annotations

import base64
import re
import threading
from collections.abc import Callable
from decimal import Decimal
from html import escape
from pathlib import Path

import ipywidgets as w

from studio_lib.compare import called
from studio_lib.finding import Verdict
from studio_lib.showing import field_shown, field_typed, field_unit, from_shown_unit, in_shown_unit, read_length
from studio_lib.showing import length as length_words
from studio_lib.standing import left_open, next_step, stages
from studio_lib.units import KG_PER_LB, KM_PER_MILE, M_S
from workbook import show
from workbook.desk import Desk

ABOUT = Path(__file__).resolve().parents[1] / "docs" / "pages"
LABEL = "210px"
STYLE = {"description_width": LABEL}


_let_go: list[list[Callable[[], None]]] = []
"""What the widgets being built right now must undo when they are built anew, innermost last."""


def listen(desk: Desk, react, names) -> None:
    """Observe the desk until the part of the page that asked is built anew.

    A part let go while a change is being told hears nothing more of that change either:
    traitlets has its list of listeners made by then.
    """
    listening = [True]

    def hear(change):
        if listening[0]:
            guarded(desk, lambda: react(change))

    def stop():
        listening[0] = False
        desk.unobserve(hear, names)

    desk.observe(hear, names)
    if _let_go:
        _let_go[-1].append(stop)


class Ears:
    """The listening of one part of a page: ``with ears: build`` lets the former build's go first."""

    def __init__(self):
        self._undo: list[Callable[[], None]] = []
        if _let_go:
            _let_go[-1].append(self.let_go)

    def let_go(self) -> None:
        """Stop listening, all that was built within."""
        while self._undo:
            self._undo.pop()()

    def __enter__(self):
        self.let_go()
        _let_go.append(self._undo)

    def __exit__(self, *_):
        _let_go.pop()


def guarded(desk: Desk, act: Callable[[], None]) -> None:
    """Act; an unexpected fault shows in the notice, and every other part of the page still hears of the change."""
    try:
        act()
    except Exception as error:  # noqa: BLE001 - the maker must see it, not a log
        desk.notice = f"Something went wrong while showing this ({type(error).__name__}: {error}). Your work is saved."


def watched(desk: Desk, names, react: Callable[[], None]) -> None:
    """Call ``react`` now and whenever the desk changes."""
    listen(desk, lambda _change: react(), names)
    guarded(desk, react)


_GONE = object()


class Field(w.VBox):
    """A widget for one field of the document, with its refusal beside it."""

    def __init__(self, desk: Desk, path: str, widget: w.Widget, read, write=lambda v: v, note: str = "", change=None):
        self.desk, self.path, self.widget, self._read, self._write = desk, path, widget, read, write
        self._change = change or (lambda value: desk.change(path, value))
        self._ref = desk.ref
        self._said = w.HTML()
        self._note = w.HTML(layout=w.Layout(margin="0 0 0 4px"))
        self.note(note)
        self._listening = True
        self._was_refused = False
        row = w.HBox([widget, self._note], layout=w.Layout(align_items="center", flex_flow="row wrap"))
        super().__init__([row, self._said], layout=w.Layout(margin="1px 0"))
        listen(desk, self._from_document, "commission")
        listen(desk, self._from_refusals, "refused")
        self._from_document()
        self._from_refusals()
        widget.observe(self._from_person, "value")

    def note(self, words: str) -> None:
        """Say something beside the field: why it matters, on whose word it stands."""
        self._note.value = _beside(words)

    def _from_person(self, change) -> None:
        if self._listening and self.desk.ref == self._ref:  # what was typed for one job never lands in another
            if _same(change.new, self._present(), self._echo()):
                if self.path in self.desk.refused:
                    self.desk.refused = {k: v for k, v in self.desk.refused.items() if k != self.path}
                return
            try:
                value = self._write(change.new)
            except ValueError as error:
                self.desk.refused = {**self.desk.refused, self.path: str(error)}
                return
            self._change(value)

    def _echo(self) -> float:
        """How far a slider's browser may round a figure that was only shown to it: half a step; that is nobody's wish."""
        return self.widget.step / 2 if isinstance(self.widget, w.FloatSlider) else 0.0

    def _present(self):
        """The field's value in the document; ``_GONE`` where its row or member has been taken away."""
        try:
            return self._read(self.desk.commission)
        except (LookupError, AttributeError):
            return _GONE

    def _from_document(self, _change=None) -> None:
        value = self._present()
        if value is _GONE:
            return  # this part of the page is about to be built anew
        if ".sizes." in self.path and self.path in self.desk.refused and self._was_refused:
            self._once_more()
            return
        if self.path not in self.desk.refused and self.widget.value != value:
            self._listening = False
            try:
                self.widget.value = value
            finally:
                self._listening = True

    def _once_more(self) -> None:
        """Try again a size that was refused, now that something else has changed: it may be what had to change first."""
        try:
            value = self._write(self.widget.value)
        except ValueError:
            return
        self._was_refused = False  # once is enough: a second refusal changes nothing
        self._change(value)
        self._was_refused = self.path in self.desk.refused

    def _from_refusals(self, _change=None) -> None:
        says = self.desk.refused.get(self.path, "")
        if self._was_refused and not says:
            self._from_document()
        self._was_refused = bool(says)
        self._said.value = f'{show.STYLE}<div class="dw-refused" style="margin-left:{LABEL}">{escape(show.words(says))}</div>' if says else ""


def _same(a, b, slack: float = 0.0) -> bool:
    """Whether two values are one figure, rounding on the way to the browser and back left aside."""
    if isinstance(a, float) and isinstance(b, int | float):
        return abs(a - b) <= max(slack, 1e-6)
    return a == b


def at(path: str):
    """A reader of one field: 'brief.people' -> the commission's value there."""
    steps = path.split(".")

    def read(commission):
        value = commission
        for step in steps:
            value = value[int(step)] if step.isdigit() else getattr(value, step)
        return value

    return read


def _wide(px: int) -> w.Layout:
    return w.Layout(width=f"{px}px")


def number(desk: Desk, path: str, label: str, unit: str = "", note: str = "") -> Field:
    """A plain number; refused, never clamped. One in mm is a length: shown as the commission asks, read in any unit."""
    if unit == "mm":
        return _length_field(desk, path, label, note, read_length_here)
    shown = show.shown()
    box = w.FloatText(description=_label(label, field_unit(unit, shown)), style=STYLE, layout=_wide(330), continuous_update=False)
    return Field(desk, path, box, lambda c: field_shown(float(at(path)(c)), unit, shown), lambda typed: field_typed(typed, unit, shown), note)


def whole(desk: Desk, path: str, label: str, note: str = "") -> Field:
    box = w.IntText(description=label, style=STYLE, layout=_wide(330), continuous_update=False)
    return Field(desk, path, box, at(path), note=note)


def optional_number(desk: Desk, path: str, label: str, unit: str = "", note: str = "") -> Field:
    """A number that may be left empty. One in mm is a length: shown as the commission asks, read in any unit."""
    if unit == "mm":
        return _length_field(desk, path, label, note, lambda v: read_length_here(v) if v.strip() else None, "not known yet")
    shown = show.shown()
    box = w.Text(description=_label(label, field_unit(unit, shown)), style=STYLE, layout=_wide(330), continuous_update=False, placeholder="not known yet")

    def text_of(c) -> str:
        value = at(path)(c)
        return _number_text(None if value is None else field_shown(value, unit, shown))

    def typed(words: str) -> float | None:
        named = _NAMED.get(unit, lambda _: None)(words)
        bare = _number_or_none(words) if named is None else None
        return named if bare is None else field_typed(bare, unit, shown)

    return Field(desk, path, box, text_of, typed, note)


def _weight_named(typed: str) -> float | None:
    """A weight with its unit, '240 lb' or '110 kg', in kg; None where none is named."""
    named = re.fullmatch(r"(.+?)\s*(lbs?\.?|pounds?|kg)", typed.strip(), re.IGNORECASE)
    return round(as_number(named[1]) * (1.0 if named[2].lower() == "kg" else KG_PER_LB), 1) if named else None


def _speed_named(typed: str) -> float | None:
    """A speed with its unit, as a weather service gives it: '120 km/h', '75 mph', '65 knots', in m/s; None where none is named."""
    named = re.fullmatch(r"(.+?)\s*(m/s|" + "|".join(map(re.escape, M_S)) + r")\.?", typed.strip(), re.IGNORECASE)
    return round(as_number(named[1]) * M_S.get(named[2].lower(), 1.0), 1) if named else None


_NAMED = {"kg": _weight_named, "m/s": _speed_named}
"""How a quantity is read that has its unit with it, by the unit of its field."""


def _length_field(desk: Desk, path: str, label: str, note: str, write, empty: str = "") -> Field:
    box = w.Text(description=_label(label, length_unit()), style=STYLE, layout=_wide(330), continuous_update=False, placeholder=empty)
    return Field(desk, path, box, lambda c: length_here(at(path)(c)), write, note)


def load_box(desk: Desk, path: str, label: str, read, step: float, wide=(220, 305)) -> Field:
    """A load or weight whose label ends in its unit, N, N/m2 or kg: shown and typed in pounds where inches are shown."""
    unit, shown = label.rpartition(", ")[2], show.shown()
    box = w.FloatText(description=show.label(label), continuous_update=False, step=step / 5 if shown.inches else step,
                      style={"description_width": f"{wide[0]}px"}, layout=_wide(wide[1]))
    return Field(desk, path, box, lambda c: in_shown_unit(read(c), unit, shown), lambda typed: from_shown_unit(typed, unit, shown))


def length_here(value_mm: float | None) -> str:
    """A length as a field of this page holds it: '740', or '29 1/8' where inches are shown."""
    return length_words(value_mm, show.shown())


def read_length_here(typed: str) -> float:
    """What was typed into such a field. [mm]"""
    return read_length(typed, show.shown())


def length_unit() -> str:
    """The unit of lengths on this page: 'mm' or 'in'."""
    return show.shown().lengths


def length_box(words: str, value_mm: float | None = None, **looks) -> w.Widget:
    """A box for a length that is not in the document (yet), in the unit of this page; ``mm_of`` reads it."""
    looks = {"layout": w.Layout(width="178px"), **looks}
    return w.Text(description=f"{words}, {length_unit()}", value=length_here(value_mm), **looks)


def mm_of(box: w.Widget) -> float:
    """What such a box holds. Raises ValueError in words where that is no length. [mm]"""
    return read_length_here(box.value)


def text(desk: Desk, path: str, label: str, note: str = "", px: int = 560) -> Field:
    box = w.Text(description=label, style=STYLE, layout=_wide(px), continuous_update=False)
    return Field(desk, path, box, at(path), note=note)


def long_text(desk: Desk, path: str, label: str, note: str = "", rows: int = 3) -> Field:
    box = w.Textarea(description=label, style=STYLE, layout=_wide(760), rows=rows, continuous_update=False)
    return Field(desk, path, box, at(path), note=note)


def choice(desk: Desk, path: str, label: str, options, note: str = "", px: int = 470) -> Field:
    """One of several; each option is its value, or (words, value)."""
    options = [(o, o) if isinstance(o, str) else o for o in options]
    box = w.Dropdown(description=label, options=options, value=at(path)(desk.commission), style=STYLE, layout=_wide(px))
    return Field(desk, path, box, at(path), note=note)


def yes_no(desk: Desk, path: str, label: str, note: str = "") -> Field:
    """A question not yet asked, or answered yes or no."""
    words = {None: "not asked yet", True: "yes", False: "no"}
    box = w.Dropdown(description=label, options=list(words.values()), style=STYLE, layout=_wide(470))
    return Field(desk, path, box, lambda c: words[at(path)(c)], lambda v: {"yes": True, "no": False}.get(v), note)


def numbers(desk: Desk, path: str, label: str, note: str = "") -> Field:
    """Some numbers with commas between."""
    box = w.Text(description=label, style=STYLE, layout=_wide(380), continuous_update=False, placeholder="none")
    return Field(desk, path, box, lambda c: ", ".join(f"{v:g}" for v in at(path)(c)),
                 lambda v: [as_number(part) for part in v.split(",") if part.strip()], note)


def lengths(desk: Desk, path: str, label: str, note: str = "") -> Field:
    """Some lengths with commas between, each in any unit."""
    box = w.Text(description=_label(label, length_unit()), style=STYLE, layout=_wide(380), continuous_update=False, placeholder="none")
    return Field(desk, path, box, lambda c: ", ".join(map(length_here, at(path)(c))),
                 lambda v: [read_length_here(part) for part in v.split(",") if part.strip()], note)


def tick(desk: Desk, path: str, label: str, note: str = "") -> Field:
    box = w.Checkbox(description=label, indent=False, layout=w.Layout(width="auto", margin=f"0 12px 0 {LABEL}"))
    return Field(desk, path, box, at(path), note=note)


def how_much(desk: Desk, path: str, label: str) -> Field:
    """0 no matter, 1 matters, 2 matters much."""
    box = w.ToggleButtons(description=label, options=[("no matter", 0), ("matters", 1), ("matters much", 2)],
                          style={**STYLE, "button_width": "130px"})
    return Field(desk, path, box, at(path))


def day(desk: Desk, path: str, label: str, note: str = "") -> Field:
    box = w.DatePicker(description=label, style=STYLE, layout=_wide(380))
    return Field(desk, path, box, at(path), lambda v: v.isoformat() if v else None, note)


def money(desk: Desk, path: str, label: str, note: str = "") -> Field:
    """An amount, or empty where the document allows it."""
    box = w.Text(description=label, style=STYLE, layout=_wide(330), continuous_update=False, placeholder="not known yet")
    return Field(desk, path, box, lambda c: "" if at(path)(c) is None else str(at(path)(c)),
                 lambda v: as_money(v, desk.commission.rates.currency) if v.strip() else None, note)


def money_a_km(desk: Desk, path: str, label: str) -> Field:
    """An amount a kilometre, or a mile where inches are shown."""
    one = Decimal(str(KM_PER_MILE)) if show.shown().inches else Decimal(1)
    box = w.Text(description=f"A {'kilometre' if one == 1 else 'mile'} {label}", style=STYLE, layout=_wide(330), continuous_update=False)
    return Field(desk, path, box, lambda c: str(at(path)(c) if one == 1 else round(at(path)(c) * one, 2)),
                 lambda v: as_money(v, desk.commission.rates.currency) if one == 1 else round(Decimal(as_money(v, desk.commission.rates.currency)) / one, 2))


def percent(desk: Desk, path: str, label: str, note: str = "") -> Field:
    """A share of 0 to 1 in the document, shown in percent."""
    box = w.FloatText(description=f"{label}, %", style=STYLE, layout=_wide(330), continuous_update=False)
    return Field(desk, path, box, lambda c: round(100 * at(path)(c), 4), lambda v: round(v / 100, 6), note)


def live(desk: Desk, draw: Callable[[], str], names=("commission",)) -> w.HTML:
    """HTML that follows the document."""
    out = w.HTML()

    def react():
        out.value = show.page(draw())

    watched(desk, list(names), react)
    return out


def button(desk: Desk, label: str, act: Callable[[], None], hint: str = "") -> w.Button:
    """A button whose faults are told to the maker."""
    b = w.Button(description=label, tooltip=hint, layout=w.Layout(width="auto", flex="0 0 auto", align_self="flex-start"))

    ref = desk.ref

    def pressed(_b):
        if desk.ref != ref:
            return  # pressed on a page that shows another job by now
        try:
            act()
        except Exception as error:  # noqa: BLE001 - a button's fault would vanish in a log
            desk.notice = (
                str(error.args[0]) if error.args and isinstance(error, ValueError | LookupError | OSError | RuntimeError)
                else f"'{label}' could not be done ({type(error).__name__}). Your work is saved as it was before."
            )

    b.on_click(pressed)
    return b


class Work:
    """Work of some seconds, done aside: a button that begins it, a bar, a stop; ``said`` tells what came of it.

    ``job()`` is called as the button is pressed, and returns ``run(progress, stopped)``, which is called aside:
    ``progress(done, of)`` moves the bar, ``stopped()`` says whether to end early. A fault is told in ``said``.
    """

    def __init__(self, desk: Desk, label: str, job, hint: str = ""):
        self.said = w.HTML()
        self._job, self._stop = job, threading.Event()
        self.bar = w.FloatProgress(min=0, max=1, layout=w.Layout(width="200px", visibility="hidden"))
        self.go = button(desk, label, self._begin, hint)
        self.halt = button(desk, "Stop", self._stop.set)
        self.halt.disabled = True
        self.row = w.HBox([self.go, self.halt, self.bar], layout=w.Layout(flex_flow="row wrap"))

    def say(self, html: str) -> None:
        """Tell something beneath the button."""
        self.said.value = show.page(html)

    def _begin(self) -> None:
        run = self._job()
        self._stop.clear()
        self.bar.value, self.bar.layout.visibility = 0.0, "visible"
        self.go.disabled, self.halt.disabled = True, False
        threading.Thread(target=self._run, args=(run,), daemon=True).start()

    def _run(self, run) -> None:
        def progress(done, of=1.0):
            self.bar.value = done / of if of else 1.0

        try:
            run(progress, self._stop.is_set)
        except Exception as error:  # noqa: BLE001 - a fault in a thread would be lost
            self.say(f'<p class="fails">{escape(str(error) or type(error).__name__)}</p>')
        finally:
            self.bar.layout.visibility = "hidden"
            self.go.disabled, self.halt.disabled = False, True


def folded(*titled, opened: int | None = None) -> w.Accordion:
    """Parts under titles, opened one at a time: folded(("Saw and planer", widget), ...)."""
    fold = w.Accordion([widget for _, widget in titled], selected_index=opened)
    for i, (words, _) in enumerate(titled):
        fold.set_title(i, words)
    return fold


def fill(box: w.Box, anew) -> None:
    """Put widgets made anew into a box: what was unfolded stays so, and the former ones are closed, here and in the browser."""
    former, anew = box.children, tuple(anew)
    as_unfolded(former, anew)
    box.children = anew
    put_away(one for one in former if one not in anew)


def put_away(widgets) -> None:
    """Close widgets and all within: nobody sees them any more, and each opening of the page would load them again."""
    for one in widgets:
        put_away(getattr(one, "children", ()))
        for part in (getattr(one, "style", None), one.layout, one):
            if isinstance(part, w.Widget):
                part.close()


def as_unfolded(former, anew) -> None:
    """Unfold in widgets made anew what was unfolded in the former ones, told apart by their titles and their order."""
    stood: dict[tuple, list] = {}
    for fold in _folds(former):
        stood.setdefault((type(fold), fold.titles), []).append(fold.selected_index)
    for fold in _folds(anew):
        if known := stood.get((type(fold), fold.titles)):
            fold.selected_index = known.pop(0)


def _folds(widgets):
    for one in widgets:
        if isinstance(one, w.Accordion | w.Tab):
            yield one
        yield from _folds(getattr(one, "children", ()))


def quiet(words: str) -> w.HTML:
    """A word beside a control that is no ``Field``, as a field's own note looks."""
    return w.HTML(_beside(words), layout=w.Layout(margin="0 0 0 4px"))


def _beside(words: str) -> str:
    return f'<div style="color:#6d655b;font-size:12px;line-height:1.25">{escape(show.words(words))}</div>' if words else ""


def heading(words: str) -> w.HTML:
    return w.HTML(show.page(f"<h2>{escape(words)}</h2>"))


PAGES = {
    "book": ("00_book", "Book"), "brief": ("01_brief", "Brief"), "timber": ("02_timber", "Timber"), "sizes": ("03_sizes", "Sizes"),
    "joints": ("04_joints", "Joints"), "look": ("05_look", "Look"), "boards": ("06_boards", "Boards"),
    "price": ("07_price", "Price"), "record": ("08_record", "Record"), "workshop": ("09_workshop", "Workshop"),
    "client": ("10_client", "For the client"), "sources": ("11_sources", "Sources"),
}
"""File and name of each page, in order."""


def link(stage: str, words: str = "", here: bool = False, hint: str = "") -> str:
    """A link to another page; followed within the workbook where it is open, else as any link is."""
    file, name = PAGES[stage]
    marked = ' class="here" aria-current="page"' if here else ""
    tip = f' title="{escape(hint, quote=True)}"' if hint else ""
    return f'<a href="{file}.ipynb" data-page="{file}.ipynb"{marked}{tip}>{words or escape(name)}</a>'


MARKS = {Verdict.STANDS: "\u2713", Verdict.LOOK_AGAIN: "\u25b3", Verdict.FAILS: "\u2717", Verdict.OPEN: "?"}


def way(desk: Desk, here: str) -> str:
    """All pages in order with how each stands, this one marked."""
    stood = {s.stage: s for s in stages(desk.derived)}
    links = []
    for stage, (_, name) in PAGES.items():
        s = stood.get(stage)
        mark = ""
        if s is not None and s.verdict is not None:
            mark = f' <span class="{show.WORDS[s.verdict][0]}">{MARKS[s.verdict]}</span>'
        links.append(link(stage, escape(name) + mark, stage == here, s.says if s else ""))
    return f'<nav class="way" aria-label="Pages">{" ".join(links)}</nav>'


def where_to_begin() -> w.HTML:
    """What stands on a page while the commission has no piece."""
    return w.HTML(show.page(
        f'<p class="big">There is no piece yet.</p><p>Say what it is on the {link("brief")} page, under <i>The piece</i>: '
        "choose a form, give it a name, press <i>Add it</i>. This page then fills by itself.</p>"
    ))


def onward(desk: Desk, here: str) -> w.HTML:
    """Where to go from this page, and what is still open there."""

    def draw() -> str:
        try:
            stage, why = next_step(desk.derived, here)
            left = left_open(desk.derived, here)
        except LookupError:
            return ""
        words = f"Still open here{': ' + escape(why) if why else ''}" if stage == here else link(
            stage, f"Next: {escape(PAGES[stage][1])}{': ' + escape(why) if why else ''}")
        still = ", ".join(f"{link(s.stage)} ({escape(s.says)})" for s in left)
        return f'<div class="next">{words}</div>' + (f'<div class="quiet">Left open: {still}</div>' if still else "")

    return live(desk, draw)


def about(here: str) -> w.HTML:
    """What a page decides, what it assumes and on whose word, folded away; the words of ``docs/pages``."""
    import mistune

    file = ABOUT / f"{PAGES[here][0]}.md"
    if not file.is_file():
        return w.HTML()
    words = file.read_text("utf-8").split("\n", 1)[1].replace("\n## ", "\n### ")
    return w.HTML(show.page(
        f"<details><summary>About this page: what it decides, what it assumes, its sources</summary>{mistune.html(words)}</details>"
    ))


def title(desk: Desk) -> w.HTML:
    """What commission this is, for whom; no more."""
    def draw() -> str:
        c = desk.commission
        for_whom = f' <span class="quiet">for {escape(c.client)}</span>' if c.client else ""
        return f'<div class="head dw-client"><span class="big">{escape(c.title)}</span>{for_whom}</div>'

    return live(desk, draw)


def top(desk: Desk, here: str = "") -> w.VBox:
    """Where this page stands in the job, what commission it is, how its checks stand, and what the maker should know."""

    def draw() -> str:
        c, stands = desk.commission, standing()
        return (
            f'<div class="head"><span class="big">{escape(c.title)}</span> '
            f'<span class="quiet">{escape(c.ref)}, for {escape(c.client or "a client without a name yet")}, '
            f'revision {desk.revision}, saved</span>{" &middot; " if stands else ""}{stands}{over_budget()}</div>{strip()}'
        )

    def strip() -> str:
        try:
            return way(desk, here)
        except LookupError:
            return ""

    def standing() -> str:
        try:
            open_ones = {f for f in desk.derived.as_answered(desk.derived.findings) if not f.stands}
        except LookupError:
            return ""
        held = sum(s.holds for s in desk.derived.stops)
        if held:
            words = f'<span class="fails">{held} {"stop holds" if held == 1 else "stops hold"} the papers back</span>'
            return words if here in ("brief", "price") else link("brief", words, hint="Each is answered on the Brief page, under 'Stops'")
        failing = sum(f.verdict is Verdict.FAILS for f in open_ones)
        unknown = sum(f.verdict is Verdict.OPEN for f in open_ones)
        if failing:
            return f'<span class="fails">{failing} will not do{where(Verdict.FAILS)}</span>'
        if unknown:
            return f'<span class="open">not known yet{where(Verdict.OPEN) or f": {unknown} checks"}</span>'
        if open_ones:
            return f'<span class="again">{len(open_ones)} to look at again{where(Verdict.LOOK_AGAIN)}</span>'
        return '<span class="stands">all checks stand</span>'

    def over_budget() -> str:
        budget = desk.commission.brief.budget
        if not budget or not desk.commission.items:
            return ""
        try:
            over = desk.derived.price.gross / budget - 1
        except LookupError:
            return ""
        if over < Decimal("0.005"):
            return ""
        words = f'<span class="fails">{100 * over:.0f} % over the budget</span>'
        return f' &middot; {words if here == "price" else link("price", words, hint="What would bring it within, on the Price page")}'

    def where(verdict: Verdict) -> str:
        on = [link(s.stage) for s in stages(desk.derived) if s.verdict is verdict]
        return f' ({", ".join(on)})' if on else ""

    def notice() -> str:
        return f'<div class="caution">{escape(show.words(desk.notice))}</div>' if desk.notice else ""

    def not_taken() -> str:
        n = len(desk.refused)
        many = "One entry was" if n == 1 else f"{n} entries were"
        named = escape("; ".join(called(path, desk.commission) for path in list(desk.refused)[:3]))
        return (f'<div class="caution">{many} not taken ({named}): see the red line beside {"its field" if n == 1 else "their fields"}. '
                "What stood there before still holds.</div>") if n else ""

    back = button(desk, "Undo", desk.undo)
    again = button(desk, "Redo", desk.redo)

    def offer():
        for one, words in zip((back, again), desk.book.can_undo(desk.ref), strict=True):
            one.disabled, one.tooltip = not words or bool(desk.book.read_only), words

    watched(desk, ["commission", "revision"], offer)
    return w.VBox([
        w.HBox([live(desk, draw, ("commission", "revision")), w.HBox([back, again], layout=w.Layout(flex="0 0 auto"))],
               layout=w.Layout(justify_content="space-between")),
        live(desk, notice, ("notice",)), live(desk, not_taken, ("refused",)), clashes(desk),
    ])


def clashes(desk: Desk) -> w.VBox:
    """Fields that someone else changed at the same time, each to be answered."""
    box, ears = w.VBox(), Ears()

    def one(clash) -> w.Widget:
        return w.HBox([
            w.HTML(show.page(f'<div class="caution">{escape(clash.label)}: it was {escape(clash.before)}.</div>')),
            button(desk, f"Theirs stays: {clash.theirs}"[:60], lambda: desk.settle(clash, False)),
            button(desk, f"Set mine: {clash.mine}"[:60], lambda: desk.settle(clash, True)),
        ], layout=w.Layout(align_items="center", flex_flow="row wrap"))

    def react():
        with ears:
            fill(box, (one(c) for c in desk.clashes))

    watched(desk, ["clashes"], react)
    return box


def _label(label: str, unit: str) -> str:
    return f"{label}, {unit}" if unit else label


def _number_text(value) -> str:
    return "" if value is None else f"{value:g}"


def _number_or_none(text_value: str):
    return as_number(text_value) if text_value.strip() else None


_THOUSANDS = re.compile(r"^\d{1,3}([.,])\d{3}$")


def as_number(text_value: str) -> float:
    """A number as a person types it. Raises ValueError saying what was typed."""
    typed = text_value.strip()
    if _THOUSANDS.match(typed):
        bare = typed.replace(",", "").replace(".", "")
        raise ValueError(f"Is {typed} {int(bare)}, or a little over {typed[: -4]}? Write {bare}, or more or fewer decimals.")
    try:
        return float(typed.replace(" ", "").replace(",", "."))
    except ValueError:
        raise ValueError(f"{text_value!r} is not a number; give one such as 1250, or leave it empty.") from None


_CURRENCY = re.compile(r"^([£€$]|[A-Z]{3}(?![A-Z]))?\s*(.*?)\s*([£€$]|[A-Z]{3})?$", re.DOTALL)
_SIGNS = {"£": ("GBP",), "€": ("EUR",), "$": ("USD", "CAD", "AUD", "NZD")}


def as_money(text_value: str, currency: str = "") -> str:
    """An amount as a person types it: 1250, 1250.50, 1 250,50, £2,500. Raises ValueError in words for another currency."""
    before, typed, after = _CURRENCY.match(text_value.strip()).groups()
    sign = before or after
    if sign and currency and currency not in _SIGNS.get(sign, (sign,)):
        raise ValueError(
            f"{text_value.strip()} is not in {currency}, which this job is reckoned in. Give it in {currency}, or choose another "
            "currency on the Price page, under 'Tax, rounding, payments, terms'."
        )
    if sign and _THOUSANDS.match(typed):  # with its sign it is money, and money never has three decimals
        typed = typed.replace(",", "").replace(".", "")
    try:
        as_number(typed)
    except ValueError as error:
        raise ValueError(str(error).replace("not a number; give one such as 1250", "no amount; give one such as 1250.00")) from None
    return typed.replace(" ", "").replace(",", ".")


def rebuilt(desk: Desk, build: Callable[[], list], key: Callable) -> w.VBox:
    """A column of widgets made anew only when ``key(commission)`` changes."""
    box, last, ears = w.VBox(), [None], Ears()

    def react():
        now = key(desk.commission)
        if now != last[0]:
            last[0] = now
            with ears:
                fill(box, build())

    watched(desk, ["commission"], react)
    return box


def refusal(desk: Desk, path: str, within: bool = True) -> w.HTML:
    """The refusal of a field that has no single widget of its own, and of all inside it unless those say it themselves."""

    def draw() -> str:
        said = [v for k, v in desk.refused.items() if k == path or (within and k.startswith(path + "."))]
        return f'<div class="dw-refused">{escape(" ".join(said))}</div>' if said else ""

    return live(desk, draw, ("refused",))


def thumbnail(desk: Desk, kept) -> str:
    """A kept picture in small, as HTML; empty for other files."""
    small = desk.book.thumbnail(desk.commission.ref, kept)
    if not small:
        return ""
    data = base64.b64encode(small).decode()
    return f'<img alt="{escape(kept.name)}" src="data:image/jpeg;base64,{data}" style="max-height:90px;max-width:130px">'
