"""What may be said: only what the papers bear out."""

from dataclasses import replace
from datetime import date

import pytest

from studio_lib.finding import Verdict
from studio_lib.timber import timber
from studio_lib.timber.provenance import Provenance, Unwanted, law_findings, may_say, unwanted_findings, why_unwanted

BARE = Provenance("European oak", "Quercus robur", "bought")
BOUGHT = replace(
    BARE, harvest_country="France", harvest_region="Allier", supplier_name="the yard by the canal", invoice_number="1043",
    invoice_date=date(2026, 10, 5),
)
CLAIMED = replace(
    BOUGHT, claim_text="100 % certified", supplier_certificate="ZZ-COC-000000", supplier_checked_on=date(2026, 10, 6),
)


def texts(sayings):
    return " ".join(s.text for s in sayings)


def test_without_papers_only_the_names_may_be_said():
    found = may_say(BARE)
    assert [s.text for s in found.may] == ["The timber is European oak (Quercus robur)."]
    assert "certified" in texts(found.may_not) and "local" in texts(found.may_not)
    assert len(found.ask) == 2 and "check locally" in found.note


# Scheme guidance: the claim stands on the sales document with the certificate code, the code is checked in the public
# register; whoever processes certified wood needs a chain-of-custody certificate to pass the claim on.
def test_an_uncertified_maker_may_show_the_suppliers_claim_but_not_make_it():
    found = may_say(CLAIMED)
    assert "invoice 1043 carries the claim '100 % certified' under certificate ZZ-COC-000000" in texts(found.may)
    assert "This piece is certified" in texts(found.may_not) and "This piece is sold with the claim" not in texts(found.may)


@pytest.mark.parametrize("lacking", [{"supplier_certificate": ""}, {"supplier_checked_on": None}, {"invoice_number": ""}])
def test_a_claim_without_code_or_register_is_not_passed_on(lacking):
    found = may_say(replace(CLAIMED, **lacking, maker_certificate="ZZ-COC-111111"))
    assert "carries the claim" not in texts(found.may) and "sold with the claim" not in texts(found.may)
    assert any("register" in a for a in found.ask)


def test_a_certified_maker_may_sell_with_the_claim():
    found = may_say(replace(CLAIMED, maker_certificate="ZZ-COC-111111"))
    assert "sold with the claim '100 % certified', certificate ZZ-COC-111111" in texts(found.may)
    assert "This piece is certified" not in texts(found.may_not)


def test_wide_claims_are_never_borne_out():
    for lot in (BARE, BOUGHT, CLAIMED, replace(CLAIMED, maker_certificate="ZZ-COC-111111")):
        assert "sustainable" in texts(may_say(lot).may_not) and "sustainable" not in texts(may_say(lot).may)


def test_a_listed_timber_asks_for_its_paper():
    lot = Provenance("Afrormosia", "Pericopsis elata", "bought")
    assert "CITES paper and its number" in may_say(lot, timber("Afrormosia")).ask
    kept = may_say(replace(lot, cites_number="XX123"), timber("Afrormosia"))
    assert "CITES paper XX123" in texts(kept.may) and "CITES paper and its number" not in kept.ask
    # Teak's note says that it is not listed.
    assert not any("CITES" in a for a in may_say(Provenance("Teak", "Tectona grandis", "bought"), timber("Teak")).ask)


def test_reclaimed_and_own_trees():
    assert "reclaimed" in texts(may_say(replace(BARE, origin="recycled")).may)
    assert "single tree" in texts(may_say(replace(BARE, origin="own or urban tree")).may)


@pytest.mark.parametrize(("market", "kept", "lacking"), [("EU", 4, 5), ("Australia", 2, 1), ("USA", 2, 1)])
def test_what_the_law_asks_for(market, kept, lacking):
    lot = replace(BOUGHT, supplier_address="Quay 1", due_diligence_reference="")
    found = law_findings(lot, market)
    assert [f.verdict for f in found].count(Verdict.STANDS) == kept
    assert [f.verdict for f in found].count(Verdict.OPEN) == lacking
    assert all("check locally" in f.says and f.rule and f.source for f in found)


def test_nonsense_is_refused():
    with pytest.raises(ValueError, match="origin is 'stolen'"):
        replace(BARE, origin="stolen")
    with pytest.raises(ValueError, match="botanical_name is empty"):
        replace(BARE, botanical_name=" ")
    with pytest.raises(ValueError, match="quantity_m3 is 0"):
        replace(BARE, quantity_m3=0)
    with pytest.raises(ValueError, match="market is 'Moon'; on file: EU, Australia, USA"):
        law_findings(BARE, "Moon")


def test_every_origin_on_file_is_a_timber_on_file_and_says_on_whose_word():
    from studio_lib.timber import all_species
    from studio_lib.timber.tables import rows

    names = {s.name for s in all_species()}
    for row in rows("origins"):
        assert row["name"] in names and row["grows"] and row["source"]
        assert row["tropical"] in ("", "yes") and (row["tropical"] or row["iucn"])
        assert row["iucn"] == "" or row["iucn"].startswith(("Vulnerable", "Endangered", "Critically Endangered"))


# Wood Handbook FPL-GTR-190 ch. 2 describes these among imported tropical hardwoods (from memory); the others grow in Europe,
# North America and temperate Australia.
@pytest.mark.parametrize(("name", "tropical"), [
    ("Teak", True), ("Iroko", True), ("Sapele", True), ("Afrormosia", True), ("Dark red meranti", True), ("Kwila / merbau", True),
    ("European oak", False), ("Black locust", False), ("Jarrah", False), ("Western red cedar", False),
])
def test_no_tropical_timber_bars_what_grows_in_the_tropics(name, tropical):
    said = why_unwanted(timber(name), Unwanted(no_tropical=True))
    assert bool(said) == tropical and ("tropical" in said) == tropical
    (found,) = unwanted_findings(timber(name), Unwanted(no_tropical=True)) or (None,)
    assert (found is not None and found.verdict is Verdict.FAILS and found.mend != "") == tropical


def test_none_listed_bars_cites_and_red_list_and_says_which_and_to_check():
    nothing_listed = Unwanted(none_listed=True)
    assert "CITES Appendix II" in why_unwanted(timber("Afrormosia"), nothing_listed)
    redwood = why_unwanted(timber("Redwood (old growth)"), nothing_listed)
    assert "IUCN Red List, Endangered" in redwood and "check it on the day of buying" in redwood and "from memory" not in redwood
    assert "from memory" in why_unwanted(timber("White ash"), nothing_listed)
    assert why_unwanted(timber("Iroko"), nothing_listed) == "", "a note that it is not listed is no listing"
    assert why_unwanted(timber("European oak"), nothing_listed) == ""


def test_a_timber_of_the_makers_own_is_not_cleared_by_silence():
    own = replace(timber("European oak"), name="Plum from the garden")
    (found,) = unwanted_findings(own, Unwanted(no_tropical=True, none_listed=True))
    assert found.verdict is Verdict.OPEN and "tropical or listed or endangered" in found.says
    assert unwanted_findings(own, Unwanted(names=("Teak",))) == ()
    assert unwanted_findings(own, Unwanted(names=("plum from the garden",)))[0].verdict is Verdict.FAILS
