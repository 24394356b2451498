"""Tables whose rows and a 3D view point at each other: a row touched lights its members, a member its rows.

The two are joined in the browser, so that pointing never waits for the kernel.
"""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as w
import traitlets as t

from workbook import parts, show
from workbook.desk import Desk
from workbook.heard import LATE_JS, Heard

ROWS_JS = """
const keysOf = (row) => row.dataset.refs.split("|");

function render({ model, el }) {
  hearLate(model);
  let pinned = null;
  let over = null;
  const rows = () => [...el.querySelectorAll("[data-refs]")];
  const tell = () => {
    const keys = over ?? pinned ?? [];
    if (JSON.stringify(keys) === JSON.stringify(model.get("touched"))) return;
    model.set("touched", keys);
    model.save_changes();
  };
  const mark = () => {
    const lit = new Set(model.get("lit"));
    // A member may be named with its piece or without.
    for (const key of [...lit]) lit.add(key.split("/").pop());
    for (const row of rows()) {
      const keys = keysOf(row);
      row.classList.toggle("lit", keys.some((key) => lit.has(key)));
      row.classList.toggle("pinned", Boolean(pinned) && keys.join() === pinned.join());
    }
  };
  const draw = () => {
    const open = [...el.querySelectorAll("details")].map((d) => d.open);
    el.innerHTML = model.get("value");
    [...el.querySelectorAll("details")].forEach((d, k) => { if (open[k] !== undefined) d.open = open[k]; });
    for (const row of rows()) row.tabIndex = 0;
    mark();
  };
  const rowAt = (e) => e.target.closest?.("[data-refs]");
  const enter = (e) => { over = rowAt(e) ? keysOf(rowAt(e)) : null; tell(); };
  const pin = (e) => {
    const row = rowAt(e);
    if (!row) return;
    const keys = keysOf(row);
    pinned = pinned && pinned.join() === keys.join() ? null : keys;
    tell();
    mark();
  };
  el.addEventListener("pointerover", enter);
  el.addEventListener("pointerleave", () => { over = null; tell(); });
  el.addEventListener("focusin", enter);
  el.addEventListener("focusout", () => { over = null; tell(); });
  el.addEventListener("click", pin);
  el.addEventListener("keydown", (e) => {
    if ((e.key !== "Enter" && e.key !== " ") || !rowAt(e)) return;
    e.preventDefault();
    e.stopPropagation();
    pin(e);
  });
  model.on("change:value", draw);
  model.on("change:lit", mark);
  draw();
  return () => { model.off("change:value", draw); model.off("change:lit", mark); };
}
export default { render };
"""


class Rows(Heard):
    """HTML whose elements with ``data-refs`` ('table/A3|table/A4') can be touched, focused and pinned by a click."""

    _esm = LATE_JS + ROWS_JS
    value = t.Unicode("").tag(sync=True)
    touched = t.List(t.Unicode()).tag(sync=True)
    """Members of the row under the pointer, or else of the row pinned; set by the browser."""
    lit = t.List(t.Unicode()).tag(sync=True)
    """Members whose rows are marked."""


def live(desk: Desk, draw: Callable[[], str], view, names=("commission",)) -> Rows:
    """HTML that follows the document; its rows and the view point at each other. No view, no pointing."""
    rows = Rows()

    def react():
        rows.value = show.page(draw())

    parts.watched(desk, list(names), react)
    if view is not None:
        join(rows, view)
    return rows


def join(rows: Rows, view) -> None:
    """Let a row light the view's members, and the view's members their rows."""
    # Kept on the widget: a link that nothing holds is let go.
    rows.links = (w.jslink((rows, "touched"), (view, "lit")), w.jsdlink((view, "pointed"), (rows, "lit")))
