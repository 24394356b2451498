"""The arrows of the path, each kept under what it depends on."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import lru_cache

from studio_lib.commission import BoardChoices, Item
from studio_lib.finding import Finding
from studio_lib.forms import Surroundings, form, settled_beside
from studio_lib.forms.beside import Here
from studio_lib.piece import Piece
from studio_lib.stock.boards import Allowances, Board, Fault, Layout

KEEP = 64
"""How many recent answers each arrow keeps."""


def key(part) -> str:
    """What of the document an answer is kept under."""
    return part.model_dump_json()


@lru_cache(maxsize=KEEP)
def moisture_of(place: str, climate):
    """Yearly range of moisture, and the moisture to make at; ``climate`` by name, or as entered for the place."""
    from studio_lib.timber import climate as climate_named
    from studio_lib.timber import service_range

    return service_range(place, climate_named(climate) if isinstance(climate, str) else climate)


@lru_cache(maxsize=KEEP)
def choices_of(wants_json: str, place: str, years: int, public: bool, wear, wetted: bool, market: str = "", country: str = "", local: bool = False,
               painted: bool = False, per_m3: tuple[tuple[str, float], ...] = ()):
    """Every timber on file against the wishes, the place and the use; ``per_m3``: prices, where it need not be costly."""
    from studio_lib.commission import Wants
    from studio_lib.timber import Wants as TimberWants
    from studio_lib.timber import rank
    from studio_lib.timber.choice import Plain

    wants = Wants.model_validate_json(wants_json)
    return tuple(
        rank(
            TimberWants(
                light_or_dark=wants.tone, may_go_grey=wants.may_go_grey,
                low_movement=wants.small_movement, low_weight=wants.light_weight,
                hard_surface=wants.hard_surface, easy_to_work=wants.easy_to_work,
                low_tannin=wants.no_tannin_run, keep_colour=wants.keeps_colour,
            ),
            place, years, public, wear, wants.liked, wetted, unwanted_of(wants), market, country, local, Plain(painted, dict(per_m3)),
        )
    )


@lru_cache(maxsize=KEEP)
def glues_of(*asked) -> tuple:
    """Families of glue judged, as ``finishing.glues_for`` is asked."""
    from studio_lib.finishing import glues_for

    return tuple(glues_for(*asked))


@lru_cache(maxsize=KEEP)
def finishes_of(*asked) -> tuple:
    """Families of finish judged, as ``finishing.finishes_for`` is asked."""
    from studio_lib.finishing import finishes_for

    return tuple(finishes_for(*asked))


def unwanted_of(wants):
    """What the client does not want, as ``studio_lib.timber`` takes it."""
    from studio_lib.timber import Unwanted

    return Unwanted(wants.unwanted, wants.no_tropical, wants.none_listed)


@lru_cache(maxsize=KEEP)
def sizes_of(item_json: str, brief_json: str, around: Surroundings, table=None):
    """The settled sizes of a piece, and what the rules propose beside the maker's own."""
    item, brief = Item.model_validate_json(item_json), Here.model_validate_json(brief_json)
    return settled_beside(form(item.form), brief, around, item.sizes, table)


@lru_cache(maxsize=KEEP)
def piece_of(item_json: str, sizes: tuple[tuple[str, float], ...], around: Surroundings, letter: str) -> Piece:
    """Kept by its sizes, so that a stool whose height comes from a table is the same stool beside a longer one."""
    item = Item.model_validate_json(item_json)
    piece = form(item.form).lay_out(
        item.name, letter, dict(sizes), around, item.joints, item.adjustments
    )
    return piece if piece.metal == around.metal else replace(piece, metal=around.metal)


@lru_cache(maxsize=KEEP)
def findings_of_piece(piece: Piece) -> tuple[Finding, ...]:
    """What a piece says of its own members and joints."""
    from studio_lib.piece.checks import piece_findings
    from studio_lib.piece.uncut import uncut_findings

    return tuple(uncut_findings(piece) + piece_findings(piece))


