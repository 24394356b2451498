"""The house as DEVELOPERS.md describes it: who may import whom, facts with sources, plain words."""

import ast
import csv
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
MODULES = sorted(p for folder in ("studio_lib", "workbook") for p in (ROOT / folder).rglob("*.py"))
LOW = ("finding", "units", "piece", "people", "timber")
"""What everything may lean on; these lean on no stage."""
STAGES = ("forms", "structure", "solids", "drawings", "stock", "costing", "look", "shop", "handover", "papers",
          "jobbook")


def imports(path):
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from (a.name for a in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            yield node.module


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT)))
def test_imports_point_down(path):
    mine = path.relative_to(ROOT).parts
    for name in imports(path):
        if mine[0] == "studio_lib":
            assert name.split(".")[0] not in ("workbook", "ipywidgets", "IPython", "anywidget", "traitlets"), name
            if len(mine) > 2 and mine[1] in LOW:
                assert not any(name.startswith(f"studio_lib.{s}") for s in (*STAGES, "derive", "commission")), name


def test_the_floor_leans_on_nothing():
    for name in ("finding", "units"):
        assert not [i for i in imports(ROOT / "studio_lib" / f"{name}.py") if i.startswith("studio_lib")]


TABLES = sorted((ROOT / "studio_lib").rglob("*.csv"))


@pytest.mark.parametrize("path", TABLES, ids=lambda p: p.name)
def test_every_row_of_every_table_has_its_source(path):
    if path.name == "ansur2_percentiles.csv":
        pytest.skip("one survey, named in people/body.py")
    with path.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    column = "source" if "source" in rows[0] else next(c for c in rows[0] if "source" in c)
    assert rows and all(row[column].strip() for row in rows)


def test_public_functions_say_what_they_do():
    bare = []
    for path in (ROOT / "studio_lib").rglob("*.py"):
        if path.parts[-2] == "versions" or path.name == "draw_still.py":
            continue  # run by alembic, and in a process of its own: nobody calls into them
        for node in ast.parse(path.read_text("utf-8")).body:
            if isinstance(node, ast.FunctionDef) and not node.name.startswith("_") and not ast.get_docstring(node):
                bare.append(f"{path.relative_to(ROOT)}:{node.name}")
    assert bare == [], bare


def test_nothing_tracked_is_large_or_names_a_machine():
    try:
        listed = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=True).stdout
    except (OSError, subprocess.CalledProcessError):
        pytest.skip("not a git checkout")
    for name in filter(None, listed.decode().split("\0")):
        path = ROOT / name
        if not path.exists():
            continue
        assert path.stat().st_size < 1_500_000, name
        if path.suffix in (".py", ".md", ".csv", ".toml", ".yml", ".json", ".js", ".typ", ".lock", ".ipynb"):
            content = path.read_text("utf-8")
            assert not any(f"/{user}/" in content for user in ("root", "home")), name


def test_no_two_test_files_share_a_name():
    """pytest takes the second of two for the first, and runs neither."""
    names = [p.name for p in (ROOT / "tests").rglob("test_*.py")]
    assert sorted(names) == sorted(set(names))
