"""What a mark on a drawing means: whose it is, how what it stands by is turned, and from what it is measured."""

import io
import math
import random
import re
from dataclasses import replace

import ezdxf
import numpy as np
import pytest
from sheets import NAMES, collisions, drawn, usual

from studio_lib.commission import Brief
from studio_lib.drawings.general import BALLOONS_MM, exploded, in_sight, section_figures, section_planes
from studio_lib.drawings.joints import as_it_stands, distinct_joints, joint_figure
from studio_lib.drawings.members import distinct, member_figure
from studio_lib.drawings.paper import BALLOON_STEP_MM, TITLE_MM, Radius, balloon_columns
from studio_lib.drawings.views import VIEWS, sharp_edged
from studio_lib.forms import FORMS, SizeRefused, make
from studio_lib.piece.handed import MIRRORS, handed
from studio_lib.piece.mortise_tenon import LooseTenon
from studio_lib.piece.shaping import Arch
from studio_lib.piece.worked import worked
from studio_lib.solids import meshes
from studio_lib.solids.mesh import solid_of
from studio_lib.stock.cutting_list import cutting_list

WIDE, HIGH = 270.0, 230.0


def some(seed, number):
    """Pieces of any form at any of their sizes that can be built."""
    chance, out = random.Random(seed), []
    while len(out) < number:
        name = chance.choice(NAMES)
        sizes = {}
        for size in FORMS[name].sizes:
            if chance.random() < 0.35:
                v = chance.uniform(size.low, size.high)
                sizes[size.name] = int(v) if size.whole else round(v, 1)
        try:
            out.append(make(name, Brief(), name=name, timber="oak", **sizes))
        except SizeRefused:
            continue
    return out


PIECES = [usual(name) for name in NAMES] + [
    make("cabinet", Brief(), timber="oak", drawer_rows=2),
    make("cabinet", Brief(), timber="oak", height_mm=1900, drawer_rows=1),
    make("bench", Brief(), timber="oak", back=2),
    *some(3, 14),
]


def triangles(piece, moves=None):
    """(reference, corners) of each member of the mesh that the 3D view shows, arrises left off. [mm]"""
    # Screws of slats are drawn with members and details only.
    for m in meshes(replace(sharp_edged(piece), fixings=())):
        if isinstance(m.shape, type(piece.shape(piece.members[0].ref))):
            p = m.placement
            at = m.vertices.astype(float) @ np.array([p.along, p.across, p.through]) + p.origin
            yield m.ref, (at + np.asarray(moves[m.ref] if moves else (0.0, 0.0, 0.0)))[m.triangles]


def struck(corners, frame, x, y):
    """How far towards the eye a line of sight at x, y meets triangles, the nearest first; a hair off every edge."""
    x, y = x + 1.1e-3, y + 0.7e-3
    a, b, c = np.moveaxis(corners @ frame, 1, 0)
    d = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    with np.errstate(all="ignore"):
        u = ((x - a[:, 0]) * (c[:, 1] - a[:, 1]) - (y - a[:, 1]) * (c[:, 0] - a[:, 0])) / d
        v = ((b[:, 0] - a[:, 0]) * (y - a[:, 1]) - (b[:, 1] - a[:, 1]) * (x - a[:, 0])) / d
        z = a[:, 2] + u * (b[:, 2] - a[:, 2]) + v * (c[:, 2] - a[:, 2])
        met = (u >= 0) & (v >= 0) & (u + v <= 1) & (np.abs(d) > 1e-9)
    return np.sort(z[met])[::-1]