@lru_cache(maxsize=KEEP)
def structure_of(piece: Piece, woods: tuple, place: str, use: str, own: tuple, setting):
    """Strength and balance of a piece in its timbers, under the loads of its use."""
    from studio_lib.structure.whole import analysed

    return analysed(piece, dict(woods), place, use, dict(own), setting)


@lru_cache(maxsize=KEEP)
def cutting_list_of(items: tuple[tuple[Piece, int], ...]):
    """The rows of the cutting list of so many of each piece."""
    from studio_lib.stock.cutting_list import cutting_list

    return cutting_list(items)


def allowances(choices: BoardChoices) -> Allowances:
    """What the maker's machines need over the finished size."""
    return Allowances(choices.docking_mm, choices.edging_mm, choices.dressing_mm)


def offered(choices: BoardChoices) -> tuple[Board, ...]:
    """The boards of the document, as the layout takes them."""
    return tuple(
        Board(
            ref=b.ref, timber=b.timber, length_mm=b.length_mm, width_mm=b.width_mm,
            thickness_mm=b.thickness_mm, price=b.price, count=b.count, source=b.source,
            faults=tuple(
                Fault(f.x0_mm, f.x1_mm, f.y0_mm, f.y1_mm, f.severity, f.name, f.face) for f in b.faults
            ),
            width_end_mm=b.width_end_mm, grain=b.grain, grade=b.grade, yard=b.yard,
        )
        for b in choices.offered if b.state != "put back"
    ) + _stock_boards(choices.stock)


@lru_cache(maxsize=KEEP)
def _stock_boards(stock) -> tuple[Board, ...]:
    from studio_lib.stock.sizes import boards_of

    return tuple(b for s in stock for b in boards_of(s))


@lru_cache(maxsize=KEEP)
def _read(kept_json: str) -> Layout:
    return Layout.from_plain(json.loads(kept_json))


@lru_cache(maxsize=KEEP)
def layout_of(wanted, boards, kerf, resaw, trim, allow: Allowances, kept_json: str, matches=(), pins=(), first_cut="either", theirs=()):
    """The kept layout while it still fits, else a first layout; why it was not used; those of ``theirs`` that it holds to.

    ``theirs`` are pins of pieces that the client's boards make; a layout once kept stands without them.
    """
    from studio_lib.stock import check_layout, lay_out
    from studio_lib.stock.boards import worth

    refused, kept = "", None
    if kept_json:
        kept = _read(kept_json)
        faults = check_layout(
            kept, wanted, boards, kerf, allowances=allow, end_trim_mm=trim, resaw_kerf_mm=resaw, matches=matches, pins=pins
        )
        if not faults:
            return kept, "", theirs
        refused = faults[0]
    def first(pinned):
        return lay_out(
            wanted, boards, kerf, 1.0, allowances=allow, end_trim_mm=trim, resaw_kerf_mm=resaw,
            effort="quick", matches=matches, pins=pinned, first_cut=first_cut, kept=kept,
        )

    quick = first((*pins, *theirs))
    if theirs and quick.missing:  # what must match, or has no other board, goes before
        free = first(pins)
        if worth(free, wanted)[0] < worth(quick, wanted)[0]:
            return free, refused, ()
    return quick, refused, theirs


@lru_cache(maxsize=KEEP)
def theirs_first(wanted, boards, kerf, resaw, trim, allow: Allowances, pins=(), first_cut="either"):
    """What the client's boards make by themselves beside the maker's own ``pins`` to them, as further pins of pieces to boards."""
    from collections import Counter

    from studio_lib.stock import lay_out
    from studio_lib.stock.boards import Pin

    if not wanted:
        return ()
    alone = lay_out(wanted, boards, kerf, 1.0, allowances=allow, end_trim_mm=trim, resaw_kerf_mm=resaw, effort="quick", pins=pins, first_cut=first_cut)
    made, spoken_for = Counter(), {p.piece_ref for p in pins}
    if spoken_for & set(alone.missing):
        return ()
    for p in alone.placements:
        made[p.piece_ref, p.board_ref] += p.layers
    return tuple(Pin(piece, board, n) for (piece, board), n in made.items() if piece not in spoken_for)
