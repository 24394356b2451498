"""The workbook's own environment: found ready, or made from the lock file."""

from __future__ import annotations

import errno
import hashlib
import importlib.util
import os
import platform
import re
import shutil
import subprocess
import sys
import tempfile
from contextlib import contextmanager
from pathlib import Path

from workbook.launch.trouble import DISK_FULL, NO_NETWORK, Trouble

ROOT = Path(__file__).resolve().parents[2]
LOCK = ROOT / "requirements.lock"
OURS = ROOT / ".venv"
STAMP = "design_workbook.ready"
"""Written into an environment last of all, so an interrupted install is never taken for a whole one."""
POINTER = "design_workbook.pth"
NEWEST = (3, 14)
"""The newest Python for which every package in the lock comes ready-made."""
ROOM_BYTES = 4_000_000_000


def python_of(folder: Path) -> Path:
    """The Python inside an environment's folder."""
    return folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def ready(folder: Path) -> bool:
    """Whether an environment holds exactly what the lock says. Quick once it has been found so."""
    python = python_of(folder)
    if not LOCK.is_file():
        raise Trouble(f"{LOCK.name} is missing from {ROOT}: fetch the workbook again, whole.")
    if not os.path.exists(python):  # false, too, where this person may not look
        return False
    stamp = folder / STAMP
    if stamp.is_file() and stamp.read_text("utf-8") == _lock_print():
        return True
    try:
        whole = _quiet(python, "-m", "workbook.launch.complete", str(LOCK)).returncode == 0
    except OSError:
        return False
    if whole:
        _sign(folder)
    return whole


def find() -> Path | None:
    """Python of an environment that is ready: the one in use if it has everything, else our own."""
    in_use = Path(sys.prefix)
    own = sys.prefix != sys.base_prefix or (in_use / "conda-meta").is_dir()
    if own and in_use != OURS and ready(in_use):
        return Path(sys.executable)
    return python_of(OURS) if ready(OURS) else None


def make(say=print) -> Path:
    """Make our environment afresh from the lock and return its Python. Raises Trouble."""
    _check_this_computer()
    if shutil.disk_usage(ROOT).free < ROOM_BYTES:
        raise Trouble(DISK_FULL)
    with _alone() as held:
        say(f"Making the workbook's environment in {OURS} (once; some minutes).")
        _make_empty()
        _install(say, held)
        _sign(OURS)
    return python_of(OURS)


def environ() -> dict[str, str]:
    """Variables under which the environment's Python sees the workbook and nothing of the person's own."""
    mine = {k: v for k, v in os.environ.items() if k not in ("PYTHONHOME", "PIP_TARGET", "PIP_PREFIX")}
    return mine | {"PYTHONPATH": str(ROOT), "PYTHONNOUSERSITE": "1", "PIP_USER": "0"}


def _check_this_computer() -> None:
    here, newest = platform.python_version(), "{}.{}".format(*NEWEST)
    if sys.version_info[:2] > NEWEST:
        raise Trouble(
            f"This is Python {here}, for which some packages are not ready yet: start the workbook with "
            f"Python 3.11 to {newest}."
        )
    if sys.maxsize < 2**32:
        raise Trouble("This Python is a 32-bit one: install a 64-bit Python and start again.")
    if sys.platform == "darwin" and platform.machine() == "x86_64":
        raise Trouble(
            "This Python is one for Macs with an Intel processor, for which some packages are no longer made: "
            "use a Mac with an Apple processor and a Python made for it."
        )
    if any(importlib.util.find_spec(name) is None for name in ("venv", "ensurepip")):
        raise Trouble(
            "This Python lacks the part that makes environments (venv): install it "
            "(on Debian and Ubuntu: sudo apt install python3-venv) and start again."
        )


def _make_empty() -> None:
    import venv

    try:
        venv.EnvBuilder(clear=True, with_pip=True, symlinks=os.name != "nt").create(OURS)
    except subprocess.CalledProcessError as error:
        raise Trouble(_why(str(error.output))) from None


