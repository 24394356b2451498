"""Where a piece's timber came from, which records the law may ask for, and what may be told the client."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cache

from studio_lib.finding import Finding, Verdict
from studio_lib.timber.species import Species
from studio_lib.timber.tables import rows

ORIGINS = ("bought", "recycled", "own or urban tree")
CLAIM_SOURCE = "certification schemes' chain-of-custody guidance and wording guides, read 2026-11-25"
JUDGEMENT = "judgement from the schemes' guidance, read 2026-11-25"
CHECK = "Rules change: check locally, and with the scheme, before printing."
STAGE = "timber"


@dataclass(frozen=True)
class Provenance:
    """What the maker knows of one lot of timber; empty where not known."""

    common_name: str
    botanical_name: str
    origin: str
    """'bought', 'recycled' or 'own or urban tree'."""
    harvest_country: str = ""
    harvest_region: str = ""
    """Region, forest or street, as far as known."""
    supplier_name: str = ""
    supplier_address: str = ""
    invoice_number: str = ""
    invoice_date: date | None = None
    claim_text: str = ""
    """Certification claim, letter for letter as on the invoice's line for this timber."""
    supplier_certificate: str = ""
    """Supplier's certificate code, as on the invoice."""
    supplier_checked_on: date | None = None
    """Day the code and name were found valid in the scheme's public register."""
    maker_certificate: str = ""
    """The maker's own chain-of-custody code; empty for most solo makers."""
    quantity_m3: float | None = None
    harvest_period: str = ""
    geolocation: str = ""
    due_diligence_reference: str = ""
    evidence_of_legality: str = ""
    cites_number: str = ""

    def __post_init__(self):
        for field in ("common_name", "botanical_name"):
            if not getattr(self, field).strip():
                raise ValueError(f"{field} is empty; both names of the timber are needed.")
        if self.origin not in ORIGINS:
            raise ValueError(f"origin is {self.origin!r}; allowed: {', '.join(ORIGINS)}.")
        if self.quantity_m3 is not None and not self.quantity_m3 > 0:
            raise ValueError(f"quantity_m3 is {self.quantity_m3}; above 0, or None.")


@dataclass(frozen=True)
class Unwanted:
    """Timbers that the client does not want: by name, or by where they grow and how they are protected."""

    names: tuple[str, ...] = ()
    no_tropical: bool = False
    none_listed: bool = False
    """None that CITES lists, or that the IUCN Red List calls vulnerable or worse."""

    @property
    def anything(self) -> bool:
        return bool(self.names or self.no_tropical or self.none_listed)


@dataclass(frozen=True)
class Saying:
    """One sentence to a client, and on whose word it may or may not be said."""

    text: str
    why: str
    source: str


@dataclass(frozen=True)
class Sayings:
    """What may be said of a lot of timber, what may not, and what to ask for."""

    may: tuple[Saying, ...]
    may_not: tuple[Saying, ...]
    ask: tuple[str, ...]
    """What to get from the supplier so that more may be said."""
    note: str


def _lists(species: Species) -> tuple[str, str]:
    """What CITES and what the IUCN Red List say of a timber; '' where nothing is on file."""
    row = _origins().get(species.name.casefold(), {})
    by_memory = ", from memory" if "from memory" in row.get("source", "") else ""
    return (species.legality_note if "CITES Appendix" in species.legality_note else "",
            f"IUCN Red List, {row['iucn']}{by_memory}; check it on the day of buying" if row.get("iucn") else "")


def protected(species: Species) -> str:
    """On which list of protected or threatened trees a timber is, in words; '' where none on file has it."""
    return "; ".join(filter(None, _lists(species)))


