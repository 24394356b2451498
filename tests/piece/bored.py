"""Two members laid against each other, and a piece of them, for tests of one joint."""

from studio_lib.piece import Member, Piece
from studio_lib.piece.placing import against, laid

OAK = "European oak"


def block(ref, length, width, thickness, low=(0.0, 0.0, 0.0), along="x", across="y", timber=OAK, arris=0.0) -> Member:
    return Member(ref, f"{ref} board", "board", timber, length, width, thickness,
                  laid(low, along, across, length, width, thickness), arris)


def beside(ref, other, side, length, width, thickness, along="x", across="y", timber=OAK, arris=0.0, **more) -> Member:
    return Member(ref, f"{ref} board", "board", timber, length, width, thickness,
                  against(other, side, along, across, length, width, thickness, **more), arris)


def pair(first, second, joint) -> Piece:
    return Piece("pair", "freehand", (first, second), (joint,))


class Year:
    """A place where 1 mm of this timber shrinks and grows by given parts across its grain."""

    def __init__(self, shrinks=0.02, grows=0.01):
        self.shrinks, self.grows = shrinks, grows

    def swing(self, member, size_mm, across="width"):
        from studio_lib.timber.provisions import Swing

        return Swing(size_mm, size_mm * self.shrinks, size_mm * self.grows, "made for this test", "this test")
