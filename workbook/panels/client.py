"""For the client: the piece, the ways to make it, what it may cost, how it grows old. Nothing of the workshop."""

from __future__ import annotations

from html import escape

import ipywidgets as w

from studio_lib.look import scenes
from studio_lib.papers.presented import presented
from studio_lib.summary import in_years
from workbook import parts, show
from workbook.desk import Desk
from workbook.view3d import View3D, opening_slider


def panel(desk: Desk) -> w.Widget:
    def build():
        if not desk.commission.items:
            return [w.HTML(show.page(f'<p class="quiet">There is no piece to show yet. Begin on the {parts.link("brief")} page.</p>'))]
        return [Showing(desk).box]

    return parts.rebuilt(desk, build, lambda c: (tuple((o.name, o.to_client) for o in c.options), bool(c.items)))


class Showing:
    """One view, the age and care of it, and a few sentences."""

    def __init__(self, desk: Desk):
        self.desk = desk
        self.view = View3D(height_px=520, show={"ground": scenes.ground(desk.derived), "dimensions": False})
        self.ways = presented(desk.derived)
        names = [p.name for p in self.ways]
        narrow = {"style": {"description_width": "110px"}}
        self.which = w.ToggleButtons(options=names, style={"button_width": "auto"},
                                     value=desk.commission.chosen if desk.commission.chosen in names else next(iter(names), None))
        self.age = w.ToggleButtons(options=[(in_years(y), float(y)) for y in scenes.STAGES], value=0.0, style={"button_width": "120px"})
        kept = scenes.ways_to_keep(desk.derived)
        self.keep = w.Dropdown(options=[(f"{light}, {care}", (light, care)) for light, care in kept], value=kept[0],
                               description="Kept", layout=w.Layout(width="420px"), **narrow)
        self.apart = w.FloatSlider(min=0, max=1, step=0.01, readout=False, description="Taken apart", layout=w.Layout(width="420px"), **narrow)
        self.opened = opening_slider(self.view, w.Layout(width="420px"))
        self.person = w.Checkbox(value=False, description=f"a person of {scenes.person(desk.derived)[1]} beside it", indent=False, layout=w.Layout(width="auto", margin="0 0 0 24px"))
        self.words = w.HTML()
        w.jslink((self.apart, "value"), (self.view, "apart"))
        self.which.observe(self.draw, "value")
        for control in (self.age, self.keep):
            control.observe(self.wear, "value")
        self.person.observe(lambda _: self.view.set_trait("show", {"person": self.person.value and scenes.person(self.desk.derived)[0]}), "value")
        parts.watched(desk, ["commission"], self.again)
        choice = [self._named("Ways to make it", self.which)] if len(names) > 1 else []
        self.box = w.VBox([
            self.view, *choice, self._named("Its age", self.age), w.HBox([self.keep, self.apart, self.opened, self.person], layout=w.Layout(flex_flow="row wrap")), self.words,
            w.HTML(show.page(f'<p class="quiet" style="margin-top:60px">{parts.link("price", "Back to the workbook")}</p>')),
        ])

    @staticmethod
    def _named(words: str, control: w.Widget) -> w.HBox:
        return w.HBox([w.Label(words, layout=w.Layout(width="112px")), control], layout=w.Layout(flex_flow="row wrap"))

    def again(self):
        """Show what the document now says."""
        self.ways = presented(self.desk.derived)
        self.draw()

    @property
    def one(self):
        return next((p for p in self.ways if p.name == self.which.value), self.ways[0] if self.ways else None)

    def looks(self) -> dict:
        light, care = self.keep.value
        return scenes.appearances(self.one.derived, self.age.value, light, care)

    def draw(self, _change=None):
        if self.one is None:
            return
        self.view.show_scene(scenes.scene(self.one.derived), self.looks())
        price = f'<p class="big">{escape(self.one.price)}</p>' if self.one.price else ""
        self.words.value = show.page(
            "".join(f"<p>{escape(line)}</p>" for line in (*self.one.sizes, self.one.timber)) + price
            + '<p class="quiet">Colours are a guess; your timber will have its own. Ask to see a board.</p>'
        )

    def wear(self, _change=None):
        self.view.years = self.age.value
        if self.one is not None:
            self.view.show_look(self.looks())