def _install(say, held: tuple[int, ...] = ()) -> None:
    total = len(re.findall("^[A-Za-z0-9].*==", LOCK.read_text("utf-8"), re.MULTILINE))
    command = [
        python_of(OURS), "-I", "-m", "pip", "install", "--require-hashes", "--no-deps", "--no-input",
        "--disable-pip-version-check", "--progress-bar", "off", "-r", LOCK,
    ]
    said, done = [], 0
    with subprocess.Popen(
        command, env=environ(), stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
        text=True, encoding="utf-8", errors="replace", pass_fds=held,
    ) as pip:
        for line in pip.stdout:
            said.append(line)
            if line.startswith("Collecting "):
                done += 1
                if done % 20 == 0:
                    say(f"  {done} of at most {total} packages fetched")
            elif line.startswith("Installing "):
                say("  All fetched; putting them in place.")
    log = OURS / "install.log"
    log.write_text("".join(said), "utf-8")
    if pip.returncode:
        raise Trouble(_why("".join(said)))


NETWORK_WORDS = (
    "NewConnectionError", "ConnectTimeout", "ReadTimeout", "Max retries exceeded", "name resolution",
    "getaddrinfo failed", "Network is unreachable", "Connection refused", "Connection aborted", "ProxyError",
    "connection broken", "Could not fetch URL",
)


def _why(said: str) -> str:
    """What pip said, as one sentence that says what to do."""
    if "No space left" in said or "Errno 28" in said or "not enough space" in said:
        return DISK_FULL
    if "DO NOT MATCH THE HASHES" in said:
        return (
            "A package that was fetched is not the one in requirements.lock, so nothing was installed: start "
            "again, and if it stays so, ask whoever runs your network or package mirror."
        )
    if any(words in said for words in NETWORK_WORDS):
        return NO_NETWORK
    if "No matching distribution" in said or "not a supported wheel" in said:
        name = re.search(r"No matching distribution found for ([^\s;]+)", said)
        return (
            f"{name[1] if name else 'A package'} is not made for this computer: the workbook runs on 64-bit "
            "Windows, Macs with an Apple processor, and Linux with glibc 2.31 or newer."
        )
    errors = [line for line in said.splitlines() if line.startswith("ERROR")] or said.splitlines()[-1:]
    return (
        f"The packages could not be installed ({' '.join(errors[:1]) or 'pip gave no reason'}): start again, "
        f"and if it stays so, read {OURS / 'install.log'}."
    )


def _sign(folder: Path) -> None:
    python = python_of(folder)
    site = _quiet(python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))").stdout.strip()
    try:
        # Before 3.13 Python reads these files in the computer's own encoding.
        words = "utf-8" if sys.version_info >= (3, 13) else "locale"
        Path(site, POINTER).write_text(f"{ROOT}\n", words)
        (folder / STAMP).write_text(_lock_print(), "utf-8")
    except OSError as error:
        if error.errno not in (errno.EACCES, errno.EPERM, errno.EROFS):
            raise
        # Someone else's environment, and complete: good to use, only looked through at each start.


def _lock_print() -> str:
    return hashlib.sha256(LOCK.read_bytes()).hexdigest()


def _quiet(python: Path, *words: str) -> subprocess.CompletedProcess:
    return subprocess.run([python, *words], env=environ(), capture_output=True, text=True, check=False)


@contextmanager
def _alone():
    """Hold the place of the one start that makes the environment; it is freed even by a kill.

    Yields what pip must inherit, so that the place stays held while a pip whose start was
    killed is still writing.
    """
    who = os.getuid() if hasattr(os, "getuid") else ""
    name = hashlib.sha256(f"{ROOT} {who}".encode()).hexdigest()[:12]
    with open(Path(tempfile.gettempdir(), f"design-workbook-{name}.lock"), "a+b") as file:
        try:
            if os.name == "nt":
                import msvcrt

                file.seek(0)
                msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
            else:
                import fcntl

                fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            raise Trouble(
                "Another start of the workbook is making its environment: wait until it is done, then start again."
            ) from None
        yield () if os.name == "nt" else (file.fileno(),)
