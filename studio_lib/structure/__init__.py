"""Sections, loads, beams, joints and balance: will it hold, and what decides."""