@pytest.mark.parametrize("k", range(len(PIECES)))
def test_a_reference_mark_ends_on_its_own_member(k):
    """By lines of sight on the mesh of the 3D view, which shares no code with what chooses the places."""
    piece = PIECES[k]
    rows = cutting_list([(piece, 1)])
    towards, right = VIEWS["pictorial"]
    frame = np.column_stack([right, np.cross(towards, right), towards])
    room = HIGH - TITLE_MM - 6
    columns = balloon_columns(int(np.ceil(0.6 * len(rows))), room)
    *_, moves = in_sight(piece, rows, frame[:, :2], WIDE - 2 * BALLOONS_MM - 2 * (columns - 1) * BALLOON_STEP_MM, room)
    f = exploded(piece, rows, WIDE, HIGH)
    assert len(f.balloons) >= 0.8 * len(rows)  # a line with no member in sight has none
    things = list(triangles(piece, moves))
    for b in f.balloons:
        seen = {ref: z[0] for ref, corners in things if len(z := struck(corners, frame, b.x, b.y))}
        assert max(seen, key=seen.get) == b.ref


@pytest.mark.parametrize("k", range(len(PIECES)))
def test_a_mark_on_a_section_stands_in_the_timber_of_its_member(k):
    piece = PIECES[k]
    for f, (letter, axis, at) in zip(section_figures(piece, 387, 225), section_planes(piece)):
        towards, right = VIEWS["left" if axis == "x" else "plan"]
        frame = np.column_stack([right, np.cross(towards, right), towards])
        level = np.dot((at, 0, 0) if axis == "x" else (0, 0, at), towards) - 1e-3
        things = list(triangles(piece))
        for b in f.balloons:
            deep = {ref: struck(corners, frame, b.x, b.y) for ref, corners in things}
            inside = [ref for ref, z in deep.items() if (z > level).sum() % 2]
            assert inside == [b.ref], (letter, b)


@pytest.mark.parametrize("name", ["front", "left", "plan"])
def test_a_joint_stands_on_paper_as_in_the_arrangement(name):
    towards, right = VIEWS[name]
    for sign in (1.0, -1.0):
        normal, across, words = as_it_stands(sign * np.asarray(towards))
        assert normal == pytest.approx(towards) and across == pytest.approx(right)
        assert words == {"front": "from the front", "left": "from the left", "plan": "from above"}[name]
    # One out of square by 8 degrees keeps what is up nearest to up.
    lean = np.asarray(towards) + math.tan(math.radians(8)) * np.asarray(right)
    normal, across, _ = as_it_stands(lean / np.linalg.norm(lean))
    assert np.cross(normal, across) @ np.cross(towards, right) > 0.99


def test_the_rail_that_enters_the_left_leg_is_drawn_to_the_right_of_it():
    piece = make("bench", Brief(), timber="oak", back=2)
    alike = next(js for js in distinct_joints(piece) if (js[0].first, js[0].second) == ("A-A1", "A-L1"))
    f = joint_figure(piece, alike, 1)
    at = [w for w in f.words if w.words == "cut, from the front"][0].x
    end = [w for w in f.words if w.words.startswith("taken apart")][0].x
    leg, rail = ([w.x for w in f.words if w.words == ref and at <= w.x < end][0] for ref in ("A-L1", "A-A1"))
    assert leg < rail
    assert "The same, turned or handed to its place: " in " ".join(f.notes)


@pytest.mark.parametrize("name", NAMES)
def test_a_handed_twin_is_the_mirror_image_that_it_is_said_to_be(name):
    """The mesh kernel mirrors the one; what it has and the other has not is nothing."""
    piece = usual(name)
    for alike in distinct(piece, cutting_list([(piece, 1)])):
        for twin in alike.twins:
            ref = alike.refs[0]
            m = piece.member(ref)
            flip = next(f for f, words in MIRRORS.items() if words == handed(piece, ref, twin))
            sizes = (m.length_mm, m.width_mm, m.thickness_mm)
            a, b = solid_of(piece.shape(ref)), solid_of(piece.shape(twin))
            for axis in (k for k in range(3) if flip[k]):
                way = tuple(float(k == axis) for k in range(3))
                a = a.mirror(way).translate(tuple(s * w for s, w in zip(sizes, way)))
            assert (a - b).volume() + (b - a).volume() < 1e-4 * b.volume()
            # And no turning about makes the one the other: they differ as they lie, in both ways of laying them.
            assert piece.shape(ref) != piece.shape(twin)


