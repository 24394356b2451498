"""Joints: proportions by the rules of the trade, changed by the maker, checked for strength."""

from __future__ import annotations

from html import escape

import ipywidgets as w

from studio_lib.forms.changes import YES_OR_NO, swap_of, swapped
from studio_lib.look.scenes import appearances, ground
from studio_lib.structure.joint_checks import account
from workbook import mending, parts, pointing, show
from workbook.desk import Desk
from workbook.panels import stops
from workbook.view3d import View3D

FOLLOWED = ("commission", "mended")


def panel(desk: Desk) -> w.Widget:
    def build():
        tabs = w.Tab([one_piece(desk, i) for i in range(len(desk.commission.items))])
        for i, item in enumerate(desk.commission.items):
            tabs.set_title(i, item.name)
        return [tabs]

    return w.VBox([parts.rebuilt(desk, build, lambda c: tuple((i.name, i.form) for i in c.items)), stops.panel(desk, "joints")])


def families(desk: Desk, index: int) -> dict[str, list]:
    """Joints of a piece by family, in the order they are made."""
    found: dict[str, list] = {}
    for joint in desk.derived.made[index].piece.joints:
        found.setdefault(joint.family, []).append(joint)
    return found


def one_piece(desk: Desk, index: int) -> w.Widget:
    view = View3D(height_px=340, show={"ground": ground(desk.derived)})

    def draw():
        if index < len(desk.derived.made):
            from studio_lib.solids import meshes

            piece = desk.derived.made[index].piece
            view.show_piece(meshes(piece), appearances(desk.derived), piece.name)

    def build():
        return [one_family(desk, index, family, joints, view) for family, joints in families(desk, index).items()]

    parts.watched(desk, ["commission"], draw)
    apart = w.FloatSlider(min=0, max=1, step=0.01, description="Taken apart", readout=False,
                          style={"description_width": "110px"}, layout=w.Layout(width="420px"))
    w.jslink((apart, "value"), (view, "apart"))
    hint = w.HTML(show.page('<div class="quiet">Touch a joint or a check below to see its members here.</div>'))
    return w.VBox([
        view, w.HBox([apart, hint], layout=w.Layout(flex_flow="row wrap", align_items="center")),
        pointing.live(desk, lambda: of_no_family(desk, index), view, FOLLOWED),
        parts.rebuilt(desk, build, lambda c: [(family, joints[0].kind, figures_of(joints[0])) for family, joints in families(desk, index).items()]),
        pointing.live(desk, lambda: screwed(desk, index), view, FOLLOWED),
        pointing.live(desk, lambda: every_joint(desk, index), view),
    ])


def figures_of(joint) -> dict[str, str]:
    """The figures of a joint that a maker may change, by name, each with its label."""
    return {name: label for name, label in joint.changeable.items() if name != "haunch_mm" or joint.at_leg_end}


def one_family(desk: Desk, index: int, family: str, joints, view: View3D) -> w.Widget:
    """The figures of one family of joints, and how they stand."""
    boxes = []
    for name, label in figures_of(joints[0]).items():
        path = f"items.{index}.joints.{family}.{name}"

        def value(_c, name=name):
            return float(getattr(families(desk, index)[family][0], name))

        by_rule = parts.button(desk, "By rule", lambda path=path: desk.change(path, None), "Take your own figure away")
        bound = figure(desk, path, label, value, name == "share")
        bound.children[0].children = (*bound.children[0].children[:1], by_rule)
        boxes.append(bound)
    stands = pointing.live(desk, lambda: standing(desk, index, family), view, FOLLOWED)
    stands.layout = w.Layout(flex="1 1 400px", min_width="0", margin="22px 0 0 0")
    figures = w.HBox(boxes, layout=w.Layout(flex_flow="row wrap"))
    return w.HBox([
        w.VBox([pointing.live(desk, lambda: title(desk, index, family), view), of_metal(desk, index, family), figures, another(desk, index, family)],
               layout=w.Layout(flex="0 1 735px")),
        stands,
    ], layout=w.Layout(flex_flow="row wrap", border_bottom="1px solid #e2d9c9"))


def become(desk: Desk, index: int, family: str, kind: str = "") -> None:
    """Make a family of joints another kind; without one, as the form makes it again."""
    item, now = desk.commission.items[index], families(desk, index)[family][0].kind
    desk.change(f"items.{index}.adjustments", swapped(item.adjustments, family, now, kind))


def another(desk: Desk, index: int, family: str) -> w.Widget:
    """Another kind of joint in place of this one: those that can be made here, worked out when asked for."""
    ask, place, ears = w.Button(description="Another kind of joint", layout=w.Layout(width="auto")), w.HBox(), parts.Ears()

    def asked(_b):
        with ears:
            kinds = desk.derived.kinds_for(index, family)
            words = [(f"{kind}{', no metal' if bare and desk.commission.brief.no_metal else ''}", kind) for kind, bare in kinds.items()]
            if not words:
                parts.fill(place, [w.HTML(show.page('<div class="quiet">No other kind on file can be made between these members.</div>'))])
                return
            kind = w.Dropdown(options=words, layout=w.Layout(width="240px"))
            parts.fill(place, [kind, parts.button(desk, "Make it so", lambda: become(desk, index, family, kind.value), "Its checks follow at once")])

    ask.on_click(asked)
    row = [ask, place]
    if swap_of(desk.commission.items[index].adjustments, family, families(desk, index)[family][0].kind):
        row.append(parts.button(desk, "As the form makes it", lambda: become(desk, index, family), "Take your own kind of joint away"))
    return w.HBox(row, layout=w.Layout(flex_flow="row wrap", margin="0 0 6px 30px"))