def why_unwanted(species: Species, unwanted: Unwanted) -> str:
    """Why the client does not want a timber, in words; empty where nothing on file speaks against it.

    By the origins on file (every timber of the table was looked at: those without a row grow outside the tropics and no
    category of the Red List is on file) and by the conservation note. Check CITES checklist and Red List on the day of buying.
    """
    said, row = [], _origins().get(species.name.casefold(), {})
    if species.name.casefold() in {n.strip().casefold() for n in unwanted.names}:
        said.append(f"the client does not want {species.name}")
    if unwanted.no_tropical and row.get("tropical"):
        said.append(f"no tropical timber is wanted and it grows in {row['grows']}")
    if unwanted.none_listed:
        said += [f"none that is {how} is wanted: {words}" for how, words in zip(("listed", "endangered"), _lists(species)) if words]
    return "; ".join(said)


def origin_unknown(species: Species, unwanted: Unwanted) -> bool:
    """Whether something is wished of its origin and nothing on file says where it grows: a timber of the maker's own."""
    from studio_lib.timber.species import all_species

    on_file = {s.name for s in all_species()}
    return (unwanted.no_tropical or unwanted.none_listed) and species.name not in on_file


@cache
def _origins() -> dict[str, dict[str, str]]:
    return {row["name"].casefold(): row for row in rows("origins")}


def unwanted_findings(species: Species, unwanted: Unwanted) -> tuple[Finding, ...]:
    """Whether a timber in the piece is one that the client does not want; () where nothing was said or nothing is against it."""
    why = why_unwanted(species, unwanted)
    if why:
        source = f"the brief; {_origins().get(species.name.casefold(), {}).get('source') or 'conservation note on file'}"
        return (Finding(
            species.name, "not wanted", Verdict.FAILS, f"{why[0].upper()}{why[1:]}", rule="what the client does not want is not used", source=source,
            mend="Choose another timber, or ask the client and take it out of what is not wanted on the Brief page.", stage=STAGE,
        ),)
    if origin_unknown(species, unwanted):
        return (Finding(
            species.name, "not wanted", Verdict.OPEN, "where it grows and whether it is listed is not on file, and the client wants none that is "
            + " or ".join(filter(None, ("tropical" * unwanted.no_tropical, "listed or endangered" * unwanted.none_listed))),
            rule="what the client does not want is not used", source="the brief", mend="Ask the yard, and write the answer down.", stage=STAGE,
        ),)
    return ()


def may_say(provenance: Provenance, species: Species | None = None) -> Sayings:
    """Sentences for the client that the papers bear out, and those to leave unsaid.

    Parameters
    ----------
    provenance : Provenance
    species : Species or None
        For its conservation note.

    Returns
    -------
    Sayings

    Notes
    -----
    Whoever cuts or glues certified wood needs a chain-of-custody certificate of their own to sell with
    the claim or to use a label. Without one the supplier's claim may be recorded and shown as what it
    is: a line on an invoice. Guidance, not legal advice.
    """
    p = provenance
    may = [Saying(
        f"The timber is {p.common_name} ({p.botanical_name}).", "both names known", "the maker's purchase record",
    )]
    may_not, ask = [], []
    if p.harvest_country:
        where = f"{p.harvest_region}, {p.harvest_country}" if p.harvest_region else p.harvest_country
        may.append(Saying(f"It grew in {where}.", "named by the supplier or seen by the maker", "the maker's purchase record"))
    else:
        ask.append("country and region of harvest")
        may_not.append(Saying("It is local, or from any named country.", "the country of harvest is not on record", JUDGEMENT))
    if p.origin == "own or urban tree":
        may.append(Saying("It comes from a single tree that I can name to you.", "own or urban tree", "the maker's record"))
    if p.origin == "recycled":
        may.append(Saying("It is reclaimed timber.", "origin recorded as recycled", "the maker's record"))
        may_not.append(Saying("It is certified recycled.", "no certificate covers the maker's own reclaiming", JUDGEMENT))
    if p.supplier_name and p.invoice_number and p.invoice_date:
        may.append(Saying(
            f"It was bought from {p.supplier_name}, invoice {p.invoice_number} of {p.invoice_date.isoformat()}.",
            "the invoice is on record", "the maker's purchase record",
        ))
    elif p.origin == "bought":
        ask.append("supplier's name with invoice number and date")
    _certified(p, may, may_not, ask)
    if species is not None and species.legality_note:
        listed = "CITES Appendix" in species.legality_note
        if listed and not p.cites_number:
            ask.append("CITES paper and its number")
            may_not.append(Saying(
                "It may be sent or carried to any country.", f"{species.legality_note}; no CITES paper is on record",
                "conservation note on file with its date; CITES checklist on the day",
            ))
        elif listed:
            may.append(Saying(
                f"It was traded under CITES paper {p.cites_number}; keep this sheet if the piece ever crosses a border.",
                species.legality_note, "the maker's purchase record; CITES checklist on the day",
            ))
    may_not.append(Saying(
        "It is sustainable, carbon neutral, or saves the forest.", "no record of one purchase can carry so wide a claim",
        JUDGEMENT,
    ))
    return Sayings(tuple(may), tuple(may_not), tuple(ask), CHECK)