def test_each_of_two_mirrored_legs_has_its_own_figures_and_says_whose_image_it_is():
    piece = make("bench", Brief(), name="bench", timber="oak", back=2)
    made = drawn(piece)
    one, other = ([f for s, _ in made.sheets for f, *_ in s.figures if f.title.startswith(f"{ref} ")][0] for ref in ("A-L3", "A-L4"))
    assert one.title == "A-L3 leg, back right, 1 off, A-L4 its mirror image"
    assert other.title == "A-L4 leg, back left, 1 off, mirror image of A-L3"
    assert any("what is worked from the face of the one is worked from the back of the other" in n for n in other.notes)
    # Rows stand in the same places; those from the face of the one are from the back of the other, and go to the other's own rails.
    swapped = {"face": "back", "back": "face"}
    assert sorted((r[0], r[1], swapped.get(r[3], r[3])) for r in one.table[1:]) == sorted((r[0], r[1], r[3]) for r in other.table[1:])
    for f, leg in ((one, "A-L3"), (other, "A-L4")):
        joined = {j.first if j.second == leg else j.second for j in piece.joints if leg in (j.first, j.second)}
        assert {re.search(r"A-\w+", r[2])[0] for r in f.table[1:]} == joined


def test_mortises_in_a_cranked_post_are_given_from_its_own_sloping_edge():
    """Against the tenon's corners in the piece and a line through the bend at the back's own lean."""
    piece = make("bench", Brief(), timber="oak", back=2, back_angle_deg=12)
    post, crank = piece.member("A-L3"), piece.member("A-L3").shaping[0]
    lean = math.radians(12)
    y0, z0 = post.piece_box.lo[1], crank.bend_mm
    found = 0
    for k in worked(piece, post.ref):
        rail = re.search(r"(A-K\d)", k.what)
        if not rail:
            continue
        joint = next(j for j in piece.joints if (j.first, j.second) == (rail[1], post.ref))
        m = piece.member(rail[1])
        box = joint.adds(piece)[rail[1]][0].bounds
        corners = [
            m.placement.to_piece((box.lo[0], y, z)) for y in (box.lo[1], box.hi[1]) for z in (box.lo[2], box.hi[2])
        ]
        along = [(y - y0) * math.sin(lean) + (z - z0) * math.cos(lean) for _, y, z in corners]
        inward = [(y - y0) * math.cos(lean) - (z - z0) * math.sin(lean) for _, y, z in corners]
        said = [
            float(v) for v in re.match(r"([\d.]+) to ([\d.]+) along .*, ([\d.]+) to ([\d.]+) in", k.sloping).groups()
        ]
        assert said == pytest.approx([min(along), max(along), min(inward), max(inward)], abs=0.06)
        found += 1
    assert found == 2
    arm = next(k for k in worked(piece, post.ref) if "arm" in k.what)
    assert arm.side == "sloping lower edge" and "deep from the sloping lower edge" in arm.sloping


def test_a_tall_case_has_its_side_beside_its_front_and_its_plan_on_a_later_sheet():
    made = drawn(make("cabinet", Brief(), name="cabinet", timber="oak", height_mm=1900, drawer_rows=1))
    first = [f.title for f, *_ in made.sheets[0][0].figures]
    assert first == ["Front", "From the left", "Isometric"]
    assert any(f.title == "Plan" for s, _ in made.sheets[1:] for f, *_ in s.figures)


def test_a_row_of_holes_says_which_members_it_is_for():
    piece = make("bench", Brief(), timber="oak", seat=0)
    table = next(
        member_figure(piece, a, 1).table for a in distinct(piece, cutting_list([(piece, 1)])) if a.refs[0] == "A-B1"
    )
    assert any(re.fullmatch(r"\d+ holes, screws, A-S\d to A-S\d", row[2]) for row in table)


def arched():
    piece = usual("table")
    return piece.with_members(
        replace(m, shaping=(*m.shaping, Arch("lower", 20, 60, 60))) if m.role == "apron" else m for m in piece.members
    )


