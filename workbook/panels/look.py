"""Look: the piece in three dimensions, new and weathered, and the files made from it."""

from __future__ import annotations

import threading
from html import escape
from pathlib import Path

import ipywidgets as w

from studio_lib.drawings.general import reach
from studio_lib.look import scenes
from studio_lib.summary import in_years
from studio_lib.units import mm
from workbook import parts, pointing, show
from workbook.desk import Desk
from workbook.panels import drawings
from workbook.view3d import View3D, opening_slider

CUTS = (("no section", ""), ("cut across its length", "length"), ("cut across its width", "width"), ("cut level", "height"))


def panel(desk: Desk) -> w.Widget:
    d = desk.derived
    view = View3D(height_px=560, show={"person": scenes.person(d)[0], "door": True, "ground": scenes.ground(d)})
    looks = Looks(desk, view)

    def draw():
        if desk.derived.made:
            view.show_scene(scenes.scene(desk.derived), looks.appearances())

    parts.watched(desk, ["commission"], draw)
    return w.VBox([
        parts.live(desk, lambda: fault_words(desk)),
        view,
        w.HBox([looks.left, looks.right], layout=w.Layout(flex_flow="row wrap")),
        looks.said,
        kept_views(desk, looks),
        pointing.live(desk, lambda: members(desk), view),
        files(desk),
        drawings.panel(desk),
    ])


def fault_words(desk: Desk) -> str:
    return "".join(f'<div class="caution">{escape(said)}</div>' for said in scenes.faults(desk.derived))


class Looks:
    """The settings beside the view; none of them is in the document until a view is kept."""

    def __init__(self, desk: Desk, view: View3D):
        self.desk, self.view = desk, view
        wide, narrow = w.Layout(width="470px"), w.Layout(width="330px")
        d = desk.derived
        self.years = w.SelectionSlider(options=[(in_years(y), float(y)) for y in (0, 0.25, 0.5, 1, 2, 3, 5, 10)], value=0.0,
                                       description="Age", style={"description_width": "110px"}, layout=wide)
        self.apart = w.FloatSlider(min=0, max=1, step=0.01, description="Taken apart", readout=False,
                                   style={"description_width": "110px"}, layout=wide)
        self.opened = opening_slider(view, w.Layout(width="470px"))
        self.light = w.Dropdown(options=list(scenes.LIGHTS), value=scenes.light_of(d), description="Stands",
                                style={"description_width": "110px"}, layout=narrow)
        self.care = w.Dropdown(options=list(scenes.CARE), value=scenes.care_of(d), description="Surface",
                               style={"description_width": "110px"}, layout=narrow)
        self.cut = w.Dropdown(options=CUTS, value="", description="Section", style={"description_width": "110px"}, layout=narrow)
        self.cut_at = w.FloatSlider(min=0.01, max=0.99, step=0.005, value=0.5, readout=False, disabled=True,
                                    layout=w.Layout(width="200px"))
        self.person = w.Checkbox(value=True, description=f"a person of {scenes.person(d)[1]}", indent=False, layout=w.Layout(width="auto"))
        self.door = w.Checkbox(value=True, description=f"a wall with a door of {show.words('2.03 m')}", indent=False, layout=w.Layout(width="auto"))
        self.sizes = w.Checkbox(value=False, description="overall sizes", indent=False, layout=w.Layout(width="auto"))
        self.ruler = w.ToggleButton(value=False, description="Measure", tooltip="Click two points; near a corner the corner is taken",
                                    layout=w.Layout(width="auto"))
        self.first = parts.button(desk, "First view", self.to_first, "Back to where it was first seen from")
        self.said = w.HTML()
        self.left = w.VBox([
            self.years, self.apart, self.opened, w.HBox([self.light, self.care], layout=w.Layout(flex_flow="row wrap")),
            w.HBox([self.cut, self.cut_at]),
        ])
        self.right = w.VBox([
            self.person, self.door, self.sizes, w.HBox([self.ruler, self.first]),
        ], layout=w.Layout(margin="0 0 0 30px"))
        w.jslink((self.apart, "value"), (view, "apart"))
        w.jslink((self.ruler, "value"), (view, "measuring"))
        for control in (self.years, self.light, self.care):
            control.observe(self.wear, "value")
        for control in (self.cut, self.cut_at, self.person, self.door, self.sizes):
            control.observe(self.what_shows, "value")
        for name in ("selected", "measured", "measuring"):
            view.observe(self.tell, name)
        self.tell()

    def appearances(self) -> dict:
        return scenes.appearances(self.desk.derived, self.years.value, self.light.value, self.care.value)

    def wear(self, _change=None):
        self.view.years = self.years.value
        self.view.show_look(self.appearances())

    def what_shows(self, _change=None):
        self.cut_at.disabled = not self.cut.value
        cut = {"axis": self.cut.value, "at": self.cut_at.value} if self.cut.value else None
        self.view.show = {"person": self.person.value and scenes.person(self.desk.derived)[0], "door": self.door.value, "dimensions": self.sizes.value, "cut": cut}

    def to_first(self):
        self.apart.value = self.opened.value = 0.0
        self.cut.value = ""
        self.view.eye = {}
        self.view.send_state("eye")

    def tell(self, _change=None):
        view = self.view
        if view.measuring:
            found = view.measured.get("mm")
            words = (
                f"<p><b>{found:g} mm</b> between the two points.</p>" if found is not None
                else '<p class="quiet">Click two points. Near a corner the corner is taken. Escape starts again.</p>'
            )
        else:
            words = member_words(self.desk, view.selected, view.selected_piece)
        self.said.value = show.page(words)

    def as_kept(self, name: str) -> dict:
        eye = self.view.eye
        return {
            "name": name, "eye_from": eye.get("from"), "eye_at": eye.get("at"), "apart": self.apart.value, "opened": self.opened.value,
            "years": self.years.value, "cut": self.cut.value, "cut_at": self.cut_at.value,
            "light": self.light.value, "care": self.care.value,
        }

    def show_kept(self, kept) -> None:
        self.years.value = min((v for _, v in self.years.options), key=lambda v: abs(v - kept.years))
        self.light.value = kept.light if kept.light in scenes.LIGHTS else scenes.light_of(self.desk.derived)
        self.care.value = kept.care if kept.care in scenes.CARE else scenes.care_of(self.desk.derived)
        self.cut_at.value = kept.cut_at
        self.cut.value = kept.cut
        self.apart.value = kept.apart
        self.opened.value = kept.opened
        self.view.eye = {} if kept.eye_from is None else {"from": list(kept.eye_from), "at": list(kept.eye_at)}
        self.view.send_state("eye")


