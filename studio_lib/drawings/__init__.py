"""Orthographic views with hidden lines, dimensions, sheets and boards drawn to scale.

``views`` needs the exact kernel, which takes seconds to load; ``boards`` does not. Import
the one you want.
"""
