"""The demo commission: our own invented scenario, on real figures.

A village library asks for an outdoor dining table for six and a matching stool for its
lakeside terrace. People, boards, prices and rates are invented; timber, loads and
bodies come from their published sources like in any other commission.
"""

from __future__ import annotations

import json
from datetime import date
from decimal import Decimal
from pathlib import Path

from studio_lib.commission import (
    BoardChoices, BoardFault, Brief, BusyRange, Commission, Item, LifeDetails, LogEntry, MoistureReading, OfferedBoard,
    Opening, Point, Rates, Shop, TimberChoice, Wants,
)

REF = "C26-001"
TIMBER = "Black locust"
KEPT = Path(__file__).with_name("demo_layout.json")

ASKED = (
    "A table for the terrace where the reading group can eat together in summer, six of us, "
    "with slats so that rain runs off, and one stool to match to see whether we want more. "
    "It stays out all year. It may go grey. Nothing tropical, please."
)

ANSWERED = (
    ("A table for the terrace where six of us can eat together", "three along each side"),
    ("with slats so that rain runs off", "gaps that stay open when the slats are wettest"),
    ("one stool to match to see whether we want more", "more of them, made in one go, cost less each"),
    ("It stays out all year and may go grey", "left bare: there is nothing to renew"),
    ("Nothing tropical, please", "black locust from Europe"),
)


def demo() -> Commission:
    """The demo commission, with the layout that its maker kept."""
    document = without_layout()
    return document.changed("boards.kept_layout", json.loads(KEPT.read_text("utf-8")))


def without_layout() -> Commission:
    """The same before the boards are laid out."""
    return Commission(
        ref=REF,
        title="Terrace table and stool",
        client="the village library",
        brief=Brief(
            asked=ASKED,
            points=tuple(Point(words=asked, answer="in it", note=how) for asked, how in ANSWERED),
            decides="the head librarian; the reading group is asked",
            people=6,
            share_women=0.6,
            use="public",
            place="outdoors, in the weather",
            climate="temperate lakeside",
            years_wanted=25,
            by_the_sea=False,
            sun_side="open to the south and west, no trees",
            ground="paving",
            carries="six people's plates and elbows, now and then a hot pot",
            beside_a_drop=False,
            needs_leave=("public land",),
            leave_given=("public land", "public use"),
            may_forbid="the parish, which owns the terrace; it has agreed in writing",
            heft="chunky",
            metal="may be seen",
            care_done="once a year",
            wants=Wants(
                tone="light", may_go_grey=True, small_movement=1, light_weight=0, hard_surface=2,
                easy_to_work=0, no_tannin_run=1, no_tropical=True,
            ),
            space_length_mm=4200,
            space_width_mm=3000,
            openings=(Opening(name="terrace door", width_mm=1250, height_mm=2100),),
            finish="left bare",
            budget=Decimal("9000"),
            wanted_by=date(2027, 5, 1),
        ),
        timber=TimberChoice(
            species=TIMBER, sawing="mixed", making_moisture_pct=15.0,
            details=LifeDetails(end_grain_sealed=True),
            readings=tuple(
                MoistureReading(day=date(2026, 11, day), board=board, depth_mm=8, percent=percent,
                                temperature_c=14, instrument_species=TIMBER)
                for board, shown in (("Y2", (17.2, 16.1, 15.4)), ("Y5", (18.9, 17.6, 16.8)))
                for day, percent in zip((2, 9, 16), shown)
            ),
        ),
        items=(
            Item(name="terrace table", form="slatted table", sizes={
                "gap_mm": 7.0, "slat_count": 9, "slat_thickness_mm": 26.0, "overhang_side_mm": 60.0, "height_mm": 740.0, "apron_width_mm": 90.0,
                "apron_thickness_mm": 30.0, "bearer_width_mm": 68.0, "bearer_thickness_mm": 30.0,
            }),
            Item(name="terrace stool", form="slatted stool", sizes={
                "gap_mm": 7.0, "slat_thickness_mm": 22.0, "leg_mm": 45.0, "apron_width_mm": 60.0, "apron_thickness_mm": 22.0,
                "bearer_thickness_mm": 22.0, "lower_rail_height_mm": 227.0, "lower_rail_width_mm": 36.0, "lower_rail_thickness_mm": 22.0,
            }),
        ),
        boards=BoardChoices(priced_on=date(2026, 11, 16), offered=_yard()),
        rates=Rates(design_hours=10, design_counted=False, delivery_km=36),
        shop=Shop(
            start=date(2027, 1, 11),
            holidays=(date(2027, 3, 26), date(2027, 3, 29)),
            other_jobs=(BusyRange(first=date(2027, 2, 8), last=date(2027, 2, 12), what="shelves for the school"),),
            log=(
                LogEntry(kind="sample", day=date(2026, 11, 18), who="the head librarian", closed_on=date(2026, 11, 20),
                         what="bare locust, new and after a winter outdoors, shown side by side"),
                LogEntry(kind="inspection", day=date(2026, 11, 19), who="the maker",
                         what="paving beside the terrace door: does it fall away from the wall?"),
            ),
        ),
        notes="The head librarian decides; the reading group is asked about the stool.",
    )


