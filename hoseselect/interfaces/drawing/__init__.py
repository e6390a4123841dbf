"""Drawings as SVG, for screen and paper."""
