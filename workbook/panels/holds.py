"""What decides whether a piece holds: the shape it takes under that load, and the members pointed out in the view."""

from __future__ import annotations

from html import escape

import ipywidgets as w

from studio_lib.structure.bent import bent_svg
from studio_lib.structure.loads import CERTIFIES, NOT_CHECKED, serves
from workbook import parts, show
from workbook.desk import Desk

SHOWN = 8


def panel(desk: Desk, index: int, view) -> w.Widget:
    """A choice of what uses most of its strength or stiffness, drawn bent; its members lit in ``view`` when they do not stand, or when chosen."""
    choice = w.Dropdown(description="What decides", style={"description_width": "90px"}, layout=w.Layout(width="98%"))
    drawn = w.HTML()
    found: list = []

    def fill():
        piece = desk.derived.made[index].piece if index < len(desk.derived.made) else None
        found[:] = desk.derived.deciding(piece)[:SHOWN] if piece is not None and piece.members else []
        options = [(f"{100 * f.utilisation:.0f} % used: {f.subject}, {f.what}", k) for k, (f, _) in enumerate(found)]
        kept = choice.value if choice.value is not None and choice.value < len(options) else 0
        choice.options, choice.value = options, kept if options else None
        choice.layout.display = "" if options else "none"
        draw()

    def draw(_=None):
        if choice.value is None or choice.value >= len(found):
            drawn.value, view.lit = "", []
            return
        f, bent = found[choice.value]
        view.lit = list(f.refs) if not f.stands or choice.value else []
        more = f"<p><b>What would mend it:</b> {escape(f.mend)}</p>" if f.mend else ""
        drawn.value = show.page(
            f"<p>{escape(bent.case.says[0].upper() + bent.case.says[1:])}: {escape(f.says)}.</p>{bent_svg(bent, f.refs)}{more}"
            '<p class="quiet">Middles of the members, joints at their softest. Grey as it stands, dark as it moves, in colour what decides. '
            f"Guidance for a maker, no certificate: not checked are {NOT_CHECKED}. A test house certifies by "
            f"{CERTIFIES[serves(desk.commission.items[index].form)]}.</p>"
        )

    choice.observe(draw, "value")
    parts.watched(desk, ["commission"], fill)
    return w.VBox([choice, drawn])
