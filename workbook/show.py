"""Tables and findings as HTML text. Shows what the library worked out; works nothing out."""

from __future__ import annotations

from datetime import datetime
from html import escape
from urllib.parse import quote

from studio_lib.finding import Finding, Verdict, worst_first
from studio_lib.showing import PLAIN, Shown, as_shown, column_as_shown, heading_as_shown, html_as_shown, quantity, sum_as_shown, unit_as_shown

STYLE = """<style>
.dw{font-family:Georgia,'Times New Roman',serif;color:#2b2722;font-size:14px;line-height:1.45;max-width:1150px}
.dw h2{font-size:17px;font-weight:600;margin:.7em 0 .3em}
.dw table{border-collapse:collapse;margin:.3em 0;font-size:13px}
.dw th{text-align:left;font-weight:600;border-bottom:1.5px solid #8a7b66;padding:3px 12px 3px 0;vertical-align:bottom}
.dw td{border-bottom:1px solid #e2d9c9;padding:3px 12px 3px 0;vertical-align:top;text-align:left}
.dw td.n,.dw th.n{text-align:right;font-variant-numeric:tabular-nums}
.dw tr.lit td,.dw h2.lit{background:#fbe9c6}
.dw [data-refs]{cursor:pointer}
.dw tr[data-refs]:hover td{background:#f6f0e3}
.dw tr[data-refs].lit td{background:#fbe9c6}
.dw tr.pinned td:first-child,.dw h2.pinned{box-shadow:inset 3px 0 #2674ab}
.dw h3{font-size:14px;font-weight:600;margin:.6em 0 .1em}
.dw p{margin:.35em 0;max-width:1000px}
.dw .quiet{color:#6d655b;font-size:12.5px}
.dw .stands{color:#2f6b3c}.dw .again{color:#8a5a00}.dw .fails{color:#a3231b;font-weight:600}.dw .open{color:#5a4b9a}
.dw .caution{border-left:3px solid #b06a2c;padding:2px 0 2px 10px;margin:.5em 0}
.dw .head{border-bottom:1.5px solid #8a7b66;padding-bottom:4px;margin-bottom:6px}
.dw .big{font-size:20px}
.dw .way{font-size:13px;line-height:1.9}
.dw .way a{color:#2b2722;text-decoration:none;padding:2px 7px;border-radius:3px;white-space:nowrap}
.dw .way a:hover,.dw .way a:focus{background:#f0e7d6}
.dw .way a.here{background:#f0e4cc;font-weight:600}
.dw .head a{color:inherit;text-decoration:underline}
.dw .next{font-size:14px;margin:.4em 0}
.dw .next a{color:#7a4a12}
.jp-Notebook:has(.dw) .jp-InputPlaceholder{display:none}
.jupyter-widget-Collapse:has(> .jupyter-widget-Collapse-contents .dw-idle){display:none}
.jp-Notebook:has(.dw) .widget-label{white-space:normal;line-height:1.15;height:auto;align-self:center}
.dw-waits{pointer-events:none;opacity:.6}
.dw-refused{color:#a3231b;font-size:13px;line-height:1.3}
</style>"""

WORDS = {
    Verdict.STANDS: ("stands", "\u2713 stands"),
    Verdict.LOOK_AGAIN: ("again", "\u25b3 look again"),
    Verdict.FAILS: ("fails", "\u2717 will not do"),
    Verdict.OPEN: ("open", "? not known yet"),
}


def when(at: str) -> str:
    """A time of the record as the maker's clock shows it: '2026-11-25 16:04'."""
    return datetime.fromisoformat(at).astimezone().strftime("%Y-%m-%d %H:%M")


_shown = [PLAIN]


def use(shown: Shown) -> None:
    """From now on show lengths, money and days on this page as the commission in hand asks."""
    _shown[0] = shown


def shown() -> Shown:
    """How lengths, money and days are shown on this page."""
    return _shown[0]


def words(text: str) -> str:
    """A sentence of the library as this page shows it."""
    return as_shown(text, _shown[0])


def page(html: str) -> str:
    return f'{STYLE}<div class="dw">{html_as_shown(html, _shown[0])}</div>'


def paper_link(ref: str, name: str) -> str:
    """A paper of a commission as a link that the workbook's own server answers, opened beside the page."""
    path = f"../../../files/papers/{quote(ref)}/{quote(name)}"
    return f'<a href="{path}" target="_blank" rel="noopener" style="color:#7a4a12;text-decoration:underline">{escape(name)}</a>'


def papers(ref: str, names) -> str:
    """Papers of a commission as a list of links."""
    return f'<ul style="columns:3;margin:.3em 0">{"".join(f"<li>{paper_link(ref, n)}</li>" for n in names)}</ul>'


def refs_of(keys) -> str:
    """The attribute by which a row names its members ('table/A3') to the 3D view; '' for none."""
    return f' data-refs="{escape("|".join(keys), quote=True)}"' if keys else ""


def lengths(text: str) -> str:
    """Words in which every bare figure is a length in mm, as this page shows them."""
    return column_as_shown(text, _shown[0])


def figure(value: str, unit: str) -> tuple[str, str]:
    """A figure and its unit as this page shows them."""
    return quantity(value, unit, _shown[0])


def label(words: str) -> str:
    """A label whose unit stands at its end, 'Tension in each cable, N', as this page shows it."""
    return unit_as_shown(words, _shown[0])


