"""Loads of use, each with the standard it is taken from."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Load:
    """A force put on a piece to see whether it holds."""

    what: str
    force_n: float
    source: str


MEM = " (from memory)"

TABLE = {
    "household": {
        "down": Load("someone sits or leans on the top", 1000.0, "EN 12521 vertical static load" + MEM),
        "push": Load("someone shoves the table along", 400.0, "EN 12521 horizontal static load" + MEM),
        "edge": Load("someone leans on the edge", 400.0, "EN 12521 stability" + MEM),
        "spread": Load("a laid table, 50 kg/m2 over the top", 490.0, "a starting point of ours, N per m2"),
    },
    "public": {
        "down": Load("someone sits or stands on the top", 1250.0, "EN 15372 vertical static load, middle level" + MEM),
        "push": Load("someone shoves the table along", 600.0, "EN 15372 horizontal static load" + MEM),
        "edge": Load("someone leans on the edge", 400.0, "EN 12521 stability" + MEM),
        "spread": Load("a laid table, 50 kg/m2 over the top", 490.0, "a starting point of ours, N per m2"),
    },
}
SEAT = {
    "household": {
        "down": Load("a person drops onto the seat", 1600.0, "EN 581-2:2009 table 1, seat static, domestic"),
        "push": Load("a person rocks the stool sideways", 300.0, "EN 12520 leg sideways" + MEM),
        "edge": Load("a person sits on the edge", 600.0, "EN 1022 forward stability"),
    },
    "public": {
        "down": Load("a person drops onto the seat", 2000.0, "EN 581-2:2009 table 1, seat static, contract"),
        "push": Load("a person rocks the stool sideways", 400.0, "EN 16139 leg sideways, level 1" + MEM),
        "edge": Load("a person sits on the edge", 600.0, "EN 1022 forward stability"),
    },
}
G = 9.81
BACK = {
    "household": Load("someone leans hard against the back", 560.0, "EN 16139 seat and back static, level 1" + MEM),
    "public": Load("someone leans hard against the back", 700.0, "EN 16139 seat and back static, level 2" + MEM),
}
SHELF = {
    "household": {
        "books": Load("things standing on it for good", 638.0, "EN 14749 shelf load, 0.65 kg/dm2" + MEM),
        "push": Load("someone leans against it", 200.0, "a starting point of ours"),
    },
    "public": {
        "books": Load("books standing on it for good", 981.0, "EN 16121 shelf load, 1.0 kg/dm2" + MEM),
        "push": Load("someone leans against it", 400.0, "a starting point of ours"),
    },
}
"""Shelf loads in N per m2."""
SCREEN = {
    "household": {"push": Load("someone leans against it", 200.0, "a starting point of ours")},
    "public": {"push": Load("someone leans against it", 400.0, "a starting point of ours")},
}
