"""A change that is called equivalent is still one of the code, and says why nobody can tell it.

The changes themselves are made by hand, with the extra `mutation` installed.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
with Path(__file__).with_name("equivalent.csv").open(encoding="utf-8", newline="") as stream:
    EQUIVALENT = list(csv.DictReader(stream))


def faults(rows: list[dict[str, str]]) -> list[str]:
    """Return the rows that quote a line that is no longer there, or give no reason."""
    found = []
    for row in rows:
        lines = (ROOT / row["module"]).read_text(encoding="utf-8").splitlines()
        stands = row["line"] in {line.strip() for line in lines}
        if not stands or row["became"] == row["line"] or len(row["why"].split()) < 4:
            found.append(f"{row['module']}: {row['line']}")
    return found


def test_every_equivalent_change_quotes_the_code_and_gives_a_reason() -> None:
    assert EQUIVALENT
    assert faults(EQUIVALENT) == []
    assert len({(row["module"], row["line"], row["became"]) for row in EQUIVALENT}) == len(
        EQUIVALENT
    )


@pytest.mark.parametrize("planted", [{"line": "not there"}, {"why": "so"}])
def test_a_line_that_is_gone_and_a_missing_reason_are_seen(planted: dict[str, str]) -> None:
    assert len(faults([EQUIVALENT[0] | planted])) == 1