HIDES = {"plugged": "Plug the screws", "capped": "Cap the bolts", "hidden": "Take hidden hinges"}


def of_metal(desk: Desk, index: int, family: str) -> w.Widget:
    """Whether the joint keeps the client's wish about metal, and the choices that do, each to be taken at once."""

    def kept():
        there = index < len(desk.derived.made) and family in families(desk, index)
        return desk.derived.metal_kept(index, family) if there else None

    def build():
        found = kept()
        if found is None:
            return []
        told = w.HTML(show.page(f'<div class="{"stands" if found.stands else "fails"}">{escape(found.says)}</div>'))
        ways = [parts.button(desk, HIDES[n], lambda n=n, v=v: desk.change(f"items.{index}.joints.{family}.{n}", v)) for n, v in found.closes.items()]
        ways += [parts.button(desk, f"Make it {kind}", lambda kind=kind: become(desk, index, family, kind), "A joint without metal that can be made here") for kind in found.kinds]
        return [told, w.HBox(ways, layout=w.Layout(flex_flow="row wrap"))] if ways else [told]

    return parts.rebuilt(desk, build, lambda c: kept())


def figure(desk: Desk, path: str, label: str, value, of_one: bool) -> parts.Field:
    """One figure of a joint: a tick for yes or no, a length as the page shows lengths, else a number."""
    looks = {"style": {"description_width": "205px"}, "layout": w.Layout(width="285px")}
    if label.endswith(YES_OR_NO):
        box = w.Checkbox(description=label.removesuffix(YES_OR_NO), indent=False, layout=w.Layout(width="255px", margin="0 0 0 30px"))
        return parts.Field(desk, path, box, lambda c: bool(value(c)), float)
    if label.endswith(", mm"):
        box = w.Text(description=f"{label.removesuffix(', mm')}, {parts.length_unit()}", continuous_update=False, **looks)
        return parts.Field(desk, path, box, lambda c: parts.length_here(value(c)), parts.read_length_here)
    if label.endswith(", N"):
        return parts.load_box(desk, path, label, value, 5, wide=(205, 285))
    box = w.FloatText(description=label, continuous_update=False, step=0.05 if of_one else 1, **looks)
    return parts.Field(desk, path, box, value)


def title(desk: Desk, index: int, family: str) -> str:
    joints = families(desk, index).get(family, [])
    if not joints:
        return ""
    piece = desk.derived.made[index].piece
    figures = joints[0].setting_out(piece)
    touched = show.refs_of(dict.fromkeys(f"{piece.name}/{ref}" for j in joints for ref in (j.first, j.second)))
    said = show.lengths("; ".join(f"{k} {v}" for k, v in figures.items()))
    return f"<h2{touched}>{escape(family)}: {len(joints)} x {escape(joints[0].kind)}</h2><div class=quiet>{escape(said)}</div>"


def standing(desk: Desk, index: int, family: str) -> str:
    piece = desk.derived.made[index].piece
    return show.findings(desk.derived.findings_of_family(piece, family), mended=mending.of(desk, index)) + what_it_holds(desk.derived.held_by(piece, family))


def what_it_holds(held) -> str:
    """The most one joint takes in each way, what gives way first, and how good the evidence is; folded away until asked for."""
    if held is None:
        return ""
    rows = [(escape(way), escape(much), escape(by)) for way, much, by in account(held)]
    return (
        "<details><summary>What one of them holds</summary>" + show.table(("Way", "At the most", "What gives way first"), rows, numbers=(1,))
        + f'<div class="quiet">Lower values for a short load in this place. How good the evidence is: {escape(held.evidence)}.</div></details>'
    )


def screwed(desk: Desk, index: int) -> str:
    """Rows of screws that the form puts in: how many, from where, whether they keep the wish about metal, how they stand."""
    d = desk.derived
    if index >= len(d.made):
        return ""
    piece = d.made[index].piece
    rows: dict[str, list] = {}
    for row in piece.fixings:
        rows.setdefault(row.family, []).append(row)
    out = []
    for family, there in rows.items():
        touched = show.refs_of(dict.fromkeys(f"{piece.name}/{ref}" for r in there for ref in (r.near, r.far)))
        sizes = ", ".join(dict.fromkeys(f"{r.diameter_mm:g} x {r.length_mm:g} mm" for r in there))
        notes = "; ".join(dict.fromkeys(r.note for r in there if r.note))
        kept = d.metal_kept(index, family)
        told = f'<div class="{"stands" if kept.stands else "fails"}">{escape(kept.says)}</div>' if kept else ""
        out.append(
            f"<h2{touched}>{escape(family)}: {sum(r.count for r in there)} x screws</h2>"
            f'<div class="quiet">{escape(show.lengths("; ".join(filter(None, (sizes, piece.metal, notes)))))}</div>{told}'
            f"{show.findings(d.findings_of_family(piece, family), mended=mending.of(desk, index))}{what_it_holds(d.held_by(piece, family))}"
        )
    return "".join(out)


def of_no_family(desk: Desk, index: int) -> str:
    """What does not stand and belongs to no family of joints or screws: mortises that meet, the order of assembly."""
    d = desk.derived
    rest = d.findings_of_no_family(d.made[index].piece) if index < len(d.made) else ()
    return "" if all(f.stands for f in rest) else f"<h2>Beside the joints themselves</h2>{show.findings(rest, mended=mending.of(desk, index))}"


def every_joint(desk: Desk, index: int) -> str:
    found = desk.derived.findings_of(desk.derived.made[index].piece, "joints")
    return show.every_check(found)
