"""The engine: columns, comparator, registry, assumptions, doubt."""
