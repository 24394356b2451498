"""Widgets drawn by our own JavaScript: what is sent to one is shown, however late its module was loaded."""

from __future__ import annotations

from uuid import uuid4

import anywidget
import traitlets as t

from studio_lib.look.bundle import FOLDER

LATE_JS = (FOLDER / "src" / "late.js").read_text("utf-8")
"""``hearLate(model)``, to be called by ``render`` in an ``_esm`` that begins with it."""


class Heard(anywidget.AnyWidget):
    """A widget whose JavaScript can find its own model in the page."""

    own_id = t.Unicode("").tag(sync=True)

    def __init__(self, **given):
        own = uuid4().hex
        super().__init__(model_id=own, own_id=own, **given)
