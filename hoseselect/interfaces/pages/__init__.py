"""Pages of the documentation, written from the code itself."""
