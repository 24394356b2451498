"""The timber: what lasts in the place, ranked for the brief, and how it will move."""

from __future__ import annotations

from html import escape

import ipywidgets as w

from studio_lib.timber import all_species, stand_in, timber
from workbook import parts, show
from workbook.desk import Desk

STAND_INS = {"moe_gpa": "modulus of elasticity, GPa", "mor_mpa": "modulus of rupture, MPa", "shear_mpa": "shear strength, MPa"}


def panel(desk: Desk) -> w.Widget:
    names = [s.name for s in all_species()]
    return w.VBox([
        parts.choice(desk, "timber.species", "Timber", [("not chosen yet", None), *[(n, n) for n in names]],
                     "ranked for the brief in the table below"),
        parts.choice(desk, "timber.sawing", "Sawing", [("mixed, as it comes", "mixed"), ("flat-sawn", "flat"), ("quarter-sawn", "quarter")],
                     "flat-sawn boards move most across their width"),
        parts.optional_number(desk, "timber.making_moisture_pct", "Moisture when made", "%", "measured; empty takes the place's own target"),
        stand_ins(desk),
        parts.live(desk, lambda: chosen(desk)),
        parts.live(desk, lambda: place(desk)),
        parts.live(desk, lambda: fit_table(desk)),
    ])


def fit_table(desk: Desk) -> str:
    """Timbers that last in the place, best first; those ruled out folded under, with the reason."""
    choices = desk.derived.choices
    fit = [c for c in choices if not c.ruled_out]
    out = [c for c in choices if c.ruled_out]
    own = desk.commission.timber.species
    rows = []
    for c in fit[:12]:
        s = timber(c.species)
        said = "; ".join(escape(r) for r in c.reasons if not r.startswith(("+ EN", "+ AS", "+ USDA")))
        rows.append((
            escape(c.species), c.score, show.verdict(c.fit.verdict), f"{s.density_12pct_kg_m3:.0f}" if s.density_12pct_kg_m3 else "",
            f'<span style="display:inline-block;width:16px;height:16px;background:{s.colour_new_hex}"></span> '
            f'<span style="display:inline-block;width:16px;height:16px;background:{s.colour_weathered_hex}"></span>',
            f'<span class="quiet">{said}</span>',
        ))
    lit = [i for i, c in enumerate(fit[:12]) if c.species == own]
    head = ("Timber", "Points of 100", "Lasts", "kg/m3", "New, grey", "For and against")
    rest = [(escape(c.species), c.score, escape(c.fit.says)) for c in fit[12:]]
    ruled = [(escape(c.species), escape(c.fit.says)) for c in out]
    return (
        f"<h3>{len(fit)} timbers last {escape(desk.commission.brief.place)}; {len(out)} do not</h3>"
        + show.table(head, rows, numbers=(1, 3), lit=lit)
        + f"<details><summary>The other {len(rest)} that last</summary>{show.table(('Timber', 'Points', 'Why'), rest, numbers=(1,))}</details>"
        + f"<details><summary>The {len(ruled)} ruled out, and why</summary>{show.table(('Timber', 'Why not'), ruled)}</details>"
    )


def chosen(desk: Desk) -> str:
    """Figures of the chosen timber, each with where it comes from."""
    s = desk.derived.species
    if s is None:
        return "<p>Choose a timber to see its figures.</p>"
    rows = []
    for field, label, unit in (
        ("density_12pct_kg_m3", "Density at 12 % moisture", "kg/m3"),
        ("movement_tangential_per_pct", "Movement, flat-sawn, for 1 % moisture", "of its width"),
        ("movement_radial_per_pct", "Movement, quarter-sawn, for 1 % moisture", "of its width"),
        ("moe_gpa", "Modulus of elasticity", "GPa"), ("mor_mpa", "Modulus of rupture", "MPa"),
        ("shear_mpa", "Shear strength", "MPa"), ("hardness_n", "Hardness (Janka)", "N"),
        ("durability_en350", "Durability class EN 350", ""), ("gluing", "Gluing", ""), ("tannin", "Tannin", ""),
    ):
        value = getattr(s, field)
        shown = "not published" if value is None else f"{value:g}" if isinstance(value, int | float) else escape(str(value))
        rows.append((label, shown, unit, f'<span class="quiet">{escape(s.source_of(field))}</span>' if value is not None else ""))
    notes = "".join(
        f'<div class="caution">{escape(t)}</div>' for t in (
            f"Dust: {s.dust_caution}. Extraction and a P3 mask; local limits apply." if s.dust_caution else "",
            s.legality_note, s.notes,
        ) if t
    )
    return (
        f"<h3>{escape(s.name)} <i>{escape(s.botanical_name)}</i></h3>"
        + show.table(("Figure", "Value", "", "Source"), rows, numbers=(1,)) + notes
        + show.findings(desk.derived.timber_findings, all_of_them=True)
    )


def place(desk: Desk) -> str:
    """Moisture over the year, and what it does to 100 mm of width."""
    d = desk.derived
    m = d.moisture
    text = (
        f"<h3>Moisture over the year: {m.low_pct:.0f} to {m.high_pct:.0f} %</h3><p>{escape(m.reason)}</p>"
        f'<p class="quiet">{escape(m.source)}</p>'
    )
    if d.species is None:
        return text
    if d.movement_unknown:
        return text + f'<p class="open">{escape(d.movement_unknown)}</p>'
    wet, dry = d.movement_mm(100.0, m.high_pct), d.movement_mm(100.0, m.low_pct)
    return text + (
        f"<p>Made at {d.making_moisture_pct:g} %, a board 100 mm wide grows {wet:.1f} mm by the wettest "
        f"time and shrinks {-dry:.1f} mm by the driest.</p>"
    )


def stand_ins(desk: Desk) -> w.Widget:
    """Missing figures, each with a cautious stand-in the maker may accept."""

    def build():
        s = desk.derived.species
        if s is None:
            return []
        missing = [f for f in STAND_INS if getattr(s, f) is None]
        rows = []
        for field in missing:
            value, why = stand_in(s, field)
            box = w.Checkbox(
                value=field in desk.commission.timber.stand_ins, indent=False, layout=w.Layout(width="auto"),
                description=f"No {STAND_INS[field]} published: use {value:g} ({why})",
            )
            box.observe(lambda change, field=field: accept(desk, field, change.new), "value")
            rows.append(box)
        return rows

    return parts.rebuilt(desk, build, lambda c: (c.timber.species, c.timber.stand_ins))


def accept(desk: Desk, field: str, yes: bool) -> None:
    present = [f for f in desk.commission.timber.stand_ins if f != field]
    desk.change("timber.stand_ins", [*present, field] if yes else present)
