"""The bench card, its template and labels for pieces."""
