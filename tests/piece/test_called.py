"""Whether a piece's name is said in the plural, so that verbs agree with it."""

import pytest

from studio_lib.piece.called import is_several, said_of


@pytest.mark.parametrize(("name", "several"), [
    ("shelves", True), ("Alcove shelves beside the chimney", True), ("library steps", True), ("drawers", True), ("bedside tables", True),
    ("shelves over a cupboard", True), ("table and two benches", True), ("garden doors", True),
    ("bench", False), ("chest of drawers", False), ("set of shelves", False), ("bookcase with doors", False), ("hat and coat stand", False),
    ("desk", False), ("glass case", False), ("bench for the children's room", False), ("cupboard, two doors", False), ("s", False), ("", False),
])
def test_a_name_is_one_thing_or_several(name, several):
    assert is_several(name) is several
    assert said_of(name, "is", "are") == ("are" if several else "is")