def kept_views(desk: Desk, looks: Looks) -> w.Widget:
    """Views kept in the document: keep the present one, go to one, let one go."""
    name = w.Text(placeholder="a name, as: from the door", layout=w.Layout(width="230px"), continuous_update=False)

    def rows():
        return [v.model_dump(mode="json") for v in desk.commission.views]

    def keep():
        wanted = name.value.strip() or f"view {len(desk.commission.views) + 1}"
        others = [v for v in rows() if v["name"] != wanted]
        if desk.change("views", [*others, looks.as_kept(wanted)]):
            name.value = ""

    def build():
        out = []
        for kept in desk.commission.views:
            out.append(w.HBox([
                parts.button(desk, kept.name, lambda kept=kept: looks.show_kept(kept), "Look at it this way again"),
                parts.button(desk, "\u00d7", lambda kept=kept: desk.change("views", [v for v in rows() if v["name"] != kept.name]),
                             f"Let go of the view '{kept.name}'"),
            ], layout=w.Layout(margin="0 10px 0 0")))
        return [w.HBox([*out, name, parts.button(desk, "Keep this view", keep, "Eye, age, section, taken apart, open; kept with the commission")],
                       layout=w.Layout(flex_flow="row wrap"))]

    return w.VBox([parts.rebuilt(desk, build, lambda c: c.views), parts.refusal(desk, "views")])


