"""Why this hose and not another, and where that comes from, in the few words of a bench card."""

from __future__ import annotations

import math
import re

from hoseselect.answer.answer import Answer
from hoseselect.answer.hose_answer import HoseAnswer
from hoseselect.domain.cut import CutPlan
from hoseselect.domain.finding import Finding
from hoseselect.domain.verdict import Verdict

CLOSEST = 3
NAMED = 5
GROUPS = 8
NEIGHBOUR = 0.12
"""A bore that somebody could mistake for the right one differs by no more than this share."""


def _closest(findings: list[Finding]) -> list[Finding]:
    figures = [
        f for f in findings if math.isfinite(f.margin) and not f.code.startswith(("fit-", "route-"))
    ]
    snug = [f for f in findings if f.code == "fit-stretch"]
    return sorted(figures, key=lambda f: f.margin)[:CLOSEST] + snug


def worst_reasons(hose: HoseAnswer) -> list[str]:
    """Return why a hose must not be used, with what helps."""
    return [f"{f.reason}. {f.remedy}".strip() for f in hose.worst()]


def must_not(answer: Answer, hose: HoseAnswer | None) -> list[str]:
    """Return the refused hoses that lie nearest at hand, grouped by the rule that decides.

    Parameters
    ----------
    answer : with all hoses, best first
    hose : the one of the card; hoses of about its bore are its neighbours. Without one, all count
    """
    refused = [h for h in answer.hoses if not h.verdict.suits and h is not hose]
    near = [h for h in refused if hose is None or _neighbours(h, hose)]
    groups: dict[tuple[Verdict, str], list[HoseAnswer]] = {}
    for other in near:
        groups.setdefault((other.verdict, other.decided_by), []).append(other)
    said = []
    for members in list(groups.values())[:GROUPS]:
        names = ", ".join(member.hose for member in members[:NAMED])
        more = f" and {len(members) - NAMED} more" if len(members) > NAMED else ""
        said.append(f"{names}{more}: {members[0].deciding.reason}")
    left = len(groups) - GROUPS
    if left > 0:
        said.append(f"and others, for {left} more reasons")
    if hose is not None and len(near) < len(refused):
        said.append(f"{len(refused) - len(near)} sizes of other bores fail too.")
    return said


def _neighbours(other: HoseAnswer, hose: HoseAnswer) -> bool:
    return abs(other.bore - hose.bore) <= NEIGHBOUR * hose.bore


def fold_sources(answer: Answer, hose: HoseAnswer | None, plan: CutPlan | None) -> list[str]:
    """Return where the figures that a card shows come from, short, each publication once."""
    told = () if hose is None else hose.findings
    accepted = [f for f in told if f.verdict is Verdict.ACCEPT]
    shown = [f for f in told if f.verdict is not Verdict.ACCEPT or f.code == "fluid-liner"]
    named = [finding.source for finding in (*shown, *_closest(accepted))]
    named += [stop.source for stop in answer.stops]
    named += [assumption.source for assumption in answer.assumptions]
    named += [remark.source for remark in (*answer.cautions, *answer.checklist)]
    if plan is not None:
        named += [plan.tolerance_source]
        clamps = (*plan.clamps_a, *plan.clamps_b)
        named += [c.source for c in clamps if math.isfinite(c.torque_new)]
    folded: dict[str, list[str]] = {}
    for source in dict.fromkeys(short_source(source) for source in named if source):
        title, _, rest = source.partition(", ")
        folded.setdefault(title, []).append(rest)
    return [
        f"{title}, {'; '.join(filter(None, rests))}" if any(rests) else title
        for title, rests in folded.items()
    ]


def short_source(source: str) -> str:
    """Return a source by the number of its publication, where it has one.

    Examples
    --------
    >>> short_source("A Body, Rubber hoses (ISO 1307), 2006, cut length (from memory)")
    'ISO 1307, 2006, cut length (from memory)'
    """
    found = NUMBERED.match(source)
    return f"{found[1]}, {found[2]}" if found else source


NUMBERED = re.compile(r"^[^()]*\(((?=[^()]*[A-Z])[^()]*\d[^()]*)\), (.+)$")
