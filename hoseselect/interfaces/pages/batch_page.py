"""The page of the sheet of jobs, written from the columns themselves.

`python -m hoseselect.interfaces.pages.batch_page > docs/reference/batch.md` writes the page anew.
"""

from __future__ import annotations

import sys

from hoseselect.interfaces.sheets.batch_schema import columns_page

INTRODUCTION = """# Columns of sheets

What may stand in the columns of a sheet of jobs, and what `hoseselect batch` writes into the sheet
of answers. How to work with sheets: [many jobs in a sheet](../how-to/batch.md).

This page is written by `python -m hoseselect.interfaces.pages.batch_page`; do not edit it by hand.

## Columns of a sheet of jobs

Only `service` must be there. `nipples.` describes both nipples alike; `nipple_a.` and `nipple_b.`
have the same columns and say where one end differs.

"""


def batch_page() -> str:
    """Return the page of the sheet of jobs, in Markdown."""
    return INTRODUCTION + columns_page()


if __name__ == "__main__":
    sys.stdout.write(batch_page())
