"""Loads: what use puts on a piece, each with its source, and the maker's own figure."""

from __future__ import annotations


import ipywidgets as w

from studio_lib.structure.loads import NAMES, SEVERE, goods, names_of, serves
from workbook import parts, show
from workbook.desk import Desk


def panel(desk: Desk, index: int) -> w.Widget:
    """One field a load; empty of the maker's figure it holds what the use of the piece asks."""
    names = names_of(serves(desk.commission.items[index].form), desk.commission.brief.use, desk.derived.children)
    where = w.HTML()

    def says():
        b = desk.derived.there(desk.commission.items[index]).commission.brief
        where.value = show.page(
            f'<p class="quiet">For {"public" if b.use == "public" else "household"} use, {b.place}: both are set on the Brief page. What lasts counts with creep and '
            "the lower strength timber keeps under it. What is made for children, used by the public, hung, lifted or guards a drop is for a test house or an engineer: the Brief page stops there.</p>"
        )

    parts.watched(desk, ["commission"], says)
    kind = serves(desk.commission.items[index].form)
    rocks = [parts.tick(desk, f"items.{index}.leans_back", "Someone leans back on two legs",
                        "the sideways and backward loads of severe use, for this piece alone")] if kind == "seat" else []
    path = f"items.{index}.loads"

    def hardest():
        there = desk.derived.loads(index)
        desk.change(path, {**desk.commission.items[index].loads, **{n: v for n, v in SEVERE[kind].items() if n in there}})

    buttons = [parts.button(desk, "For the hardest use", hardest,
                            "Highest levels of the furniture standards, from memory: check the standard before you promise it")] if SEVERE[kind] else []
    return w.VBox([where, w.HBox(buttons), *rocks, *(_field(desk, index, name) for name in names), _shelves(desk, index)])


def _shelves(desk: Desk, index: int) -> w.Widget:
    """What stands on each shelf; nothing where the piece has none."""
    def build():
        found = desk.derived.shelves(index)
        if not found:
            return []
        usual = desk.derived.loads(index)["books"].kg
        return [
            parts.quiet("What stands on each shelf. Where you say nothing it is what stands on all of them, above, and the load on each metre "
                        "of shelf among the sizes."),
            *(_shelf(desk, index, ref, name, usual) for ref, name in found),
        ]

    return parts.rebuilt(desk, build, lambda c: (
        tuple(desk.derived.shelves(index)), round(desk.derived.loads(index)["books"].force_n) if desk.derived.shelves(index) else 0))


def _shelf(desk: Desk, index: int, ref: str, name: str, usual: float) -> w.Widget:
    path = f"items.{index}.on_shelves.{ref}"
    said = desk.derived.stands_on(index).get(ref)
    options = [(f"as the brief has it, {said}: {goods()[said].kg:.0f} kg/m2" if said else f"as on all: {usual:.0f} kg/m2", "")] + [(f"{kept}: {load.kg:.0f} kg/m2", kept) for kept, load in goods().items()]
    options = [(show.words(words), kept) for words, kept in options]
    box = w.Dropdown(description=f"{name[0].upper()}{name[1:]}", options=options, style={"description_width": "100px"}, layout=w.Layout(width="400px"))
    return parts.Field(desk, path, box, lambda c: c.items[index].on_shelves.get(ref, ""), lambda kept: kept or None)


def _field(desk: Desk, index: int, name: str) -> w.Widget:
    path = f"items.{index}.loads.{name}"

    def value(_commission):
        load = desk.derived.loads(index).get(name)
        return (load.force_n if show.shown().inches else float(round(load.force_n))) if load else 0.0

    bound = parts.load_box(desk, path, NAMES[name], value, step=50)
    back = parts.button(desk, "As the use asks", lambda: desk.change(path, None), "Take your own figure away")

    def says():
        load = desk.derived.loads(index).get(name)
        if load is not None:
            bound.note(f"{load.what[0].upper()}{load.what[1:]} ({load.source}).")
        bound.layout.display = "" if load is not None else "none"
        back.layout.display = "" if name in desk.commission.items[index].loads else "none"

    parts.watched(desk, ["commission"], says)
    bound.children[0].children = (*bound.children[0].children[:1], back, bound.children[0].children[1])
    return bound
