"""Why a piece has no place, in words."""

from __future__ import annotations

from studio_lib.units import mm


def why_missing(missing, pieces, boards, asked) -> dict[str, str]:
    """For each reference that is short, the plainest reason, or '' where the boards are only too few.

    ``asked`` is ``Derived.layout_asked``.
    """
    wanted = {p.ref: p for p in pieces}
    allow, trim = asked["allowances"], asked["end_trim_mm"]
    out = {}
    for ref in missing:
        p = wanted[ref]
        length, width, thickness = p.rough_mm(allow)
        of_timber = [b for b in boards if b.timber == p.timber]
        grained = [b for b in of_timber if set(p.grain) <= set(b.grain)]
        # Thickness, then width, then length: each among the boards that passed the one before.
        thick = [b for b in grained if b.thickness_mm >= thickness - 1e-6]
        wide = [b for b in thick if b.widest_mm >= width - 1e-6]
        long = [b for b in wide if b.length_mm - 2 * trim >= length - 1e-6]
        if not boards:
            out[ref] = "there are no boards"
        elif not of_timber:
            out[ref] = f"no board is {p.timber}"
        elif not grained:
            out[ref] = f"no board is known to have {' and '.join(p.grain)} grain"
        elif not thick:
            out[ref] = f"the thickest board is {mm(max(b.thickness_mm for b in grained))}"
        elif not wide:
            out[ref] = f"the widest board thick enough is {mm(max(b.widest_mm for b in thick))}"
        elif not long:
            out[ref] = f"the longest such board gives {mm(max(b.length_mm for b in wide) - 2 * trim)} between its trimmed ends"
        else:
            out[ref] = ""
    return out
