"""Pages from templates: the words stand in one file, and nothing is taken as markup."""

from __future__ import annotations

import math
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.requests import Request
from starlette.responses import HTMLResponse

from hoseselect.interfaces import wording
from hoseselect.interfaces.drawing.svg import visible
from hoseselect.quantities.shown import metres

WORDS = Path(__file__).with_name("words.toml")


class _Words(dict[str, Any]):
    """Words by name; one that is missing is a fault, and never an empty place on a page."""

    def __getattr__(self, name: str) -> Any:
        return self[name]


@cache
def words() -> dict[str, Any]:
    """Return the words of the page, by view and name."""
    found = tomllib.loads(WORDS.read_text("utf-8"))
    return _Words(
        {name: _Words(part) if isinstance(part, dict) else part for name, part in found.items()}
    )


@cache
def environment() -> Environment:
    """Return the templates, in which every value is escaped."""
    made = Environment(
        loader=PackageLoader("hoseselect.interfaces.page"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals.update(words=words(), cut_words=wording.cut_words, length=wording.length)
    made.globals.update(money=wording.money, metres=metres, verdicts=wording.VERDICTS)
    made.globals.update(marked=_marked)
    made.filters.update(known=_known, seen=_seen)
    made.finalize = _seen
    return made


def _marked(word: str) -> str:
    """Return the word of a verdict with its mark."""
    texts = (*wording.VERDICTS.values(), wording.STOP)
    return next(text for text in texts if text.partition(" ")[2] == word)


def _known(value: float) -> bool:
    """Return whether a figure is known."""
    return not math.isnan(value)


def _seen(value: Any) -> Any:
    """Return a text without characters that nobody can see, as those that turn a line round."""
    if type(value) is not str or value.isprintable():
        return value
    return "\n".join(map(visible, value.split("\n")))


def page(request: Request, template: str, status: int = 200, /, **values: Any) -> HTMLResponse:
    """Return a page.

    Parameters
    ----------
    request : that asks for it
    template : name of its file
    status : of the answer
    values : that the template shows
    """
    shop = request.app.state.shop
    made = environment().get_template(template)
    own = {"here": request.url.path, "shop": shop, **values}
    return HTMLResponse(made.render(own), status)
