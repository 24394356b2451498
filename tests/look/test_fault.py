"""A joint that cannot be worked out, or a member the kernel cannot make: named, shown plain, the rest as it is."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import pytest

from studio_lib.commission import Brief
from studio_lib.derive import derive
from studio_lib.demo import demo
from studio_lib.forms import make
from studio_lib.look import scenes
from studio_lib.look.glb import glb
from studio_lib.piece.mortise_tenon import MortiseTenon
from studio_lib.piece.uncut import uncut_findings
from studio_lib.solids import mesh, meshes, volume_mm3


@dataclass(frozen=True)
class BrokenJoint(MortiseTenon):
    def cuts(self, piece):
        raise ZeroDivisionError("no room for the tenon")


def broken(piece, index: int):
    """The piece with one mortise and tenon that raises in its cuts."""
    joint = piece.joints[index]
    bad = BrokenJoint(**{name: getattr(joint, name) for name in (f.name for f in fields(joint))})
    return replace(piece, joints=(*piece.joints[:index], bad, *piece.joints[index + 1:])), bad


@pytest.fixture(scope="module")
def sound():
    return make("slatted table", Brief(), timber="European oak")


@pytest.fixture(scope="module")
def spoilt(sound):
    index = next(k for k, j in enumerate(sound.joints) if type(j) is MortiseTenon)
    return broken(sound, index)


def test_its_members_are_plain_there_and_every_other_is_as_before(sound, spoilt):
    piece, bad = spoilt
    before, after = ({m.ref: m for m in meshes(p)} for p in (sound, piece))
    assert set(before) == set(after)
    for ref in before:
        same = volume_mm3(sound.shape(ref)) == pytest.approx(volume_mm3(piece.shape(ref)), rel=1e-9)
        assert same == (ref not in (bad.first, bad.second)), ref
    assert len(glb([("table", tuple(after.values()), (0, 0, 0))])) > 10_000


def test_it_is_named_with_its_size_and_its_members(spoilt):
    piece, bad = spoilt
    (found,) = uncut_findings(piece)
    rail, leg = piece.member(bad.first), piece.member(bad.second)
    for words in (
        "mortise and tenon", f"thickness {bad.thickness_mm:g}", f"length {bad.length_mm:g}", rail.name, leg.name,
        f"{leg.length_mm:.0f} x {leg.width_mm:.0f} x {leg.thickness_mm:.0f} mm", "no room for the tenon", "shown plain",
    ):
        assert words in found.says, words
    assert found.refs == (bad.first, bad.second) and found.mend


def test_the_pages_still_work_and_say_so(monkeypatch):
    """The demo with every mortise and tenon of one family broken: findings, scene, words."""
    whole = MortiseTenon.cuts

    def cuts(self, piece):
        if self.family == "bearer into apron":
            raise ValueError("a fault of the kernel")
        return whole(self, piece)

    monkeypatch.setattr(MortiseTenon, "cuts", cuts)
    # Neither piece is one that another test gets from the cache, worked out whole.
    d = derive(demo().changed("items.0.sizes.length_mm", 1967).changed("items.1.sizes.height_mm", 437))
    said = scenes.faults(d)
    assert said and all("bearer" in s and "a fault of the kernel" in s for s in said)
    assert len(scenes.scene(d)[0][1]) >= len(d.pieces[0].members)
    assert any(f.what == "joint cut" and not f.stands for f in d.findings)


def test_a_member_the_kernel_cannot_make_is_shown_plain(sound, monkeypatch):
    bad = sound.members[0]
    solid = mesh._solid
    monkeypatch.setattr(
        mesh, "_solid",
        lambda shape: (_ for _ in ()).throw(RuntimeError("lost a face")) if shape == sound.shape(bad.ref) else solid(shape),
    )
    mesh._arrays.cache_clear()
    drawn = {m.ref: m for m in meshes(sound)}
    mesh._arrays.cache_clear()
    faulty = [m for m in drawn.values() if m.fault]
    assert faulty and all(sound.shape(m.ref) == sound.shape(bad.ref) for m in faulty)
    for words in (bad.name, bad.ref, "is shown plain", "lost a face", "mortise and tenon"):
        assert words in drawn[bad.ref].fault, words
    assert len(drawn[bad.ref].triangles) > 0
