"""The least change that mends each check that does not stand, tried on the whole piece before it is said.

Every size of the form and every figure of a failing joint is moved a little, up and down, to see which checks it eases. What eases a
check is then moved until it stands. Of all that mends a check the one is told that leaves fewest checks standing badly, sections
before counts and choices, those before width and height, and of these the one that changes least. What the client or the place gives, and what
the piece is for, is never among them (``derived.given``).
Every try is a piece laid out anew with all its checks: worked out after the numbers are shown, for pieces with something to mend.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from math import ceil, floor, log

from studio_lib.derive import Derived, derive
from studio_lib.derived.given import choice_stays, least_mended, ruled_out, stays, timber_stays
from studio_lib.finding import Finding, Verdict
from studio_lib.forms import form
from studio_lib.forms.frame_parts import NOT_NAMED
from studio_lib.forms.stronger import COUNTS
from studio_lib.forms.stronger import SECTIONS as SECTIONS_OF
from studio_lib.structure.mends import figures
from studio_lib.structure.slender import BOARDS, SECTIONS
from studio_lib.units import mm

BUDGET_S = 10.0
"""So long, of the processor, is looked for all the mends of one piece."""
PROBE = 0.12
"""Part of a size it is moved to see what that does."""
EASES = 0.99
"""A change that leaves more than this of the utilisation eases nothing."""
TRIES = 4
TIMBER = "timber.species"
TIMBERS = 3
"""So many other timbers are tried, once nothing else mends it."""
AGAIN = 0.1
"""What a check that asks for another look weighs of one that will not do."""
BEST = 5
"""So many changes that ease a check are moved until it stands."""
LEAVE = "leave of others"
BADLY = (Verdict.FAILS, Verdict.OPEN)
"""A change that leaves a question open mends nothing by it."""
HELD = ("stands", "wall", "back")
"""Names of sizes that say what holds a piece."""
ARRIS = "arris_mm"
"""What is taken off edges: for hands and finish."""
SMALL_MM, LARGE_MM = 20.0, 300.0
"""Under the one sizes move by a millimetre, over the other by ten, else by two."""

@dataclass(frozen=True)
class Remedy:
    """One change, or two together, after which a check stands."""

    changes: tuple[tuple[str, float | str], ...]
    """(path in the document, value)."""
    words: str
    """'Stile width 70 mm instead of 50 mm mends this.'"""
    breaks: tuple[str, ...] = ()
    """Checks that stood before and do not with it."""
    also: int = 0
    """Other checks it mends as well."""


@dataclass(frozen=True)
class _Knob:
    """One figure that may be moved."""

    path: str
    label: str
    unit: str
    now: float
    low: float
    high: float
    step: float
    tier: int
    """0 sections and figures of joints, 1 counts and choices, 2 width, depth and height."""
    choices: tuple[str, ...] = ()
    stock: tuple[float, ...] = ()
    barred: tuple[int, ...] = ()
    """Choices that the brief rules out, by their place among them."""

    def made(self, value: float) -> float:
        """The nearest value at or beyond one, seen from now, that can be set."""
        up = value > self.now
        if self.stock:
            beyond = [v for v in self.stock if (v >= value if up else v <= value)]
            return (min if up else max)(beyond, default=self.now)
        steps = (ceil if up else floor)(round((value - self.now) / self.step, 6))
        return round(min(max(self.now + steps * self.step, self.low), self.high), 3)

    def says(self, value: float) -> str:
        if self.choices:
            return self.any_of([value])
        unit = self.unit and f" {self.unit}"
        return f"{self.label} {mm(value)}{unit} instead of {mm(self.now)}{unit}"

    def any_of(self, values: list[float]) -> str:
        """Choices that do equally well."""
        *some, last = (f"'{v if isinstance(v, str) else self.choices[int(v)]}'" for v in values)
        return f"'{self.label}' set to {', '.join(some)}{' or ' if some else ''}{last}"


class _Tried:
    """What every change tried does to the checks that do not stand."""

    def __init__(self, d: Derived, index: int, stopped: Callable[[], bool]):
        self.d, self.index, self._stopped = d, index, stopped
        self._until = time.thread_time() + BUDGET_S
        self._known: dict[tuple, dict | None] = {}
        self._bad = {*failing(d, BADLY), *failing(d, (Verdict.LOOK_AGAIN,))}
        self.sizes: dict[tuple, dict[str, float]] = {}
        """Every size of the piece with each."""
        self.again: dict[tuple, int] = {}
        """How many checks that stood ask for another look with each."""

    def over(self) -> bool:
        """Whether to look no further."""
        return self._stopped() or time.thread_time() > self._until

    def at(self, changes: tuple[tuple[str, float | str], ...]) -> dict[tuple[str, str, str], Finding] | None:
        """Checks that do not stand with these changes, by key; None where it cannot be made."""
        if changes not in self._known:
            try:
                c = self.d.commission
                for path, value in changes:
                    c = c.changed(path, value)
                after = derive(c, self.d.known)
                self._known[changes] = failing(after, BADLY)
                self.sizes[changes] = after.made[self.index].sizes
                self.again[changes] = len(failing(after, (Verdict.LOOK_AGAIN,)).keys() - self._bad)
            except (ValueError, LookupError, ArithmeticError):
                self._known[changes] = None
        return self._known[changes]

    def used(self, changes, key) -> float | None:
        got = self.at(changes)
        return None if got is None or key not in got else got[key].utilisation

    def mends_all(self, knobs: dict[str, _Knob]) -> bool:
        """Whether a section tried leaves nothing that will not do."""
        return any(len(changes) == 1 and knobs[changes[0][0]].tier == 0 and all(k[2] == LEAVE for k in got) for changes, got in self.every)

    @property
    def every(self):
        return [(changes, got) for changes, got in self._known.items() if got is not None and changes]


def failing(d: Derived, verdicts=(Verdict.FAILS,)) -> dict[tuple[str, str, str], Finding]:
    """Checks on sizes and joints that will not do, the worst of each by ``key_of``; whose leave is needed is no matter of sizes."""
    names = {m.piece.name: {x.name for x in m.piece.members} for m in d.made}
    out: dict[tuple[str, str, str], Finding] = {}
    for f in (*d.size_findings, *d.joint_findings):
        if f.verdict in verdicts and (f.what != LEAVE or Verdict.OPEN in verdicts):
            key = key_of(f, names.get(f.piece, set()))
            if key not in out or (f.utilisation or 0) > (out[key].utilisation or 0):
                out[key] = f
    return out


def key_of(f: Finding, members: set[str]) -> tuple[str, str, str]:
    """What stays the same of a check when sizes change: a check of a member is one of its kind, whichever is worst."""
    return f.piece, "" if f.subject in members else f.subject, f.what


def remedies(
    d: Derived, index: int, stopped: Callable[[], bool] = lambda: False, told: Callable[[dict], None] = lambda _: None,
) -> dict[tuple[str, str, str], Remedy | None]:
    """For every check of one piece that will not do, by ``key_of``, the least change that mends it; None where none was found.

    ``told`` is given what is known so far as each is found. Ends early when ``stopped`` or after ``BUDGET_S``; what was not looked
    for is not among the answers then.
    """
    piece, before = d.made[index].piece, failing(d, BADLY)
    mine = {k: f for k, f in failing(d).items() if k[0] == piece.name}
    if not mine:
        return {}
    tried = _Tried(d, index, stopped)
    knobs = _knobs(d, index, mine.values())
    by_path = {k.path: k for k in knobs}
    out: dict[tuple[str, str, str], Remedy | None] = {}

    def rate() -> None:
        # What was tried for a later check may mend an earlier one better.
        for key in out:
            out[key] = _best(tried, by_path, key, before)
        if not stopped():
            told({k: r for k, r in out.items() if r is not None})

    worst_first = sorted(mine.items(), key=lambda kf: -(kf[1].utilisation or 1.0))
    for stage in _stages(knobs):
        for change in stage:
            if tried.over():
                break
            tried.at((change,))
        for key, f in worst_first:
            # What was tried before the time was up is told even then.
            if not tried.over() and (out.get(key) is None or out[key].breaks) and not tried.mends_all(by_path):
                _sought(tried, by_path, key, f)
            out[key] = _best(tried, by_path, key, before)
        rate()
        if tried.over() or all(out.get(key) is not None and not out[key].breaks for key in mine):
            break
    for key, f in worst_first:
        if out.get(key) is None and not tried.over():
            _two_together(tried, by_path, key, f)
            out[key] = _best(tried, by_path, key, before)
    rate()
    return {k: r for k, r in out.items() if r is not None or not tried.over()}


def _stages(knobs: list[_Knob]) -> list[list[tuple[str, float | str]]]:
    """What to try in which order: sections up and how it is held first, what changes the piece most and thinner sections last."""
    first, then, last, other_timber = [], [], [], []
    for k in knobs:
        if k.path == TIMBER:
            other_timber += _probes(k)
            continue
        name = k.path.rpartition(".")[2]
        for p in _probes(k):
            up = p[1] > k.now
            if name in HELD or (name in COUNTS and up) or (k.tier == 0 and up and (".joints." in k.path or any(w in name for w in (*SECTIONS, *BOARDS)))):
                first.append(p)
            elif k.tier >= 2 or (k.tier == 1 and k.choices):
                last.append(p)
            else:
                then.append(p)
    return [first, then, last, other_timber]


def _knobs(d: Derived, index: int, found) -> list[_Knob]:
    m = d.made[index]
    made = form(m.item.form)
    # Sections left to be proposed were taken up as far as they go already.
    taken_up = set() if m.holds_in_wind else set(SECTIONS_OF[m.item.form].names) - set(m.item.sizes)
    left, whole, out = {*made.unused(m.sizes), *stays(m), ARRIS}, {n for n in made.overall if n}, []
    for s in made.sizes:
        if s.name in left or s.name not in m.sizes or s.name in taken_up or (s.choices and choice_stays(m, s)):
            continue
        now, named = m.sizes[s.name], s.label[0].upper() + s.label[1:]
        tier = 2 if s.name in whole else 1 if s.whole or s.choices or s.unit != "mm" or not any(w in s.name for w in (*SECTIONS, "width", "_mm")) else 0
        step = 1.0 if s.whole or s.choices else 1.0 if s.unit == "mm" and now < SMALL_MM else 10.0 if now >= LARGE_MM else 5.0 if s.unit != "mm" else 2.0
        out.append(_Knob(f"items.{index}.sizes.{s.name}", named, s.unit, now, s.low if s.choices else least_mended(m, s), s.high, step, tier, s.choices, barred=ruled_out(s, m.brief)))
    families = {f.subject for f in found} | {j.family for f in found for j in m.piece.joints if (j.first, j.second) == f.refs}
    first = {j.family: j for j in reversed(m.piece.joints) if j.family in families}
    for joint in first.values():
        out += [_Knob(f"items.{index}.joints.{joint.family}.{f.name}", f"On Joints, {f.label}", f.unit, f.now, min(f.step, f.now), 3 * f.now, f.step, 0, (), f.stock)
                for f in figures(joint) if f.name not in m.sizes]  # else the form's own size says the same
    return out + _stronger_timbers(d)


def _stronger_timbers(d: Derived) -> list[_Knob]:
    """Timbers that the brief allows and that bend harder before they break, the best liked first."""
    mor = d.species.mor_mpa if d.species is not None else None
    if mor is None:
        return []
    fit = [c.species for c in d.choices if c.fit.verdict is not Verdict.FAILS and not c.unwanted]
    names = [n for n in fit if not timber_stays(d, n) and n != d.commission.timber.species and (d.library.timber(n).mor_mpa or 0) > mor and not d._wood_of(d.library.timber(n)).missing()]
    return [_Knob(TIMBER, "Timber", "", 0.0, 0.0, 0.0, 1.0, 2, tuple(names[:TIMBERS]))] if names else []


def _probes(k: _Knob) -> list[tuple[str, float | str]]:
    """Every other choice; else one try up and one down."""
    if k.path == TIMBER:
        return [(k.path, name) for name in k.choices]
    if k.choices:
        return [(k.path, float(n)) for n, words in enumerate(k.choices) if n != int(k.now) and words != NOT_NAMED and n not in k.barred]
    by = max(PROBE * k.now, 2 * k.step if k.tier != 1 else k.step)
    return [(k.path, v) for v in dict.fromkeys((k.made(k.now + by), k.made(k.now - by))) if v != k.now]


def _sought(tried: _Tried, knobs: dict[str, _Knob], key, f: Finding) -> None:
    """Move each change that eases a check until it stands."""
    eases = []
    for changes, got in tried.every:
        if len(changes) > 1 or knobs[changes[0][0]].choices:
            continue
        (path, value), = changes
        k = knobs[path]
        if key not in got:
            eases.append((0.0, k, value, None))
        elif f.utilisation and got[key].utilisation and got[key].utilisation <= EASES * f.utilisation:
            power = log(got[key].utilisation / f.utilisation) / log(value / k.now) if k.now > 0 and value > 0 else None
            far = abs(log(f.utilisation) / power) if power else 1.0
            eases.append((far, k, value, power))
        elif f.utilisation is None:
            eases.append((2.0, k, value, None))
    seen = set()
    for _, k, value, power in sorted(eases, key=lambda e: (e[1].tier, e[0])):
        way = (k.path, value > k.now)
        if way in seen or tried.over():
            continue
        if len(seen) >= (2 if tried.mends_all(knobs) else BEST) and _best_stands(tried, key):
            break
        seen.add(way)
        _until_it_stands(tried, k, key, f, value)


def _best_stands(tried: _Tried, key) -> bool:
    return any(key not in got for _, got in tried.every)


def _until_it_stands(tried: _Tried, k: _Knob, key, f: Finding, value: float) -> None:
    """From a first try on, the least value at which a check stands: by the power it falls with, or by doubling where it has no number."""
    last = value
    for _ in range(TRIES):
        got = tried.at(((k.path, value),))
        if got is None or tried.over():
            return
        if key not in got:
            _back(tried, k, key, value)
            return
        used, was = got[key].utilisation, f.utilisation
        if used and was and k.now > 0 and value > 0:
            if used > EASES * was:
                return
            power = log(used / was) / log(value / k.now)
            wanted = k.made(k.now * (1 / was) ** (1 / power)) if abs(power) > 0.02 else k.now
            further = k.made(value + (k.step if value > k.now else -k.step))
            value = wanted if abs(wanted - k.now) > abs(value - k.now) else further
        else:
            value = k.made(k.now + 2 * (value - k.now))
        if value == last:
            return
        last = value


def _back(tried: _Tried, k: _Knob, key, value: float) -> None:
    """Come back towards where it stood as long as the check stands."""
    holds, fails = value, k.now
    for _ in range(TRIES):
        if abs(holds - fails) <= k.step + 1e-9 or tried.over():
            return
        middle = k.made((holds + fails) / 2)
        if middle in (holds, fails) or not min(holds, fails) < middle < max(holds, fails):
            return
        got = tried.at(((k.path, middle),))
        if got is not None and key not in got:
            holds = middle
        else:
            fails = middle


def _two_together(tried: _Tried, knobs: dict[str, _Knob], key, f: Finding) -> None:
    """Where no single change mends it: what eases it most, taken as far as it goes, with each of the others until it stands."""
    if not f.utilisation:
        return
    eased: dict[str, tuple[float, float]] = {}
    for changes, got in tried.every:
        if len(changes) == 1 and key in got and got[key].utilisation and not knobs[changes[0][0]].choices:
            path, value = changes[0]
            if got[key].utilisation <= EASES * f.utilisation and got[key].utilisation < eased.get(path, (9e9, 0))[0]:
                eased[path] = (got[key].utilisation, value)
    most = sorted(eased.items(), key=lambda e: (max(knobs[e[0]].tier, 1), e[1][0]))[:3]
    for n, (path, (used, value)) in enumerate(most):
        for other, (its, to) in most[n + 1:]:
            k = knobs[other]
            power = log(its / f.utilisation) / log(to / k.now) if k.now > 0 and to > 0 else 0.0
            goal = to
            for _ in range(TRIES):
                if tried.over():
                    return
                got = tried.at(((path, value), (other, goal)))
                if got is None or key not in got or abs(power) < 0.02:
                    break
                goal, before = k.made(goal * (1 / got[key].utilisation) ** (1 / power)), goal
                if goal == before:
                    break


def _best(tried: _Tried, knobs: dict[str, _Knob], key, before: dict) -> Remedy | None:
    """Of all tried changes that mend a check, the one that leaves fewest others failing and changes least."""
    rated = []
    for changes, got in tried.every:
        if key in got:
            continue
        left, new = [k for k in got if k[2] != LEAVE], [k for k in got if k not in before and k[2] != LEAVE]
        tier = max(knobs[p].tier for p, _ in changes)
        heavy = len(left) + (0.0, 0.5, 1.5)[tier] + 0.5 * (len(changes) > 1) + 0.25 * sum(k not in before for k in got) + AGAIN * tried.again[changes]
        rated.append((bool(new), heavy, sum(_far(knobs[p], v) for p, v in changes), changes, new, got))
    if not rated:
        return None
    _, heavy_of, _, changes, new, got = min(rated, key=lambda r: r[:3])
    also = sum(k not in got for k in before) - 1
    said = " and ".join(knobs[p].says(v) for p, v in changes)
    if len(changes) == 1 and knobs[changes[0][0]].choices:
        path = changes[0][0]
        same = [r[3][0][1] for r in rated if len(r[3]) == 1 and r[3][0][0] == path and not r[0] and abs(r[1] - heavy_of) < 0.5]
        said = knobs[path].any_of(sorted({*same, changes[0][1]}))
        if path.endswith(".stands") and "'fixed" in said:
            said += ", where that may be drilled,"
    broken = tuple(f"{got[k].subject}: {got[k].what}" for k in new)
    more = f" and {also} other check{'s' * (also > 1)}" if also else ""
    but = f"; but {', '.join(broken[:2])} {'does' if len(broken) == 1 else 'do'} not stand then" if broken else ""
    leave = ". Others must give leave for it then" if any(k[2] == LEAVE and k not in before for k in got) else ""
    follows = _proposed_with_it(tried, changes)
    return Remedy(changes, f"{said}{' together' if len(changes) > 1 else ''} mend{'s' * (len(changes) == 1)} this{more}{follows}{but}{leave}.", broken, also)


def _proposed_with_it(tried: _Tried, changes) -> str:
    """Sections of a screen that are proposed anew with a change, in words; '' where none is."""
    m, after = tried.d.made[tried.index], tried.sizes[changes]
    if m.item.form not in SECTIONS_OF:
        return ""
    labels = {s.name: s for s in form(m.item.form).sizes}
    moved = [n for n in SECTIONS_OF[m.item.form].names if after[n] != m.sizes[n] and not any(p.endswith(f".{n}") for p, _ in changes)]
    return f", with what is proposed then: {', '.join(f'{labels[n].label.lower()} {labels[n].words(after[n])}' for n in moved)}" if moved else ""


def _far(k: _Knob, value: float) -> float:
    """How far a figure is moved, as a part of itself."""
    return 0.5 if k.choices else abs(value - k.now) / max(abs(k.now), 1.0)