def test_an_arch_gives_radius_and_ordinates_to_make_a_template_by():
    """R = c^2 / 8 h + h / 2 for a chord c and a rise h."""
    piece = arched()
    apron = piece.member("A-A1")
    chord = apron.length_mm - 120
    radius = chord**2 / (8 * 20) + 10
    made = drawn(piece)
    f = next(f for s, _ in made.sheets for f, *_ in s.figures if f.title.startswith("A-A1"))
    assert [d.value_mm for d in f.dims if isinstance(d, Radius)] == pytest.approx([radius])
    start, _ = piece.tenons_mm("A-A1")
    note = next(n for n in f.notes if n.startswith("Template, lower edge"))
    pairs = [tuple(map(float, p)) for p in re.findall(r"([\d.]+) / ([\d.]+)", note)]
    assert len(pairs) >= 5
    for x, y in pairs:
        u = x - start - apron.length_mm / 2
        sagged = math.sqrt(radius**2 - u**2) - (radius - 20) if abs(u) < chord / 2 else 0.0
        assert y == pytest.approx(sagged, abs=0.06)
    doc = ezdxf.read(io.StringIO(made.dxf().decode()))
    assert not doc.audit().errors
    measured = [d.get_measurement() for d in doc.modelspace().query("DIMENSION") if d.dimtype == 4]
    assert any(v == pytest.approx(radius) for v in measured)
    assert any(e.dxf.radius == pytest.approx(radius, rel=2e-3) for e in doc.modelspace().query("ARC"))
    assert all(collisions(s, b) == [] for s, b in made.sheets)


@pytest.mark.parametrize("paper", ["A3", "A4"])
@pytest.mark.parametrize("k", range(len(NAMES), len(PIECES)))
def test_nothing_collides_on_pieces_of_any_size(k, paper):
    try:
        made = drawn(PIECES[k], paper)
    except ValueError as error:  # too large for the paper at any standard scale, and said so
        assert "Draw it as two pieces" in str(error)
        return
    for sheet, block in made.sheets:
        assert collisions(sheet, block) == []


def tables(piece):
    """The rows of every member's table, by the member's reference."""
    rows = cutting_list([(piece, 1)])
    return {ref: member_figure(piece, a, 1).table for a in distinct(piece, rows) for ref in a.refs}


@pytest.mark.parametrize(
    ("form", "sizes"),
    [("bench", {"back": 2}), ("bench", {"back": 2, "back_angle_deg": 17.0}), ("stool", {"splay_deg": 8.0, "rake_deg": 6.0}), ("table", {"drawers": 1}), ("cabinet", {})],
)
def test_a_mortise_is_as_deep_on_its_members_sheet_as_in_its_joints_words_and_so_is_its_tenon(form, sizes):
    """The sheets take the depth from the solids, along a line through the timber; the joint's words from its own figures."""
    piece = make(form, Brief(), timber="oak", **sizes)
    of, seen = tables(piece), 0
    for j in piece.joints:
        if j.kind not in ("mortise and tenon", "stub tenon", "double mortise and tenon") or j.second not in of or j.first not in of:
            continue
        words = j.setting_out(piece)
        long = float(re.search(r"([\d.]+) long", words["tenon"])[1])
        deep = float(re.match(r"[\d.]+", words["mortise depth"])[0])
        assert deep == pytest.approx(long + 2, abs=0.11)
        cut = [r for r in of[j.second] if re.search(rf"{j.kind}, {j.first}\b", r[2]) and r[3] != "tenon"]
        stands = [r for r in of[j.first] if re.search(rf"{j.kind}, {j.second}\b", r[2]) and r[3] == "tenon"]
        for row, said, figure in ((cut, deep, r"([\d.]+) deep"), (stands, long, r"([\d.]+) long")):
            for r in row:
                assert float(re.search(figure, r[-1])[1]) == pytest.approx(said, abs=0.051), (j.first, j.second, r)
                seen += 1
    assert seen > 4


