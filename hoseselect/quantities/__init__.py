"""Text to numbers with units and back: the one door where units come in."""
