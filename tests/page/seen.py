"""What somebody sees of a page, without its markup."""

from __future__ import annotations

import html
import re
from typing import Any
from urllib.parse import parse_qsl, urlsplit


def seen(text: str) -> str:
    """Return the words of a page in one line."""
    bare = re.sub(r"<(?:svg|script|style)\b.*?</(?:svg|script|style)>", " ", text, flags=re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", bare)).split())


def pairs_of(told: Any) -> list[tuple[str, str]]:
    """Return names and values of the address at which an answer was found."""
    return parse_qsl(urlsplit(str(told.url)).query)
