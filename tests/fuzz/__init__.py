"""Hostile inputs for every reader: whatever stands in it, a value or one of our own sentences.

`python -m tests.fuzz READER --inputs N --seed S` fuzzes one reader in a process of its own, led by
coverage where the extra `fuzz` is installed. What was found once lies in `found/`, one folder a
reader, as small as it would get, and is read again in every test run.
"""
