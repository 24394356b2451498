"""JupyterLab on a scratch book, driven in a real browser."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
FLAGS = (
    "--no-sandbox", "--enable-unsafe-swiftshader", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)
TOKEN = "scratch"
START_S = 60


def free_port() -> int:
    """A port nobody listens on."""
    with socket.socket() as s:
        s.bind(("127.0.0.1", 0))
        return s.getsockname()[1]


@contextmanager
def lab(book: Path):
    """A JupyterLab server over a job book's folder, its pages laid; yields its address."""
    shutil.copytree(ROOT / "notebooks", book / "pages")
    port = free_port()
    command = [
        sys.executable, "-m", "jupyterlab", "--no-browser", f"--port={port}", f"--IdentityProvider.token={TOKEN}",
        f"--ServerApp.root_dir={book}", "--LabApp.expose_app_in_browser=True", "--ServerApp.port_retries=0",
        "--ZMQChannelsWebsocketConnection.limit_rate=False",
    ]
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        command.append("--allow-root")
    env = {**os.environ, "JOB_BOOK": str(book), "PYTHONPATH": str(ROOT)}
    log = book / "server.log"
    with log.open("wb") as out:
        server = subprocess.Popen(command, env=env, stdout=out, stderr=subprocess.STDOUT, cwd=book)
    address = f"http://127.0.0.1:{port}"
    try:
        for _ in range(START_S * 5):
            try:
                urllib.request.urlopen(f"{address}/api?token={TOKEN}", timeout=2)
                break
            except OSError:
                if server.poll() is not None:
                    raise RuntimeError(log.read_text()) from None
                time.sleep(0.2)
        else:
            raise RuntimeError(log.read_text())
        yield address
    finally:
        server.terminate()
        server.wait(10)


class Visit:
    """One page opened in the browser and run from top to bottom."""

    def __init__(self, context, address: str, name: str):
        self.page = context.new_page()
        self.elsewhere: list[str] = []
        self.errors: list[str] = []
        self.page.on("request", self._asked)
        self.page.on("pageerror", self._failed)
        self.page.goto(f"{address}/doc/tree/pages/{name}.ipynb?token={TOKEN}")
        self.page.wait_for_selector(".jp-Notebook .jp-Cell", timeout=60_000)
        self.page.wait_for_function("window.jupyterapp !== undefined")
        self.page.wait_for_timeout(800)
        self.run_all()

    def _failed(self, error) -> None:
        # A busy machine loads a widget's module late; that its view follows all the same: test_late_in_browser.py.
        if "[anywidget] Failed to initialize model." not in str(error):
            self.errors.append(str(error))

    def _asked(self, request) -> None:
        if not request.url.startswith(("http://127.0.0.1", "ws://127.0.0.1", "data:", "blob:")):
            self.elsewhere.append(request.url)

    def run_all(self) -> None:
        """Run every cell from the top and wait for the closing summary."""
        self.page.wait_for_function(
            """() => {
                const page = window.jupyterapp.shell.currentWidget;
                const kernel = page?.sessionContext?.session?.kernel;
                return kernel && kernel.status === "idle" && page.sessionContext.isReady;
            }""",
            timeout=90_000,
        )
        self.page.evaluate("() => { window.jupyterapp.commands.execute('notebook:run-all-cells') }")
        self.page.wait_for_selector(".dw .head", timeout=90_000)
        at_rest(self.page, 1_500)

    @property
    def words(self) -> str:
        return self.page.locator(".jp-Notebook").inner_text()

    def shown(self) -> str:
        """All text of the panel, what is folded away included."""
        return self.page.evaluate("[...document.querySelectorAll('.dw')].map(e => e.textContent).join(' ')")


def at_rest(page, quiet_ms: int = 800) -> None:
    """Wait until the page's kernel has been idle, and its panels unchanged, for so long."""
    page.evaluate(
        """async (quiet) => {
            let last = performance.now();
            const stirred = () => { last = performance.now(); };
            const watch = new MutationObserver(stirred);
            watch.observe(document.body, { childList: true, subtree: true, characterData: true });
            const until = performance.now() + 60000;
            while (performance.now() < until) {
                const kernel = document.querySelector(".jp-NotebookPanel:not(.lm-mod-hidden) .jp-Notebook-ExecutionIndicator");
                if (kernel?.dataset.status !== "idle") stirred();
                if (performance.now() - last > quiet) break;
                await new Promise((done) => setTimeout(done, 50));
            }
            watch.disconnect();
        }""",
        quiet_ms,
    )


def seen(page):
    """The picture in the 3D view once it has stopped changing: rows x columns x red, green, blue, 0 to 255."""
    import io

    import numpy as np
    from PIL import Image

    canvas, last = page.locator("canvas").first, None
    for _ in range(30):
        now = canvas.screenshot()
        if now == last:
            break
        last = now
        page.wait_for_timeout(500)
    # Without its rim, where the focus is drawn.
    return np.asarray(Image.open(io.BytesIO(last)).convert("RGB")).astype(float)[8:-8, 8:-8]
