"""What the tests of drawings share: pieces to draw, and whether anything on a sheet lies on anything else."""

from __future__ import annotations

from studio_lib.commission import Brief
from studio_lib.drawings.paper import FRAME, SHEETS, Block
from studio_lib.drawings.whole import Drawn, drawing_set
from studio_lib.forms import FORMS, make
from studio_lib.stock.cutting_list import cutting_list

BLOCK = Block(
    "The maker",
    "D-1-A",
    "a piece",
    "a commission",
    "2",
    "25 November 2026",
    "first angle",
    "12 % moisture",
    "oak, oiled",
    ("Sizes in mm. Do not scale.",),
)
NAMES = [name for name in FORMS if name != "freehand"]


def drawn(piece, paper="A3", projection="first angle", count=1, fitted=()):
    """The drawing set of one piece."""
    return drawing_set([Drawn(piece, cutting_list([(piece, count)]), count, fitted)], [BLOCK], paper, projection)


LEANING = {"stool": {"splay_deg": 8.0, "rake_deg": 6.0}}


def usual(name):
    """A form as proposed; the stool with a lean that the tests know."""
    return make(name, Brief(), name=name, timber="oak", **LEANING.get(name, {}))


def collisions(sheet, block=BLOCK):
    """Texts that lie on each other, or outside the frame: [(words, words or 'frame')]."""
    marks = sheet.marks(block, 1, 1)
    found = []
    wide, high = SHEETS[sheet.paper]
    texts = sorted(zip(marks.boxes, marks.said))
    for i, (a, words) in enumerate(texts):
        if a[0] < FRAME[0] - 0.1 or a[1] < 0 or a[2] > wide - FRAME[2] + 0.1 or a[3] > high - FRAME[3] + 0.1:
            found.append((words, "frame"))
        for b, others in texts[i + 1 :]:
            if b[0] >= a[2] - 0.15:
                break
            # A balloon and the reference in it are meant to lie on each other.
            if min(a[3], b[3]) - max(a[1], b[1]) > 0.15 and "" not in (words, others):
                found.append((words, others))
    return found
