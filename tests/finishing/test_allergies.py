"""What someone there is allergic to, in finish, glue, timber, metal, and on the papers."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

import studio_lib.finishing as finishing
from studio_lib.commission import Brief, Commission, Item
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.finishing import adhesives, allergens, allergy_findings, finishes, held_in
from studio_lib.finishing.finish import METALS
from studio_lib.handover.care import care_sheet
from studio_lib.papers.words import heard, paragraphs
from studio_lib.timber import all_species


def job(form: str = "chest", **changes) -> Commission:
    c = Commission(ref="C1", title="A chest", items=(Item(name="chest", form=form),), brief=Brief(place="indoors, heated"))
    c = c.changed("timber.species", "European cherry")
    for path, value in changes.items():
        c = c.changed(path.replace("__", "."), value)
    return c


def test_each_row_of_the_table_names_a_product_on_file():
    known = {f.family for f in finishes()} | {a.family for a in adhesives()} | set(METALS) | {s.botanical_name.split()[0] for s in all_species()}
    with (Path(finishing.__file__).parent / "allergens.csv").open(encoding="utf-8") as file:
        assert not {row["in"] for row in csv.DictReader(file)} - known


def test_plain_stainless_steel_is_borne_and_plated_hinges_are_not():
    # Contact Dermatitis 1994 and 1998, abstracts: of AISI 304 and 316L under 0.03, of nickel plate about 100, of AISI 303 about 1.5
    # micrograms a square centimetre in a week; 0, 96 and 14 of 100 patients felt it.
    found = {f.subject: f for f in derive(job(brief__allergies=["nickel"])).allergy_findings}
    steel, hinges = found["stainless steel for screws, bolts and plates and nickel"], found["hinges and nickel"]
    assert steel.verdict is Verdict.STANDS and "0.03" in steel.says and "fifty" in steel.says  # 1.5 over 0.03
    assert hinges.verdict is Verdict.LOOK_AGAIN and "100 micrograms" in hinges.says and "brass without plating" in hinges.mend


def test_a_finish_that_holds_it_stops_and_another_is_proposed():
    waxed = derive(job(brief__finish="wax", brief__allergies=["beeswax"]))
    assert [f.verdict for f in waxed.allergy_findings] == [Verdict.FAILS]
    assert any(s.holds and "beeswax" in s.says for s in waxed.stops)
    assert waxed.finish_of_brief is None
    judged = {f.finish.family: f for f in waxed.finishes}
    assert judged["hard-wax oil"].verdict is Verdict.LOOK_AGAIN and "beeswax" in " ".join(judged["hard-wax oil"].reasons)
    assert "beeswax" not in " ".join(judged["shellac"].reasons)
    oiled = derive(job(brief__finish="oil", brief__allergies=["beeswax"]))
    assert not oiled.allergy_findings


def test_a_resinous_timber_holds_rosin_and_a_hardwood_does_not():
    pine = next(s for s in all_species() if s.botanical_name.startswith("Pinus "))
    assert [f.verdict for f in allergy_findings(("rosin or turpentine",), {pine.name: "Pinus"})] == [Verdict.FAILS]
    assert not held_in("Quercus", allergens())


def test_papers_say_it_and_the_care_sheet_warns():
    d = derive(job(brief__allergies=["beeswax", "nickel"]))
    assert dict(heard(d))["Allergies"] == "beeswax, nickel"
    assert any("allergy to beeswax and nickel" in p for p in paragraphs(d))
    assert any("beeswax or nickel" in line.text for line in care_sheet(d).never)
    plain = derive(job())
    assert "Allergies" not in dict(heard(plain)) and not any("allergy" in p for p in paragraphs(plain))


def test_what_is_not_on_file_is_refused_with_what_is():
    with pytest.raises(ValueError, match="'pollen' is not on file; give any of nickel, beeswax"):
        job(brief__allergies=["pollen"])
