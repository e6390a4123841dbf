"""Interfaces: they ask and show, nothing else."""
