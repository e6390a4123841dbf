"""Setting a template with words that come as data."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Literal

Format = Literal["pdf", "svg", "png"]

PARTS = Path(__file__).with_name("parts.typ")
PIXELS_PER_INCH = 150.0


def typeset(
    template: Path,
    inputs: dict[str, str],
    date: str,
    form: Format = "pdf",
    *,
    system_fonts: bool = True,
) -> list[bytes]:
    """Return a PDF, or one picture a page.

    Parameters
    ----------
    template : its file
    inputs : words, drawings and sheets as data, never as markup
    date : that the file bears, so that the same card is the same file
    form : "pdf", "svg" or "png" at 150 pixels an inch
    system_fonts : whether fonts of the computer help out where the own ones lack a letter
    """
    import typst

    made: bytes | list[bytes] = typst.compile(  # type: ignore[call-overload]  # folder in memory
        {"main.typ": template.read_bytes(), PARTS.name: PARTS.read_bytes()},
        format=form,
        ppi=PIXELS_PER_INCH,
        ignore_system_fonts=not system_fonts,
        sys_inputs=inputs,
        timestamp=datetime.fromisoformat(date).replace(tzinfo=UTC),
    )
    return [bytes(page) for page in made] if isinstance(made, list) else [bytes(made)]
