"""The 3D view of a page: pieces to turn, take apart and click, drawn by the viewer in the browser."""

from __future__ import annotations

import threading

import ipywidgets as w
import traitlets as t

from studio_lib.look import bundle
from studio_lib.look.client_page import look_of
from studio_lib.look.glb import glb, opens
from studio_lib.look.still import still
from workbook.heard import LATE_JS, Heard
from workbook.show import shown as page_shows

# Shown until the viewer has been built; says so, with the still picture if there is one.
NOT_BUILT_JS = LATE_JS + """
export default { render({ model, el }) {
  hearLate(model);
  const note = document.createElement("p");
  note.textContent = "The 3D view has not been built on this computer yet; start the workbook once with the network.";
  const image = document.createElement("img");
  image.alt = "Still picture of the piece";
  image.style.maxWidth = "100%";
  const show = () => {
    const bytes = model.get("fallback");
    image.hidden = !bytes || !bytes.byteLength;
    if (!image.hidden) image.src = URL.createObjectURL(new Blob([bytes], { type: "image/png" }));
  };
  image.onload = () => URL.revokeObjectURL(image.src);
  model.on("change:fallback", show);
  el.replaceChildren(note, image);
  show();
  return () => model.off("change:fallback", show);
} };
"""

SHOWN_AT_FIRST = {"person": False, "door": False, "dimensions": False, "edges": True, "ground": "paving", "cut": None, "inch": 0}
STILL_PX, STILL_SAMPLES = (1100, 620), 8
CUTS = ("length", "width", "height")


