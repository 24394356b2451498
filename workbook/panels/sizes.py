"""Sizes: proposed from bodies and the brief, moved by the maker, checked at once."""

from __future__ import annotations

from html import escape

import ipywidgets as w

from studio_lib.drawings.seasons import slats_svg
from studio_lib.forms import form
from studio_lib.forms.family import in_common, taken_over
from studio_lib.forms.form import as_given
from studio_lib.handover.delivery import WALLS
from studio_lib.look.scenes import appearances, ground
from studio_lib.showing import snapped
from studio_lib.structure.loads import serves
from studio_lib.units import mm, overall
from workbook import mending, parts, pointing, show
from workbook.desk import Desk
from workbook.panels import changes, holds, loads, slender, stops, timber
from workbook.view3d import View3D

GROUPS = {"overall": "Overall", "top": "The top", "frame": "The frame under it", "wall": "Its hold on the wall"}

OR_NONE = ", 0 for none"
"""How the label of a size ends that most pieces do without: no slider runs through what it cannot be."""
LONG_WORDS = 28
"""A choice with longer words takes the room of its label too."""


def panel(desk: Desk) -> w.Widget:
    def build():
        tabs = w.Tab([one_piece(desk, i) for i in range(len(desk.commission.items))])
        for i, item in enumerate(desk.commission.items):
            tabs.set_title(i, item.name)
        return [tabs]

    return w.VBox([
        timber.stand_ins(desk, waiting_only=True), parts.rebuilt(desk, build, lambda c: tuple((i.name, i.form) for i in c.items)), stops.panel(desk, "sizes"),
    ])


def one_piece(desk: Desk, index: int) -> w.Widget:
    """Size fields on the left; the piece and how it stands on the right."""
    made = form(desk.commission.items[index].form)
    by_group: dict[str, list] = {}
    for s in made.sizes:
        by_group.setdefault(s.group, []).append(s)
    groups = [
        ("The frame" if group == "frame" and serves(made.name) == "screen" else GROUPS.get(group, group.capitalize()), fold(desk, index, sizes, group))
        for group, sizes in by_group.items()
    ]
    slim = [("As slender as it dares", slender.panel(desk, index))] if slender.may_be_slimmed(made.name) else []
    view = View3D(height_px=400, show={"dimensions": True, "ground": ground(desk.derived)})

    def draw():
        if index < len(desk.derived.made):
            from studio_lib.solids import meshes

            piece = desk.derived.made[index].piece
            view.show_piece(meshes(piece), appearances(desk.derived), piece.name)

    parts.watched(desk, ["commission"], draw)
    right = w.VBox([view, holds.panel(desk, index, view), pointing.live(desk, lambda: figures(desk, index), view, ["commission", "mended"])], layout=w.Layout(flex="1 1 480px", margin="0 0 0 14px"))
    rest = [("Loads", loads.panel(desk, index)), ("Changes of your own", changes.panel(desk, index))]
    # A piece built freehand has no sizes: what is open then is where it is built.
    left = parts.folded(*groups, *slim, *(rest if groups else rest[::-1]), opened=0)
    if groups:
        left = w.VBox([put_back(desk, index), *([family(desk, index)] if len(desk.commission.items) > 1 else []), left])
    left.layout = w.Layout(width="470px", align_self="flex-start")
    return w.HBox([left, right], layout=w.Layout(flex_flow="row wrap"))


def put_back(desk: Desk, index: int) -> w.Widget:
    """One press: every size of the maker's own away again, but those that the client or the place gives."""

    def build() -> list[w.Widget]:
        if index >= len(desk.commission.items):
            return []
        item = desk.commission.items[index]
        left = as_given(form(item.form), item.sizes)
        own = len(item.sizes) - len(left)
        # One alone is put back beside its field.
        return [parts.button(desk, f"All {own} sizes of your own as proposed again", lambda: desk.change(f"items.{index}.sizes", left),
                             "What the client or the place gives stays; Undo brings yours back")] if own > 1 else []

    return parts.rebuilt(desk, build, lambda c: tuple(c.items[index].sizes) if index < len(c.items) else ())


def family(desk: Desk, index: int) -> w.Widget:
    """One press: the sections of another piece of the commission, so that the two look like one family."""
    own = desk.commission.items[index].form
    others = [(item.name, i) for i, item in enumerate(desk.commission.items) if i != index and in_common(own, item.form)]
    if not others:
        return w.VBox()
    which = w.Dropdown(options=others, description="To look like", style={"description_width": "100px"}, layout=w.Layout(width="300px"))
    said = w.HTML()

    def take():
        taken = desk.derived.sections_from(index, which.value)
        name = desk.commission.items[which.value].name
        if taken.told and not desk.put(taken_over(desk.commission, index, taken), f"sections as {name}: {'; '.join(taken.told)}"):
            return
        said.value = show.page(f"<p>{escape(taken.says)}</p>")

    press = parts.button(desk, "Take its sections", take, "Legs, slats, rails, gaps, arrises and tapers, as far as both pieces have them; Undo takes it all back")
    return w.VBox([w.HBox([which, press], layout=w.Layout(flex_flow="row wrap", align_items="center")), said])


