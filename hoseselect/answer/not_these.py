"""Families of hose that somebody might take for a line, and why not."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hoseselect.domain.verdict import Verdict
from hoseselect.judging.columns import Array, HoseColumns
from hoseselect.knowledge.load import table

if TYPE_CHECKING:
    from hoseselect.answer.answer import Answer

MOST = 2


def not_these(answer: Answer) -> tuple[tuple[str, str], ...]:
    """Return families no hose of which the line takes, the most common of the shop first.

    A family counts where one rule refuses every hose of it, whatever the size.
    """
    said = answer.judged
    hoses = said.hoses
    verdicts = np.frombuffer(answer.verdicts, dtype=np.int8)
    reasons = [
        (result.rule.row["not_this"], result.size_codes(np.array([0]), hoses)[0])
        for result in said.results
        if result.rule.row["not_this"]
    ]
    found = []
    for family, sizes in _families(hoses).items():
        if len(verdicts) and (verdicts[sizes] <= Verdict.UNKNOWN).any():
            continue
        why = [words for words, codes in reasons if (codes[sizes] == Verdict.REJECT).all()]
        if why:
            found.append((-len(sizes), family, why[0]))
    return tuple((family, why) for _, family, why in sorted(found)[:MOST])


def _families(hoses: HoseColumns) -> dict[str, Array]:
    """Return the sizes of each family by its name, those of a type that has one family alone."""
    names = {row["family"]: row["name"] for row in table("families")}
    of_type = [own[0] if len(own) == 1 else "" for own in hoses.types.families]
    of_size = np.array(of_type, dtype=object)[hoses.sizes.type_index]
    return {
        names[family]: np.flatnonzero(of_size == family)
        for family in dict.fromkeys(of_type)
        if family in names
    }
