"""Orthographic views with hidden lines, dimensions, and sheets drawn to scale."""

from studio_lib.drawings.sheet import three_view_svg

__all__ = ["three_view_svg"]
