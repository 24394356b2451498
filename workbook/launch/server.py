"""JupyterLab on the job book's folder: this computer only, with a token, open on the first page."""

from __future__ import annotations

import logging
import os
import secrets
import socket
import sys
import webbrowser
from datetime import date
from pathlib import Path

from platformdirs import user_state_path

from studio_lib.jobbook import BadBook, folder_of_the_book
from studio_lib.jobbook.places import FILE, place_of_the_book
from studio_lib.look.bundle import CannotBuildViewer, build
from workbook.launch import pages
from workbook.launch.trouble import Trouble

HERE = "127.0.0.1"
FIRST_PORT, PORTS = 8888, 200
FIRST_PAGE = f"/doc/tree/pages/{pages.FIRST}"
SETTINGS = Path(__file__).with_name("lab")


def open_workbook(port: int | None, show: bool) -> int:
    """Lay out the book and its pages, then serve them until Ctrl-C. Raises Trouble."""
    try:
        build()
    except CannotBuildViewer as why:
        print(f"{why} The workbook opens without its 3D view.")
    book = folder_of_the_book()
    _begin(book)
    for told in pages.lay(book / "pages", date.today()):
        print(told)
    state = _own_settings()
    # A grammar that Jupyter uses for one kind of address only, and that takes a second to build.
    sys.modules["rfc3987_syntax"] = None
    running = _running(book, state)
    if running:
        print(f"The workbook is open already:\n    {running}", flush=True)
        if show and may_show():
            webbrowser.open(running)
        return 0
    return _serve(book, choose_port(port), show and may_show())


def choose_port(asked_for: int | None) -> int:
    """The port asked for, or the first free one. Raises Trouble when that one is taken."""
    if asked_for is not None:
        if not _free(asked_for):
            raise Trouble(f"Port {asked_for} is taken or not allowed: leave --port out, or name another.")
        return asked_for
    for port in range(FIRST_PORT, FIRST_PORT + PORTS):
        if _free(port):
            return port
    raise Trouble(f"No port from {FIRST_PORT} to {FIRST_PORT + PORTS - 1} is free: name another with --port.")


def may_show() -> bool:
    """Whether there is a screen with a browser on it; a browser that draws in this window is none."""
    if sys.platform.startswith("linux") and not (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")):
        return False
    try:
        webbrowser.get()
    except webbrowser.Error:
        return False
    return True


def _free(port: int) -> bool:
    with socket.socket() as probe:
        if os.name != "nt":
            # As the server will ask: a port that was in use a moment ago is free again.
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HERE, port))
        except OSError:
            return False
    return True


def _begin(book: Path) -> None:
    """A new job book holds the demo commission, so that the first page has something to show."""
    place = place_of_the_book()
    if not place.url and (book / FILE).exists():
        return
    from workbook.page import book_with_something

    try:
        book_with_something(place.url or book).close()
    except BadBook as error:
        raise Trouble(str(error)) from None
    print(f"Your job book is in {book}", flush=True)


def _own_settings() -> Path:
    """Keep the person's own Jupyter out of this one, and this one out of theirs; returns our folder."""
    state = user_state_path("design-workbook") / "jupyter"
    state.mkdir(parents=True, exist_ok=True)
    os.environ |= {
        "JUPYTER_PREFER_ENV_PATH": "1",
        "JUPYTER_CONFIG_DIR": str(state / "config"),
        "JUPYTER_DATA_DIR": str(state / "data"),
        "JUPYTER_RUNTIME_DIR": str(state / "runtime"),
        "JUPYTER_CONFIG_PATH": str(SETTINGS),
        "PYDEVD_DISABLE_FILE_VALIDATION": "1",
    }
    return state


def _running(book: Path, state: Path) -> str | None:
    """Address of a workbook that is open on this book already."""
    from jupyter_server.serverapp import list_running_servers

    for server in list_running_servers(str(state / "runtime")):
        # A dead server's number may belong to another program by now: only an answer counts.
        if Path(server["root_dir"]) == book and not _free(server["port"]):
            return f"{server['url'].rstrip('/')}{FIRST_PAGE}?token={server['token']}"
    return None


def _not_a_closed_tab(record: logging.LogRecord) -> bool:
    """Whether a line of the log is worth a maker's eye: a tab closed while its page still ran is not."""
    return not (record.exc_info and type(record.exc_info[1]).__name__ == "WebSocketClosedError")


def _serve(book: Path, port: int, show: bool) -> int:
    from jupyterlab.labapp import LabApp

    token = secrets.token_hex(24)
    root = ["--allow-root"] if hasattr(os, "geteuid") and os.geteuid() == 0 else []
    server = LabApp.initialize_server([
        f"--ServerApp.ip={HERE}", f"--ServerApp.port={port}", "--ServerApp.port_retries=0",
        f"--ServerApp.root_dir={book}", f"--ServerApp.open_browser={show}", f"--IdentityProvider.token={token}",
        f"--LabApp.default_url={FIRST_PAGE}", f"--LabApp.extra_labextensions_path={SETTINGS / 'extensions'}",
        "--KernelManager.transport_encryption=auto", "--ServerApp.answer_yes=True",
        "--Application.log_level=ERROR", *root,
    ])
    for speaker in (*server.log.handlers, *(logging.getLogger(name) for name in ("asyncio", "ServerApp", "tornado.general"))):
        speaker.addFilter(_not_a_closed_tab)
    address = f"http://{HERE}:{port}{FIRST_PAGE}?token={token}"
    server.io_loop.add_callback(
        print, f"The workbook is open at\n    {address}\nCtrl-C here closes it; everything is saved.", flush=True
    )
    server.start()
    return 0
