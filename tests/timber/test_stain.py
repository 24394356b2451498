"""Brown water: what is said, and what it costs a timber, where the client wants no stain."""

from dataclasses import replace

from studio_lib.finding import Verdict
from studio_lib.timber import PLACES, Wants, all_species, rank, timber
from studio_lib.timber.stain import stain_findings

HEATED, _, COVERED, WEATHER = PLACES
NOTHING = Wants("any", True, 0, 0, 0, 0, 0)


def ranked(matters, place):
    return {c.species: c for c in rank(replace(NOTHING, low_tannin=matters), place, 15, False)}


def test_where_it_gets_wet_every_timber_that_stains_has_a_minus_in_words_and_fewer_points():
    for place in (COVERED, WEATHER):
        before, after = ranked(0, place), ranked(2, place)
        for wood in all_species():
            if after[wood.name].ruled_out:
                continue
            minus = [r for r in after[wood.name].reasons if r.startswith("- brown water")]
            assert bool(minus) == (wood.tannin != "none"), wood.name
            assert not minus or after[wood.name].score < before[wood.name].score, wood.name
    assert after["Iroko"].reasons[1].startswith("- brown water"), "what is forbidden stands first"
    # From memory: iroko has some tannin; indoors and dry nothing runs.
    assert not any("brown water" in r for r in ranked(2, HEATED)["Iroko"].reasons)


def test_choosing_one_where_it_is_forbidden_is_looked_at_again_with_what_to_do():
    (found,) = stain_findings(timber("Iroko"), COVERED, False, 2, ("Afrormosia",))
    assert found.verdict is Verdict.LOOK_AGAIN and "no stain" in found.says
    assert all(word in found.mend for word in ("wash", "seal", "pads or trays", "Afrormosia"))
    clean = next(s for s in all_species() if s.tannin == "none")
    assert [f.stands for f in stain_findings(clean, WEATHER, False, 2)] == [True]
    assert stain_findings(timber("Iroko"), HEATED, False, 2) == () == stain_findings(timber("Iroko"), COVERED, False, 1)
    assert len(stain_findings(timber("Iroko"), HEATED, True, 2)) == 1  # a room where it is splashed
