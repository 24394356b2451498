"""What would make it cheaper: single changes of the document, each laid out, checked and priced anew; price breaks."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal

from studio_lib.commission import Commission, Swapped
from studio_lib.derive import Derived, derive
from studio_lib.derived.given import asked_for, ruled_out, stays, timber_stays
from studio_lib.finding import Verdict
from studio_lib.finishing import family_for
from studio_lib.forms import form
from studio_lib.piece.kinds import lost_by_swap
from studio_lib.units import mm, overall

MOST = 10
CHECKED = 30
"""So many of the changes that save most are checked; those that make a check fail are not offered."""
SMALLER = 0.90
"""An overall size or a section is tried at nine tenths; judgement of ours."""
WIDER = 1.25
"""A gap between slats is tried a quarter wider; judgement of ours."""
INSTEAD = (
    "loose tenon",
    "dowels",
    "mortise and tenon",
    "stub tenon",
    "cross halving",
    "edge joint",
    "housing",
    "screws",
)
"""Kinds of joint tried in place of others."""
CORNER_OF_A_CASE = ("through dovetail",)
"""Corners of a box that is sat on, dragged and filled; what is cheaper there only holds by its glue; common practice, no source."""
NO_PEGS = ("housing",)
"""Not tried out of doors in place of a tenon that can be pegged: against pull it has only its glue; common practice, no source."""
LEAST_SAVING = Decimal("1.00")


@dataclass(frozen=True)
class Saving:
    """One single change: what it saves before tax, and what it does to checks and look."""

    lever: str
    """timber, section, joint, size, parts or finish."""
    says: str
    """'Table, apron width 90 -> 81 mm'."""
    saves: Decimal
    findings: str
    worse: bool
    """Something that stood now wants another look; nothing that fails is offered."""
    look: str
    hours: Decimal
    """Likely hours less. [h]"""
    document: Commission
    """The commission with the change made."""


@dataclass(frozen=True)
class Trial:
    """A change to be tried."""

    lever: str
    says: str
    look: str
    document: Commission
    per_m3: tuple[Decimal, Decimal] | None = None
    """Prices of the timber now and of the other, where that is what changes."""
    key: str = ""
    """The same for the same lever on the same part, whatever its present size."""


def trials(d: Derived) -> Iterator[Trial]:
    """Every single change that is tried, one lever after the other; those that no form allows are left out."""
    c = d.commission
    if not d.pieces:
        return
    for i, made in enumerate(d.made):
        yield from _of_sizes(c, i, made)
        yield from _of_joints(c, i, made)
    yield from _of_finish(d)
    yield from _of_timber(d)


def _of_sizes(c: Commission, i: int, made) -> Iterator[Trial]:
    of = form(made.item.form)
    left = (*of.unused(made.sizes), *stays(made, to_save=True))
    for s in of.sizes:
        now = made.sizes.get(s.name)
        if now is None or s.name in left:
            continue
        if s.name == "gap_mm":
            yield from _of_gap(c, i, made, s, now)
            continue
        if s.choices:
            yield from _of_choice(c, i, made, s, int(now))
            continue
        section = s.name.endswith("_mm") and s.name not in ("length_mm", "width_mm", "height_mm", "depth_mm")
        if s.whole:
            then, lever = now - 1, "parts"
            if s.name in form(made.item.form).needs(made.sizes, made.brief) and then < made.proposals[s.name].value:
                continue
        else:
            then, lever = round(now * SMALLER), "section" if section else "size"
        if then < s.low or then >= now or (now > 0 and then <= 0 and not s.whole):
            continue
        try:
            after = c.changed(f"items.{i}.sizes.{s.name}", float(then))
        except ValueError:
            continue
        words = f"{s.label[0].lower()}{s.label[1:]}"
        unit = f" {s.unit}" if s.unit and not s.whole else ""
        yield Trial(lever, f"{made.item.name}: {words} {mm(now)} -> {mm(then)}{unit}", "", after, key=f"{i} {s.name}")


def _of_gap(c: Commission, i: int, made, s, now: float) -> Iterator[Trial]:
    """Wider gaps, so fewer slats; a gap that the maker settled stays, it is what was asked for."""
    then = min(round(now * WIDER), s.high)
    if s.name not in made.item.sizes and then > now:
        words = f"{s.label[0].lower()}{s.label[1:]}"
        try:
            after = c.changed(f"items.{i}.sizes.{s.name}", float(then))
        except ValueError:
            return
        yield Trial("parts", f"{made.item.name}: {words} {mm(now)} -> {mm(then)} mm", "", after, key=f"{i} {s.name}")


def _of_choice(c: Commission, i: int, made, s, now: int) -> Iterator[Trial]:
    """Other ways that the form leaves open; one that the maker settled stays."""
    if s.name in made.item.sizes or s.name in form(made.item.form).needs(made.sizes, made.brief):
        return
    never = ruled_out(s, made.brief)
    for k, other in enumerate(s.choices):
        # Nobody writes on slats, and indoors nobody eats from them.
        slats = other == "slats" and (made.table == "written at" or not made.brief.place.startswith("outdoors"))
        if k != now and k not in never and not slats:
            try:
                after = c.changed(f"items.{i}.sizes.{s.name}", float(k))
            except ValueError:
                continue
            words = f"{s.label[0].lower()}{s.label[1:]}"
            yield Trial("parts", f"{made.item.name}: {words}, {s.choices[now]} -> {other}", f"{words}: {other}", after,
                        key=f"{i} {s.name} {k}")


def _of_joints(c: Commission, i: int, made) -> Iterator[Trial]:
    from studio_lib.piece.kinds import KINDS

    kinds = {j.family: j.kind for j in made.piece.joints}
    for family, kind in kinds.items():
        for other in _instead():
            there = [j for j in made.piece.joints if j.family == family]
            if made.brief.place.startswith("outdoors") and (KINDS[other].by_glue_alone or ("pegs" in there[0].changeable and other in NO_PEGS)):
                continue
            if kind in CORNER_OF_A_CASE and other not in CORNER_OF_A_CASE:
                continue
            if other == kind or any(lost_by_swap(j, other) for j in there) or _both_only_glued(made.piece, there[0], other):
                continue
            change = Swapped(family=family, joint=other).model_dump(mode="json")
            try:
                rows = [a.model_dump(mode="json") for a in made.item.adjustments]
                after = c.changed(f"items.{i}.adjustments", [*rows, change])
            except (ValueError, LookupError):
                continue
            yield Trial("joint", f"{made.item.name}: {family}, {kind} -> {other}", f"{other} in place of {kind}", after,
                        key=f"{i} {family} {other}")


def _both_only_glued(piece, joint, other: str) -> bool:
    """Whether the other kind is the same plain glue line under another name: nothing is cut for either, so nothing is saved."""
    from studio_lib.piece.kinds import joined

    if any(piece.cuts_of(joint).values()):
        return False
    try:
        return not any(joined(other, piece.member(joint.first), piece.member(joint.second), joint.family).cuts(piece).values())
    except ValueError:
        return False


def _instead() -> tuple[str, ...]:
    from studio_lib.piece.kinds import KINDS

    return tuple(k for k in INSTEAD if k in KINDS)


def _of_finish(d: Derived) -> Iterator[Trial]:
    from studio_lib.look.scenes import greying_words

    b = d.commission.brief
    if asked_for(b, "finish") or b.sheen:
        return
    now, of = b.finish, {f.finish.family: f.verdict for f in d.finishes}
    here = of.get(d.finish_family.family)
    for other in ("left bare", "oil", "hard-wax oil"):
        judged = of.get(family_for(other, d.hardest.place))
        if other != now and (judged is here or judged is Verdict.STANDS):
            after = d.commission.changed("brief.finish", other)
            greys = greying_words(derive(after, d.known))
            look = ("bare wood" if other == "left bare" else f"the sheen of {other}") + (f"; it {greys}" if greys else "")
            yield Trial("finish", f"finish {now} -> {other}", look, after, key=f"finish {other}")


def _of_timber(d: Derived) -> Iterator[Trial]:
    """Other timbers the maker has given a price for; while no boards are seen, those of the starting list too."""
    c, now = d.commission, d.commission.timber.species
    prices = _prices(d)
    if now is None or now not in prices:
        return
    for name in prices:
        if name != now and name not in d.barred and not timber_stays(d, name):
            try:
                s = d.library.timber(name)
                after = c.changed("timber.species", name).changed("timber.making_moisture_pct", None)
            except (KeyError, ValueError):
                continue
            look = f"{s.tone}, {s.figure}" if s.figure else s.tone
            yield Trial("timber", f"timber {now} -> {name}", look, after, (prices[now], prices[name]), f"timber {name}")


def _prices(d: Derived) -> dict[str, Decimal]:
    """Price a cubic metre by timber: the maker's own, and the starting list's while no boards are seen."""
    from studio_lib.costing.price import starting_timbers

    names = list(d.library.prices)
    if not d.offered and d.commission.timber.species:
        names += [n for n in (d.commission.timber.species, *starting_timbers()) if n not in d.library.prices]
    return {n: d.price_per_m3(n).amount for n in names}


def no_timber_tried(d: Derived) -> str:
    """Why no other timber stands among the changes; empty where some were tried."""
    now, prices = d.commission.timber.species, _prices(d)
    if now is None:
        return "No timber is chosen, so no other is held against it."
    if now not in prices:
        return f"Other timbers are not tried: give {now} and another a price a cubic metre on the Timber page."
    others = [n for n in prices if n != now]
    if others and all(timber_stays(d, n) for n in others):
        return f"Other timbers are not tried: the client {'brings theirs' if d.commission.brief.brings_timber else f'likes {now}'}."
    return "" if others else "Other timbers are not tried: none of them has a price on the Timber page."


def _as_laid(c: Commission) -> Commission:
    """Without the layout kept by hand: before and after are both laid out anew, or boards would be compared with boards
    that were laid out longer."""
    return c.model_copy(update={"boards": c.boards.model_copy(update={"kept_layout": None})})


def cheaper(
    d: Derived, progress: Callable[[int, int], None] | None = None, stopped: Callable[[], bool] = lambda: False
) -> tuple[Saving, ...]:
    """The ten single changes that save most and keep every check; fewer than ten, then those that ask for another look.

    Every change of ``trials`` is laid out and priced; those that save most are checked as the pages check, thirty at
    most. ``progress(done, of)`` is called as it goes on; ``stopped()`` ends it early with what was found. A change that
    cannot be made, that leaves a joint which cannot be cut, that makes a check fail, or for which the boards do not
    do, is left out. Timber is compared by volume bought and price a cubic metre.
    """
    base = derive(_as_laid(d.commission), d.known)
    before = base.price
    tried = list(trials(d))
    found: list[tuple[Decimal, Trial, Derived]] = []
    for k, trial in enumerate(tried):
        if stopped():
            break
        if progress:
            progress(k, len(tried) + CHECKED)
        try:
            after = derive(_as_laid(trial.document), d.known)
            if trial.per_m3:
                saves = _saved_by_timber(base, after, trial.per_m3)
            else:
                if after.layout.missing and not base.layout.missing:
                    continue
                saves = before.net_at(before.quoted_at) - after.price.net_at(before.quoted_at)
            unmade = any(
                f.verdict is Verdict.FAILS and f.subject.startswith("change ") for p in after.pieces for f in p.findings
            )
        except (ValueError, LookupError, ArithmeticError):
            continue
        if saves >= LEAST_SAVING and not unmade:
            found.append((saves, trial, after))
    found.sort(key=lambda r: -r[0])
    out: list[Saving] = []
    breaks_now = _breaks(base)
    for k, (saves, trial, after) in enumerate(found[:CHECKED]):
        if stopped() or sum(not s.worse for s in out) == MOST:
            break
        if progress:
            progress(len(tried) + k, len(tried) + CHECKED)
        try:
            if _breaks(after) - breaks_now or (opens_less(d, after) and trial.key.split(" ")[1:2] not in OPENS):
                continue
            said, worse = _checks(d, after, boards=not trial.per_m3)
        except (ValueError, LookupError, ArithmeticError):
            continue
        if worse is Verdict.FAILS:
            continue
        out.append(
            Saving(
                trial.lever,
                trial.says,
                saves,
                said,
                worse is not None,
                trial.look or _look(d, after),
                before.hours_at(50) - after.price.hours_at(50),
                trial.document,
            )
        )
    if progress:
        progress(len(tried) + CHECKED, len(tried) + CHECKED)
    out.sort(key=lambda s: (s.worse, -s.saves))
    return tuple(out[:MOST])


OPENS = (["drawers"], ["drawer_rows"], ["doors"], ["leaves"])
"""Names of sizes that say how much opens: who takes one of them down knows what goes."""


def opens_less(before: Derived, after: Derived) -> bool:
    """Whether a change takes away a drawer, a door or a lid."""
    from studio_lib.piece.leaves import leaves

    had, has = (Counter((m.item.name, leaf.kind) for m in d.made for leaf in leaves(m.piece)) for d in (before, after))
    return bool(had - has)


def _breaks(d: Derived) -> set:
    """Joints that cannot be cut: mortises that break into each other, tenons with no timber round them."""
    from studio_lib.piece.checks import piece_findings

    return {(p.name, f.subject, f.what) for p in d.pieces for f in piece_findings(p) if f.verdict is Verdict.FAILS}


def _saved_by_timber(base: Derived, after: Derived, per_m3) -> Decimal:
    """Net saved when the same volume of boards is bought in another timber; work stays as it is."""
    p = base.price
    now = sum((line.amount for line in p.materials if line.kind == "timber"), Decimal(0))
    then = now * per_m3[1] / per_m3[0]
    return (now - then) * (1 + p.materials_markup) / (1 - p.margin)


_NUMBERED = re.compile(r", stage \d+$")
"""A stage of glueing up is numbered anew in a piece of fewer parts: what was hard to glue then is no new trouble."""


def _key(f):
    return (f.piece, f.subject, _NUMBERED.sub("", f.what), f.stage)


RANK = {Verdict.STANDS: 0, Verdict.LOOK_AGAIN: 1, Verdict.OPEN: 2, Verdict.FAILS: 3}


def _checks(before: Derived, after: Derived, boards: bool = True, further: float = 1.005) -> tuple[str, Verdict | None]:
    """What the change does to the checks, in words, and the worst verdict of those that got worse; None where none did.

    One that failed before, or was over what it may and only told of, is worse when it is over by more than ``further`` times as much. Without ``boards`` those of the boards seen do not count: for
    another timber others are bought.
    """
    was: dict = {}
    over_by: dict = {}
    for f in before.findings:
        if f.what == "enough money":
            continue
        was[_key(f)] = max(was.get(_key(f), 0), RANK[f.verdict])
        if not f.stands and (f.utilisation or 0.0) > 1.0:
            over_by[_key(f)] = max(over_by.get(_key(f), 0.0), f.utilisation)
    now: dict = {}
    for f in after.findings:
        if f.what == "enough money" or (f.stage == "boards" and (not boards or f.what == "kept layout")):
            continue
        if _key(f) not in now or RANK[f.verdict] > RANK[now[_key(f)].verdict]:
            now[_key(f)] = f
    worse = [
        f for k, f in now.items()
        if RANK[f.verdict] > was.get(k, 0)
        or (not f.stands and k in over_by and (f.utilisation or 0.0) > further * over_by[k])
    ]
    better = sum(1 for k, v in was.items() if v and (k not in now or RANK[now[k].verdict] < v))
    worse.sort(key=lambda f: -RANK[f.verdict])
    said = []
    if worse:
        first = worse[0]
        more = f", and {len(worse) - 1} more" if worse[1:] else ""
        said.append(f"{first.verdict.value}: {first.subject}, {first.what}, {first.says.rstrip('.')}{more}")
    if better:
        said.append(f"{better} better than now")
    return "; ".join(said) or "every check as now", worse[0].verdict if worse else None


def _look(before: Derived, after: Derived) -> str:
    """What one sees: overall sizes where they differ, else the sections that do."""
    said = []
    for a, b in zip(before.pieces, after.pieces):
        if any(abs(x - y) >= 0.5 for x, y in zip(a.overall_mm, b.overall_mm)):
            said.append(f"{a.name} {overall(*b.overall_mm)} mm overall")
        elif len(a.members) != len(b.members):
            said.append(f"{a.name}: {len(b.members)} members, {len(a.members)} now")
        else:
            slimmer = {
                x.name: f"{x.name} {mm(y.width_mm)} x {mm(y.thickness_mm)} mm"
                for x, y in zip(a.members, b.members)
                if (x.width_mm, x.thickness_mm) != (y.width_mm, y.thickness_mm)
            }
            said += list(slimmer.values())[:2]
    return "; ".join(said) or "as now"


def price_breaks(d: Derived, counts=(1, 2, 6, 12)):
    """Price of one set when so many are made together: ``price.Break`` each.

    Set-ups are shared and large batches go quicker; goods are as many times as much, timber at what a set takes now;
    drawing and the journey are paid once.
    """
    from studio_lib.costing.operations import count_work
    from studio_lib.costing.price import Break, consumable_lines, delivery_lines, fitted_lines, price, with_own_prices

    rates, out = d.commission.rates, []
    timber = [line for line in d.price.materials if line.kind == "timber"]
    for n in counts:
        counted = [(p, n * k) for p, k in d.counted]
        work = count_work(
            counted,
            n * len(d.layout.boards_used),
            d.commission.brief.finish,
            rates.learning_rate,
            d.extra_work,
            rates.with_any_job,
        )
        goods = [replace(line, quantity=n * line.quantity) for line in timber]
        goods += with_own_prices(
            consumable_lines(counted, d.commission.brief.finish) + fitted_lines((what, n * count) for what, count in d.fitted_there), rates
        )
        delivery = delivery_lines(rates, n * d.loaded_kg, d.carriers) if rates.delivery_km else ()
        p = price(
            work,
            goods,
            rates,
            [(x.name, 1 / len(d.pieces)) for x in d.pieces],
            d.known.estimator,
            delivery,
            float(d.price.design_hours),
        )
        p = replace(p, bought_in=tuple(replace(line, quantity=n * line.quantity) for line in p.bought_in))
        out.append(
            Break(n, (p.net_at(p.quoted_at) / n).quantize(Decimal("0.01")), (p.hours_at(50) / n).quantize(Decimal("0.1")))
        )
    return tuple(out)
