"""As slender as it dares: sizes taken down while every check keeps its reserve; a curve to pick from."""

from __future__ import annotations

from html import escape

import ipywidgets as w

from studio_lib.structure.curve import curve_svg
from studio_lib.structure.slender import may_be_slimmed, nothing_off, slender
from studio_lib.structure.trial import timber_m3
from workbook import parts, show
from workbook.desk import Desk


def panel(desk: Desk, index: int) -> w.Widget:
    words = dict(may_be_slimmed(desk.commission.items[index].form))
    chosen = w.SelectMultiple(
        options=[(label, name) for name, label in words.items()], value=tuple(words), rows=min(len(words), 8),
        description="May shrink", style={"description_width": "90px"}, layout=w.Layout(width="400px"),
    )
    curve = w.VBox()

    def job():
        asked, names = desk.derived.to_be_slimmed(index), list(chosen.value)

        def run(progress, stopped):
            points = slender(asked, names, progress=progress, stop=stopped)
            if desk.derived.to_be_slimmed(index) != asked:
                work.say('<p class="again">The piece was changed while it looked. Look again.</p>')
                return
            work.say(
                "<p>Least timber that keeps its reserve in strength, sag, sway and tipping. It is guidance: joints of "
                "furniture size are poorly tested, so keep some.</p>" + curve_svg(points, timber_m3(desk.derived.made[index].piece)) if points
                else "<p>Stopped before anything was found.</p>" if stopped()
                else f"<p>{escape(nothing_off(asked))}</p>"
            )
            # A step that takes nothing more off says nothing new.
            told = [p for k, p in enumerate(points) if k == 0 or (p.sizes, p.reads) != (points[k - 1].sizes, points[k - 1].reads)]
            curve.children = tuple(row(p) for p in told)

        return run

    def row(p) -> w.Widget:
        now = desk.derived.made[index].sizes
        def told(n, v):
            sawn = p.sawn_mm.get(n)
            return f"{words[n][0].lower()}{words[n][1:]} {v:g} mm" + (f" from {sawn:g} mm sawn" if sawn else ", glued up" if n in p.sawn_mm else "")

        sizes = ", ".join(told(n, v) for n, v in p.sizes.items() if v != now[n]) or "as it stands"
        text = (
            f"<b>{100 * p.reserve:.0f} % in reserve</b>: {1000 * p.timber_m3:.1f} litres of timber, {p.seen_m2:.2f} m2 to be seen. "
            f"{escape(sizes[0].upper() + sizes[1:])}. Decided by {escape(p.decides)}."
            + (f" {escape(p.reads[0].upper() + p.reads[1:])}." if p.reads else "")
        )
        return w.HBox([
            w.HTML(f'<div style="line-height:1.35;padding:4px 0">{show.words(text)}</div>', layout=w.Layout(flex="1 1 0")),
            parts.button(desk, "Take these", lambda: take(p)),
        ])

    def take(p):
        item = desk.commission.items[index]
        taken = item.model_copy(update={"sizes": {**item.sizes, **p.sizes}, "adjustments": (*item.adjustments, *p.shaped)})
        desk.change(f"items.{index}", taken.model_dump(mode="json"))

    work = parts.Work(desk, "Look how slender", job, "Some seconds; nothing changes until you take one")
    return w.VBox([chosen, work.row, work.said, curve, parts.refusal(desk, f"items.{index}", within=False)])