def members(desk: Desk) -> str:
    """Every line of the cutting list, each pointing at its members in the view."""
    lines = desk.derived.cutting_list
    several = len({r.piece for r in lines}) > 1
    rows = [
        (escape(reach(r.refs)),
         escape(f"{r.piece}: {r.name}" if several else r.name), r.count, mm(r.overall_length_mm), mm(r.width_mm),
         mm(r.thickness_mm), escape(r.ends))
        for r in lines
    ]
    head = ("Ref", "Name", "No. off", "Length with tenons", "Width", "Thickness", "Ends")
    return (
        '<details open><summary>Members, ' + parts.length_unit() + '. Touch a line to see them in the picture.</summary>'
        + show.table(head, rows, numbers=(2, 3, 4, 5), refs=[[f"{r.piece}/{ref}" for ref in r.refs] for r in lines], lengths=(3, 4, 5, 6)) + "</details>"
    )


def member_words(desk: Desk, ref: str, piece_name: str = "") -> str:
    """The member that was clicked, in the words of the cutting list."""
    ref = ref.split("/")[-1]
    for piece in desk.derived.pieces:
        if ref in piece.by_ref and piece_name in ("", piece.name):
            m = piece.member(ref)
            joints = [j.family for j in piece.joints if ref in (j.first, j.second)]
            return (
                f"<p><b>{escape(m.ref)} {escape(m.name)}</b>: {piece.overall_length_mm(ref):.0f} mm long with its tenons, "
                f"{m.width_mm:.0f} mm wide, {m.thickness_mm:.0f} mm thick. "
                f"{escape('; '.join(dict.fromkeys(joints)))}</p>"
            )
    beside = escape(scenes.shown_together(desk.derived))
    return f'<p class="quiet">{beside and beside + " "}Click a member to read its sizes. Drag to turn, wheel or pinch to come nearer, arrow keys to walk round it.</p>'


def files(desk: Desk) -> w.Widget:
    """Files for the client, for papers and for other programs, written one after the other; may be stopped."""
    said = w.HTML()
    stopped = threading.Event()

    def folder() -> Path:
        found = desk.book.folder / "papers" / desk.commission.ref
        found.mkdir(parents=True, exist_ok=True)
        return found

    def write(what, to: Path):
        """Runs aside: what is (file name -> a call that gives its bytes, or None and why not)."""
        written, left_out = [], []
        try:
            for name, make in what.items():
                if stopped.is_set():
                    left_out.append(f"stopped before {name}")
                    break
                said.value = show.page(f"<p>Making {escape(name)} ({len(written) + 1} of {len(what)}) ...</p>")
                content, why_not = make()
                if content is None:
                    left_out.append(f"{name}: {why_not}")
                    continue
                (to / name).write_bytes(content)
                written.append(name)
            said.value = show.page(
                f"<p>Written to {escape(str(to))}: {escape('; '.join(written)) or 'nothing'}.</p>"
                + "".join(f'<p class="again">{escape(words[0].upper() + words[1:])}.</p>' for words in left_out)
            )
        except Exception as error:  # noqa: BLE001 - a fault in a thread would be lost
            said.value = show.page(f'<p class="fails">Not all was written: {escape(str(error))}</p>')
        finally:
            client.disabled = pictures.disabled = False
            stop.disabled = True

    def begin(what):
        stopped.clear()
        client.disabled = pictures.disabled = True
        stop.disabled = False
        threading.Thread(target=write, args=(what(), folder()), daemon=True).start()

    def for_others():
        from studio_lib.solids import step_bytes

        d = desk.derived
        return {
            "client page.html": lambda: (scenes.client_page_html(d).encode(), ""),
            "piece.glb": lambda: (scenes.glb_bytes(d), ""),
            "piece.step": lambda: (step_bytes(scenes.side_by_side(d)), ""),
        }

    client = parts.button(desk, "Write client page, GLB and STEP", lambda: begin(for_others), "Into the job book's folder")
    pictures = parts.button(desk, "Write still pictures", lambda: begin(lambda: scenes.still_pictures(desk.derived)),
                            "New and aged, each piece from the front, one of each joint taken apart")
    stop = parts.button(desk, "Stop", stopped.set)
    stop.disabled = True
    return w.VBox([w.HBox([client, pictures, stop]), said])
