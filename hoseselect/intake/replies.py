"""Figures as people say them: "10mm ish", "about a foot", "3/8 barb", "13 both ends"."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from hoseselect.knowledge.errors import InputError
from hoseselect.quantities.length_words import without_radius
from hoseselect.quantities.read import read_quantity
from hoseselect.quantities.spelling import plain_text
from hoseselect.quantities.told_twice import first_of_two

GUESSED = (
    r"about|approx(?:imately)?\.?|roughly|circa|ca\.?|nearly|almost|just over|just under|maybe"
    r"|probably|perhaps|i think|i guess|i reckon|thereabouts|or so|give or take|more or less"
)
ABOUT = re.compile(rf"(?<![a-z])(?:{GUESSED})(?![a-z])|[~≈]|(?:[ -]|(?<=[a-z0-9]))ish\b")
ROUND_BEFORE = re.compile(r"^(?:around|round)(?: about)? (?=[0-9a])")
NOUNS = re.compile(
    r"\b(?:(?:hose )?barbs?|barbed|nipples?|spigots?|stubs?|ports?|fittings?|pipes?"
    r"|od|o\.d\.|outside(?: diameter)?|thick|wide|long|each|straight part|plain part)\b"
)
BARB = re.compile(r"\bbarb(?:s|ed)?\b")
OF_THE_HOSE = re.compile(r"\b(?:bore|id|i\.d\.|inside(?: diameter)?|hose)\b")
BOTH = re.compile(r"\bboth(?: ends?| stubs?| sides?)?\b|\bsame (?:at )?both ends\b|\beach end\b")
ENDS = re.compile(
    r"\b(?:(?:at|on) )?(?:one|the other|other|an?) (?:end|side)\b|\b(?:the other|other)\b"
)
IN_WORDS = re.compile(r"\b(?:half|third|quarter|eighth|sixteenth|thirty-?second)s?\b")
AND = re.compile(r"\band\b|&|;")
FEET_AND_INCHES = re.compile(r"([0-9]+) ?(?:ft|foot|feet) ?([0-9]|1[01])")
METRES_AND_CENTIMETRES = re.compile(
    r"([0-9]+) ?(?:m|metres?|meters?) ?(?:([0-9]{2})|([0-9]{1,2}) ?(?:cm|centimet(?:re|er)s?))"
)
TWO_OR_ONE = re.compile(r"([0-9]{2}) ?, ?([0-9]{2})")
"""Two sizes, or one with a decimal comma: nobody can tell where the two are alike."""

MUCH = 2.0
"""Two ends of a hose that differ more are no two ends; common practice, no source."""

PARTS = (("quarter", 4), ("eighth", 8), ("sixteenth", 16), ("thirty-?second", 32))
SAID: tuple[tuple[str, str | Callable[[re.Match[str]], str]], ...] = (
    (r"(?<=[0-9]/[0-9]) ?ths?\b", ""),
    (r"(?<=[0-9]/[0-9][0-9]) ?(?:ths?|nds?)\b", ""),
    *((rf"\b([2-9]|[12][0-9]|3[01])[ -]{part}s\b", rf"\1/{of}") for part, of in PARTS),
    (r"\b(?:an? |one )?(foot|inch|metre|meter|yard) and (?:an? )?half\b", r"1.5 \1"),
    (r"\b(?:an? |one )?(foot|inch) and (?:an? )?quarter\b", r"1.25 \1"),
    (r"\b(?:an? |one )?(foot|inch) and three[ -]quarters?\b", r"1.75 \1"),
    (r"\bthree[ -]quarters?\b", "3/4"),
    (r"\bthree[ -]eighths?\b", "3/8"),
    (r"\bfive[ -]eighths?\b", "5/8"),
    (r"\bseven[ -]eighths?\b", "7/8"),
    (r"\bfive[ -]sixteenths?\b", "5/16"),
    (r"\bhalf an? (foot|metre|meter|yard)\b", r"0.5 \1"),
    (r"\bhalf\b", "1/2"),
    (r"\b(?:an? )?quarter\b", "1/4"),
    (r"(?<=[0-9]) ?(?:of )?an? (?=inch\b)", " "),
    (r"^(?:an?|one) (?=(?:foot|inch|metre|meter|yard)\b)", "1 "),
    (r"\btwo (?=(?:foot|feet|inch|inches|metres?|meters?)\b)", "2 "),
    (r"\bthree (?=(?:foot|feet|inch|inches|metres?|meters?)\b)", "3 "),
    (r"\b([0-9.]+) yards?\b", lambda found: f"{3 * float(found[1]):g} ft"),
)
YES = frozenset({"yes", "yep", "yeah", "yup", "aye", "y", "true", "sure"})
NO = frozenset({"no", "nope", "nah", "n", "false"})


@dataclass(frozen=True)
class Figures:
    """What a reply with figures says.

    Parameters
    ----------
    texts : one figure, or one for each end, as the door reads them
    guessed : whether it is no measurement ("about", "ish")
    both : whether it is said of both ends
    barb : whether it is the size of a barb, which is named by its hose
    of_hose : whether it is the bore of a hose and not a nipple
    round_or_about : whether "around" may mean about as well as round it
    """

    texts: tuple[str, ...]
    guessed: bool = False
    both: bool = False
    barb: bool = False
    of_hose: bool = False
    round_or_about: bool = False


def figures_in(reply: str) -> Figures:
    """Return the figures of a reply about a length or a thickness.

    Raises
    ------
    InputError
        when it has no figure, one in words, or one that cannot be read; it quotes the reply.

    Examples
    --------
    >>> figures_in("10mm ish").texts
    ('10mm',)
    >>> figures_in("about a foot")
    Figures(texts=('1 foot',), guessed=True, both=False, barb=False, of_hose=False, \
round_or_about=False)
    >>> figures_in("16 one end, 19 mm the other").texts
    ('16', '19 mm')
    """
    plain = plain_text(reply).casefold().strip(" !").rstrip(" .!")
    round_or_about = ROUND_BEFORE.search(plain) is not None
    text = ROUND_BEFORE.sub("", plain)
    guessed = ABOUT.search(text) is not None
    text = ABOUT.sub(" ", text).strip()
    for said, figure in SAID:
        text = re.sub(said, figure, text)
    both, barb = BOTH.search(text) is not None, BARB.search(text) is not None
    of_hose = OF_THE_HOSE.search(BARB.sub(" ", text.replace("hose barb", "barb"))) is not None
    texts = _texts(text, reply)
    if len(texts) == 1 and not both:
        _refuse_two_or_one(texts[0], reply)
    texts = tuple(_as_read(one, plain, reply, of_hose=of_hose) for one in texts)
    return Figures(texts, guessed or round_or_about, both, barb, of_hose, round_or_about)


def _texts(text: str, reply: str) -> tuple[str, ...]:
    """Return the figures of a text, one or one for each end, without words that say no more.

    Raises
    ------
    InputError
        when there is none, one in words, or a fraction that may belong to the other.
    """
    ends = ENDS.search(text) is not None
    text = ENDS.sub(";", text) if ends else text
    for idle in (BOTH, NOUNS, OF_THE_HOSE):
        text = idle.sub(" ", text)
    parts = [part.strip(" ,") for part in AND.split(text)]
    if any(IN_WORDS.search(part) and not any(c.isdigit() for c in part) for part in parts):
        raise InputError("reply", f"'{reply}', a part of it in words", "all of it in figures")
    parts = [" ".join(part.split()) for part in parts if any(c.isdigit() for c in part)]
    if len(parts) > 1 and not ends and re.fullmatch(r"[0-9]+", parts[0]) and "/" in parts[1]:
        found = f"'{reply}', one size with a fraction or one for each end"
        raise InputError("reply", found, f"'{parts[0]} {parts[1]}', or the ends one by one")
    texts = tuple(parts) or (" ".join(text.split()),)
    if texts == ("",):
        raise InputError("reply", f"'{reply}', which is no figure", "a figure, or dunno")
    return texts


def _refuse_two_or_one(text: str, reply: str) -> None:
    """Refuse two figures of two digits with a comma, such as 16,19.

    Raises
    ------
    InputError
        naming both readings.
    """
    found = TWO_OR_ONE.fullmatch(text)
    if found is None:
        return
    first, second = found.groups()
    if int(first) < MUCH * int(second) < MUCH * MUCH * int(first):
        expected = f"'{first} and {second}', or '{first}.{second} mm'"
        raise InputError("reply", f"'{reply}', two sizes or one with a decimal comma", expected)


def _as_read(text: str, plain: str, reply: str, *, of_hose: bool) -> str:
    """Return a figure as the door reads it; of a hose, where it cannot be read, the reply itself.

    Raises
    ------
    InputError
        when it cannot be read and is no part of the reply as typed, which is quoted then.
    """
    if found := FEET_AND_INCHES.fullmatch(text):
        return f"{found[1]} ft {found[2]} in"
    if found := METRES_AND_CENTIMETRES.fullmatch(text):
        return f"{100 * int(found[1]) + int(found[2] or found[3])} cm"
    try:
        text = first_of_two(text, _length)[0] or text
        _length(text)
    except InputError as error:
        if text not in plain and of_hose:
            return reply  # whoever asked knows better what is wrong with it
        if text not in plain:
            mangled = f"'{text}'"
            why = error.found.removeprefix(mangled) if error.found.startswith(mangled) else ""
            raise InputError("reply", f"'{reply}'{why}", error.expected) from None
        if "(" in text:
            raise error.at("reply") from None
    return text


def _length(text: str) -> float:
    return read_quantity(without_radius(text), "length", "", around_allowed=True)


def yes_or_no(reply: str) -> str:
    """Return "yes" or "no" where a reply begins so and says nothing against it, else "".

    Examples
    --------
    >>> yes_or_no("yep, a small one")
    'yes'
    >>> yes_or_no("yes and no")
    ''
    """
    words = re.findall(r"[a-z']+", plain_text(reply).casefold())
    if not words or words[0] not in YES | NO:
        return ""
    says = "yes" if words[0] in YES else "no"
    against = (NO if says == "yes" else YES) | {"not", "but", "unless", "maybe"}
    return "" if set(words[1:]) & against else says
