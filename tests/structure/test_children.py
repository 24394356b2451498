"""What a child does to a piece, and where its use is for someone else to say."""

from studio_lib.commission import Brief
from studio_lib.demo import demo
from studio_lib.derive import derive
from studio_lib.forms import make
from studio_lib.structure.loads import CHILD, FOOTHOLD_MM, loads_of
from studio_lib.structure.opened import Setting
from studio_lib.structure.strength import Wood
from studio_lib.structure.whole import analysed

WOOD = {"oak": Wood("made for this test", 700.0, 12_000.0, 105.0, 12.0)}


def test_a_child_is_a_load_only_where_children_are_and_takes_nothing_off_the_others():
    plain, young = loads_of("seat", "household"), loads_of("seat", "household", None, True)
    assert set(young) - set(plain) == {"child"} and young["child"].force_n == CHILD.force_n == 267.0  # 60 lb x 4.448 N
    assert all(young[n] == plain[n] for n in plain)


def test_it_steps_on_low_rails_and_never_lowers_what_a_piece_uses():
    piece = make("stool", Brief(), timber="oak")
    alone, with_child = ({(f.subject, f.what): f.utilisation for f in analysed(piece, WOOD, "indoors, heated", "household", setting=s).findings}
                         for s in (Setting(), Setting(children=True)))
    rails = [m for m in piece.members if "lower rail" in m.role and FOOTHOLD_MM[0] <= m.piece_box.hi[2] <= FOOTHOLD_MM[1]]
    assert rails, "the stool has a rail a child can step on"
    used = [max(u for (_, what), u in found.items() if what == "bending, lower rail") for found in (alone, with_child)]
    assert used[1] > used[0]


def test_public_and_childrens_use_stop_until_someone_who_may_has_said_so():
    c = demo().changed("brief.leave_given", ["public land"])
    assert "public use" in {s.finding.subject.rpartition(": ")[2] for s in derive(c).stops}
    assert not [s for s in derive(demo()).stops if s.finding.what == "leave of others"]