def table(headings, rows, numbers=(), lit=(), refs=(), lengths=(), sums=()) -> str:
    """An HTML table; ``numbers`` are the columns set right, ``lit`` the rows marked, ``refs`` the members of each row.

    A column whose heading ends in ', mm', or that ``lengths`` names, is of lengths and shows them as this page does; figures
    of one that ends in another unit, ', kg', are shown in the unit of this page. ``sums`` are the columns of amounts of money without
    their currency.
    """
    if sums:
        rows = [[sum_as_shown(str(cell), _shown[0]) if i in sums else cell for i, cell in enumerate(row)] for row in rows]
    refs = [*refs, *[()] * (len(rows) - len(refs))]
    if _shown[0].inches:
        lengths = {*lengths, *(i for i, h in enumerate(headings) if h.endswith(", mm"))}
        units = {i: h.rpartition(", ")[2] for i, h in enumerate(headings)}
        headings = [unit_as_shown(heading_as_shown(h, _shown[0]), _shown[0]) for h in headings]
        rows = [[column_as_shown(str(cell), _shown[0]) if i in lengths else figure(str(cell), units[i])[0] if i in numbers else cell
                 for i, cell in enumerate(row)] for row in rows]
    head = "".join(
        f'<th{" class=n" if i in numbers else ""}>{escape(h)}</th>' for i, h in enumerate(headings)
    )
    body = "".join(
        f"<tr{' class=lit' if k in lit else ''}{refs_of(refs[k])}>"
        + "".join(f'<td{" class=n" if i in numbers else ""}>{cell}</td>' for i, cell in enumerate(row))
        + "</tr>"
        for k, row in enumerate(rows)
    )
    return f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"


def verdict(v: Verdict) -> str:
    name, words = WORDS[v]
    return f'<span class="{name}" style="white-space:nowrap">{words}</span>'


def findings(found: tuple[Finding, ...] | list[Finding], all_of_them: bool = False, mended=None) -> str:
    """What does not stand, worst first, then how many checks stand (or each of them).

    ``mended(finding)``: words of a change that was tried and mends it, and whether they are such a change; '' for nothing to say.
    """
    unique = list(dict.fromkeys(found))
    alike: dict[tuple, list[Finding]] = {}
    for f in worst_first(unique):
        if all_of_them or not f.stands:
            alike.setdefault(_row(f), []).append(f)
    if mended is not None:
        alike = _with_mends(alike, mended)
    rows = [
        (row[0], f'{row[1]} <span class="quiet">({len(fs)} alike)</span>' if len(fs) > 1 else row[1], *row[2:])
        for row, fs in alike.items()
    ]
    told_of = [list(dict.fromkeys(key for f in fs for key in keys_of(f))) for fs in alike.values()]
    standing = sum(f.stands for f in unique)
    closing = f'<div class="quiet">{standing} of {len(unique)} checks stand.</div>' if unique else '<div class="quiet">Nothing to check yet.</div>'
    if not rows:
        return closing
    return table(("How it stands", "What", "Figures", "What to do"), rows, refs=told_of) + closing


def _with_mends(alike: dict[tuple, list[Finding]], mended) -> dict[tuple, list[Finding]]:
    """Rows whose last cell begins with the change that mends the check, told once where it mends several."""
    out, told = {}, set()
    for row, fs in alike.items():
        words, tried = mended(fs[0])
        if words and tried:
            said = f"<b>{escape(words)}</b>" if words not in told else "<b>The same change as above mends this too.</b>"
            told.add(words)
            row = (*row[:3], f'{said}<div class="quiet">{row[3]}</div>')
        elif words:
            row = (*row[:3], f'{row[3]}<div class="quiet">{escape(words)}</div>')
        out.setdefault(row, []).extend(fs)
    return out


def every_check(found) -> str:
    """All checks with rule and source, folded away until asked for."""
    unique = list(dict.fromkeys(found))
    rows = [
        (*_row(f)[:3], f"{f.utilisation:.2f}" if f.utilisation is not None else "",
         f'<span class="quiet">{escape(f.rule)}<br>{escape(f.source)}</span>')
        for f in worst_first(unique)
    ]
    return (
        f"<details><summary>Every check, with its rule and source ({len(unique)})</summary>"
        + table(("How it stands", "What", "Figures", "Asked / held", "Rule and source"), rows, numbers=(3,),
                refs=[keys_of(f) for f in worst_first(unique)])
        + "</details>"
    )


def keys_of(f: Finding) -> list[str]:
    """Members that a finding is about, as the 3D view names them."""
    return [f"{f.piece}/{ref}" if f.piece else ref for ref in f.refs]


def _row(f: Finding):
    return (
        verdict(f.verdict), f"{escape(f.subject)}: {escape(f.what)}", escape(f.says), escape(f.mend)
    )


def yes(is_so: bool) -> str:
    """A tick, or not yet."""
    return '<span class="stands">\u2713 yes</span>' if is_so else '<span class="again">not yet</span>'


def bar(parts, width_px: int = 620) -> str:
    """What a price is made of, as one bar of labelled lengths; parts of no size are left out."""
    total = float(sum(abs(v) for _, v in parts)) or 1.0
    tones = ("#8a6d3b", "#b58f52", "#d6bd8d", "#cfc8ba", "#9aa38a", "#6f7f86", "#b39a9a")
    x, marks, words = 0.0, [], []
    for (name, value), tone in zip(parts, tones):
        w = width_px * float(abs(value)) / total
        if abs(value) < 0.5:
            continue
        marks.append(f'<rect x="{x:.1f}" y="0" width="{w:.1f}" height="26" fill="{tone}"/>')
        words.append(
            f'<span style="white-space:nowrap;margin-right:16px"><span style="display:inline-block;width:11px;'
            f'height:11px;background:{tone}"></span> {escape(name)} {value:.0f}</span>'
        )
        x += w
    return (
        f'<svg width="{width_px}" height="26" role="img" aria-label="parts of the price">{"".join(marks)}</svg>'
        f'<div>{"".join(words)}</div>'
    )
