"""Cutting lists out of rolls and offcuts."""
