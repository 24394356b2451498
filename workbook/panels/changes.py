"""Changes of the maker's own: members altered, moved, copied, added, shaped; joints made, left out, swapped."""

from __future__ import annotations

from dataclasses import fields
from html import escape

import ipywidgets as w

from studio_lib.forms.changes import free_ref, in_words, unmade
from studio_lib.piece.kinds import KINDS, of_metal
from studio_lib.piece.leaves import leaves
from studio_lib.piece.shaping import ARRISES, ENDS, SHAPINGS, SIDES
from studio_lib.showing import heading_as_shown
from workbook import parts, show
from workbook.desk import Desk

STYLE = {"description_width": "150px"}
OWN = {
    "width_mm": "width, mm", "thickness_mm": "thickness, mm", "length_mm": "length, mm", "arris_mm": "arris, mm",
    "rank": "must be (show, plain, hidden)", "name": "name", "timber": "timber",
    "boards": "boards glued into its width",
}
CHOICES = {"arris": ARRISES, "side": SIDES, "end": ENDS, "towards": ENDS, "edge": ("upper", "lower"),
           "corners": ("both", "upper", "lower")}
"""Figures of a shaping that are chosen from a list."""
WHAT = {
    "another size, name or timber": "alter", "move or turn it": "move", "copy it": "copy", "take it out": "remove",
    "add a member": "add", "shape it": "shape", "join two members": "join", "leave a joint out": "unjoin",
    "swap a kind of joint": "swap",
}


def panel(desk: Desk, index: int) -> w.Widget:
    """The changes made so far, each to be laid aside or taken away, and a new one."""
    kind = w.Dropdown(description="Change", options=list(WHAT.items()), style=STYLE, layout=w.Layout(width="400px"))
    place = w.VBox()
    editors = {"alter": Alter, "move": Move, "copy": Copy, "remove": Remove, "add": Add, "shape": ShapeIt, "join": Join,
               "unjoin": Unjoin, "swap": Swap}
    ears = parts.Ears()

    def shown(_change=None):
        with ears:
            parts.fill(place, [editors[kind.value](desk, index).widget()])

    kind.observe(shown, "value")
    shown()
    return w.VBox([
        parts.rebuilt(desk, lambda: made_so_far(desk, index), lambda c: c.items[index].adjustments),
        kind, place, parts.refusal(desk, path(index)),
    ])


def path(index: int) -> str:
    return f"items.{index}.adjustments"


def present(desk: Desk, index: int) -> list[dict]:
    return [a.model_dump(mode="json") for a in desk.commission.items[index].adjustments]


def made_so_far(desk: Desk, index: int) -> list[w.Widget]:
    lost = {f.subject: f.says for f in unmade(desk.derived.made[index].piece)}
    rows = []
    for i, change in enumerate(desk.commission.items[index].adjustments):
        says = lost.get(f"change {i + 1}")
        words = f"<b>{i + 1}</b> {escape(show.words(in_words(change)))}"
        if change.off:
            words = f'<span style="color:#6d655b">{words} (laid aside)</span>'
        if says:
            words += f'<div style="color:#9a5b00">Not made: {escape(show.words(says))}</div>'

        def without(i=i):
            now = present(desk, index)
            desk.change(path(index), now[:i] + now[i + 1:])

        rows.append(w.HBox([
            w.HTML(f'<div style="line-height:1.35;padding:4px 0">{words}</div>', layout=w.Layout(flex="1 1 0")),
            parts.button(desk, "Bring back" if change.off else "Lay aside",
                         lambda i=i, off=change.off: desk.change(f"{path(index)}.{i}.off", not off)),
            parts.button(desk, "Take away", without),
        ], layout=w.Layout(align_items="center")))
    return rows


