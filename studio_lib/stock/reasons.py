"""Why a piece has no place, in words."""

from __future__ import annotations

from collections import Counter

from studio_lib.units import mm


def why_missing(missing, pieces, boards, asked, ready=()) -> dict[str, str]:
    """For each reference that is short, the plainest reason, or '' where the boards are only too few.

    ``asked`` is ``Derived.layout_asked``; ``ready`` the references of what is bought glued up.
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
            out[ref] = f"the thickest board is {mm(max(b.thickness_mm for b in grained))} mm"
        elif not wide:
            out[ref] = f"the widest board thick enough is {mm(max(b.widest_mm for b in thick))} mm" + (", and this is bought glued up" if ref in ready else "")
        elif not long:
            out[ref] = (
                f"the longest such board gives {mm(max(b.length_mm for b in wide) - 2 * trim)} mm between its trimmed ends"
            )
        else:
            match = next((m for m in asked["matches"] if ref in m.refs), None)
            out[ref] = {
                None: "",
                "same board": "no one board gives all that must come from it",
                "consecutive": "no board has room for them side by side or end to end",
                "book-matched": "no board is thick enough for two leaves, or there are too few",
            }[match and match.kind]
    return out


def what_changed(kept, layout) -> str:
    """One layout against an earlier one: what lies where it did, what moved, what is missing now."""

    def places(one):
        out: Counter = Counter()
        for p in one.placements:
            out[p.board, p.piece_ref, round(p.x_mm, 1), round(p.y_mm, 1)] += p.layers
        return out

    before, now = places(kept), places(layout)
    total, stay = sum(now.values()), sum((before & now).values())
    gone = [
        ref for ref in dict.fromkeys(b for b, _ in kept.boards_used) if all(ref != b for b, _ in layout.boards_used)
    ]
    fresh = [
        ref for ref in dict.fromkeys(b for b, _ in layout.boards_used) if all(ref != b for b, _ in kept.boards_used)
    ]
    words = [f"{stay} of {total} pieces still come out where they did"]
    if total > stay:
        words[0] += f", {total - stay} elsewhere"
    if gone:
        words.append(f"no longer needed: {', '.join(gone)}")
    if fresh:
        words.append(f"needed besides: {', '.join(fresh)}")
    if layout.missing:
        words.append("missing: " + ", ".join(f"{n} of {ref}" for ref, n in layout.missing.items()))
    return "; ".join(words) + "."
