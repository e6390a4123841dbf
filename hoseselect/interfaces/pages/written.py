"""What pages of the documentation take from the code, by the name that stands in their mark.

`python -m hoseselect.interfaces.pages.written < docs/reference/limits.md` shows a page filled.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from functools import partial

from hoseselect.interfaces.pages import explained_page as explained
from hoseselect.interfaces.pages.commands_page import commands_page
from hoseselect.interfaces.pages.markdown import plain, table
from hoseselect.interfaces.pages.python_page import python_page
from hoseselect.settings.settings import MEANINGS

WRITTEN: dict[str, Callable[[], str]] = {
    "cautions": partial(explained.said_page, "cautions"),
    "checks": partial(explained.said_page, "checks"),
    "commands": commands_page,
    "constants": partial(explained.figures_page, "formula_constants", "constant"),
    "fluids": partial(explained.explained_page, "Fluids"),
    "limits": partial(explained.figures_page, "limits", "limit"),
    "markings": partial(explained.explained_page, "Markings"),
    "polymers": partial(explained.explained_page, "Polymers"),
    "public names": python_page,
    "services": partial(explained.explained_page, "Services"),
    "settings": lambda: table(
        ("key", "meaning"), [(f"`{key}`", plain(meaning)) for key, meaning in MEANINGS.items()]
    ),
    "sources": explained.sources_page,
    "stops": partial(explained.explained_page, "Stops"),
    "trust": explained.trust_page,
    "words": partial(explained.explained_page, "Words of the trade"),
}
"""What is written when the pages are built, and kept nowhere."""

MARK = re.compile(r"^<!-- written from the code: ([\w ]+) -->$", re.MULTILINE)


def filled(page: str) -> str:
    """Return a page with what its marks name in their place."""
    return MARK.sub(lambda mark: WRITTEN[mark[1]](), page)


if __name__ == "__main__":
    sys.stdout.write(filled(sys.stdin.read()))
