"""Plainer ways to make it: fewer drawers, no pulls, slats, a plainer finish, a cheaper timber; never what the client asked for."""

from __future__ import annotations

from collections.abc import Iterator

from studio_lib.commission import Commission
from studio_lib.costing.cheaper import Trial, _of_finish, _of_timber
from studio_lib.derive import Derived
from studio_lib.derived.given import asked_for, ruled_out, stays
from studio_lib.forms import form
from studio_lib.timber.choice import as_asked

STAYS = (
    "leaves", "bolted", "stands", "stands_on", "skirting", "spacers_least", "spacers_most", "way", "uprights", "slat_count", "board_count", "held",
)
"""Counts and choices that are no matter of plain or rich."""


def plainer_trials(d: Derived) -> Iterator[Trial]:
    """Single changes to a plainer piece that the client's words do not speak against, those of sizes the maker set included, which is said."""
    for i, made in enumerate(d.made):
        yield from _of_pieces(d, i, made)
    yield from _of_finish(d)
    yield from _timbers(d)


FEWER = ("shelf_count", "upper_shelves", "cupboard_shelves", "drawers", "drawer_rows")
"""Counts of which one fewer is told of where the client asked for such things."""


def giving_up(d: Derived) -> Iterator[Trial]:
    """What would be given up of what the client asked for: the doors, one shelf or drawer, the finish; last the doors and the finish together.

    Told of apart from the plainer ways, for the client alone can let go of it.
    """
    whole = [*_without_doors(d), *_left_to_finish(d, d.commission)]
    yield from whole
    yield from _fewer(d)
    if len(whole) > 1:
        document = whole[0].document
        for trial in whole[1:]:
            for i, (before, after) in enumerate(zip(d.commission.items, trial.document.items)):
                if before != after:
                    document = document.changed(f"items.{i}", after.model_dump(mode="json"))
            document = document.changed("brief.finish", trial.document.brief.finish)
        yield Trial("parts", ", and ".join(t.says for t in whole), "", document, key="given up together")


def _without_doors(d: Derived) -> Iterator[Trial]:
    for i, made in enumerate(d.made):
        hangs = any(j.lets == "turn" for j in made.piece.joints)
        sizes = form(made.item.form).without_doors(made.sizes) if hangs and asked_for(made.brief, "doors") else {}
        after = _sized(d.commission, i, sizes) if sizes else None
        if after is not None:
            yield Trial("parts", f"{made.item.name}: without doors", "open shelves in their place" if "shelf_count" in made.sizes else "", after, key=f"{i} doors given up")


def _left_to_finish(d: Derived, c: Commission) -> Iterator[Trial]:
    """Indoors alone, where bare wood waits unharmed until the client finishes it."""
    finish = c.brief.finish
    if finish != "left bare" and asked_for(c.brief, "finish") and all(m.brief.place.startswith("indoors") for m in d.made):
        yield Trial("finish", f"left for the client to {'paint' if finish == 'paint' else 'finish'}", "bare wood, sanded, until they do", c.changed("brief.finish", "left bare"), key="finish given up")


def _fewer(d: Derived) -> Iterator[Trial]:
    for i, made in enumerate(d.made):
        of = form(made.item.form)
        idle = of.unused(made.sizes)
        for s in of.sizes:
            now = int(made.sizes.get(s.name, 0))
            if s.name not in FEWER or s.name in idle or s.choices or now - 1 < max(s.low, 1) or not asked_for(made.brief, s.name):
                continue
            after = _sized(d.commission, i, {s.name: float(now - 1)})
            if after is not None:
                yield Trial("parts", f"{made.item.name}: {s.label[0].lower()}{s.label[1:]}, {now} -> {now - 1}", "", after, key=f"{i} {s.name} given up")


def _sized(c: Commission, index: int, sizes: dict[str, float]) -> Commission | None:
    """A commission with sizes of one piece set; None where they are none of its form."""
    try:
        for name, value in sizes.items():
            c = c.changed(f"items.{index}.sizes.{name}", value)
    except ValueError:
        return None
    return c


def _of_pieces(d: Derived, i: int, made) -> Iterator[Trial]:
    c, of = d.commission, form(made.item.form)
    left, needs = (*of.unused(made.sizes), *stays(made, to_save=True), *STAYS), of.needs(made.sizes, made.brief)
    for s in of.sizes:
        now = made.sizes.get(s.name)
        if now is None or s.name in left or not (s.choices or s.whole):
            continue
        yours = " (you set it)" if s.name in made.item.sizes else ""
        label = f"{s.label[0].lower()}{s.label[1:]}"
        for then in _thens(s, int(now), made, needs):
            try:
                after = c.changed(f"items.{i}.sizes.{s.name}", float(then))
            except ValueError:
                continue
            what = f"{label}, {s.choices[int(now)]} -> {s.choices[then]}" if s.choices else f"{label} {int(now)} -> {then}"
            yield Trial("parts", f"{made.item.name}: {what}{yours}", "", after, key=f"{i} {s.name} {then}")


def _thens(s, now: int, made, needs) -> list[int]:
    """What a count or choice is tried at: every other choice; one fewer, of drawers the fewest that there can be too."""
    if s.choices:
        if s.name in needs and s.name != "pulls":
            return []
        never = ruled_out(s, made.brief)
        slats = made.table == "written at" or not made.brief.place.startswith("outdoors")  # nobody writes on slats, and indoors nobody eats from them
        return [k for k, other in enumerate(s.choices) if k != now and k not in never and not (other == "slats" and slats)]
    least = int(max(s.low, made.proposals[s.name].value if s.name in needs else s.low))
    return [n for n in dict.fromkeys((now - 1, *[least] * ("drawer" in s.name))) if least <= n < now]


def _timbers(d: Derived) -> Iterator[Trial]:
    """Timbers that suit as well as the one in hand and are of the tone asked for, if any was; never away from one the client likes."""
    chosen = {c.species: c for c in d.choices}
    now, wants = chosen.get(d.commission.timber.species), d.commission.brief.wants

    def suits(c) -> bool:
        return not (c.ruled_out or c.unwanted or c.far or c.seldom) and (now is None or (not c.treated or now.treated) and (not c.too_soft or now.too_soft))

    for trial in _of_timber(d):
        other = chosen.get(trial.document.timber.species)
        if other is not None and suits(other) and as_asked(d.library.timber(other.species), wants.tone):
            yield trial
