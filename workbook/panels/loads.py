"""Loads: what use puts on a piece, each with its source, and the maker's own figure."""

from __future__ import annotations

import ipywidgets as w

from studio_lib.structure.loads import NAMES, SEVERE, names_of, serves
from workbook import parts, show
from workbook.desk import Desk


def panel(desk: Desk, index: int) -> w.Widget:
    """One field a load; empty of the maker's figure it holds what the use of the piece asks."""
    names = names_of(serves(desk.commission.items[index].form), desk.commission.brief.use, desk.derived.children)
    where = w.HTML()

    def says():
        b = desk.commission.brief
        where.value = show.page(
            f'<p class="quiet">For {"public" if b.use == "public" else "household"} use, {b.place}: both are set on the Brief page. What lasts counts with creep and '
            "the lower strength timber keeps under it. What is made for children, used by the public, hung, lifted or guards a drop is for a test house or an engineer: the Brief page stops there.</p>"
        )

    parts.watched(desk, ["commission"], says)
    hard = SEVERE[serves(desk.commission.items[index].form)]
    path = f"items.{index}.loads"
    buttons = [parts.button(desk, "For the hardest use", lambda: desk.change(path, {**desk.commission.items[index].loads, **hard}),
                            "Highest levels of the furniture standards, from memory: check the standard before you promise it")] if hard else []
    return w.VBox([where, w.HBox(buttons), *(_field(desk, index, name) for name in names)])


def _field(desk: Desk, index: int, name: str) -> w.Widget:
    path = f"items.{index}.loads.{name}"

    def value(_commission):
        load = desk.derived.loads(index).get(name)
        return float(round(load.force_n)) if load else 0.0

    box = w.FloatText(description=NAMES[name], continuous_update=False, step=50, style={"description_width": "220px"}, layout=w.Layout(width="305px"))
    bound = parts.Field(desk, path, box, value)
    back = parts.button(desk, "As the use asks", lambda: desk.change(path, None), "Take your own figure away")

    def says():
        load = desk.derived.loads(index).get(name)
        if load is not None:
            bound.note(f"{load.what[0].upper()}{load.what[1:]} ({load.source}).")
        back.layout.display = "" if name in desk.commission.items[index].loads else "none"

    parts.watched(desk, ["commission"], says)
    bound.children[0].children = (*bound.children[0].children[:1], back, bound.children[0].children[1])
    return bound
