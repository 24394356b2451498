"""Prints what the look of a piece costs: bytes and milliseconds, on this machine.

    python tests/bench/look_times.py
"""

from __future__ import annotations

import base64
import os
import shutil
import statistics
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from studio_lib.commission import Brief  # noqa: E402
from studio_lib.forms import make  # noqa: E402
from studio_lib.look import bundle  # noqa: E402
from studio_lib.look.client_page import client_page  # noqa: E402
from studio_lib.look.glb import glb  # noqa: E402
from studio_lib.look.still import still  # noqa: E402
from studio_lib.solids import meshes  # noqa: E402
from studio_lib.timber import appearance, timber  # noqa: E402

OAK = "European oak"


def median_ms(act, times: int) -> float:
    took = []
    for _ in range(times):
        start = time.perf_counter()
        act()
        took.append(1000 * (time.perf_counter() - start))
    return statistics.median(took)


def in_browser(page_text: str, shapes: bytes) -> None:
    from playwright.sync_api import sync_playwright

    chromium = os.environ.get("CHROMIUM") or shutil.which("chromium")
    with sync_playwright() as play:
        browser = play.chromium.launch(
            executable_path=chromium, args=["--headless", "--no-sandbox", "--enable-unsafe-swiftshader"]
        )
        page = browser.new_page(viewport={"width": 1280, "height": 800})
        page.set_content(page_text)
        page.wait_for_function("window.studioViews?.every((v) => v.frames > 0)")
        took = page.evaluate(
            """async (text) => {
              const bytes = Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
              const view = window.studioViews[0];
              const took = [];
              for (let k = 0; k < 15; k += 1) {
                view.setScene(bytes);
                const start = performance.now();
                view.settle();
                took.push(performance.now() - start);
                await new Promise((done) => setTimeout(done, 400));
              }
              return took;
            }""",
            base64.b64encode(shapes).decode(),
        )
        print(f"browser: bytes to meshes, edges and lights  {statistics.median(took):8.1f} ms")
        browser.close()


def main() -> None:
    bundle.build()
    brief = Brief(place="outdoors, in the weather")
    table = make("slatted table", brief, timber=OAK, name="table")
    scene = [("table", meshes(table), (0, 0, 0))]
    looks = {y: {OAK: appearance(timber(OAK), y, "weather", "bare")} for y in (0, 1, 3, 10)}
    shapes = glb(scene)

    def write_page():
        return client_page("Table", "", [("Table", scene)], looks, "", "", "")

    page = write_page()
    print(f"members {len(table.members)}, joints {len(table.joints)}")
    took = median_ms(lambda: glb(scene), 15)
    print(f"glb                                         {took:8.1f} ms, {len(shapes)} bytes")
    print(f"client page                                 {median_ms(write_page, 5):8.1f} ms, {len(page)} bytes")
    took = median_ms(lambda: still(scene, looks[0], 1200, 760), 3)
    print(f"still picture 1200 x 760                    {took:8.0f} ms")
    in_browser(page, shapes)


if __name__ == "__main__":
    main()
