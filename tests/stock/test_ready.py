"""What is compiled ahead is all that a search will ask for."""

from studio_lib.stock import ready


def test_the_rehearsal_calls_every_kernel_that_a_search_calls():
    from studio_lib.stock import cover, floors, patterns

    ready.rehearse()
    called = (
        patterns.fill_board, patterns.clean_patterns, patterns.bar_patterns, floors.any_stage, floors.lanes, floors.past_faults,
        floors.past_faults_at, floors.places, floors.gathered, floors.sums,
        cover.cheapest_cover,
    )
    # One set of types each: another set, met at work, would be compiled while the maker waits.
    assert {f.__name__: len(f.signatures) for f in called} == {f.__name__: 1 for f in called}
    assert ready.compiled() and ready.make_ready()