def test_the_tenon_of_a_slanted_shoulder_is_as_long_as_trigonometry_has_it():
    """An arm 48 thick on a post that leans 10 degrees: its shoulder lies 24 tan 10 back at the middle."""
    piece = make("bench", Brief(), timber="oak", back=2, back_angle_deg=10.0)
    arm = piece.member("A-H1")
    j = next(j for j in piece.joints if (j.first, j.second) == ("A-H1", "A-L3"))
    long = j.length_mm + arm.thickness_mm / 2 * math.tan(math.radians(10))
    assert j.middle_long_mm(arm) == pytest.approx([long])
    row = next(r for r in tables(piece)["A-L3"] if "A-H1" in r[2])
    assert f"{long + 2:.1f} deep" in row[-1] and "going in 10.0° to the end" in row[-1]


def test_a_haunch_says_its_length_its_depth_and_what_is_left_at_its_end():
    piece = make("bench", Brief(), timber="oak", back=2)
    j = next(j for j in piece.joints if j.haunch_mm and not j.through)
    rail, post = piece.member(j.first), piece.member(j.second)
    said = j.setting_out(piece)["haunch"]
    own = [float(v) for v in re.findall(r"[\d.]+", said)]
    assert own[0] == own[3] == j.haunch_mm and own[2] == j.thickness_mm
    # Over the tenon up to the arris, and its mortise to the end of the leg, which the rail's edge is flush with.
    assert own[1] == pytest.approx(rail.width_mm - rail.arris_mm - j.shoulder_low_mm - j.width_mm, abs=0.06)
    assert "open at the end of the leg" in said
    assert any(r[2].startswith(f"haunch, {rail.ref}") and r[-1].endswith(f"{j.haunch_mm:g} deep") for r in tables(piece)[post.ref])


def test_a_row_of_holes_is_the_first_middle_and_so_many_steps():
    """Each middle that the table gives is one of a hole of the solid, and none is left out."""
    piece = make("bench", Brief(), timber="oak", seat=0)
    for ref, table in tables(piece).items():
        said = []
        for at, to, what, side, *_ in table[1:] if table else ():
            if "middle" not in to or "screws" not in what or side.startswith("through"):
                continue
            first, _, steps = at.partition(", then ")
            if steps:
                n, pitch = (float(v) for v in steps.split(" x "))
                run = [float(first) + k * pitch for k in range(int(n) + 1)]
                assert run[-1] == pytest.approx(float(re.search(r"[\d.]+", to)[0]), abs=0.05 * n + 0.1)
                said += run
            else:
                said += [float(v) for v in at.split(", ")]
        holes = [(k.from_mm + k.to_mm) / 2 for k in worked(piece, ref) if k.middle_mm is not None and "screws" in k.what and not k.side.startswith("through")]
        assert sorted(said) == pytest.approx(sorted(holes), abs=0.4)


def test_joints_drawn_once_say_where_each_of_them_is_and_from_what():
    """Against the trenches of the solids, each from the start of its own side."""
    piece = make("bookcase", Brief(), timber="oak")
    alike = next(js for js in distinct_joints(piece) if js[0].kind == "housing")
    assert len(alike) > 2
    words = " ".join(joint_figure(piece, alike, 1).notes)
    said = words.split("from the start of the side ")[1]
    for j in alike:
        trench = next(k for k in worked(piece, j.second) if k.what.startswith(f"housing, {j.first} "))
        low, high = next(m[:2] for m in re.findall(r"([\d.]+) to ([\d.]+) \(([^)]+)\)", said) if j.first in m[2] and j.second in m[2])
        assert [float(low), float(high)] == pytest.approx([trench.from_mm, trench.to_mm], abs=0.06)


