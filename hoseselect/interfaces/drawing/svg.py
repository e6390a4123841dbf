"""SVG as text: elements, escaping, numbers, and how wide a line of text is."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence

from hoseselect.mechanics.arrays import Floats
from hoseselect.quantities.spelling import JOINERS

FONT = "Helvetica, Arial, sans-serif"
SMALL = 3.2
"""Smallest text on a sheet [mm], a little above 9 point."""
NARROW, WIDE = 0.58, 1.0
ELLIPSIS = "…"
Style = dict[str, str | float]


def number(value: float) -> str:
    """Return a coordinate with no more than three decimals and no negative zero."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def escaped(text: str) -> str:
    """Return text that can stand in an element or between double quotes.

    Characters that XML does not allow, and those that cannot be seen, become spaces.
    """
    plain = visible(text)
    for mark, name in (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ('"', "&quot;")):
        plain = plain.replace(mark, name)
    return plain


def visible(text: str) -> str:
    """Return text with spaces for the characters that XML does not allow or nobody can see."""
    if text.isprintable():
        return text
    return "".join(c if _allowed(c) else " " for c in text)


def _allowed(character: str) -> bool:
    if character in JOINERS:
        return True
    return unicodedata.category(character) not in {"Cc", "Cs", "Cn", "Cf", "Zl", "Zp"}


def element(tag: str, /, *content: str, **attributes: str | float) -> str:
    """Return an element; content is markup already, attributes are escaped here.

    Parameters
    ----------
    tag : name of the element
    content : markup inside
    attributes : a trailing underscore is dropped, others become hyphens; numbers are rounded
    """
    written = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{_attribute(value)}"'
        for key, value in attributes.items()
        if value != ""
    )
    inside = "".join(content)
    return f"<{tag}{written}>{inside}</{tag}>" if inside else f"<{tag}{written}/>"


def _attribute(value: str | float) -> str:
    return escaped(value) if isinstance(value, str) else number(value)


def group(*content: str, **attributes: str | float) -> str:
    """Return a group of markup."""
    return element("g", *content, **attributes)


def path(points: Floats, /, **attributes: str | float) -> str:
    """Return straight lines through points (n, 2)."""
    return element("path", d=_steps(points), **attributes)


def closed_path(points: Floats, /, **attributes: str | float) -> str:
    """Return straight lines round points (n, 2) and back to the first."""
    return element("path", d=f"{_steps(points)} Z", **attributes)


def _steps(points: Floats) -> str:
    return "M" + " L".join(f"{number(x)} {number(y)}" for x, y in points)


def line(
    start: Sequence[float] | Floats, end: Sequence[float] | Floats, /, **attributes: str | float
) -> str:
    """Return a straight line."""
    return element("line", x1=start[0], y1=start[1], x2=end[0], y2=end[1], **attributes)


def text(words: str, x: float, y: float, size: float = SMALL, /, **attributes: str | float) -> str:
    """Return a line of text; `y` is its baseline."""
    return element("text", escaped(words), x=x, y=y, font_size=size, **attributes)


def text_width(words: str, size: float = SMALL) -> float:
    """Return about how wide a line of text is, on the safe side [as `size`]."""
    ems = sum(_ems(c) for c in words)
    return ems * size


def _ems(character: str) -> float:
    if unicodedata.combining(character):
        return 0.0
    if unicodedata.east_asian_width(character) in {"W", "F"}:
        return WIDE
    return 0.72 if character.isupper() else NARROW


def wrapped(words: str, size: float, width: float, lines: int) -> list[str]:
    """Break text into lines no wider than a width; what does not fit ends in an ellipsis.

    Lines break at spaces, not at the no-break ones between a figure and its unit.

    Parameters
    ----------
    words : the text
    size : of the letters [mm]
    width : of the lines [mm]
    lines : largest number of lines
    """
    found, current = [], ""
    for piece in _pieces(" ".join(w for w in visible(words).split(" ") if w), size, width):
        longer = f"{current}{piece}"
        if current and text_width(longer.rstrip(), size) > width:
            found.append(current.rstrip())
            current = piece.lstrip()
        else:
            current = longer
    found.append(current.rstrip())
    if len(found) > lines:
        last = found[lines - 1]
        while last and text_width(last + ELLIPSIS, size) > width:
            last = last[:-1]
        found = [*found[: lines - 1], last.rstrip() + ELLIPSIS]
    return found


def _pieces(words: str, size: float, width: float) -> list[str]:
    """Words with the space after them; words wider than a line, and wide letters, one by one."""
    pieces = []
    for word in words.split(" "):
        whole = text_width(word, size) <= width
        spread = any(unicodedata.east_asian_width(c) in {"W", "F"} for c in word)
        pieces += [f"{word} "] if whole and not spread else [*word[:-1], f"{word[-1:]} "]
    return pieces


def page(width: float, height: float, title: str, *content: str) -> str:
    """Return a whole SVG file of a page on white ground, one unit = one millimetre.

    Parameters
    ----------
    width, height : of the page [mm]
    title : for readers that do not see
    content : markup
    """
    body = element(
        "svg",
        element("title", escaped(title)),
        element("rect", class_="ground", width=width, height=height, fill="white"),
        *content,
        xmlns="http://www.w3.org/2000/svg",
        width=f"{number(width)}mm",
        height=f"{number(height)}mm",
        viewBox=f"0 0 {number(width)} {number(height)}",
        font_family=FONT,
        role="img",
    )
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{body}\n'
