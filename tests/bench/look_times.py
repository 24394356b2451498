"""Prints what the look of a piece costs: bytes and milliseconds, on this machine.

    python tests/bench/look_times.py            # all
    python tests/bench/look_times.py kernel     # or: still, page, lab
"""

from __future__ import annotations

import base64
import os
import shutil
import statistics
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "pages")]

from studio_lib.commission import Brief  # noqa: E402
from studio_lib.forms import FORMS, make  # noqa: E402
from studio_lib.look import bundle  # noqa: E402
from studio_lib.look.client_page import client_page  # noqa: E402
from studio_lib.look.glb import glb  # noqa: E402
from studio_lib.look.scenes import METALS, STILL_PX, STILL_SAMPLES, _metal  # noqa: E402
from studio_lib.look.still import still, stills  # noqa: E402
from studio_lib.solids import meshes  # noqa: E402
from studio_lib.timber import appearance, timber  # noqa: E402

OAK = "European oak"
ROUNDS = 21
FULL = "cabinet"
"""The form nearest to 40 members and 60 joints."""


def times_ms(work, rounds: int = ROUNDS, clock=time.perf_counter) -> list[float]:
    took = []
    for i in range(rounds):
        start = clock()
        work(i)
        took.append(1000 * (clock() - start))
    return took


CPU = time.process_time
"""Time of the processor in this process alone: the same on a busy machine."""


def say(what: str, took) -> None:
    print(f"{what:<58}{statistics.median(took):8.1f} ms  [{min(took):.1f} .. {max(took):.1f}]", flush=True)


def look_of(members, years: float) -> dict:
    names = {m.timber for m in members}
    return {n: _metal(n) if n in METALS else appearance(timber(n), years, "weather", "bare") for n in names}


def sliding(form: str):
    """piece(i): the form with its first overall size moved on by i tenths of a mm."""
    brief = Brief()
    first = next(s for s in FORMS[form].sizes if s.group == "overall" and not s.choices)
    piece = make(form, brief)
    start = max(piece.overall_mm[0], first.low + 1) if "length" in first.name or "width" in first.name else None
    start = start if start and start + 10 < first.high else (first.low + first.high) / 2
    return lambda i: make(form, brief, timber=OAK, **{first.name: round(start + 0.1 * i, 1)})


def kernel() -> None:
    from studio_lib.solids import exact

    for form in FORMS:
        if form == "freehand":
            continue
        piece = sliding(form)
        laid = [piece(i) for i in range(ROUNDS + 1)]
        for p in laid:
            p.shape(p.members[0].ref)  # the joints' figures belong to the numbers, not to the mesh
        meshes(laid[0])
        took = times_ms(lambda i: meshes(laid[i + 1]), clock=CPU)
        sent = times_ms(lambda i: glb([("piece", meshes(laid[i + 1]), (0, 0, 0))]), clock=CPU)
        say(f"mesh, {form}: {len(laid[0].members)} members, {len(laid[0].joints)} joints", took)
        say("    and as bytes", sent)
    piece = sliding(FULL)

    def cold(_i):
        exact.solid.cache_clear()
        exact.build(piece(0))

    say(f"exact solids, {FULL}, nothing cached", times_ms(cold, 5, CPU))
    say("    one size changed", times_ms(lambda i: exact.build(piece(i + 1)), 7, CPU))


def pictures() -> None:
    members = meshes(make(FULL, Brief(), timber=OAK))
    scene = [("piece", members, (0, 0, 0))]
    say(f"still picture {STILL_PX[0]} x {STILL_PX[1]}, {FULL}",
        times_ms(lambda _i: still(scene, look_of(members, 0), *STILL_PX, samples=STILL_SAMPLES), 3))
    four = [look_of(members, y) for y in (0, 1, 3, 10)]
    say("    aged series of four, 520 x 330", times_ms(lambda _i: stills(scene, four, 520, 330, samples=6), 3))


def chromium(play):
    path = os.environ.get("CHROMIUM") or shutil.which("chromium")
    return play.chromium.launch(executable_path=path, args=["--headless", "--no-sandbox", "--enable-unsafe-swiftshader"])


