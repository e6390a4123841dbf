"""The many ways of typing one thing: quotes, dashes, spaces, fraction signs, "don't know"."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

JOINERS = "\u200c\u200d"
"""Characters that cannot be seen and are parts of letters in some scripts, and of emoji."""

BREAKS = "\u00ad\u200b\u2060\ufeff"
"""Characters that cannot be seen and say where a line may break: pages and PDFs have them."""

SPACES = "\u00a0\u1680\u202f\u205f\u3000" + "".join(map(chr, range(0x2000, 0x200B)))
"""Spaces of a width of their own, and those at which no line breaks."""

_SAME = {
    "'": "’‘‛′´`ʹʼ",
    '"': "“”„‟″〃ˮʺ",
    "-": "−–—‐‑‒―﹣－",
    "/": "⁄∕",
    "°": "º˚",
}
_ONE_FOR_MANY = str.maketrans({many: one for one, all_ in _SAME.items() for many in all_})

_UNKNOWN = frozenset(
    {
        "",
        "unknown",
        "dont know",
        "do not know",
        "i dont know",
        "i do not know",
        "we dont know",
        "i have no idea",
        "not known",
        "not sure",
        "unsure",
        "no idea",
        "no clue",
        "dunno",
        "i dunno",
        "idk",
        "cant tell",
        "cannot tell",
        "cant say",
        "not looked",
        "not measured",
    }
)
_YES = frozenset({"yes", "y", "yep", "yeah", "yup", "true", "t", "1"})
_NO = frozenset({"no", "n", "nope", "nah", "false", "f", "0"})

_PER = re.compile(r"\bper\b", flags=re.IGNORECASE)
_NOT_IN_KEY = re.compile(r"[\s.*·⋅^()_-]")


def plain_text(text: str) -> str:
    """Return the text with one character for each meaning, and single spaces.

    Curly quotes, primes and two apostrophes become plain quotes; every dash and minus becomes a
    hyphen; full-width digits, sub- and superscripts become plain ones; a fraction sign becomes
    a fraction ("1¼" becomes "1 1/4"); hard and thin spaces become a space; invisible characters
    are dropped. A superscript is marked ("10³" becomes "10^3"), so that it is never read as one
    more digit.

    Examples
    --------
    >>> plain_text("10 3/8”")
    '10 3/8"'
    >>> plain_text("−1¼ in")
    '-1 1/4 in'
    """
    pieces: list[str] = []
    for sign in text.translate(_ONE_FOR_MANY):
        if unicodedata.category(sign) == "Cf":
            continue
        made_of = unicodedata.decomposition(sign)
        if made_of.startswith("<fraction>"):
            gap = " " if pieces and pieces[-1].isdigit() else ""
            pieces.append(gap + unicodedata.normalize("NFKC", sign))
        elif made_of.startswith("<super>"):
            pieces.append("^" + unicodedata.normalize("NFKC", sign))
        else:
            pieces.append(unicodedata.normalize("NFKC", sign))
    plain = "".join(pieces).translate(_ONE_FOR_MANY).replace("''", '"')
    return " ".join(plain.split())


def unit_key(text: str) -> str:
    """Return a unit as it is looked up: small letters, no spaces, points, hyphens or brackets.

    Examples
    --------
    >>> unit_key("In. Hg")
    'inhg'
    >>> unit_key("litres per minute")
    'litres/minute'
    """
    return _NOT_IN_KEY.sub("", _PER.sub("/", text)).casefold()


def is_unknown(text: str) -> bool:
    """Say whether a typed text means "don't know"; an empty one and "?" do."""
    words = plain_text(text).casefold().replace("'", "").strip("? ")
    return words in _UNKNOWN


def answer(text: str) -> str:
    """Return "yes", "no", "unknown", or "" where the text is none of these."""
    if is_unknown(text):
        return "unknown"
    word = plain_text(text).casefold().rstrip(".")
    if word in _YES:
        return "yes"
    return "no" if word in _NO else ""


LONGEST_COMPARED = 60
"""Letters of a text that are compared with names; nobody misspells a longer one."""

ALIKE = 0.6
"""Share of letters in common from which a name may be meant, a matter of wording."""


def near_spellings(
    text: str,
    names: Iterable[str],
    *,
    least: float = ALIKE,
    most: int | None = 1,
    idle_words: Iterable[str] | None = None,
) -> list[str]:
    """Return the names that a text may mean, best first; swapped letters count most.

    Parameters
    ----------
    text : what was typed, in any case; what is longer than any name is cut
    names : what may be meant, in any case
    least : share of letters in common from which a name is offered
    most : names that are offered; None = all
    idle_words : where given, words in common count as well, except for these

    Examples
    --------
    >>> near_spellings("EDPM", ["NBR", "EPDM", "PDM"])
    ['EPDM']
    >>> near_spellings("hose of the heater", ["heater hose", "washer hose"], idle_words=["hose"])
    ['heater hose']
    """
    from difflib import SequenceMatcher

    wanted = text[:LONGEST_COMPARED].casefold()
    idle = None if idle_words is None else set(idle_words)
    words, letters = set(wanted.split()), sorted(wanted)
    matcher = SequenceMatcher(None, b=wanted)
    scores: dict[str, float] = {}
    for name in names:
        plain = name.casefold()
        own = set(plain.split())
        shared = 0.0
        if idle is not None:
            shared = len(words & own - idle) / max(len((words | own) - idle), 1)
        matcher.set_seq1(plain)
        if shared + min(matcher.real_quick_ratio(), matcher.quick_ratio()) < least:
            continue
        score = shared + (1.0 if sorted(plain) == letters else matcher.ratio())
        if score >= least:
            scores[name] = score
    return sorted(scores, key=lambda name: -scores[name])[:most]


def without_unseen(text: str, signs: str = JOINERS + BREAKS) -> str:
    r"""Return a text without characters between two letters that nobody sees and nobody types.

    A space of another width, or at which no line breaks, is a space.

    Examples
    --------
    >>> without_unseen("cool\u00adant"), without_unseen("heater\u200b hose")
    ('coolant', 'heater hose')
    >>> without_unseen("16\u00a0mm")
    '16 mm'
    """
    if text.isascii():
        return text
    dropped: dict[int, str | None] = dict.fromkeys(map(ord, signs))
    return text.translate(dropped | dict.fromkeys(map(ord, SPACES), " "))
