"""The fewest boards a general-purpose rectangle packer needs, over all its edge-to-edge settings."""

from __future__ import annotations

from inspect import isclass

import rectpack
from rectpack import guillotine

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