# Times in the browser's own code; the rasteriser runs in a process of its own.
IN_PAGE = """async (text) => {
  const bytes = Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
  const view = studioViews[0];
  const wait = (ms) => new Promise((done) => setTimeout(done, ms));
  const timed = async (rounds, act) => {
    const took = [];
    for (let k = 0; k < rounds; k += 1) {
      const start = performance.now();
      act(k);
      view.settle();
      view.quick();
      took.push(performance.now() - start);
      await wait(120);
    }
    return took;
  };
  const shown = async (act) => {
    // Frames really shown while a slider is moved for two seconds.
    await wait(1500);
    const before = view.frames;
    const start = performance.now();
    while (performance.now() - start < 2000) {
      act((performance.now() - start) / 2000);
      await new Promise(requestAnimationFrame);
    }
    return (view.frames - before) / 2;
  };
  const looks = [0, 1, 2, 3].map((k) => JSON.parse(document.querySelector("#told").textContent).ways[0].stages[k].look);
  return {
    "bytes to a picture drawn": await timed(15, () => view.setScene(bytes)),
    "age slider, one frame": await timed(15, (k) => view.setLook(looks[k % 4])),
    "taken-apart slider, one frame": await timed(15, (k) => view.setApart(k / 15)),
    shown: [await shown((t) => view.setLook(looks[Math.floor(4 * t) % 4])), await shown((t) => view.setApart(t))],
  };
}"""


def page() -> None:
    from playwright.sync_api import sync_playwright

    members = meshes(make(FULL, Brief(), timber=OAK))
    scene = [("piece", members, (0, 0, 0))]
    text = client_page("Piece", "", [("Piece", scene)], {y: look_of(members, y) for y in (0, 1, 3, 10)}, "", "", "")
    print(f"client page of {FULL}: {len(text.encode()) / 1e6:.2f} MB")
    with sync_playwright() as play, tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "page.html"
        file.write_text(text, encoding="utf-8")
        browser = chromium(play)
        firsts = []
        for _ in range(5):
            shown = browser.new_page(viewport={"width": 390, "height": 844}, has_touch=True)
            start = time.perf_counter()
            shown.goto(file.as_uri())
            shown.wait_for_function("window.studioViews?.every((v) => v.frames > 0)")
            firsts.append(1000 * (time.perf_counter() - start))
            if len(firsts) < 5:
                shown.close()
        say("    opened to first picture, 390 px", firsts)
        found = shown.evaluate(IN_PAGE, base64.b64encode(glb(scene)).decode())
        for what, took in found.items():
            if what != "shown":
                say(f"    {what}, browser's own code", took)
        print(f"    frames a second shown with software rasterising: age {found['shown'][0]:.0f}, apart {found['shown'][1]:.0f}")
        browser.close()


MARK = """() => {
  window.took = [];
  let began = null;
  document.addEventListener("keydown", () => { began = performance.now(); }, true);
  const read = TextDecoder.prototype.decode;
  TextDecoder.prototype.decode = function (...given) {
    const text = read.apply(this, given);
    if (began !== null && text.startsWith('{"asset"')) {
      // Read inside the frame that draws it; the message comes once that frame's own code has ended.
      const [start, arrived] = [began, performance.now()];
      began = null;
      const after = new MessageChannel();
      after.port1.onmessage = () => window.took.push([arrived - start, performance.now() - start]);
      after.port2.postMessage(0);
    }
    return text;
  };
}"""


def lab_slider(rounds: int = 25) -> None:
    """A slider of the Sizes page moved by one step of the keyboard, to the new mesh drawn."""
    from lab import FLAGS, Visit, lab
    from playwright.sync_api import sync_playwright

    with lab(Path(tempfile.mkdtemp())) as address, sync_playwright() as play:
        path = os.environ.get("CHROMIUM") or shutil.which("chromium")
        browser = play.chromium.launch(executable_path=path, args=list(FLAGS))
        context = browser.new_context(viewport={"width": 1280, "height": 900})
        visit = Visit(context, address, "03_sizes")
        visit.page.evaluate(MARK)
        handle = visit.page.locator(".noUi-handle").first
        handle.focus()
        for _ in range(rounds):
            visit.page.keyboard.press("ArrowRight")
            visit.page.wait_for_timeout(1500)
        took = visit.page.evaluate("took")
        say(f"slider to redrawn 3D in JupyterLab, {len(took)} moves", [t for _, t in took])
        say("    of it until the new mesh is read", [t for t, _ in took])
        browser.close()


PARTS = {"kernel": kernel, "still": pictures, "page": page, "lab": lab_slider}


def main(wanted: list[str]) -> None:
    bundle.build()
    for name in wanted or PARTS:
        PARTS[name]()


if __name__ == "__main__":
    main(sys.argv[1:])
