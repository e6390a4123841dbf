"""Exact relations between units, by definition."""

MILLIMETRES_PER_INCH = 25.4
MILLIMETRES_PER_METRE = 1000.0
