"""Published figures as tables with sources, and the door where units come in."""
