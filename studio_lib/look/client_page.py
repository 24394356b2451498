"""The page a client opens at home: the piece to turn, take apart and see grow old, in one file."""

from __future__ import annotations

import base64
import json
import zlib
from collections import Counter
from dataclasses import dataclass
from html import escape

from studio_lib.look import bundle
from studio_lib.look.glb import appearance_of, glb

CUT_OFF_BYTES = 3_000_000
"""A page beyond this is too much for a mail and a phone."""


DRAWN_PLAIN = "drawn plain"
"""How the words end for what is not of timber and has no look of its own."""
PERSON = (1.7, "1.70 m")
"""The figure that may stand beside a piece: how tall it is [m], and the same in words."""


class PageTooLarge(ValueError):
    """The page would be larger than can be mailed; says by how much and what to leave out."""


@dataclass(frozen=True)
class Stage:
    """One position of the age slider."""

    years: float
    appearances: dict

    @property
    def name(self) -> str:
        if self.years == 0:
            return "new"
        return f"after {self.years:g} {'year' if self.years == 1 else 'years'}"


def client_page(
    title: str,
    intro_html_safe_text: str,
    scenes,
    appearances_by_stage,
    sizes_text: str,
    timber_text: str,
    may_differ_text: str,
    *,
    pictures=(),
    ground: str = "paving",
    inch: int = 0,
    person: tuple[float, str] = PERSON,
    language: str = "en",
    way: str = "",
    other_ways=(),
) -> str:
    """One HTML file that asks for nothing else: no address is ever called.

    Parameters
    ----------
    title, sizes_text, timber_text, may_differ_text : str
        Plain text; an empty line starts a new paragraph.
    intro_html_safe_text : str
        HTML that is already safe to show.
    scenes : list of (option name, scene)
        One view each, side by side where there is room. A scene is a list of
        (piece name, meshes, offset in mm).
    appearances_by_stage : dict from years to {timber: Appearance}
        The positions of the age slider, as 0, 1, 3 and 10.
    pictures : sequence of PNG or JPEG bytes or None, one an option
        Shown where the browser cannot draw, or runs no script.
    ground : 'paving', 'floor' or ''
    person : (height in m, the same in words)
        The figure that may stand beside it.
    inch : parts an inch is divided into where the picture tells inches, 0 for mm
    way : str
        Where it stands and how it is kept, in words, in ``appearances_by_stage``.
    other_ways : sequence of (words, {years: {timber: Appearance}})
        The same in other places or under other care, to choose from; the same years.

    Raises
    ------
    bundle.CannotBuildViewer
        When the viewer has not been built.
    PageTooLarge
        Over 3 MB.
    ValueError
        With no option or no stage.
    """
    if not scenes:
        raise ValueError("scenes is empty; give at least one (option name, scene).")
    if not appearances_by_stage:
        raise ValueError("appearances_by_stage is empty; give at least the look when new, as {0: {...}}.")
    script = bundle.page_js()
    if script is None:
        raise bundle.CannotBuildViewer(
            "The 3D view has not been built yet; run studio_lib.look.bundle.build() once, with the network."
        )
    ways = [(way, appearances_by_stage), *other_ways]
    staged = [(words, [Stage(years, looks) for years, looks in sorted(by_stage.items())]) for words, by_stage in ways]
    stages = staged[0][1]
    if any([s.years for s in others] != [s.years for s in stages] for _, others in staged):
        raise ValueError("other_ways differ in their years; give each the same years as appearances_by_stage.")
    timbers = sorted({m.timber for _, scene in scenes for _, members, _ in scene for m in members})
    told = {
        "ground": ground,
        "inch": inch,
        "person": person[0],
        "options": [
            {
                "describe": f"{name}: {_pieces(scene)}, in three dimensions.",
                "scene": base64.b64encode(zlib.compress(glb(scene, stages[0].appearances), 9)).decode(),
            }
            for name, scene in scenes
        ],
        "ways": [
            {"stages": [
                {"name": s.name, "look": look_of(s.appearances, timbers), "says": _says(s.appearances, timbers)} for s in some
            ]}
            for _, some in staged
        ],
    }
    pictures = list(pictures) + [None] * (len(scenes) - len(pictures))
    options = "\n".join(
        _option(name, scene, picture, len(scenes) > 1)
        for (name, scene), picture in zip(scenes, pictures)
    )
    page = PAGE.format(
        unit="inches" if inch else "mm",
        language=escape(language, quote=True),
        title=escape(title),
        style=STYLE,
        intro=intro_html_safe_text,
        options=options,
        count=len(scenes),
        age_last=len(stages) - 1,
        age_hidden=" hidden" if len(stages) < 2 else "",
        age_ticks="".join(f"<span>{escape(s.name.removeprefix('after '))}</span>" for s in stages),
        ways=_ways([words for words, _ in staged]),
        opened=_opened([scene for _, scene in scenes]),
        ages_plain="".join(
            f"<dt>{escape(s.name.capitalize())}</dt>"
            + "".join(f"<dd>{escape(line)}</dd>" for line in _says(s.appearances, timbers))
            for s in stages
        ),
        sizes=_paragraphs(sizes_text),
        timber=_paragraphs(timber_text),
        may_differ=_paragraphs(may_differ_text),
        person=escape(person[1]),
        told=_json_in_html(told),
        script=script.replace("</script", "<\\/script"),
    )
    size = len(page.encode())
    if size > CUT_OFF_BYTES:
        raise PageTooLarge(
            f"The page would have {size / 1e6:.1f} MB, more than {CUT_OFF_BYTES / 1e6:.0f}; "
            "show fewer options on one page, or smaller pictures."
        )
    return page