class Editor:
    """The fields of one kind of change, and its button."""

    does = "Make this change"

    def __init__(self, desk: Desk, index: int):
        self.desk, self.index = desk, index

    @property
    def piece(self):
        return self.desk.derived.made[self.index].piece

    def members(self, words: str, wholes: bool = False) -> w.Dropdown:
        """A choice of member that follows the piece; ``wholes``: of doors, lids and drawers with all their members too."""
        box = w.Dropdown(description=words, style=STYLE, layout=w.Layout(width="400px"))

        def fill():
            keep = box.value
            whole = [(f"{leaf.name}, the whole {leaf.kind}: {len(leaf.refs)} members", ", ".join(leaf.refs)) for leaf in leaves(self.piece)] if wholes else []
            box.options = whole + [(f"{m.ref}  {m.name}", m.ref) for m in self.piece.members]
            refs = [value for _, value in box.options]
            if refs:
                box.value = keep if keep in refs else refs[0]

        parts.watched(self.desk, ["commission"], fill)
        return box

    def number(self, words: str, value: float = 0.0) -> w.Widget:
        looks = {"style": STYLE, "layout": w.Layout(width="250px")}
        if words.endswith(", mm"):
            return parts.length_box(words.removesuffix(", mm"), value, **looks)
        return w.FloatText(description=words, value=value, **looks)

    def text(self, words: str, value: str = "") -> w.Text:
        return w.Text(description=words, value=value, style=STYLE, layout=w.Layout(width="400px"))

    def choice(self, words: str, options) -> w.Dropdown:
        return w.Dropdown(description=words, options=options, style=STYLE, layout=w.Layout(width="400px"))

    def boxes(self) -> list[w.Widget]:
        raise NotImplementedError

    def changes(self) -> list[dict]:
        """What the fields say. Raises ValueError, in words."""
        raise NotImplementedError

    def widget(self) -> w.Widget:
        def make():
            try:
                new = self.changes()
            except ValueError as error:
                self.desk.refused = {**self.desk.refused, path(self.index): str(error)}
                return
            self.desk.change(path(self.index), [*present(self.desk, self.index), *new])

        return w.VBox([*self.boxes(), parts.button(self.desk, self.does, make)])


class Alter(Editor):
    def boxes(self):
        self.member, self.field, self.value = self.members("Member"), self.choice("Its", [(heading_as_shown(v, show.shown()), k) for k, v in OWN.items()]), self.text("Becomes")
        return [self.member, self.field, self.value]

    def changes(self):
        given = self.value.value.strip()
        if self.field.value.endswith("_mm") or self.field.value == "boards":
            if not given:
                raise ValueError("Say what it becomes, a length or a number of boards.")
            read = parts.as_number if self.field.value == "boards" else parts.read_length_here
            return [{"kind": "alter", "member": self.member.value, "field": self.field.value, "value": read(given)}]
        return [{"kind": "alter", "member": self.member.value, "field": self.field.value, "value": given}]


class Shift(Editor):
    """The three figures of a shift."""

    def shift(self) -> list[w.Widget]:
        self.by = [self.number(words) for words in ("To the right, mm", "To the back, mm", "Up, mm")]
        return self.by

    def by_mm(self) -> list[float]:
        return [parts.mm_of(b) for b in self.by]


class Move(Shift):
    def boxes(self):
        self.member = self.members("Member")
        self.turn, self.about = self.number("Turned, degrees"), self.choice("About its", ["thickness", "width", "length"])
        return [self.member, *self.shift(), self.turn, self.about]

    def changes(self):
        return [{"kind": "move", "member": self.member.value, "by_mm": self.by_mm(), "turn_deg": self.turn.value,
                 "about": self.about.value}]


class Copy(Shift):
    def boxes(self):
        self.member, self.joints = self.members("Member"), w.Checkbox(description="with its joints", value=True)
        return [self.member, *self.shift(), self.joints]

    def changes(self):
        return [{"kind": "copy", "member": self.member.value, "ref": free_ref(self.piece), "by_mm": self.by_mm(),
                 "with_joints": self.joints.value}]


class Remove(Editor):
    def boxes(self):
        self.member = self.members("Member", wholes=True)
        return [self.member]

    def changes(self):
        return [{"kind": "remove", "member": ref} for ref in self.member.value.split(", ")]


