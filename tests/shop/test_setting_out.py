"""Setting out: running distances close, stops cover every piece, rods are full size on paper and in DXF."""

import io
import subprocess
from datetime import date

import numpy as np
import pytest
from PIL import Image

from studio_lib.commission import Brief
from studio_lib.demo import demo
from studio_lib.derive import derive
from studio_lib.drawings.rods import CHECK_MM, rod_pages, rods_dxf
from studio_lib.forms import FORMS, make
from studio_lib.papers.handing_over import full_rods, setting_out_pdf
from studio_lib.papers.write import _about
from studio_lib.shop.setting_out import member_rods, rod, stops
from studio_lib.stock.cutting_list import cutting_list

STANDING = [f for f in FORMS if f != "freehand"]


@pytest.mark.parametrize("form", STANDING)
def test_running_distances_close_on_the_overall_length(form):
    pieces = [(make(form, Brief(), timber="oak"), 2)]
    rows = cutting_list(pieces)
    rods = member_rods(pieces, rows)
    for r in rods:
        assert r.running_mm[0] == 0 and sum(r.steps_mm) == pytest.approx(r.row.overall_length_mm, abs=1e-9)
        assert all(0 <= m.from_mm <= m.to_mm <= r.row.overall_length_mm + 0.05 for m in r.marks)
    # Every member is docked once and only once.
    docked = sum(s.count for s in stops(rods) if s.machine == "dock to length")
    assert docked == sum(row.count for row in rows) == 2 * len(pieces[0][0].members)


def test_stops_only_ever_move_one_way_at_a_machine():
    pieces = [(make("slatted table", Brief(), timber="oak"), 1)]
    settings = stops(member_rods(pieces, cutting_list(pieces)))
    for machine in {s.machine for s in settings}:
        at = [s.distance_mm for s in settings if s.machine == machine]
        assert at in (sorted(at), sorted(at, reverse=True)) and len(set(at)) == len(at)


# By hand: an apron of 1470 mm between shoulders with tenons of 39 mm is docked to 1548 mm, its shoulders
# stand at 39 and 1509, and the mortise for a tenon of 10 mm stands about the bearer's middle.
def test_an_apron_by_hand():
    piece = make("slatted table", Brief(), timber="oak", length_mm=2010)
    r = next(r for r in member_rods([(piece, 1)], cutting_list([(piece, 1)])) if "A-A1" in r.refs)
    shoulders = [m.from_mm for m in r.marks if m.what == "shoulder"]
    tenon = next(j for j in piece.joints if j.first == "A-A1")
    assert shoulders == [tenon.length_mm, tenon.length_mm + piece.member("A-A1").length_mm]
    bearer = piece.member("A-B1")
    first = next(m for m in r.marks if m.what.endswith("bearer 1"))
    middle = bearer.piece_box.centre[0] - piece.member("A-A1").piece_box.lo[0] + tenon.length_mm
    assert (first.from_mm + first.to_mm) / 2 == pytest.approx(middle) and first.face == "back"


def test_mirrored_legs_stand_apart():
    piece = make("slatted stool", Brief(), timber="oak")
    legs = [r for r in member_rods([(piece, 1)], cutting_list([(piece, 1)])) if r.row.name == "leg"]
    assert sum(r.count for r in legs) == 4 and len(legs) > 1
    assert len({r.marks for r in legs}) > 1


def test_a_rod_runs_from_edge_to_edge():
    piece = make("slatted table", Brief(), timber="oak")
    for axis, size in zip(("width", "depth", "height"), piece.overall_mm):
        marks = rod(piece, axis)
        assert marks[0].at_mm == 0 and marks[-1].at_mm == pytest.approx(size, abs=0.01)


def test_rods_are_printed_full_size(tmp_path):
    d = derive(demo())
    path = tmp_path / "setting out.pdf"
    path.write_bytes(setting_out_pdf(d, _about(d, 1, date(2026, 11, 25))))
    # 254 dots an inch: a dot is a tenth of a millimetre.
    subprocess.run(["pdftoppm", "-r", "254", "-png", "-gray", str(path), str(tmp_path / "p")], check=True)
    sheet = np.asarray(Image.open(sorted(tmp_path.glob("p-*.png"))[-1]).convert("L"))
    rows = sheet[int(0.85 * len(sheet)):]
    longest = max(_run(row < 128) for row in rows)
    assert longest == pytest.approx(10 * CHECK_MM, abs=5)


def _run(dark) -> int:
    edges = np.flatnonzero(np.diff(np.concatenate([[0], dark.astype(int), [0]])))
    return int((edges[1::2] - edges[::2]).max()) if len(edges) else 0


def test_dxf_is_sound_and_as_long_as_the_piece():
    import ezdxf

    d = derive(demo())
    drawing = ezdxf.read(io.StringIO(rods_dxf(full_rods(d)).decode()))
    assert not drawing.audit().has_errors
    long = max(line.dxf.end.x for line in drawing.modelspace().query("LINE"))
    assert long == pytest.approx(max(max(p.overall_mm) for p in d.pieces))


def test_sheets_overlap_and_leave_nothing_out():
    piece = make("slatted table", Brief(), timber="oak")
    pages = rod_pages([("width", rod(piece, "width"))])
    shown = " ".join(pages)
    for mark in rod(piece, "width"):
        assert f">{mark.at_mm:.1f}  " in shown
