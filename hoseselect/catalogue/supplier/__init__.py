"""A supplier's sheet into a catalogue folder."""
