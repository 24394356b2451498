"""How it is carried in: what goes as one, through which openings."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cached_property

from studio_lib.derived.pieces import Made
from studio_lib.finding import Finding, Verdict
from studio_lib.forms import form
from studio_lib.piece import Piece


def _side_by_side(made: Made, passes_mm: float) -> str:
    """How a screen too long for the way in is made in leaves that stand edge to edge. [mm]"""
    long, width = made.piece.overall_mm[0], form(made.item.form).sizes[0].label
    n = math.ceil(long / passes_mm)
    if (clamps := form(made.item.form).clamps(made.sizes)) and "uprights" in made.sizes:
        return (f"Make it in {max(n, clamps.leaves)} leaves on the railing (up to {passes_mm:.0f} mm passes): set the number of steel uprights on Sizes to "
                f"{max(n, clamps.leaves) + 1}; its width stays.")
    bolted = next((s for s in form(made.item.form).sizes if s.name == "bolted"), None)
    if bolted and n <= bolted.high and form(made.item.form).fixed(made.sizes):
        return f"Make it in {n} leaves bolted together where it stands (up to {passes_mm:.0f} mm passes): set '{bolted.label}' on Sizes to {n}; its width stays."
    return (f"Make it in {n} leaves that join edge to edge (up to {passes_mm:.0f} mm passes): "
            f"set '{width}' on Sizes to {long / n:.0f} mm and 'How many' on Brief to "
            f"{n * made.item.count}; pictures, price and quote then take them as one row.")


ONE_HAND_KG = 5.0
"""Up to here a stool is moved with one hand; common practice, no source."""


class WayIn:
    """That part of ``studio_lib.derive.Derived``."""

    def _way_in(self) -> list[Finding]:
        from studio_lib.access import Box, not_measured, passes, way_in
        from studio_lib.access.apart import STRIP_MM, splits_of, taken_apart
        from studio_lib.structure.loads import serves

        openings = tuple(o.measured() for o in self.commission.brief.openings)
        found = []
        for p, name, refs, box, weight in self._carried:
            if len(refs) == 1 and sorted(box)[1] <= STRIP_MM:
                continue
            made = next(m for m in self.made if m.piece is p)
            parts_by = form(made.item.form).parts_by(made.sizes)
            whole = Box(name, *box, weight)
            stuck = any(o.anything_known and not passes(whole, o) for o in openings)
            for f in way_in((whole,), openings, apart={name: taken_apart(p, refs, weight)} if stuck else {}, splits=splits_of(made.item.form)):
                mend = f"{f.mend} {parts_by}".strip() if f.verdict is Verdict.FAILS else f.mend
                if serves(made.item.form) == "screen" and f.verdict is Verdict.FAILS and f.capacity and f.demand == box[0] \
                        and not form(made.item.form).packed_mm(made.sizes):
                    mend = f"{_side_by_side(made, f.capacity)} Or find another way in. {parts_by}".strip()
                found.append(replace(f, piece=p.name, mend=mend))
        return found + [f for o in openings if (f := not_measured(o)) is not None]

    @cached_property
    def carried(self) -> tuple[tuple[Piece, str, tuple[float, float, float], float | None], ...]:
        """What is carried in as one: the piece, its name, its size [mm] and its weight [kg], None while not known."""
        return tuple((p, name, size_mm, weight) for p, name, _, size_mm, weight in self._carried)

    @cached_property
    def _carried(self) -> tuple[tuple[Piece, str, tuple[str, ...], tuple[float, float, float], float | None], ...]:
        """The same with the references of the members of each."""
        from studio_lib.forms.changes import overall

        out = []
        for m in self.made:
            if not m.piece.members:
                continue
            groups = form(m.item.form).carried(m.piece)
            mass = self.weights_kg.get(m.piece.name)
            if len(groups) == 1:
                size = form(m.item.form).packed_mm(m.sizes) or m.piece.overall_mm
                out.append((m.piece, m.piece.name, tuple(m.piece.by_ref), size, mass))
                continue
            block = {r: x.length_mm * x.width_mm * x.thickness_mm for r, x in m.piece.by_ref.items()}
            for name, refs in groups.items():
                share = sum(block[r] for r in refs) / sum(block.values())
                size = overall([m.piece.member(r) for r in refs])
                out.append((m.piece, f"{m.piece.name}, {name}", refs, size, None if mass is None else mass * share))
        return tuple(out)

    def _lifting(self) -> list[Finding]:
        from studio_lib.access import carry

        return [
            replace(carry(name, weight, "men", longest_mm=max(size)), piece=p.name)
            for p, name, size, weight in self.carried if weight is not None
        ] + self._one_hand()

    def _one_hand(self) -> list[Finding]:
        """Whether each stool goes with one hand, where the client wants it light to carry."""
        if self.commission.brief.wants.light_weight < 2:
            return []
        return [
            Finding(
                m.piece.name, "lifted with one hand", Verdict.STANDS if kg <= ONE_HAND_KG else Verdict.LOOK_AGAIN,
                f"{kg:.1f} kg; to {ONE_HAND_KG:g} kg a stool is moved with one hand without thinking of it", kg, ONE_HAND_KG, "kg",
                f"light to carry matters much: {ONE_HAND_KG:g} kg or less", "common practice, no source",
                "" if kg <= ONE_HAND_KG else "Slimmer legs, rails or seat (As slender as it dares), or a lighter timber.", "sizes", piece=m.piece.name,
            )
            for m in self.made if "stool" in m.item.form and (kg := self.weights_kg.get(m.piece.name)) is not None
        ]
