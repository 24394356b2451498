"""Within the budget: changes put together, the largest saving first, until the safe price is within it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from studio_lib.commission import Commission
from studio_lib.costing.cheaper import Trial, _breaks, _checks, _key, opens_less, trials
from studio_lib.costing.plainer import giving_up, plainer_trials
from studio_lib.derive import Derived, Known, derive
from studio_lib.finding import Verdict
from studio_lib.forms import form
from studio_lib.units import mm, overall

MOST_STEPS = 40
WORTH = Decimal("0.003")
"""Part of the price that a change must save to be worth its place in the list; judgement of ours."""
OVERALL_TIMES, OTHER_TIMES, COUNT_TIMES = 1, 2, 4
"""How often an overall size, a section or a joint, or a number of parts is taken down; judgement of ours."""
FURTHER = 1.10
"""What fails as it stands may fail by a tenth more, and it is said; what stands goes on standing. Judgement of ours."""
KEPT = ("back", "fill", "doors", "drawer_rows", "drawers", "leaves", "stands")
"""Counts and choices without which it is another piece: told of as plainer ways, never taken by themselves."""
USED_BY = ("shelf_count", "upper_shelves", "board_count")
"""Counts that stay where the maker settled them."""
AS_ASKED, WITHIN, LESS = "as first drawn", "within the budget", "the plainer one"
"""Names of the options kept."""
MOST_PLAINER = 8
"""So many plainer ways are told of."""
SUITS_LESS = 0.02
"""Share of people a size may lose; more is no longer the piece that was asked for. Judgement of ours."""


@dataclass(frozen=True)
class Step:
    """One change, and the price once it is made with those before it."""

    says: str
    saves: Decimal
    """Safe price, tax included, less than before it."""
    gross: Decimal
    """Safe price, tax included, after it."""


@dataclass(frozen=True)
class Plainer:
    """One plainer way to make it; the maker's to choose with the client, none is taken by itself."""

    says: str
    saves: Decimal
    gross: Decimal
    """Safe price, tax included, with it."""
    document: Commission
    """The commission with this change, and with every change found where it is on top of them."""
    look: str = ""
    on_top: bool = True
    """On top of the changes found; else in place of them, on the piece as it stands."""


@dataclass(frozen=True)
class WithinBudget:
    """Where a greedy run of changes ended."""

    budget: Decimal
    currency: str
    before: Decimal
    """Safe price, tax included, as it stands: the one of the quote."""
    steps: tuple[Step, ...]
    document: Commission
    """The commission with every change made."""
    piece: tuple[str, ...]
    """What each piece would then be, in words."""
    stopped: bool = False
    """The maker ended it early."""
    further: str = ""
    """Checks that failed before and fail by more with it, in words; empty for none."""
    of_layout: str = ""
    """What became of the layout of boards that the maker kept; empty where none was."""
    yours: tuple[tuple[str, Decimal], ...] = ()
    """Where the budget is not reached: what the maker may give of their own, and the price with it."""
    plainer: tuple[Plainer, ...] = ()
    """Where it is not reached: single changes to a plainer piece that make no check worse; the lowest price first."""
    given_up: tuple[Plainer, ...] = ()
    """Where it is not reached: what is reached only by giving up what the client asked for, no check worse; the lowest price first."""

    @property
    def after(self) -> Decimal:
        return self.steps[-1].gross if self.steps else self.before

    @property
    def reached(self) -> bool:
        return self.after <= self.budget

    @property
    def _checked(self) -> str:
        return f"no check fails that stood; {self.further}" if self.further else "no check is worse for it"

    @property
    def says(self) -> str:
        """How it ended, in a sentence or two."""
        c = self.currency
        if self.before <= self.budget:
            return f"It is within the budget as it stands: {self.before:.2f} {c} of {self.budget:.2f} {c}, tax included."
        if self.reached:
            n = len(self.steps)
            return (
                f"{n} change{' brings' if n == 1 else 's bring'} it from {self.before:.2f} {c} to {self.after:.2f} {c}, "
                f"within the {self.budget:.2f} {c}, and {self._checked}."
            )
        over, also = self.after - self.budget, f" With it {self._checked}." if self.further else ""
        if self.stopped:
            return f"Stopped at {self.after:.2f} {c}, {over:.2f} {c} over the budget; there may be more to save.{also}"
        return (
            f"The budget cannot be reached by changes that keep every check: the smallest sensible price found is "
            f"{self.after:.2f} {c}, {over:.2f} {c} over the {self.budget:.2f} {c}.{also} Ask for more money, take another form or fewer "
            "pieces, or say no now." + self._plainer + self._given_up + self._yours
        )

    @property
    def _plainer(self) -> str:
        if not self.plainer:
            return ""
        best = self.plainer[0]
        enough = ", within the budget" if best.gross <= self.budget else ""
        return f" Or make it plainer, where the client agrees: {len(self.plainer)} such changes are below, each alone with its price; {best.says} alone brings {best.gross:.2f} {self.currency}{enough}."

    @property
    def _given_up(self) -> str:
        if not self.given_up:
            return ""
        best = self.given_up[0]
        enough = ", within the budget" if best.gross <= self.budget else ", still over the budget"
        return f" Only by giving up what was asked: {best.says} brings {best.gross:.2f} {self.currency}{enough}; such ways are below by themselves, for the client to say."

    @property
    def _yours(self) -> str:
        if not self.yours:
            return ""
        told = "; ".join(f"{words}: {gross:.2f} {self.currency}" for words, gross in self.yours)
        return f" Yours to give, the piece as it then is: {told}. Sizes that you typed were kept: a smaller piece, or a slighter one, costs less."


