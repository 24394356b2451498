"""A piece without a form: every member and joint is the maker's own."""

from __future__ import annotations

from studio_lib.commission import AnyChange, Brief
from studio_lib.forms.changes import assembled
from studio_lib.forms.form import Form, Proposal, Surroundings
from studio_lib.piece import Piece


class Freehand(Form):
    """Nothing to begin with; members are added, placed against each other and joined."""

    name = "freehand"
    sizes = ()
    says = "No form: add members, place them against each other, join them."

    def propose(self, brief: Brief, around: Surroundings, chosen: dict[str, float]) -> dict[str, Proposal]:
        return {}

    def lay_out(
        self, name: str, letter: str, sizes: dict[str, float], around: Surroundings,
        joints: dict[str, dict[str, float]] | None = None, adjustments: tuple[AnyChange, ...] = (),
    ) -> Piece:
        return assembled(
            name=name, form=self.name, letter=letter, members=[], lay_joints=lambda known, own: [], changes=adjustments,
            own=joints, timber=around.timber,
        )


FREEHAND = Freehand()
