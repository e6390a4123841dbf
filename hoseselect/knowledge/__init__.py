"""Published figures as tables with sources, and the errors of the package."""
