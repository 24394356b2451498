"""Whether this Python has every package at exactly the locked version.

    python -m workbook.launch.complete LOCK

exits with 0 when it has, else with 1 and what is missing.
"""

from __future__ import annotations

import re
import sys
from importlib.metadata import distributions
from pathlib import Path


def locked(lock: Path) -> list[str]:
    """The requirements of a lock file, one 'name==version ; marker' each, without hashes."""
    lines = lock.read_text("utf-8").splitlines()
    return [line.rstrip("\\ ") for line in lines if re.match(r"[A-Za-z0-9].*==", line)]


def missing(lock: Path) -> list[str]:
    """What the lock asks of this Python that is not there, or there only by half."""
    try:
        from packaging.requirements import Requirement
    except ImportError:
        return locked(lock)
    # The installer signs a package last, so an unsigned one was interrupted.
    there = {
        _plain(d.name): d.version for d in distributions() if d.name and d.read_text("INSTALLER")
    }
    wanted = [Requirement(line) for line in locked(lock)]
    return [
        str(r) for r in wanted
        if (not r.marker or r.marker.evaluate()) and f"=={there.get(_plain(r.name))}" != str(r.specifier)
    ]


def _plain(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


if __name__ == "__main__":
    lacking = missing(Path(sys.argv[1]))
    print("\n".join(lacking))
    sys.exit(bool(lacking))
