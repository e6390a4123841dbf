"""Use cases: one file each."""