def look_of(appearances, timbers) -> dict:
    """Appearances as plain data for the viewer: {timber: fields}."""
    out = {}
    for name in timbers:
        a = appearance_of(appearances, name)
        out[name] = {
            "base_hex": a.base_hex, "late_hex": a.late_hex, "ring_mm": float(a.ring_mm),
            "roughness": float(a.roughness), "grey_fraction": float(a.grey_fraction),
        }
    return out


def _says(appearances, timbers) -> list[str]:
    """What happens to each timber, in words; metals and the like do not age here."""
    said: dict[str, list[str]] = {}
    wood = [t for t in timbers if appearance_of(appearances, t).ring_mm > 0] or [
        t for t in timbers if not appearance_of(appearances, t).says.endswith(DRAWN_PLAIN)] or timbers
    for t in wood:
        said.setdefault(appearance_of(appearances, t).says, []).append(t)
    if len(said) == 1:
        return list(said)
    return [f"{_and(names).capitalize()}: {line}" for line, names in said.items()]


def _ways(words: list[str]) -> str:
    """A choice of where it stands and how it is kept; nothing where there is only one."""
    if len(words) < 2:
        return ""
    options = "".join(f'<option value="{k}">{escape(text)}</option>' for k, text in enumerate(words))
    return f'<div class="row" style="margin-top:10px"><label for="way" style="white-space:nowrap">Place, care</label><select id="way">{options}</select></div>'


def _opened(scenes) -> str:
    """A slider that opens what opens; nothing where nothing does."""
    kinds = {m.leaf.kind for scene in scenes for _, members, _ in scene for m in members if m.leaf is not None}
    named = [words for kind, words in OPENS.items() if kind in kinds]
    if not named:
        return ""
    return (f'<div class="row"><label for="opened">Open</label><span>{_and(named)}</span></div>'
            '<input id="opened" type="range" min="0" max="100" step="1" value="0">')


OPENS = {"door": "doors", "drawer": "drawers", "lid": "the lid", "flap": "the flap"}


def _pieces(scene) -> str:
    counts = Counter(name for name, _, _ in scene)
    return _and([name if n == 1 else f"{name} ({n} of them)" for name, n in counts.items()])


def _and(names: list[str]) -> str:
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + " and " + names[-1]


