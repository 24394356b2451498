"""What decides whether a piece holds: the shape it takes under that load, and the members pointed out in the view."""

from __future__ import annotations

import threading
from html import escape

import ipywidgets as w

from studio_lib.finding import Verdict
from studio_lib.structure.bent import bent_svg
from studio_lib.structure.loads import NOT_CHECKED, certified, serves
from studio_lib.structure.mends import Mend, mends
from workbook import mending, parts, show
from workbook.desk import Desk

SHOWN = 8


def used(f) -> str:
    """How much a check uses; of a sway that stands only with stiff joints, with which joints that is."""
    stiff = f.what.startswith("sway") and f.verdict is Verdict.LOOK_AGAIN and f.utilisation <= 1
    return f"{100 * f.utilisation:.0f} % used" + (" if its joints are stiff, too much if they are soft" if stiff else "")


def panel(desk: Desk, index: int, view) -> w.Widget:
    """A choice of what uses most of its strength or stiffness, drawn bent; its members lit in ``view`` when they do not stand, or when chosen."""
    choice = w.Dropdown(description="What decides", style={"description_width": "90px"}, layout=w.Layout(width="98%"))
    drawn = w.HTML()
    found: list = []
    offered = Offered(desk, index, lambda: found[choice.value][0])

    def fill():
        piece = desk.derived.made[index].piece if index < len(desk.derived.made) else None
        found[:] = desk.derived.deciding(piece)[:SHOWN] if piece is not None and piece.members else []
        options = [(f"{used(f)}: {f.subject}, {f.what}", k) for k, (f, _) in enumerate(found)]
        kept = choice.value if choice.value is not None and choice.value < len(options) else 0
        choice.options, choice.value = options, kept if options else None
        choice.layout.display = "" if options else "none"
        draw()

    def draw(_=None):
        if choice.value is None or choice.value >= len(found):
            drawn.value, view.lit = "", []
            offered.begin(None)
            return
        f, _ = found[choice.value]
        offered.begin(f)
        view.lit = list(f.refs) if not f.stands or choice.value else []
        tell()

    def tell():
        if choice.value is None or choice.value >= len(found):
            return
        f, bent = found[choice.value]
        words, tried = mending.of(desk, index)(f)
        more = f"<p><b>What would mend it:</b> {escape(' '.join(filter(None, (words if tried else '', f.mend))))}</p>" if f.mend or tried else ""
        if bent is None:
            shape, key = f"<p>{escape(f.says[0].upper() + f.says[1:])}.</p>", ""
        else:
            shape = f"<p>{escape(bent.case.says[0].upper() + bent.case.says[1:])}: {escape(f.says)}.</p>{bent_svg(bent, f.refs)}"
            key = "Middles of the members, joints at their softest. Grey as it stands, dark as it moves, in colour what decides. "
        drawn.value = show.page(
            f'{shape}{more}<p class="quiet">{key}'
            f"Guidance for a maker, no certificate: not checked are {NOT_CHECKED}. "
            f"{certified(serves(desk.commission.items[index].form))}</p>"
        )

    choice.observe(draw, "value")
    parts.watched(desk, ["commission"], fill)
    parts.listen(desk, lambda _change: tell(), "mended")
    return w.VBox([choice, drawn, offered.box])


class Offered:
    """Single changes that mend what was chosen, worked out when asked for; each with its look and its price, to be taken or left."""

    def __init__(self, desk: Desk, index: int, chosen):
        self.desk, self.index, self.chosen = desk, index, chosen
        self.asked: object = None
        self.stop_now = threading.Event()
        self.start = parts.button(desk, "What would mend it, and its price", self._start, "Some seconds; nothing changes until you take one")
        self.stop = parts.button(desk, "Stop", lambda: self.stop_now.set())
        self.bar = w.FloatProgress(min=0, max=1, layout=w.Layout(width="150px"))
        self.rows = w.VBox()
        self.box = w.VBox([w.HBox([self.start, self.stop, self.bar]), self.rows])
        self._running(False)

    def begin(self, finding) -> None:
        """Show the button where something does not stand; what was found before belongs to another check."""
        self.stop_now.set()
        self.asked, self.rows.children = None, ()
        self.box.layout.display = "none" if finding is None or finding.stands else ""

    def _running(self, on: bool) -> None:
        self.start.disabled, self.bar.layout.visibility = on, "visible" if on else "hidden"
        self.stop.layout.display = "" if on else "none"

    def _start(self) -> None:
        self.asked = asked = object()
        self.stop_now = stop = threading.Event()
        self.bar.value = 0.0
        self._running(True)
        threading.Thread(target=self._run, args=(self.desk.derived, self.chosen(), asked, stop), daemon=True).start()

    def _run(self, derived, finding, asked, stop) -> None:
        try:
            got = mends(derived, self.index, finding, lambda part: setattr(self.bar, "value", part), stop.is_set)
            if self.asked is asked:
                self.rows.children = tuple(self._row(m) for m in got) or (w.HTML(show.page(
                    "<p>No section or joint figure by itself mends it. A count, a choice or a change of span that does stands beside the check below, under What to do, once it is found; "
                    "else change more than one.</p>")),)
        except Exception as error:  # noqa: BLE001 - a fault in a thread would be lost
            self.desk.notice = f"Looking for a mend stopped: {error}"
        finally:
            self._running(False)

    def _row(self, m: Mend) -> w.Widget:
        currency = self.desk.commission.rates.currency
        price = ("no board seen or sold is large enough" if not m.boards else "price not known yet" if m.dearer is None
                 else "costs the same" if not m.dearer else f"{abs(m.dearer):.2f} {currency} {'more' if m.dearer > 0 else 'less'}, tax included")
        then = f", {100 * m.used:.0f} % used then" if m.used is not None else ""
        but = f" <b>But {escape(m.breaks)} does not stand with it.</b>" if m.breaks else ""
        return w.HBox([
            w.HTML(show.page(f'<div style="line-height:1.35;padding:4px 0"><b>{escape(m.words)}</b>{then}: {m.looks}; {price}.{but}</div>'), layout=w.Layout(flex="1 1 0")),
            parts.button(self.desk, "Take it", lambda: self.desk.change(m.path, m.value)),
        ])
