"""The fewest boards a general-purpose rectangle packer needs, over all its edge-to-edge settings.

Not needed for the tests, which hold what it found: it is published as source only, and the lock takes built packages
alone. To find the figures again: ``pip install rectpack==0.2.2``, then ``python -m tests.stock.packer``.
"""

from __future__ import annotations

from importlib import import_module
from inspect import isclass

rectpack = import_module("rectpack")
guillotine = import_module("rectpack.guillotine")

SORTS = [getattr(rectpack, name) for name in dir(rectpack) if name.startswith("SORT_")]
BINS = (rectpack.PackingBin.BNF, rectpack.PackingBin.BFF, rectpack.PackingBin.BBF)
SPLITS = [c for n, c in vars(guillotine).items() if isclass(c) and n.startswith(("GuillotineBssf", "GuillotineBlsf", "GuillotineBaf")) and n.endswith("as")]


def fewest_boards(pieces, length: int, width: int) -> int:
    """Boards of one size for (length, width, count) pieces that must not be turned: best of every setting.

    Kerf must be in the sizes. Some of its layouts cannot be sawn edge to edge (free parts are merged
    again after a cut), so this may be too few, never too many.
    """
    sizes = [(l, w) for l, w, n in pieces for _ in range(n)]
    fewest = len(sizes)
    for split in SPLITS:
        for sort in SORTS:
            for bins in BINS:
                packer = rectpack.newPacker(rectpack.PackingMode.Offline, bins, split, sort, rotation=False)
                packer.add_bin(length, width, count=len(sizes))
                for n, (l, w) in enumerate(sizes):
                    packer.add_rect(l, w, n)
                packer.pack()
                if sum(len(b) for b in packer) == len(sizes):
                    fewest = min(fewest, len(packer))
    return fewest


def main() -> None:
    """Print what ``tests/published/test_boards_published.py`` holds, anew."""
    from tests.published.test_boards_published import cases

    for case in cases("boards_2d_published.json"):
        if case.row.get("best_known_boards"):
            (board,), k = case.boards, case.kerf_mm
            sizes = [(int(p.length_mm + k), int(p.width_mm + k), p.count) for p in case.pieces]
            print(f'    "{case.name}": {fewest_boards(sizes, int(board.length_mm + k), int(board.width_mm + k))},')


if __name__ == "__main__":
    main()
