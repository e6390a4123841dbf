"""Drawings, tickets and tables that leave the counter."""