def _option(name: str, scene, picture: bytes | None, named: bool) -> str:
    if picture:
        kind = "jpeg" if picture.startswith(b"\xff\xd8") else "png"
        address = f"data:image/{kind};base64," + base64.b64encode(picture).decode()
        still = f'<img class="still" src="{address}" alt="Still picture: {escape(_pieces(scene), quote=True)}">'
    else:
        still = '<p class="still">No picture can be shown here; the sizes and the timber stand below.</p>'
    heading = f"<figcaption>{escape(name)}</figcaption>" if named else ""
    file = escape("".join(c if c.isalnum() or c in " -" else "_" for c in name).strip() or "piece", quote=True)
    below = (
        f'<div class="below"><button type="button" class="place" hidden>In your own room</button>'
        f'<button type="button" class="save" data-file="{file}.glb">Save as a 3D file (glTF)</button>'
        f'<span class="place-said" role="status"></span></div>'
    )
    return f'<figure class="option">{heading}<div class="stage"></div>{still}{below}</figure>'


def _paragraphs(text: str) -> str:
    parts = [part.strip() for part in text.split("\n\n") if part.strip()]
    return "".join("<p>" + escape(part).replace("\n", "<br>") + "</p>" for part in parts)


def _json_in_html(value) -> str:
    text = json.dumps(value, separators=(",", ":"), ensure_ascii=False)
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


STYLE = """
:root { color-scheme: light; --ink: #20282d; --soft: #566067; --line: #d5d8d6; --paper: #f7f7f4; --deep: #1d5c88; }
* { box-sizing: border-box; }
body { margin: 0; background: var(--paper); color: var(--ink); font: 17px/1.55 system-ui, "Segoe UI", Roboto, "Helvetica Neue", sans-serif; }
header, main, footer { max-width: 1180px; margin: 0 auto; padding: 0 20px; }
header { padding-top: 28px; }
h1 { font-size: clamp(1.5rem, 4vw, 2.1rem); line-height: 1.2; margin: 0 0 .4em; font-weight: 600; letter-spacing: -.01em; }
h2 { font-size: 1.1rem; margin: 0 0 .35em; font-weight: 600; }
p { margin: 0 0 .7em; }
.intro { max-width: 44em; color: var(--soft); }
.options { display: grid; gap: 14px; grid-template-columns: repeat(auto-fit, minmax(min(100%, 440px), 1fr)); margin: 18px 0 0; }
.option { margin: 0; border: 1px solid var(--line); border-radius: 10px; overflow: hidden; background: #eef0ef; }
.option figcaption { padding: 9px 16px; background: #fff; border-bottom: 1px solid var(--line); font-weight: 600; }
.stage { height: min(62vh, 640px, 74vw); min-height: 230px; display: none; }
.options:not([data-count="1"]) .stage { height: min(48vh, 460px, 74vw); }
.below { display: none; gap: 10px; padding: 9px 12px; background: #fff; border-top: 1px solid var(--line); flex-wrap: wrap; align-items: center; }
.live .below { display: flex; }
.below button { font-size: .92rem; min-height: 38px; padding: 5px 12px; }
.place-said { color: var(--soft); font-size: .9rem; }
[hidden] { display: none !important; }
#overlay { position: fixed; inset: auto 0 24px; text-align: center; z-index: 5; }
#overlay p { display: inline-block; background: rgba(255,255,255,.9); border-radius: 8px; padding: 8px 14px; }
select { font: inherit; color: var(--ink); background: #fff; border: 1px solid #9aa3a8; border-radius: 7px; padding: 6px 8px; min-height: 40px; max-width: 100%; min-width: 0; }
.facts p:has(+ p) { margin-bottom: .7em; }
.live .stage { display: block; }
.live .still { display: none; }
.still { display: block; width: 100%; height: auto; }
p.still { padding: 30px 20px; margin: 0; }
canvas:focus-visible { outline: 3px solid var(--deep); outline-offset: -3px; }
.controls { display: none; grid-template-columns: repeat(auto-fit, minmax(min(100%, 300px), 1fr)); gap: 14px 36px; padding: 16px 2px 4px; }
.live .controls { display: grid; }
label, .name { font-weight: 600; }
.row { display: flex; justify-content: space-between; align-items: baseline; gap: 12px; }
.row output, .row span { color: var(--soft); font-weight: 400; }
input[type=range] { width: 100%; height: 34px; margin: 0; accent-color: var(--deep); cursor: pointer; }
.ticks { display: flex; justify-content: space-between; color: var(--soft); font-size: .86rem; margin-top: -4px; }
.says { min-height: 3.2em; margin-top: .5em; }
.says p { margin: 0 0 .3em; }
.boxes { display: flex; flex-wrap: wrap; gap: 8px 22px; align-items: center; padding-top: 6px; }
.boxes label { font-weight: 400; display: inline-flex; gap: 8px; align-items: center; min-height: 40px; cursor: pointer; }
.boxes input { width: 20px; height: 20px; accent-color: var(--deep); }
button { font: inherit; color: var(--ink); background: #fff; border: 1px solid #9aa3a8; border-radius: 7px; padding: 7px 14px; min-height: 40px; cursor: pointer; }
button:hover { border-color: var(--deep); color: var(--deep); }
:focus-visible { outline: 3px solid var(--deep); outline-offset: 2px; }
.hint { color: var(--soft); font-size: .9rem; margin: 6px 0 0; }
.facts { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(100%, 300px), 1fr)); gap: 26px 44px; border-top: 1px solid var(--line); margin-top: 26px; padding-top: 24px; }
.without { display: none; color: var(--soft); margin-top: 12px; }
.still-only .without { display: block; }
.live .unscripted, .still-only .unscripted { display: none; }
.ages { display: block; }
.live .ages { display: none; }
dt { font-weight: 600; margin-top: .5em; }
dd { margin: 0; }
footer { padding: 22px 20px 40px; color: var(--soft); font-size: .9rem; }
@media print { .controls, .hint { display: none !important; } }
"""