def field(desk: Desk, index: int, s) -> w.Widget:
    """One size: its box, a slider for the overall sizes, and on whose word it stands."""
    path = f"items.{index}.sizes.{s.name}"

    def value(_commission):
        return desk.derived.made[index].sizes[s.name]

    is_length, is_load = s.unit == "mm", s.unit in ("N", "kg") and not s.name.endswith("_kg_m")
    unit = parts.length_unit() if is_length else s.unit
    looks = {
        "description": f"{s.label}{', ' + unit if unit else ''}", "style": {"description_width": "220px"},
        "layout": w.Layout(width="380px" if s.choices else "305px"),
    }
    if s.choices and max(map(len, s.choices)) > LONG_WORDS:
        looks |= {"style": {"description_width": "100px"}, "layout": w.Layout(width="400px")}
    if s.choices:
        box = w.Dropdown(options=[(show.words(words), k) for k, words in enumerate(s.choices)], **looks)
    elif is_length:
        box = w.Text(continuous_update=False, **looks)
    elif is_load:
        bound = parts.load_box(desk, path, f"{s.label}, {s.unit}", lambda c: float(value(c)), step=5)
    else:
        kind = w.IntText if s.whole else w.FloatText
        box = kind(continuous_update=False, step=1 if s.whole or s.high < 100 else 5, **looks)
    if is_length:
        bound = parts.Field(desk, path, box, lambda c: parts.length_here(value(c)), parts.read_length_here)
    elif not is_load:
        bound = parts.Field(desk, path, box, lambda c: int(value(c)) if s.whole else float(value(c)))

    def proposed(figure) -> str:
        return s.words(figure) if s.choices else f"{mm(figure)} {s.unit}" if is_length or is_load else mm(figure)

    def says():
        item = desk.commission.items[index]
        proposal = desk.derived.made[index].proposals[s.name]
        own = s.name in item.sizes
        suits = desk.derived.suits(index).get(s.name)
        body = f" {suits.name.capitalize()} {suits.says.partition(';')[0]}." if suits else ""
        bound.note(
            (f"Yours; proposed {proposed(proposal.value)}: {proposal.why}." if own else f"{proposal.why} ({proposal.source}).")
            + body + (f" {also}" if (also := desk.followed.get(path)) else "")
        )
        back.layout.display, keep.layout.display = ("", "none") if own else ("none", "")

    keep = parts.button(desk, "Keep", lambda: desk.change(path, float(value(None))), "This figure then stays, whatever else is moved")
    back = parts.button(desk, "As proposed", lambda: desk.change(path, None), "Take your own figure away")
    parts.watched(desk, ["commission", "followed"], says)
    bound.children[0].children = (*bound.children[0].children[:1], back, keep, bound.children[0].children[1])
    rows = [bound]
    if s.group == "overall" and not s.whole and not s.label.endswith(OR_NONE):
        slide = w.FloatSlider(min=s.low, max=s.high, step=5, readout=False, layout=w.Layout(width="180px", margin="0 0 0 222px"))
        moved = parts.Field(desk, path, slide, lambda c: float(value(c)), lambda v: snapped(v, show.shown()))
        moved.children = moved.children[:1]
        rows.append(moved)
    whole = w.VBox(rows)

    def shown():
        if index < len(desk.derived.made):
            unused = form(desk.commission.items[index].form).unused(desk.derived.made[index].sizes)
            whole.layout.display = "none" if s.name in unused else ""

    parts.watched(desk, ["commission"], shown)
    return whole


def fold(desk: Desk, index: int, sizes, group: str = "") -> w.Widget:
    """What is under one title; the page leaves the title out while none of it means anything as the piece is made."""
    says = parts.quiet("Nothing here has an effect as the piece is made now.")
    # What the wall is of is one for the whole job, and is asked on Workshop too.
    wall = [parts.choice(desk, "handover.wall", "The wall is of", [("not seen yet", ""), *((kind, kind) for kind in WALLS)])] if group == "wall" else []
    whole = w.VBox([*wall, *(field(desk, index, s) for s in sizes), says])

    def shown():
        if index < len(desk.derived.made):
            unused = form(desk.commission.items[index].form).unused(desk.derived.made[index].sizes)
            idle = all(s.name in unused for s in sizes)
            says.layout.display = "" if idle else "none"
            (whole.add_class if idle else whole.remove_class)("dw-idle")

    parts.watched(desk, ["commission"], shown)
    return whole


def figures(desk: Desk, index: int) -> str:
    """Weight, movement and what the checks say of this piece."""
    d = desk.derived
    made = d.made[index]
    name = made.piece.name
    text = f"<h2>{escape(name)}: {overall(*made.piece.overall_mm)} mm"
    if name in d.weights_kg:
        text += f", {d.weights_kg[name]:.0f} kg"
    text += "</h2>"
    if d.species is not None and name in d.slat_gaps:
        wet, when_made, dry = d.slat_gaps[name]
        slat, _, thick = form(made.item.form).slats(made.sizes)
        text += (
            f"<p>Gaps between slats: {wet:.1f} mm at the wettest, {when_made:.1f} mm when made, "
            f"{dry:.1f} mm at the driest.</p>"
            + slats_svg(slat, when_made, wet, dry, thick)
        )
    if through := d.seen_through(index):
        text += f"<p>{through}</p>"
    for says in filter(None, (d.fixing_of(index), d.joining_of(index), d.hanging_of(index))):
        text += f"<p>{escape(says[0].upper() + says[1:])}.</p>"
    mine = d.findings_of(made.piece, "sizes")
    return text + show.findings(mine, mended=mending.of(desk, index)) + show.every_check(mine)
