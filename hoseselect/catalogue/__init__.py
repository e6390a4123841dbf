"""Reading a catalogue folder into columns, with complaints by file:line:column."""
