"""The drawings of a commission: the set with its title blocks, and its PDF."""

from __future__ import annotations

from studio_lib.derive import Derived
from studio_lib.drawings.paper import SHEETS, Block
from studio_lib.drawings.whole import DrawingSet, Drawn, drawing_set
from studio_lib.papers import words
from studio_lib.papers.typeset import pdf
from studio_lib.units import mm

GENERAL = (
    "Sizes in mm. Do not scale. Where nothing is said: ±2 over all, ±0.2 between shoulders, ±0.5 elsewhere. Fit: a mortise, "
    "groove or hole is cut to its figures, its tenon, tongue or dowel 0 / -0.1 in thickness, to slide in by hand (both common "
    "practice, no source). Dashed: hidden; hatched aslant: end grain cut; dashes along: long grain cut. Datum: the "
    "start of a member, its lower edge and its face; the loop marks the face, the V the edge."
)


def drawings_of(d: Derived, about: dict, sender: list[str]) -> DrawingSet:
    """Every sheet of the commission's pieces.

    ``about`` is what all papers carry (reference, revision, date, title); ``sender`` the maker's name and address.
    Raises ValueError, in words, for a piece too large to be drawn.
    """
    wish = d.commission.drawings
    fitted = tuple(ref.strip() for ref in wish.cut_to_fit.replace(";", ",").split(",") if ref.strip())
    drawn, blocks = [], []
    for m in d.made:
        if not m.piece.members:
            continue
        rows = tuple(r for r in d.cutting_list if r.piece == m.piece.name)
        drawn.append(Drawn(m.piece, rows, m.item.count, tuple(f for f in fitted if f in m.piece.by_ref)))
        letter = m.piece.members[0].ref.partition("-")[0]
        arris = m.sizes.get("arris_mm", 0)
        blocks.append(
            Block(
                owner=sender[0],
                number=f"{about['ref']}-{letter}",
                title=m.piece.name + (f", {m.item.count} off" if m.item.count > 1 else ""),
                subtitle=f"{about['title']}, for {about['client']}",
                revision=str(about["revision"]),
                date=about["date"],
                projection=wish.projection,
                moisture=f"{d.making_moisture_pct:g} % moisture",
                timber=f"{d.species.name if d.species else 'open'}, {d.finish_words}",
                notes=(
                    *([wish.note] if wish.note else []),
                    GENERAL + (f" Arrises {mm(arris)} mm off, not drawn." if arris else ""),
                    words.GUIDANCE,
                ),
                banner=about["held"],
            )
        )
    return drawing_set(drawn, blocks, wish.sheet, wish.projection)


def drawings_pdf(drawn: DrawingSet, title: str) -> bytes:
    """The sheets as a PDF at full size."""
    pictures = {f"sheet{k}.svg": svg for k, svg in enumerate(drawn.svgs)}
    sheets = [
        {"picture": name, "width": SHEETS[sheet.paper][0], "height": SHEETS[sheet.paper][1]}
        for name, (sheet, _) in zip(pictures, drawn.sheets)
    ]
    return pdf("drawing", {"title": title, "sheets": sheets}, pictures)
