"""Lengths as they are printed."""

import pytest

from studio_lib.units import mm, tenths


@pytest.mark.parametrize(
    ("value", "said"), [(24.5, "24.5"), (24.04, "24"), (-0.04, "0"), (-0.0, "0"), (0.05, "0.1"), (1800.0, "1800")]
)
def test_a_length_is_whole_or_to_a_tenth_and_nought_has_no_sign(value, said):
    assert mm(value) == said


@pytest.mark.parametrize(
    ("value", "said"), [(24.5, "24.5"), (24.0, "24.0"), (-0.04, "0.0"), (-0.0, "0.0"), (-1.25, "-1.2")]
)
def test_a_column_of_tenths(value, said):
    assert tenths(value) == said
