"""What the client's words say already, offered beside them: a press takes it into its field."""

from __future__ import annotations

from datetime import date
from html import escape

import ipywidgets as w

from studio_lib.brief.heard import Heard, heard
from workbook import parts, show
from workbook.desk import Desk


def offered(desk: Desk) -> tuple[Heard, ...]:
    return heard(desk.commission, date.today(), tuple(m.sizes for m in desk.derived.made))


def take(desk: Desk, says: str) -> bool:
    """Take the one reading that says so, as it stands by now."""
    for one in offered(desk):
        if one.says == says and one.path:
            return all(desk.change(path, value) for path, value in (*one.first, (one.path, one.value)))
    return False


def take_all(desk: Desk) -> None:
    """Take one after another, what follows from the last among them: a size is heard only once there is a piece."""
    tried: set[str] = set()
    while left := [one.says for one in offered(desk) if one.path and one.says not in tried]:
        tried.add(left[0])
        take(desk, left[0])


def leave(desk: Desk) -> None:
    """Offer nothing more of these words, and say no longer that some of it could not be taken."""
    paths = {one.path for one in offered(desk)}
    desk.refused = {path: why for path, why in desk.refused.items() if path not in paths}
    desk.change("brief.weighed", desk.commission.brief.asked)


def panel(desk: Desk) -> w.Widget:
    """A button for each reading, all of them at once, or none of the rest."""

    def build() -> list[w.Widget]:
        found = offered(desk)
        if not found:
            return []
        row = w.Layout(flex_flow="row wrap")
        each = [parts.button(desk, show.words(one.says[0].upper() + one.says[1:]), lambda one=one: take(desk, one.says), f"their words: {one.words}") for one in found if one.path]
        rest = [parts.button(desk, "Take all of it", lambda: take_all(desk))] if len(each) > 1 else []
        done = parts.button(desk, "Leave the rest" if each else "Noted", lambda: leave(desk), "nothing more is offered until their words change")
        told = [one for one in found if not one.path]
        return [
            *([parts.quiet("Heard in their words and not yet in the brief; press what is right:"), w.HBox(each, layout=row)] if each else []),
            *([parts.quiet("Also in their words, for you to settle:")] if told else []),
            *(parts.quiet(one.says[0].upper() + one.says[1:] + f"; their words: '{one.words}'." * (len(one.words) > 5)) for one in told),
            w.HBox([*rest, done], layout=row),
        ]

    return w.VBox([
        parts.rebuilt(desk, build, lambda c: tuple((one.path, one.says) for one in offered(desk))),
        parts.live(desk, lambda: refused(desk), ("refused",)),
    ])


def refused(desk: Desk) -> str:
    """Why what was pressed here could not be taken; its own field, which says it too, may be folded away."""
    said = [why for one in offered(desk) if (why := desk.refused.get(one.path))]
    return f'<div class="dw-refused">{escape(" ".join(said))}</div>' if said else ""
