"""Old boards that a client brings: what must be known of them before they are sawn, and where they may not go."""

from __future__ import annotations

from studio_lib.finding import Finding, Verdict

SUBJECT, METAL, COAT = "their timber", "nails and metal", "paint and preservative"
LOCAL = "Local codes on waste, lead and treated timber come first."
TREATED_SOURCE = "labels of chromated copper arsenate timber and the US EPA's advice on it, from memory"
LEAD_SOURCE = "US EPA and UK HSE advice on old paint, from memory"
METAL_SOURCE = "common practice, no source"


def reclaimed_findings(been: str, metal: str, coat: str, eaten_at: bool, children: bool) -> list[Finding]:
    """What is open, forbidden or to be minded with timber that served before, as ``TheirTimber`` says it; [] for new timber.

    ``eaten_at``: someone eats at a piece of it; ``children``: they come near it.
    """
    if been in ("", "never used") and not coat and not metal:
        return []
    return [f for f in (_metal(been, metal), _coat(been, coat, eaten_at, children)) if f is not None]


def _found(what: str, verdict: Verdict, says: str, mend: str, source: str) -> Finding:
    return Finding(SUBJECT, what, verdict, says, rule="looked over before any blade touches it", source=source, mend=mend, stage="brief")


def _metal(been: str, metal: str) -> Finding | None:
    if metal == "none found":
        return Finding(SUBJECT, METAL, Verdict.STANDS, "none found with a detector", source=METAL_SOURCE, stage="brief")
    if metal == "found":
        return _found(METAL, Verdict.LOOK_AGAIN, "there is metal in it: a blade that meets a nail throws teeth and sparks",
                      "Draw every nail, go over each board again with a detector on all faces, and cut round what cannot be drawn; mark the holes and "
                      "their dark stains as faults.", METAL_SOURCE)
    if been in ("", "never used"):
        return None
    return _found(METAL, Verdict.OPEN, "nobody has looked for metal in it yet",
                  "Go over every board with a detector, all faces, before it is planed or sawn.", METAL_SOURCE)


def _coat(been: str, coat: str, eaten_at: bool, children: bool) -> Finding | None:
    near = "someone eats at it" if eaten_at else "children come near it" if children else ""
    if coat == "bare":
        return Finding(SUBJECT, COAT, Verdict.STANDS, "nothing was ever put on it, the client says", source="the client", stage="brief")
    if coat == "preservative":
        says = "it was treated with preservative"
        return _found(COAT, Verdict.FAILS if near else Verdict.LOOK_AGAIN,
                      f"{says}, and {near}" if near else f"{says}: not for what is eaten from or mouthed, and its dust is not to be breathed",
                      f"Not where food is laid or children touch it: use it outdoors, for parts nobody handles, or leave it out. Mask and gloves; never burn it, its "
                      f"waste goes where treated timber is taken. {LOCAL}", TREATED_SOURCE)
    if coat == "paint or varnish":
        return _found(COAT, Verdict.LOOK_AGAIN, "old paint or varnish is on it, and old paint can hold lead",
                      f"Test the paint for lead before it is sanded, planed or burnt; with lead in it, have it taken off by who is licensed for that, or leave the boards "
                      f"out. {LOCAL}", LEAD_SOURCE)
    if been in ("", "never used"):
        return None
    outdoors = "boards from outdoors are often treated with preservative" if been == "used outdoors" else "some is fumigated or treated" if been == "pallets or crates" \
        else "old paint can hold lead"
    return _found(COAT, Verdict.OPEN, f"what was put on it is not known: {outdoors}",
                  "Ask, look for a green or brown tint at a fresh cut and for old paint. Until it is known: not for what is eaten from, nothing small children mouth, "
                  f"mask at every cut, and none of it is burnt. {LOCAL}", f"{TREATED_SOURCE}; {LEAD_SOURCE}")
