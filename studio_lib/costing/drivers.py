"""What drives a price: by stage, by member, by kind of joint, by decision. Each table adds up to the net price."""

from __future__ import annotations

from decimal import Decimal

from studio_lib.costing.operations import DRAWING, WITH_ANY_JOB, is_cleaned, is_fitted, is_marked_out, shares
from studio_lib.costing.price import OTHER_KINDS
from studio_lib.units import money

NO_MEMBER = "no one member"
DECISIONS = {
    "buying": "the timber",
    "machining": "sizes and number of parts",
    "joints": "the joints",
    "shaping": "shaped edges and ends",
    "surface": "sanding",
    "assembly": "putting together",
    "finish": "the finish",
    "delivery": "delivery",
}
"""Which decision an operation's stage belongs to."""
OF_KIND = {
    "timber": "the timber",
    "finish": "the finish",
    "glue": "the joints",
    "hardware": "fixings and hardware",
    "abrasives": "sanding",
    "bought in": "bought in",
    "delivery": "delivery",
}
"""Which decision a bought line belongs to."""


def _scales(p) -> tuple[Decimal, Decimal, Decimal]:
    """Net price of one median hour of work, of all the drawing and meetings, of one unit of cost."""
    worked = Decimal(str(sum(r.hours.median for r in p.labour) + p.design.median)) or Decimal(1)
    of_cost = 1 / (1 - p.margin)
    bench = p.hours_at(p.quoted_at) / worked * p.shop_rate * of_cost
    return bench, Decimal(str(p.design.median)) * bench, of_cost


def _bought(p):
    """Every bought line with its net price."""
    _, _, of_cost = _scales(p)
    for lines, markup in (
        (p.materials, p.materials_markup),
        (p.bought_in, p.bought_in_markup),
        (p.delivery_lines, Decimal(0)),
    ):
        for line in lines:
            yield line, line.amount * (1 + markup) * of_cost


def _closed(p, rows: dict[str, Decimal]) -> tuple[tuple[str, Decimal], ...]:
    """Rounded to the cent, the greatest first; the rounding of the quote goes to the greatest, so that all add up."""
    out = sorted(((name, money(v)) for name, v in rows.items() if money(v)), key=lambda r: -r[1])
    if out:
        out[0] = (out[0][0], out[0][1] + p.net - sum((v for _, v in out), Decimal(0)))
    return tuple(out)


def _add(rows: dict[str, Decimal], name: str, amount) -> None:
    rows[name] = rows.get(name, Decimal(0)) + Decimal(str(amount))


def with_any_job(p) -> tuple[tuple[str, float, Decimal], ...]:
    """What comes with a job however small the piece: [(what, likely hours, net price)], the greatest first. [h, money]"""
    bench, drawing, _ = _scales(p)
    whole = dict(p.hours_by_kind)
    rows = {DRAWING: drawing}
    for r in p.labour:
        if r.work.time.stage in WITH_ANY_JOB:
            _add(rows, OTHER_KINDS[r.work.time.stage], Decimal(str(r.hours.median)) * bench)
    out = [(what, whole.get(what, 0.0), money(net)) for what, net in rows.items()]
    out.append(("the road", 0.0, money(sum((net for line, net in _bought(p) if line.kind == "delivery"), Decimal(0)))))
    return tuple(sorted((row for row in out if row[2]), key=lambda row: -row[2]))


def in_shares(p) -> tuple[tuple[str, Decimal], ...]:
    """Net price in four: making, timber and materials, bought in, what comes with any job. Adds up to it, making takes the rounding. [money]"""
    rest = {
        "timber and materials": money(sum((net for line, net in _bought(p) if line.kind not in ("bought in", "delivery")), Decimal(0))),
        "bought in": money(sum((net for line, net in _bought(p) if line.kind == "bought in"), Decimal(0))),
        "what comes with any job": sum((net for _, _, net in with_any_job(p)), Decimal(0)),
    }
    return ("making", p.net - sum(rest.values(), Decimal(0))), *((what, net) for what, net in rest.items() if net)


def in_percent(shares) -> tuple[tuple[str, int], ...]:
    """Whole percents of [(what, money)] that add up to 100: what lies nearest to the next percent is rounded up. [%]"""
    total = sum(net for _, net in shares)
    whole = [int(100 * net / total) for _, net in shares]
    rest = sorted(range(len(whole)), key=lambda k: whole[k] - 100 * shares[k][1] / total)
    for k in rest[:100 - sum(whole)]:
        whole[k] += 1
    return tuple((what, percent) for (what, _), percent in zip(shares, whole))


