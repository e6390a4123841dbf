"""Which part a clip or a keep-out sits on, and whether it moves against nipple A."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from hoseselect.intake.door import Reads, word

Sits = Literal["engine", "body", "unknown"]
Part = Literal["A", "B", "engine", "body", "unknown"]
NIPPLES = {"a": "A", "b": "B", "nipple-a": "A", "nipple-b": "B"}


def _part(value: Any) -> Any:
    """Return a part as it is compared; a nipple stands for the part that it sits on."""
    found = word(value)
    return NIPPLES.get(found, found) if isinstance(found, str) else found


PartWord = Annotated[Part, Reads(_part, kind="word")]


def moves_with_b(part: Part, part_a: Sits, part_b: Sits) -> bool | None:
    """Return whether a part is the other body, that which moves against that of nipple A.

    There are two bodies. Where both nipples sit on the same one, the other moves.

    Parameters
    ----------
    part : on which something sits; "A", "B" = that of the nipple
    part_a, part_b : on which the nipples sit

    Returns
    -------
    None where nobody knows
    """
    mouth_moves = not part_a == part_b != "unknown"
    if part == "A":
        return False
    if part == "B":
        return mouth_moves
    if part == "unknown":
        return None
    if part_a != "unknown":
        return part != part_a
    return True if part == part_b else None
