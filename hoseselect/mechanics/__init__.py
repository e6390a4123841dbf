"""Mechanics of hoses: bends, kink, collapse, flow, heat life and the natural bend."""