def within_budget(
    d: Derived, progress: Callable[[int, int], None] | None = None, stopped: Callable[[], bool] = lambda: False
) -> WithinBudget:
    """Changes of ``cheaper.trials`` put together, the largest saving first, while every check stands that stood.

    What the client or the place gives and what the piece is for stay (``derived.given``), and so do heights and the finish; a timber is
    changed only while no boards are seen, and for one as light or dark; overall sizes and choices that the maker settled stay, no size may suit fewer people, drawers and leaves
    stay, gaps widen only where none was asked for; an overall size goes down by a tenth once, a section twice, a number of parts
    four times. Boards lie in the layout kept while it fits, as everywhere else. What fails as it stands may fail by a tenth more, which is said. Savings are reckoned anew after each change (an older
    figure only decides the order); what saves too little or made a check worse is not tried again.
    ``progress(money saved, money to save)``. Where that does not reach the budget, plainer ways are told of with their prices, for the maker
    and the client to choose from.

    Raises ValueError where there is no budget or no piece.
    """
    budget = d.commission.brief.budget
    if budget is None:
        raise ValueError("There is no budget yet; give one on the Brief page under 'Leave, time and money'.")
    if not d.pieces:
        raise ValueError("There is no piece yet. Add one on the Brief page.")
    if d.price.gross <= budget:
        return WithinBudget(budget, d.price.currency, d.price.gross, (), d.commission, in_words(d))
    start = now = d
    before, suited, broken = start.price.gross, _suited(start), _breaks(start)
    least = WORTH * before
    times: dict[str, int] = {}
    steps: list[Step] = []
    expected: dict[str, Decimal] = {}
    refused: set[str] = set()
    ended = False
    while now.price.gross > budget and len(steps) < MOST_STEPS and not ended:
        if progress:
            progress(float(before - now.price.gross), float(before - budget))
        queue = {t.key: t for t in trials(now) if t.key not in refused and _may(d, t, times)}
        fresh: dict[str, Derived] = {}
        taken = None
        while queue and taken is None:
            if stopped():
                ended = True
                break
            key = max(queue, key=lambda k: expected.get(k, Decimal("Infinity")))
            if key not in fresh:
                after = _priced(queue[key], d.known)
                saves = now.price.gross - after.price.gross if after else Decimal(0)
                if after is None or (after.layout.missing and not now.layout.missing and d.offered) or saves < least:
                    refused.add(key)
                    del queue[key]
                    continue
                expected[key], fresh[key] = saves, after
                continue
            if _stands(start, fresh[key], suited, broken):
                taken = key
            else:
                refused.add(key)
                del queue[key]
        if taken is None:
            break
        after = fresh[taken]
        steps.append(Step(queue[taken].says, now.price.gross - after.price.gross, after.price.gross))
        times[taken] = times.get(taken, 0) + 1
        now = after
    document = d.commission.model_copy(update={"timber": now.commission.timber, "items": now.commission.items})
    over = now.price.gross > budget
    found = WithinBudget(
        budget, d.commission.rates.currency, before, tuple(steps), document, in_words(now), ended, _further(start, now), _of_layout(start, now),
        _own_to_give(now, document) if over else (), *((_plainer_ways(start, now, suited, broken, stopped), _ways_of_giving_up(start, now, suited, broken, stopped)) if over and not ended else ()),
    )
    if progress:
        progress(1.0, 1.0)
    return found


