"""What a piece measures over all is told in whole millimetres wherever it is told."""

import re

from studio_lib.brief.ballpark import reckoned_words
from studio_lib.commission import Brief, Commission, Item
from studio_lib.derive import derive
from studio_lib.forms import form
from studio_lib.handover import delivery_note
from studio_lib.summary import sizes as sizes_summary


def test_a_stool_is_offered_in_whole_millimetres():
    d = derive(Commission(ref="S-5", title="stool", brief=Brief(), items=(Item(name="stool", form="stool"),)))
    assert any(x != round(x) for x in d.piece.overall_mm), "else nothing is shown by it"
    whole = " x ".join(f"{round(x)}" for x in d.piece.overall_mm)
    for said in (reckoned_words(form("stool"), d.made[0].sizes, d.piece), str(sizes_summary(d)), str(delivery_note(d).carried)):
        assert whole in said and not re.search(r"\d\.\d+ x|x \d+\.\d", said)