@pytest.mark.parametrize("form,sizes", [("stool", {"splay_deg": 8.0, "rake_deg": 6.0}), ("bench", {"back": 2})])
def test_a_slanted_end_says_where_the_member_is_shortest(form, sizes):
    """Of the corners of the solid at that end, the one at the side named lies furthest in."""
    piece, seen = make(form, Brief(), timber="oak", **sizes), 0
    sharp = sharp_edged(piece)
    for m in sharp.members:
        for s in m.shaping:
            words = " ".join(f"{k} {v}" for k, v in s.setting_out(m).items()) if s.kind == "end cut" else ""
            if "shortest" not in words:
                continue
            named = re.search(r"shortest at the ([^;]+);", words)[1]
            bare = solid_of(replace(sharp.shape(m.ref), adds=(), cuts=()))
            y = m.width_mm - 0.2 if "upper edge" in named else 0.2 if "lower edge" in named else m.width_mm / 2
            z = m.thickness_mm - 0.2 if re.search(r"\bface\b", named) else 0.2 if "back" in named else m.thickness_mm / 2

            def reaches(u, v, m=m, bare=bare, end=s.end):
                rod = type(bare).cube((3 * m.length_mm, 0.02, 0.02)).translate((-m.length_mm, u - 0.01, v - 0.01))
                box = (bare ^ rod).bounding_box()
                return box[0] if end == "start" else -box[3]

            corners = [reaches(u, v) for u in (0.2, m.width_mm - 0.2) for v in (0.2, m.thickness_mm - 0.2)]
            assert reaches(y, z) == pytest.approx(max(corners), abs=0.01)
            assert f"aslant at the {s.end}" in words
            seen += 1
    assert seen >= 2


def test_a_loose_tenon_on_a_slanted_shoulder_has_a_slot_of_its_own_depth_in_each_member():
    """Both slots together hold the tenon and 1 mm at either end, measured through the timber along its middle."""
    piece = make("stool", Brief(), timber="oak", splay_deg=8.0, rake_deg=6.0)
    loose = [
        LooseTenon.between(piece.member(j.first), piece.member(j.second), j.family) if j.family == "seat rail into leg" else j
        for j in piece.joints
    ]
    piece, seen = replace(piece, joints=tuple(loose)), 0
    for j in piece.joints:
        if j.kind == "loose tenon":
            said = [float(v) for v in re.findall(r"([\d.]+) in the", j.setting_out(piece)["mortise depth"])]
            cut = [next(k for k in worked(piece, r) if k.what.startswith(f"loose tenon, {o} ")) for r, o in ((j.second, j.first), (j.first, j.second))]
            assert [k.deep_mm for k in cut] == pytest.approx(said, abs=0.06)
            assert sum(k.deep_mm for k in cut) == pytest.approx(2 * j.length_mm + 2, abs=1e-3)
            seen += 1
    assert seen == 8


@pytest.mark.parametrize("form", ["cabinet", "bookcase", "hung case"])
def test_dowels_stand_where_their_joint_says_they_do(form):
    """The same tenth on the member's sheet as in the joint's words, quarters of a millimetre among them."""
    piece, seen = make(form, Brief(), timber="oak"), 0
    of = tables(piece)
    for j in piece.joints:
        if j.kind == "dowels" and j.first in of:
            said = next(v for k, v in j.setting_out(piece).items() if k.startswith("middles from the lower edge")).partition(";")[0]
            rows = [r for r in of[j.first] if re.search(rf"dowels, {j.second}\b", r[2]) and r[3] == j.end]
            assert sorted(float(r[4]) for r in rows) == [float(v) for v in said.split(", ")]
            seen += 1
    assert seen


def test_a_row_of_mortises_ends_where_the_last_of_them_is():
    """A pitch rounded to a tenth strays over many steps: first and last are both figured, from the datum end."""
    piece, seen = make("bench", Brief(), timber="oak", back=2), 0
    for ref, table in tables(piece).items():
        for row in table[1:]:
            told = re.fullmatch(r"([\d.]+), then (\d+) x [\d.]+ to ([\d.]+)", row[0])
            if told:
                kind, first = re.match(r"\d+ (?:x |holes, |slots, )(.*), (A-\w+)", row[2]).groups()
                cut = sorted((k.from_mm, k.to_mm) for k in worked(piece, ref) if k.what.startswith(f"{kind}, ") and k.side == row[3])
                ends = [float(v) for v in row[1].split(" to ")]
                assert [float(told[1]), ends[0]] == pytest.approx(cut[0], abs=0.06)
                assert [float(told[3]), ends[1]] == pytest.approx(cut[int(told[2])], abs=0.06) and first in row[2]
                seen += 1
    assert seen
