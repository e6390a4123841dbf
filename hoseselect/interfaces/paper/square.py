"""A text as a square that a scanner reads (ISO/IEC 18004), such as the code of a job on a card.

Capital letters and digits need the fewest modules. Error correction is at least M, by which about
15 % of the square may be soiled; the quiet zone that the standard wants is part of the picture.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from hoseselect.knowledge.errors import InputError

if TYPE_CHECKING:
    from segno import QRCode

QUIET = 4
"""Modules of quiet zone on each side, as ISO/IEC 18004 wants it."""

DOTS = 8
"""Of a PNG to a module."""


@dataclass(frozen=True)
class Square:
    """A text as a square.

    Parameters
    ----------
    text : what a scanner types
    """

    text: str

    @cached_property
    def _code(self) -> QRCode:
        """The square.

        Raises
        ------
        InputError
            when it is more than a square holds.
        """
        import segno

        try:
            return segno.make(self.text, error="m", micro=False)
        except segno.DataOverflowError:
            found = f"a text of {len(self.text)} letters"
            raise InputError("square", found, "a text that a square holds") from None

    @property
    def modules(self) -> int:
        """Modules along a side, quiet zone counted in."""
        return int(self._code.symbol_size(border=QUIET)[0])

    def svg(self, module: float) -> str:
        """Return the square in full size.

        Parameters
        ----------
        module : side of a module [mm]; under 0.35 mm a plain scanner may fail
        """
        side = f"{self.modules * module:g}mm"
        text = io.BytesIO()
        self._code.save(text, kind="svg", border=QUIET, xmldecl=False, light="#fff", omitsize=True)
        return text.getvalue().decode().replace("<svg ", f'<svg width="{side}" height="{side}" ', 1)

    def png(self) -> bytes:
        """Return the square as a picture of dots."""
        dots = io.BytesIO()
        self._code.save(dots, kind="png", border=QUIET, scale=DOTS)
        return dots.getvalue()

    def terminal(self) -> str:
        """Return the square as text for a terminal, two rows of it in one of letters."""
        text = io.StringIO()
        self._code.terminal(out=text, border=QUIET, compact=True)
        return text.getvalue()