PAGE = """<!doctype html>
<html lang="{language}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="icon" href="data:,">
<title>{title}</title>
<style>{style}</style>
</head>
<body>
<header>
<h1>{title}</h1>
<div class="intro">{intro}</div>
</header>
<main>
<div class="options" data-count="{count}">
{options}
</div>
<p class="hint unscripted">This browser runs no script, so the picture stands still.</p>
<p class="without">This browser cannot draw in three dimensions, so the picture stands still.</p>
<div class="controls">
<div{age_hidden}>
<div class="row"><label for="age">Its age</label><span id="age-name"></span></div>
<input id="age" type="range" min="0" max="{age_last}" step="1" value="0">
<div class="ticks" aria-hidden="true">{age_ticks}</div>
{ways}
<div class="says" id="age-says" aria-live="polite"></div>
</div>
<div>
<div class="row"><label for="apart">Taken apart</label><span>see how it is made</span></div>
<input id="apart" type="range" min="0" max="100" step="1" value="0">
{opened}
<div class="boxes">
<label><input type="checkbox" id="dimensions">Sizes in {unit}</label>
<label><input type="checkbox" id="person">A person of {person} and a door</label>
<button type="button" id="home">First view again</button>
</div>
<p class="hint">Drag to turn, pinch or scroll to come nearer, touch a part for its name and size.
By keyboard: Tab to the picture, then arrow keys, plus and minus.</p>
</div>
</div>
<section class="facts">
<div><h2>Sizes</h2>{sizes}</div>
<div><h2>Timber</h2>{timber}<dl class="ages">{ages_plain}</dl></div>
<div><h2>What may differ</h2>{may_differ}</div>
</section>
</main>
<div id="overlay" hidden><p>Point at the floor until a ring shows, then touch it.</p><br><button type="button">Back to the page</button></div>
<footer>This page works without the internet and sends nothing anywhere.</footer>
<script type="application/json" id="told">{told}</script>
<script>{script}</script>
</body>
</html>
"""
