"""What the words of a name say: what flows, which parts are joined, and what is a danger."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from hoseselect.knowledge.load import table

NOTHING = "nothing"
FLOWS = frozenset({"flow", "stopped-fluid"})
GAS_FUEL = "gas-fuel"


@dataclass(frozen=True)
class NameWords:
    """A name as its words read.

    Parameters
    ----------
    senses : what the words say, as in name_senses.csv
    unknown : words that say nothing to the tables, in order
    """

    senses: frozenset[str]
    unknown: tuple[str, ...]

    def of_kind(self, kinds: frozenset[str]) -> frozenset[str]:
        """Return the senses of some kinds."""
        return frozenset(sense for sense in self.senses if kind_of(sense) in kinds)


@cache
def known_words() -> dict[tuple[str, ...], frozenset[str]]:
    """Return what each known run of words says."""
    found: dict[tuple[str, ...], frozenset[str]] = {}
    for row in table("name_words"):
        words = tuple(row["words"].split())
        found[words] = found.get(words, frozenset()) | {row["sense"]}
    return found


@cache
def _kinds() -> dict[str, str]:
    return {row["sense"]: row["kind"] for row in table("name_senses")}


def kind_of(sense: str) -> str:
    """Return the kind of a sense: flow, stopped-fluid, part, detail or nothing."""
    return _kinds()[sense]


@cache
def _longest() -> dict[str, int]:
    """Return how long the longest known run is that begins with a word."""
    found: dict[str, int] = {}
    for run in known_words():
        found[run[0]] = max(found.get(run[0], 0), len(run))
    return found


def split_words(text: str) -> list[str]:
    """Return the words of a name in small letters; "A/C" and "L.P.G." are one word."""
    letters = re.sub(r"\ba\s*/\s*c\b", "ac", text.lower().replace("\u2019", "'"))
    return re.findall(r"[^\W_]+(?:[.'][^\W_]+)*", re.sub(r"(?<=\b[a-z])\.(?=[a-z]\b)", "", letters))


def read_words(text: str) -> NameWords:
    """Return what the words of a name say; the longest run of words that is known counts.

    Examples
    --------
    >>> sorted(read_words("Brake servo vac pipe").senses)
    ['brake', 'servo', 'vacuum']
    """
    words, known = split_words(text), known_words()
    senses: set[str] = set()
    unknown: list[str] = []
    place = 0
    while place < len(words):
        longest = _longest().get(words[place]) or _longest().get(words[place].removesuffix("s"), 0)
        longest = min(longest, len(words) - place)
        for count in range(longest, 0, -1):
            run = tuple(words[place : place + count])
            found = known.get(run) or known.get((*run[:-1], run[-1].removesuffix("s")))
            if found is not None:
                senses |= found
                place += count
                break
        else:
            unknown.append(words[place])
            place += 1
    return NameWords(frozenset(senses - {NOTHING}), tuple(unknown))


@cache
def _dangers() -> tuple[tuple[str, frozenset[str], frozenset[str]], ...]:
    return tuple(
        (
            row["stop"],
            frozenset(row["senses"].split(";")),
            frozenset(row["unless"].split(";")) - {""},
        )
        for row in table("name_dangers")
    )


def danger_of(senses: frozenset[str]) -> tuple[str, str]:
    """Return the stop that the senses of a name lead to, and one that another sense lifts.

    Either is an empty text where there is none. The first row of the table that fits decides.
    """
    lifted = ""
    for stop, wanted, unless in _dangers():
        if wanted <= senses:
            if not unless & senses:
                return stop, lifted
            lifted = lifted or stop
    return "", lifted


@cache
def _gas_fuel_words() -> re.Pattern[str]:
    runs = (
        r"[\s_-]+".join(map(re.escape, words))
        for words, s in known_words().items()
        if GAS_FUEL in s
    )
    return re.compile(rf"(?<![^\W_])(?:{'|'.join(runs)})(?![^\W_])", re.IGNORECASE)


def names_gas_fuel(text: str) -> bool:
    """Return whether a text, such as the name of a job, speaks of LPG, natural gas or hydrogen."""
    return _gas_fuel_words().search(text) is not None


@cache
def _lines() -> dict[str, frozenset[str]]:
    found: dict[str, frozenset[str]] = {}
    for row in table("line_senses"):
        found[row["line"]] = found.get(row["line"], frozenset()) | {row["sense"]}
    return found


def lines_with(senses: frozenset[str]) -> tuple[str, ...]:
    """Return the services and stops that all the senses may speak of, in file order."""
    if not senses:
        return ()
    return tuple(line for line, own in _lines().items() if senses <= own)