def _plainer_ways(start: Derived, now: Derived, suited, broken, stopped) -> tuple[Plainer, ...]:
    """Changes to a plainer piece, each tried on the whole commission on top of what was found, or where that will not do on the piece as it
    stands; what makes a check worse is left out.

    A drawer or a door may go that nobody asked for; nothing that the client's own words speak of is tried (``derived.given.asked_for``).
    """
    return _each_alone(plainer_trials, start, now, suited, broken, stopped)


def _ways_of_giving_up(start: Derived, now: Derived, suited, broken, stopped) -> tuple[Plainer, ...]:
    """What the client asked for and could let go of (``plainer.giving_up``), tried in the same way."""
    return _each_alone(giving_up, start, now, suited, broken, stopped)


def _each_alone(ways, start: Derived, now: Derived, suited, broken, stopped) -> tuple[Plainer, ...]:
    out: dict[str, Plainer] = {}
    for base in dict.fromkeys((now, start)):
        for saves, trial, after in _cheaper_by(ways, base, start, stopped):
            if stopped():
                break
            if trial.key not in out and after.price.gross < now.price.gross and _stands(start, after, suited, broken, opened=False):
                out[trial.key] = Plainer(trial.says, saves, after.price.gross, after.commission, trial.look, base is now)
    return tuple(sorted(out.values(), key=lambda p: p.gross)[:MOST_PLAINER])


def _cheaper_by(ways, base: Derived, start: Derived, stopped) -> list[tuple[Decimal, Trial, Derived]]:
    """Ways (``plainer_trials`` or ``giving_up``) of one document that are worth their place, priced: the greatest saving first."""
    least, found = WORTH * start.price.gross, []
    for trial in ways(base):
        if stopped():
            break
        after = _priced(trial, base.known)
        if after is not None and base.price.gross - after.price.gross >= least and not (after.layout.missing and not base.layout.missing and base.offered):
            found.append((base.price.gross - after.price.gross, trial, after))
    return sorted(found, key=lambda r: -r[0])


def _own_to_give(d: Derived, document: Commission) -> tuple[tuple[str, Decimal], ...]:
    """The price with drawing not charged, and with hours that half of such jobs keep to, each where it comes to less."""
    found, c, rates = [], document, d.commission.rates
    if d.price.design_hours:
        c = c.changed("rates.design_counted", False).changed("rates.design_hours", 0)
        found.append(("drawing and meetings not charged", c))
    if rates.quoted_at > 50:
        c = c.changed("rates.quoted_at", 50)
        found.append((f"{'and ' if found else ''}quoted at the hours that half of such jobs keep to (P50)", c))
    out, at = [], d.price.gross
    for words, changed in found:
        gross = derive(changed, d.known).price.gross
        if gross < at:
            out.append((words, gross))
            at = gross
    return tuple(out)


def _may(d: Derived, trial: Trial, times: dict[str, int]) -> bool:
    c = d.commission
    if trial.lever == "finish" or trial.key.endswith("height_mm"):
        return False
    most = OVERALL_TIMES if trial.lever in ("size", "timber") else COUNT_TIMES if trial.lever == "parts" else OTHER_TIMES
    if times.get(trial.key, 0) >= most:
        return False
    if trial.lever == "parts":
        item, name, *_ = trial.key.split(" ")
        return name not in KEPT and not name.startswith("bay") and not (name in USED_BY and name in c.items[int(item)].sizes)
    if trial.lever in ("size", "section"):
        item, name, *_ = trial.key.split(" ")
        if name in c.items[int(item)].sizes:
            return False  # the maker's own figure
    if trial.lever != "timber":
        return True
    return d.library.timber(c.timber.species).tone == d.library.timber(trial.document.timber.species).tone


