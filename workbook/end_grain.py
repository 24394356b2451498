"""The end of a board, on which the maker marks a growth ring with three clicks."""

from __future__ import annotations

from pathlib import Path

import traitlets as t

from workbook.heard import LATE_JS, Heard


class EndGrain(Heard):
    """A board's end to scale; lengths from its middle, x along the width, y up. [mm]

    ``points`` arrive when the third is placed or one was dragged; with ``heart`` the rings are drawn.
    """

    _esm = LATE_JS + Path(__file__).with_name("end_grain.js").read_text("utf-8")

    width_mm = t.Float(200.0).tag(sync=True)
    thickness_mm = t.Float(30.0).tag(sync=True)
    points = t.List().tag(sync=True)
    heart = t.List().tag(sync=True)
    """Where the rings' middle lies; empty while not known."""
