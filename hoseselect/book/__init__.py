"""The job book: every job that is asked gets a number; nothing in it leaves the machine."""