def _priced(trial: Trial, known: Known) -> Derived | None:
    """The changed commission where it can be made and priced at all."""
    after = derive(trial.document, known)
    try:
        after.price.gross  # noqa: B018 - it is worked out here, so that what cannot be made shows
        unmade = any(
            f.verdict is Verdict.FAILS and f.subject.startswith("change ") for p in after.pieces for f in p.findings
        )
    except (ValueError, LookupError, ArithmeticError):
        return None
    return None if unmade else after


def _suited(d: Derived) -> dict[tuple[int, str], float]:
    """Share of people each size suits."""
    return {(i, name): s.suits_share for i in range(len(d.made)) for name, s in d.suits(i).items()}


def _stands(start: Derived, after: Derived, suited, broken, opened: bool = True) -> bool:
    """Every check as good as at the start, every joint still to be cut, as much that opens unless ``opened`` is False, no size for fewer people."""
    try:
        if _breaks(after) - broken or (opened and opens_less(start, after)) or _checks(start, after, further=FURTHER)[1] is not None:
            return False
        return all(share is None or share >= (suited.get(at) or 0.0) - SUITS_LESS for at, share in _suited(after).items())
    except (ValueError, LookupError, ArithmeticError):
        return False


def _of_layout(start: Derived, now: Derived) -> str:
    if not start.layout_is_kept:
        return ""
    if now.layout_is_kept:
        return "The layout of boards you kept still holds; laid out anew on the Boards page, it may need fewer boards."
    return (
        "The layout of boards you kept no longer fits, so the boards are laid out anew, in short; a longer search on the Boards page "
        "may find a cheaper one."
    )


def _further(start: Derived, now: Derived) -> str:
    """Checks that failed or were over what they may at the start and are by more now."""
    def over(d):
        out: dict[tuple, float] = {}
        for f in d.findings:
            if not f.stands and (f.utilisation or 0.0) > 1.0 and f.what != "enough money":
                key = _key(f)[:3]
                out[key] = max(out.get(key, 0.0), f.utilisation)
        return out

    before = over(start)
    worse = {k: 100 * (u / before[k] - 1) for k, u in over(now).items() if k in before and u > 1.005 * before[k]}
    said = [f"{subject}, {what}, which does not stand as it is, by {pct:.0f} % more" for (_, subject, what), pct in worse.items()]
    return "; ".join(said)


def in_words(d: Derived) -> tuple[str, ...]:
    """Each piece: its overall sizes, timber, number of members, and the sections of the larger ones."""
    said = []
    for m in d.made:
        sections = list(dict.fromkeys(
            f"{member.role or member.name} {mm(member.width_mm)} x {mm(member.thickness_mm)} mm" for member in m.piece.members
        ))
        chosen = [s.words(m.sizes[s.name]) for s in form(m.item.form).sizes if s.choices and s.group == "overall" and len(s.words(m.sizes[s.name])) > 3]
        said.append(
            f"{m.item.name}: {overall(*m.piece.overall_mm)} mm overall, "
            f"{d.commission.timber.species or 'timber not chosen yet'}, {len(m.piece.members)} members ({'; '.join(sections[:6])}{' ...' if sections[6:] else ''})"
            + (f"; {', '.join(chosen)}" if chosen else "")
        )
    return tuple(said)


def kept_beside(c: Commission, found: WithinBudget, plainer: Plainer | None = None) -> Commission:
    """The changed piece kept as an option beside the one in hand, which stays in hand; ``plainer`` one of the found's own, kept with it.

    The finish is the whole commission's: a plainer one is said in the brief, by the maker.

    Raises ValidationError where four options are kept already.
    """
    name = c.chosen or AS_ASKED
    document = plainer.document if plainer else found.document
    other = c.with_option(name).model_copy(update={"timber": document.timber, "items": document.items})
    in_hand = c.model_dump(mode="json", include={"timber", "items"})
    return Commission.model_validate(other.with_option(WITHIN if (plainer.gross <= found.budget if plainer else found.reached) else LESS).model_dump(mode="json") | in_hand | {"chosen": name})
