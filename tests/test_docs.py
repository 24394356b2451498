"""The words about the workbook, held to the workbook: links, commands, names and lines of code that cannot fall behind."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
DOCS = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").rglob("*.md"))]
FENCED = re.compile(r"```python\n(.*?)```", re.S)
INDENTED = re.compile(r"(?:^    .*\n?)+", re.M)


def name(path):
    return str(path.relative_to(ROOT))


@pytest.mark.parametrize("path", DOCS, ids=name)
def test_links_and_pictures_lead_somewhere(path):
    for target in re.findall(r"\]\(([^)#]+)\)", path.read_text("utf-8")):
        if not target.startswith("http"):
            assert (path.parent / target).exists(), target


@pytest.mark.parametrize("path", DOCS, ids=name)
def test_files_named_are_there(path):
    for said in re.findall(r"`((?:studio_lib|workbook|tests|notebooks|docs|pictures)/[\w./]*)`", path.read_text("utf-8")):
        assert (ROOT / said).exists(), said


@pytest.mark.parametrize("path", DOCS, ids=name)
def test_commands_named_are_there(path):
    from workbook.launch import start

    known = {name for action in start.parser()._subparsers._group_actions for name in action.choices}
    for line in re.findall(r"python3? (-m [\w.]+[^\n`]*|tests/[^\n`]*)", path.read_text("utf-8")):
        words = line.partition("#")[0].split()
        if words[0] != "-m":
            assert (ROOT / words[0]).exists(), line
        elif words[1] == "workbook" and len(words) > 2 and not words[2].startswith("-"):
            assert words[2].strip("`,.;") in known, line
        else:
            module = ROOT.joinpath(*words[1].strip("`,.;").split("."))
            assert module.with_suffix(".py").exists() or (module / "__main__.py").exists() or words[1] == "pytest", line


@pytest.mark.parametrize("path", [p for p in DOCS if FENCED.search(p.read_text("utf-8"))], ids=name)
def test_lines_of_code_run(path):
    for block in FENCED.findall(path.read_text("utf-8")):
        exec(compile(block, name(path), "exec"), {})  # noqa: S102 - our own page


@pytest.mark.parametrize("path", [ROOT / "README.md", ROOT / "DEVELOPERS.md"], ids=name)
def test_the_ten_lines_run(path):
    blocks = [b for b in INDENTED.findall(path.read_text("utf-8")) if "from studio_lib" in b]
    assert blocks
    for block in blocks:
        lines = "\n".join(line[4:] for line in block.splitlines())
        exec(compile(lines, name(path), "exec"), {})  # noqa: S102 - our own page


def test_every_page_of_the_workbook_has_its_page_of_words():
    from workbook.parts import PAGES

    files = sorted(p.stem for p in (ROOT / "docs" / "pages").glob("*.md"))
    assert files == sorted(file for file, _ in PAGES.values())
    for file in files:
        text = (ROOT / "docs" / "pages" / f"{file}.md").read_text("utf-8")
        assert re.findall(r"^## (.*)$", text, re.M) == [
            "What you do here", "What it decides", "What it assumes", "Its sources"
        ]


def test_the_words_are_in_order_and_said_once():
    rows = re.findall(r"^\| ([^|]+?) \|", (ROOT / "docs" / "glossary.md").read_text("utf-8"), re.M)[1:]
    assert len(rows) == len(set(rows)) > 40
    firsts = [r.split(",")[0].lower() for r in rows]
    assert firsts == sorted(firsts)


def test_every_form_and_page_of_the_workbook_is_told_of_in_the_readme():
    from workbook.parts import PAGES

    readme = (ROOT / "README.md").read_text("utf-8")
    for _, page in PAGES.values():
        assert f"| {page} |" in readme, page
