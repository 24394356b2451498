"""The viewer's bundle: what it is made from, what it carries, and how its building fails."""

from __future__ import annotations

import json
import re
import shutil

import pytest

from studio_lib.look import bundle


@pytest.fixture(scope="module", autouse=True)
def built():
    bundle.build(progress=lambda text: None)


def test_versions_are_exact_and_locked():
    wanted = json.loads((bundle.FOLDER / "package.json").read_text())
    locked = json.loads(bundle.LOCK.read_text())["packages"]
    for name, version in {**wanted["dependencies"], **wanted["devDependencies"]}.items():
        assert re.fullmatch(r"\d+\.\d+\.\d+", version), name
        assert locked[f"node_modules/{name}"]["version"] == version
    for name, entry in locked.items():
        assert not name or entry["integrity"].startswith("sha512-"), name
        assert "resolved" not in entry, name
    assert "://" not in bundle.LOCK.read_text() + (bundle.FOLDER / ".npmrc").read_text()


@pytest.mark.parametrize("read", [bundle.viewer_js, bundle.page_js])
def test_carries_its_licence_and_no_address(read):
    code = read()
    assert "The MIT License" in code and "three.js authors" in code
    # Names of XML namespaces are not fetched; nothing else may look like an address.
    assert set(re.findall(r"(?:https?|wss?)://[^\s\"'`)]*", code)) <= {"http://www.w3.org/1999/xhtml"}


def test_notice_file_holds_the_licence_of_the_version_used():
    text = (bundle.FOLDER / "NOTICES.md").read_text()
    licence = (bundle.FOLDER / "node_modules" / "three" / "LICENSE").read_text()
    version = json.loads((bundle.FOLDER / "package.json").read_text())["dependencies"]["three"]
    assert licence.strip() in text and f"three.js {version}" in text


def test_built_once_until_a_source_changes(monkeypatch):
    monkeypatch.setattr(bundle, "_npm", lambda *a: pytest.fail("built again for nothing"))
    assert bundle.build() is False
    monkeypatch.setattr(bundle, "made_from", lambda: "something else")
    assert bundle.is_built() is False


@pytest.fixture
def elsewhere(tmp_path, monkeypatch):
    """A copy of the sources with nothing fetched yet."""
    folder = tmp_path / "viewer"
    shutil.copytree(bundle.FOLDER, folder, ignore=shutil.ignore_patterns("node_modules", "dist"))
    for name, path in {
        "FOLDER": folder, "DIST": folder / "dist", "LOCK": folder / "package-lock.json",
        "STAMP": folder / "dist" / "built-from",
        "PARTS_STAMP": folder / "node_modules" / "fetched-for",
    }.items():
        monkeypatch.setattr(bundle, name, path)
    return folder


def test_without_a_network_it_says_so(elsewhere, tmp_path, monkeypatch):
    monkeypatch.setenv("npm_config_registry", "http://127.0.0.1:9/")
    monkeypatch.setenv("npm_config_cache", str(tmp_path / "cache"))
    monkeypatch.setenv("npm_config_fetch_retries", "0")
    with pytest.raises(bundle.CannotBuildViewer, match="could not be reached; connect to the network"):
        bundle.build(progress=lambda text: None)
    assert bundle.viewer_js() is None and bundle.page_js() is None


def test_a_source_that_does_not_compile_is_named(elsewhere, monkeypatch):
    (elsewhere / "node_modules").symlink_to(bundle.Path(bundle.__file__).parent / "viewer" / "node_modules")
    (elsewhere / "src" / "page.js").write_text("const = 1;")
    with pytest.raises(bundle.CannotBuildViewer, match="build the 3D view: .*ERROR"):
        bundle.build(progress=lambda text: None)


@pytest.mark.parametrize(("said", "reason"), [
    ("npm error code EAI_AGAIN", "could not be reached"),
    ("npm error code EINTEGRITY", "did not match the lock file"),
    ("npm error code ENOSPC", "disk is full"),
    ("npm error code EACCES", "may not be written"),
    ("", "gave no reason"),
])
def test_one_sentence_for_each_failure(said, reason):
    assert reason in bundle._why(said)
