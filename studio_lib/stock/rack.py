"""The maker's rack: leftovers with their sizes and what faults they still hold, for the next job."""

from __future__ import annotations

from studio_lib.stock.boards import Board, Layout


def leftover_rows(layout: Layout, taken) -> list[dict]:
    """Leftovers of a layout worth keeping, as rows of offered boards, with references not among ``taken``; those of the client's own
    boards go back to the client and are not among them.

    Along is measured from the leftover's own left end, across from its own lower edge. [mm]
    """
    taken, rows, n = set(taken), [], 1
    for o in (o for o in layout.offcuts if layout.board(o.board_ref).source != "client"):
        while f"R{n}" in taken:
            n += 1
        taken.add(f"R{n}")
        board = layout.board(o.board_ref)
        rows.append({
            "ref": f"R{n}", "timber": board.timber, "length_mm": o.length_mm, "width_mm": o.width_mm,
            "thickness_mm": o.thickness_mm, "price": "0", "faults": _faults_on(board, o), "source": "rack",
            "grain": list(board.grain), "grade": board.grade,
        })
    return rows


def used_up(layout: Layout) -> set[str]:
    """References of the rack's boards that a layout cuts."""
    cut = {ref for ref, _ in layout.boards_used}
    return {b.ref for b in layout.boards if b.source == "rack" and b.ref in cut}


def _faults_on(board: Board, o) -> list[dict]:
    out = []
    for f in board.faults:
        x0, x1 = max(f.x0_mm - o.x_mm, 0.0), min(f.x1_mm - o.x_mm, o.length_mm)
        y0, y1 = max(f.y0_mm - o.y_mm, 0.0), min(f.y1_mm - o.y_mm, o.width_mm)
        if x0 < x1 and y0 < y1:
            out.append({"x0_mm": x0, "x1_mm": x1, "y0_mm": y0, "y1_mm": y1, "severity": f.severity,
                        "name": f.name or "knot", "face": f.face})
    return out
