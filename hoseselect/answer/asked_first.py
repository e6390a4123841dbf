"""The order of questions where nothing can be offered yet: what the nearest hose waits for."""

from __future__ import annotations

from collections.abc import Sequence

from hoseselect.answer.ask_next import Asked
from hoseselect.answer.lead import Lead
from hoseselect.domain.verdict import Verdict
from hoseselect.knowledge.load import table


def asked_first(asked: Sequence[Asked], lead: Lead) -> tuple[Asked, ...]:
    """Return questions in the order in which they are put, most decisive first.

    Where nothing can be offered yet, those come first without which the nearest hose stays
    unknown, and of these those that need no gauge. What can be seen at the vehicle holds up
    nothing.

    Parameters
    ----------
    asked : those that change a verdict, that which settles most hoses first
    lead : the first hose
    """
    if lead.verdict is not Verdict.UNKNOWN:
        return tuple(asked)
    waited_for = [own for own in asked if own.holds(lead.place)]
    others = [own for own in asked if not own.holds(lead.place)]
    return (*sorted(waited_for, key=_needs_gauge), *others)


def _needs_gauge(asked: Asked) -> bool:
    return table("questions").row(input=asked.field)["kind"] == "duty"