class Add(Shift):
    does = "Add it"
    DIRECTIONS = [("to the right (x)", "x"), ("to the back (y)", "y"), ("upright (z)", "z")]
    SIDES = [("left of", "left"), ("right of", "right"), ("in front of", "front"), ("behind", "behind"), ("on top of", "above"), ("under", "below")]
    HOW = [("by its low corner", "corner"), ("against another member", "against"), ("between two members, as a rail", "between")]

    def boxes(self):
        self.name, self.role = self.text("Name", "rail"), self.text("Kind of member", "rail")
        self.length, self.width, self.thickness = (
            self.number("Length, mm", 500.0), self.number("Width, mm", 60.0), self.number("Thickness, mm", 25.0)
        )
        self.how = self.choice("Placed", self.HOW if len(self.piece.members) > 1 else self.HOW[:2] if self.piece.members else self.HOW[:1])
        self.along, self.across = self.choice("Its length runs", self.DIRECTIONS), self.choice("Its width runs", self.DIRECTIONS[::-1])
        self.side, self.other, self.two = self.choice("It lies", self.SIDES), self.members("this member"), self.members("and this one")
        self.level = self.choice("Height beside them", [("at the top", "high"), ("in the middle", "middle"), ("at the foot", "low")])
        self.flat = w.Checkbox(description="its width lies flat", value=False)
        self.tenons = w.Checkbox(description="join both ends with mortise and tenon", value=True)
        shift = self.shift()
        place = w.VBox()

        def shown(_change=None):
            place.children = tuple({
                "corner": [self.length, self.along, self.across, *shift],
                "against": [self.length, self.along, self.across, self.side, self.other, *shift],
                "between": [self.other, self.two, self.level, self.flat, self.tenons, *shift],
            }[self.how.value])

        self.how.observe(shown, "value")
        shown()
        return [self.name, self.role, self.width, self.thickness, self.how, place]

    def changes(self):
        new = free_ref(self.piece)
        if self.how.value == "corner":
            where = {"kind": "corner", "at_mm": self.by_mm(), "along": self.along.value, "across": self.across.value}
        elif self.how.value == "against":
            where = {"kind": "against", "other": self.other.value, "side": self.side.value, "along": self.along.value,
                     "across": self.across.value, "shift_mm": self.by_mm()}
        else:
            where = {"kind": "between", "one": self.other.value, "two": self.two.value, "upright": not self.flat.value,
                     "align": {"z": self.level.value}, "shift_mm": self.by_mm()}
        made = [{
            "kind": "add", "ref": new, "name": self.name.value.strip(), "role": self.role.value.strip(),
            "length_mm": parts.mm_of(self.length), "width_mm": parts.mm_of(self.width),
            "thickness_mm": parts.mm_of(self.thickness), "place": where,
        }]
        if self.how.value == "between" and self.tenons.value:
            made += [{"kind": "join", "joint": "mortise and tenon", "first": new, "second": post}
                     for post in (self.other.value, self.two.value)]
        return made


class ShapeIt(Editor):
    does = "Shape it"

    def boxes(self):
        self.member, self.shaping, figures = self.members("Member"), self.choice("Work on it a", list(SHAPINGS)), w.VBox()

        def shown(_change=None):
            self.figures = {f.name: self.figure(SHAPINGS[self.shaping.value], f) for f in fields(SHAPINGS[self.shaping.value])}
            figures.children = tuple(self.figures.values())

        self.shaping.observe(shown, "value")
        shown()
        return [self.member, self.shaping, figures]

    def figure(self, shaping, f) -> w.Widget:
        if f.name in CHOICES:
            box = self.choice(f.name.capitalize(), CHOICES[f.name])
            box.value = f.default
            return box
        words = shaping.changeable.get(f.name, f.name.removesuffix("_mm").replace("_", " ").capitalize() + ", mm")
        box = self.number(words, float(f.default))
        box.style, box.layout = {"description_width": "250px"}, w.Layout(width="350px")
        return box

    def changes(self):
        return [{"kind": "shape", "member": self.member.value, "shaping": self.shaping.value,
                 "figures": {n: parts.mm_of(b) if isinstance(b, w.Text) else b.value for n, b in self.figures.items()}}]


class Join(Editor):
    does = "Join them"

    def boxes(self):
        self.joint, self.first, self.second = self.choice("With a", list(KINDS)), self.members("This one enters"), self.members("this one")
        return [self.joint, self.first, self.second]

    def changes(self):
        return [{"kind": "join", "joint": self.joint.value, "first": self.first.value, "second": self.second.value}]


class Unjoin(Editor):
    does = "Leave it out"

    def boxes(self):
        self.which = self.choice("Joint", [])

        def fill():
            names = self.piece.by_ref
            self.which.options = [
                (f"{j.first} {names[j.first].name} / {j.second} {names[j.second].name}", f"{j.first} {j.second}")
                for j in self.piece.joints
            ]

        parts.watched(self.desk, ["commission"], fill)
        return [self.which]

    def changes(self):
        if not self.which.value:
            raise ValueError("The piece has no joint to leave out.")
        first, second = self.which.value.split(" ")
        return [{"kind": "unjoin", "first": first, "second": second}]


class Swap(Editor):
    does = "Swap it"

    def boxes(self):
        self.family, self.joint = self.choice("All of", []), self.choice("Become", list(KINDS))

        def fill():
            self.family.options = sorted({j.family for j in self.piece.joints})
            wished, now = bool(self.desk.commission.brief.no_metal), self.joint.value
            self.joint.options = [(f"{k}, no metal" if wished and not of_metal(k) else k, k) for k in sorted(KINDS, key=lambda k: wished and of_metal(k))]
            self.joint.value = now

        parts.watched(self.desk, ["commission"], fill)
        return [self.family, self.joint]

    def changes(self):
        if not self.family.value:
            raise ValueError("The piece has no joints to swap.")
        if {j.kind for j in self.piece.joints if j.family == self.family.value} == {self.joint.value}:
            raise ValueError(f"{self.family.value} is {self.joint.value} already.")
        return [{"kind": "swap", "family": self.family.value, "joint": self.joint.value}]
