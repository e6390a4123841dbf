"""The executable model: the verdict of one hose size for one job, stated a second time.

Plain scalar Python, written from the rule pages (`docs/reference/rules.md`) and the tables, not the
engine. It shares with the program the tables in `hoseselect/knowledge/tables`, the catalogue
files, and the plain values of `hoseselect/domain` that a job is read into; everything in between
is stated anew: rows are dictionaries, unknown is None, and a rule is one small function of one
job and one hose. It is slow, and made to be read.

The engine is compared with it on random jobs and hoses by `tests/model/test_model.py`, in every
test run, and by `python -m tests.model --pairs N` for as long as one likes.
"""