def _board(ref, length, width, thickness, price, *faults) -> OfferedBoard:
    return OfferedBoard(
        ref=ref, timber=TIMBER, length_mm=length, width_mm=width, thickness_mm=thickness,
        price=Decimal(price),
        faults=tuple(
            BoardFault(x0_mm=x0, x1_mm=x1, y0_mm=y0, y1_mm=y1, severity=s, name=n)
            for x0, x1, y0, y1, s, n in faults
        ),
    )


def _yard() -> tuple[OfferedBoard, ...]:
    """Boards seen at the yard, measured with their faults. Invented."""
    return (
        _board("Y1", 2450, 230, 32, "46.90", (0, 110, 0, 230, 3, "end split"), (1320, 1370, 150, 190, 1, "pin knot")),
        _board("Y2", 2400, 225, 32, "44.90", (2330, 2400, 0, 225, 3, "end check")),
        _board("Y3", 2500, 215, 32, "44.70", (700, 760, 20, 70, 2, "knot")),
        _board("Y4", 2350, 240, 32, "46.90"),
        _board("Y5", 2420, 220, 32, "44.30", (0, 2420, 0, 12, 2, "sapwood edge")),
        _board("Y6", 2200, 230, 32, "42.10", (900, 980, 90, 150, 2, "knot")),
        _board("Y7", 2380, 210, 32, "41.60", (2250, 2380, 60, 210, 3, "end split")),
        _board("Y8", 2600, 200, 32, "43.30", (1500, 1530, 100, 125, 1, "pin knot")),
        _board("Y9", 2150, 235, 40, "52.60", (0, 90, 0, 235, 3, "end split")),
        _board("Y10", 2300, 210, 40, "50.20", (1200, 1290, 0, 45, 2, "knot at the edge")),
        _board("Y11", 2050, 190, 40, "40.50", (400, 440, 120, 150, 1, "pin knot"), (1960, 2050, 0, 190, 3, "end check")),
        _board("Y12", 1900, 180, 40, "35.60"),
        _board("Y13", 1650, 180, 80, "63.00", (0, 60, 0, 180, 3, "end check")),
        _board("Y14", 1550, 170, 80, "55.90", (820, 880, 70, 120, 2, "knot")),
        _board("Y15", 1900, 110, 52, "29.40"),
        OfferedBoard(ref="R1", timber=TIMBER, length_mm=1350, width_mm=125, thickness_mm=52,
                     price=Decimal("12.00"), source="rack"),
        OfferedBoard(ref="R2", timber=TIMBER, length_mm=980, width_mm=140, thickness_mm=30,
                     price=Decimal("6.00"), source="rack",
                     faults=(BoardFault(x0_mm=300, x1_mm=330, y0_mm=60, y1_mm=90, severity=1, name="pin knot"),)),
    )


def main() -> None:
    """For developers: lay the demo's boards out anew and store the layout that the demo keeps."""
    from studio_lib.derive import derive
    from studio_lib.stock import lay_out

    document = without_layout()
    d, boards = derive(document), document.boards
    found = lay_out(
        d.wanted, d.offered, boards.kerf_mm, 60.0, allowances=d.allowances,
        end_trim_mm=boards.end_trim_mm, resaw_kerf_mm=boards.resaw_kerf_mm, effort="thorough",
    )
    KEPT.write_text(json.dumps(found.to_plain(), indent=1) + "\n", "utf-8")
    print(f"{found.cost} on {len(found.boards_used)} boards, {found.state}")


if __name__ == "__main__":
    main()
