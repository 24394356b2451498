"""The table and the stool of our terrace, and how oak looks there over the years."""

from __future__ import annotations

import pytest

from studio_lib.commission import Brief
from studio_lib.forms import make
from studio_lib.solids import meshes
from studio_lib.timber import appearance, timber

OAK = "European oak"


@pytest.fixture(scope="session")
def table():
    return make("slatted table", Brief(place="outdoors, in the weather"), timber=OAK, name="table")


@pytest.fixture(scope="session")
def stool():
    return make(
        "slatted stool", Brief(place="outdoors, in the weather"), timber=OAK, name="stool", letter="B"
    )


@pytest.fixture(scope="session")
def table_scene(table):
    return [("table", meshes(table), (0.0, 0.0, 0.0))]


@pytest.fixture(scope="session")
def scene(table, stool):
    """The table with its stool standing in front of it."""
    return [
        ("table", meshes(table), (0.0, 0.0, 0.0)),
        ("stool", meshes(stool), (450.0, -800.0, 0.0)),
    ]


@pytest.fixture(scope="session")
def looks():
    """years -> {timber: Appearance}"""
    return {y: {OAK: appearance(timber(OAK), y, "weather", "bare")} for y in (0, 1, 3, 10)}
