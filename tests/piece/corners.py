"""Two members and one joint as a piece, for the tests of joints."""

from studio_lib.piece import Member, Piece
from studio_lib.piece.kinds import joined
from studio_lib.piece.placing import laid


def member(ref, low, along, across, length, width, thickness, arris=0.0):
    """A member named after its reference."""
    return Member(ref, ref, ref, "oak", length, width, thickness, laid(low, along, across, length, width, thickness), arris)


def pair(kind, first, second, **own):
    """The piece of both members and their joint."""
    joint = joined(kind, first, second, "", own)
    return Piece("pair", "test", (first, second), (joint,))


class Swings:
    """A year in which every size gives the same part of itself either way."""

    def __init__(self, part):
        self.part = part

    def swing(self, member, size_mm, across="width"):
        """See ``studio_lib.piece.Season``."""
        from studio_lib.timber.provisions import Swing

        return Swing(size_mm, self.part * size_mm, self.part * size_mm, "made for this test", "this test")