class View3D(Heard):
    """Pieces in three dimensions.

    Turned with mouse, fingers or arrow keys; a click sets ``selected``. Geometry goes to
    the browser only when the scene's own bytes change.
    """

    scene = t.Bytes(b"").tag(sync=True)
    """Shapes and places, as ``studio_lib.look.glb.glb`` writes them without appearances."""
    look = t.Dict().tag(sync=True)
    """Appearance of each timber."""
    apart = t.Float(0.0).tag(sync=True)
    """0 assembled, 1 wholly taken apart."""
    opened = t.Float(0.0).tag(sync=True)
    """0 shut, 1 its doors, drawers and lids fully open."""
    can_open = t.Bool(False)
    """Whether anything that is shown opens."""
    lit = t.List(t.Unicode()).tag(sync=True)
    """References of members to point out: 'A3', or 'table/A3' where several pieces stand."""
    selected = t.Unicode("").tag(sync=True)
    """Reference of the member clicked last, '' for none; may be set from Python."""
    selected_piece = t.Unicode("").tag(sync=True)
    """Name of the piece it belongs to."""
    show = t.Dict(SHOWN_AT_FIRST).tag(sync=True)
    """person, door, dimensions, edges: true or false, person also as a height in m; ground: 'paving', 'floor' or ''; cut: None, or
    {'axis': 'length', 'width' or 'height', 'at': 0 to 1} for a section, the part beyond ``at`` taken away;
    inch: 0 for millimetres, else the parts an inch is divided into."""
    pointed = t.List(t.Unicode()).tag(sync=True)
    """Members under the pointer, or else the one clicked last: ['table/A3']; set by the browser."""
    measuring = t.Bool(False).tag(sync=True)
    """While true a click picks the ends of a distance, not a member."""
    measured = t.Dict().tag(sync=True)
    """The distance measured last: {'from': [x, y, z], 'to': [...], 'mm': 123.4}, mm in the axes of a piece; or {}."""
    eye = t.Dict().tag(sync=True)
    """Where the eye stands, once it has been moved: {'from': [x, y, z], 'at': [x, y, z]}, metres, y up; {} the first view."""
    wants_still = t.Bool(False).tag(sync=True)
    """Set by a browser that cannot draw; ``fallback`` then follows what is shown."""
    years = t.Float(None, allow_none=True).tag(sync=True)
    """Age named in the corner of the view; None names none."""
    height_px = t.Int(480).tag(sync=True)
    fallback = t.Bytes(b"").tag(sync=True)
    """PNG shown where the browser cannot draw."""
    snapshot = t.Bytes(b"").tag(sync=True)
    """PNG of the view as it stands, some time after ``take_picture``."""
    snapshot_asked = t.Int(0).tag(sync=True)

    def __init__(self, **given):
        shown = page_shows()
        given["show"] = {**SHOWN_AT_FIRST, "inch": shown.finest if shown.inches else 0, **given.get("show", {})}
        self._esm = bundle.viewer_js() or NOT_BUILT_JS
        self._shown = None
        self._still_asked, self._drawing, self._lock = False, None, threading.Lock()
        super().__init__(**given)
        self.observe(self._still_wanted, ["wants_still", "apart", "opened", "show"])

    @t.validate("opened")
    def _opened_is_a_share(self, proposal):
        if not 0 <= proposal.value <= 1:
            raise t.TraitError(f"opened is {proposal.value}; give 0 (shut) to 1 (fully open).")
        return proposal.value

    @t.validate("apart")
    def _apart_is_a_share(self, proposal):
        if not 0 <= proposal.value <= 1:
            raise t.TraitError(f"apart is {proposal.value}; give 0 (assembled) to 1 (taken apart).")
        return proposal.value

    @t.validate("show")
    def _show_is_known(self, proposal):
        unknown = set(proposal.value) - set(SHOWN_AT_FIRST)
        if unknown:
            raise t.TraitError(
                f"show has {', '.join(sorted(unknown))}; it takes {', '.join(SHOWN_AT_FIRST)}."
            )
        cut = proposal.value.get("cut")
        if cut is not None and (cut.get("axis") not in CUTS or not 0 <= cut.get("at", -1) <= 1):
            raise t.TraitError(f"cut is {cut}; give None, or an axis of {', '.join(CUTS)} and at from 0 to 1.")
        return {**self.show, **proposal.value}

    def show_scene(self, scene, appearances) -> None:
        """Show a scene, a list of (piece name, meshes, offset in mm), in the timbers' appearances."""
        timbers = sorted({m.timber for _, members, _ in scene for m in members})
        look, shapes = look_of(appearances, timbers), glb(scene)
        self._shown = (scene, appearances)
        self.can_open = opens(scene)
        with self.hold_sync():
            self.look = look
            self.scene = shapes
        self._still_wanted()

    def show_piece(self, meshes, appearances, name: str = "piece") -> None:
        """Show one piece."""
        self.show_scene([(name, meshes, (0.0, 0.0, 0.0))], appearances)

    def show_look(self, appearances) -> None:
        """Change the timbers' appearances and nothing else."""
        self.look = look_of(appearances, sorted(appearances))
        if self._shown:
            self._shown = (self._shown[0], {**self._shown[1], **appearances})
            self._still_wanted()

    def _still_wanted(self, _change=None) -> None:
        """For a browser that cannot draw: a still picture, drawn aside; of many asked for meanwhile only the last."""
        if not self.wants_still or self._shown is None:
            return
        with self._lock:
            self._still_asked = True
            if self._drawing is None:
                self._drawing = threading.Thread(target=self._draw_stills, daemon=True)
                self._drawing.start()

    def _draw_stills(self) -> None:
        while True:
            with self._lock:
                if not self._still_asked:
                    self._drawing = None
                    return
                self._still_asked = False
            (scene, appearances), apart, opened, ground = self._shown, self.apart, self.opened, self.show["ground"]
            picture = still(scene, appearances, *STILL_PX, apart=apart, opened=opened, ground=ground, samples=STILL_SAMPLES)
            self.fallback = picture.png or b""

    def take_picture(self) -> None:
        """Ask the browser for a picture; it arrives in ``snapshot``."""
        self.snapshot_asked += 1


def opening_slider(view: View3D, layout: w.Layout) -> w.FloatSlider:
    """Opens doors, drawers and lids in the browser, without the kernel; not there where nothing opens."""
    slider = w.FloatSlider(min=0, max=1, step=0.01, description="Open", readout=False, style={"description_width": "110px"}, layout=layout)
    w.jslink((slider, "value"), (view, "opened"))

    def there(_change=None):
        slider.layout.display = None if view.can_open else "none"

    view.observe(there, "can_open")
    there()
    return slider
