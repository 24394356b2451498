"""Look: the piece in three dimensions, new and weathered, and the files made from it."""

from __future__ import annotations

from html import escape
from pathlib import Path

import ipywidgets as w

from studio_lib.look.scenes import appearances, ground, picture, scene
from studio_lib.summary import in_years
from workbook import parts, show
from workbook.desk import Desk
from workbook.panels import drawings
from workbook.view3d import View3D


def panel(desk: Desk) -> w.Widget:
    view = View3D(height_px=560, show={"dimensions": False, "person": True, "ground": ground(desk.derived)})
    years = w.SelectionSlider(options=[(in_years(y), float(y)) for y in (0, 0.25, 0.5, 1, 2, 3, 5, 10)], value=0.0,
                              description="Age", style=parts.STYLE, layout=w.Layout(width="560px"))
    apart = w.FloatSlider(min=0, max=1, step=0.02, description="Taken apart", readout=False,
                          style=parts.STYLE, layout=w.Layout(width="520px"))
    person = w.Checkbox(value=True, description="a person, for scale", indent=False)
    sizes = w.Checkbox(value=False, description="overall sizes", indent=False)

    def draw():
        if desk.derived.made:
            view.show_scene(scene(desk.derived), appearances(desk.derived, years.value))

    def age(_change=None):
        view.years = years.value
        view.show_look(appearances(desk.derived, years.value))

    def what_shows(_change=None):
        view.show = {**view.show, "person": person.value, "dimensions": sizes.value}

    years.observe(age, "value")
    person.observe(what_shows, "value")
    sizes.observe(what_shows, "value")
    w.link((apart, "value"), (view, "apart"))
    parts.watched(desk, ["commission"], draw)

    said = w.HTML()

    def tell(_change=None):
        said.value = show.page(member_words(desk, view.selected))

    view.observe(tell, "selected")
    tell()
    return w.VBox([
        view,
        w.HBox([w.VBox([years, apart]), w.VBox([person, sizes])]),
        said,
        files(desk, view),
        drawings.panel(desk),
    ])


def member_words(desk: Desk, ref: str) -> str:
    """The member that was clicked, in the words of the cutting list."""
    ref = ref.split("/")[-1]
    for piece in desk.derived.pieces:
        if ref in piece.by_ref:
            m = piece.member(ref)
            joints = [j.family for j in piece.joints if ref in (j.first, j.second)]
            return (
                f"<p><b>{escape(m.ref)} {escape(m.name)}</b>: {piece.overall_length_mm(ref):.0f} long with its tenons, "
                f"{m.width_mm:.0f} wide, {m.thickness_mm:.0f} thick, mm. "
                f"{escape('; '.join(dict.fromkeys(joints)))}</p>"
            )
    return '<p class="quiet">Click a member to read its sizes. Drag to turn, wheel or pinch to come nearer, arrow keys to walk round it.</p>'


def files(desk: Desk, view: View3D) -> w.Widget:
    """Files for the client and for other programs."""
    said = w.HTML()

    def write():
        from studio_lib.look.scenes import client_page_html, glb_bytes, side_by_side
        from studio_lib.solids import step_bytes

        folder = desk.book.folder / "papers" / desk.commission.ref
        folder.mkdir(parents=True, exist_ok=True)
        said.value = show.page("<p>Drawing...</p>")
        d = desk.derived
        png, why_not = picture(d)
        made = {"client page.html": client_page_html(d).encode(), "piece.glb": glb_bytes(d), "piece.step": step_bytes(side_by_side(d))}
        if png:
            made["picture.png"] = png
        for name, content in made.items():
            (folder / name).write_bytes(content)
        left_out = "" if png else f" No picture: {why_not}"
        said.value = show.page(f"<p>Written to {escape(str(Path(folder)))}: {escape(', '.join(made))}.{escape(left_out)}</p>")

    return w.VBox([
        parts.button(desk, "Write picture, client page, GLB and STEP", write, "Into the job book's folder"), said,
    ])
