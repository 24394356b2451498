"""Body sizes, and what share of people a size of furniture suits."""

from studio_lib.people.body import DIMENSIONS, Mix, percentile_mm, share_below

__all__ = ["DIMENSIONS", "Mix", "percentile_mm", "share_below"]