def by_stage(p) -> tuple[tuple[str, Decimal], ...]:
    """Net price of each stage of the work, and of what is bought; ``p`` is a ``Price``. [money]"""
    bench, drawing, _ = _scales(p)
    rows: dict[str, Decimal] = {}
    _add(rows, "drawing and meetings", drawing)
    for r in p.labour:
        _add(rows, r.work.time.stage, Decimal(str(r.hours.median)) * bench)
    for line, net in _bought(p):
        _add(
            rows,
            (
                line.kind
                if line.kind in ("bought in", "delivery")
                else f"{line.kind} bought" if line.kind in ("timber", "finish") else "glue, abrasives, hardware"
            ),
            net,
        )
    return _closed(p, rows)


def by_decision(p) -> tuple[tuple[str, Decimal], ...]:
    """Net price by what was decided: timber, joints, finish and so on. [money]"""
    bench, drawing, _ = _scales(p)
    rows: dict[str, Decimal] = {}
    _add(rows, "drawing and meetings", drawing)
    for r in p.labour:
        _add(rows, DECISIONS.get(r.work.time.stage, r.work.time.stage), Decimal(str(r.hours.median)) * bench)
    for line, net in _bought(p):
        _add(rows, OF_KIND.get(line.kind, line.kind), net)
    return _closed(p, rows)


def by_member(p, counted, cutting_list) -> tuple[tuple[str, Decimal], ...]:
    """Net price by what a member is (leg, apron, slat): its work, and the timber bought shared out by finished
    volume. [money]"""
    bench, drawing, _ = _scales(p)
    rows: dict[str, Decimal] = {}
    several = len(counted) > 1
    roles = {(piece.name, m.ref): m.role for piece, _ in counted for m in piece.members}

    def name_of(piece: str, role: str) -> str:
        return f"{piece}: {role}" if several else role

    _add(rows, NO_MEMBER, drawing)
    for r in p.labour:
        cost = Decimal(str(r.hours.median)) * bench
        for role, share in r.work.members:
            _add(rows, name_of(r.work.item, role), cost * Decimal(str(share)))
        if not r.work.members:
            _add(rows, NO_MEMBER, cost)
    total = sum(r.volume_m3 for r in cutting_list) or 1.0
    timber = sum((net for line, net in _bought(p) if line.kind == "timber"), Decimal(0))
    _add(rows, NO_MEMBER, sum((net for line, net in _bought(p) if line.kind != "timber"), Decimal(0)))
    for r in cutting_list:
        _add(rows, name_of(r.piece, roles[r.piece, r.ref]), timber * Decimal(str(r.volume_m3 / total)))
    return _closed(p, rows)


def members_of(counted) -> dict[str, tuple[str, ...]]:
    """What the rows of ``by_member`` and ``by_joint`` speak of: members as the 3D view names them, 'table/A3'."""
    found: dict[str, dict[str, None]] = {}
    several = len(counted) > 1
    for piece, _ in counted:
        for m in piece.members:
            found.setdefault(f"{piece.name}: {m.role}" if several else m.role, {})[f"{piece.name}/{m.ref}"] = None
        for j in piece.joints:
            found.setdefault(j.kind, {}).update({f"{piece.name}/{ref}": None for ref in (j.first, j.second)})
    return {name: tuple(keys) for name, keys in found.items()}


def by_joint(p, counted) -> tuple[tuple[str, Decimal], ...]:
    """Net price by kind of joint: marking out, dry fit, cleaning up, hardware; the rest in one line. [money]"""
    bench, _, _ = _scales(p)
    rows: dict[str, Decimal] = {}
    hours: dict[tuple[str, str], float] = {}
    for r in p.labour:
        key = (r.work.item, r.work.time.operation)
        hours[key] = hours.get(key, 0.0) + r.hours.median
    hardware = {line.what: net / line.quantity for line, net in _bought(p) if line.kind == "hardware" and line.quantity}
    for piece, n in counted:
        counts: dict[str, float] = {}
        done = [(j, j.operations(piece)) for j in piece.joints]
        for _, ops in done:
            for op in ops:
                counts[op.name] = counts.get(op.name, 0.0) + op.count
        part = shares(piece)
        by_joint_hours = [
            (wanted, hours.get((piece.name, operation), 0.0) / (sum(part[j] for j in piece.joints if wanted(j)) or 1.0))
            for operation, wanted in (("mark out from the rod", is_marked_out), ("dry fit", is_fitted), ("clean up after glue", is_cleaned))
        ]
        for joint, ops in done:
            worked = sum(each * part[joint] for wanted, each in by_joint_hours if wanted(joint)) + sum(
                hours.get((piece.name, o.name), 0.0) * o.count / counts[o.name] for o in ops
            )
            cost = Decimal(str(worked)) * bench
            cost += sum(
                (Decimal(str(n * h.count)) * hardware.get(h.name, Decimal(0)) for h in joint.hardware(piece)),
                Decimal(0),
            )
            _add(rows, joint.kind, cost)
    _add(rows, "all but the joints", p.net - sum(rows.values(), Decimal(0)))
    return _closed(p, rows)