def _certified(p: Provenance, may, may_not, ask) -> None:
    if not p.claim_text:
        may_not.append(Saying("The timber is certified.", "no claim stands on the invoice", CLAIM_SOURCE))
        return
    complete = p.supplier_certificate and p.supplier_checked_on and p.invoice_number
    if not complete:
        ask.append("supplier's certificate code on the invoice, looked up in the scheme's public register")
        may_not.append(Saying(
            f"It was bought with the claim '{p.claim_text}'.",
            "a claim needs the supplier's certificate code on the same invoice, found valid in the public register", CLAIM_SOURCE,
        ))
    else:
        may.append(Saying(
            f"The supplier's invoice {p.invoice_number} carries the claim '{p.claim_text}' under certificate "
            f"{p.supplier_certificate}, found valid on {p.supplier_checked_on.isoformat()}.",
            "claim, code and register agree; shown as the supplier's claim, not as the piece's", JUDGEMENT,
        ))
    if p.maker_certificate and complete:
        may.append(Saying(
            f"This piece is sold with the claim '{p.claim_text}', certificate {p.maker_certificate}.",
            "the maker holds a chain-of-custody certificate; follow its wording and label rules", CLAIM_SOURCE,
        ))
    else:
        may_not.append(Saying(
            "This piece is certified (in words, with a label or with a logo).",
            "who cuts and glues certified wood needs a chain-of-custody certificate of their own to pass the claim on"
            if not p.maker_certificate else "the supplier's side of the chain is not complete on record", CLAIM_SOURCE,
        ))


def law_findings(provenance: Provenance, market: str) -> tuple[Finding, ...]:
    """Records that a market's timber law asks for, each kept or still to get.

    Parameters
    ----------
    provenance : Provenance
    market : str
        'EU', 'Australia' or 'USA': where the piece is first sold.

    Returns
    -------
    tuple of Finding
        'not known yet' for what is missing. Whether the law reaches this maker at all is theirs to
        check: each finding names whom it binds.

    Raises
    ------
    ValueError
        For another market.
    """
    asked = [row for row in rows("timber_laws") if row["market"] == market]
    if not asked:
        raise ValueError(f"market is {market!r}; on file: {', '.join(dict.fromkeys(r['market'] for r in rows('timber_laws')))}.")
    out = []
    for row in asked:
        value = getattr(provenance, row["field"])
        kept = value not in ("", None)
        out.append(Finding(
            provenance.common_name, row["asks"], Verdict.STANDS if kept else Verdict.OPEN,
            f"{row['asks'].capitalize()}: {value if kept else 'not on record'}. Binds {row['role']}; read "
            f"{row['read_on']}, check locally.",
            rule=row["law"], source=row["source"], mend="" if kept else f"Ask the supplier for: {row['asks']}.", stage=STAGE,
        ))
    return tuple(out)
