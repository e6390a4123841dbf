"""What the house promises of its words: of the product alone, without places or names."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SUFFIXES = {".py", ".md", ".csv", ".toml", ".json", ".txt", ""}
# Words of workplaces, machines and package registries, which have no place in a product.
FORBIDDEN = (
    r"(?<![\w./-])/(?:work|root|home|tmp|mnt|opt|Users)/",
    r"\bissue \d+\b",
    r"\bsessions?\b(?!\")",
    r"\b(?<!reduction )(?<!wetting )agents?\b",
    r"\btranscripts?\b",
    r"\bchat ?bots?\b",
    r"\blanguage models?\b",
    r"\bpypi\b",
    r"\bpythonhosted\b",
    r"\banaconda\.org\b",
    r"\b(?:shared|facts|notes)/",
    r"\bdesign\.md\b",
    r"\bstyle\.md\b",
)
# Names of makers are kept as fingerprints, so that the list itself names nobody.
NAMES = frozenset((Path(__file__).parent / "maker_names.sha256").read_text().split())


def forbidden_words(text: str) -> list[str]:
    """Return the forbidden words of a text, with their lines."""
    return [
        f"line {number}: {found.group()}"
        for number, line in enumerate(text.splitlines(), start=1)
        for pattern in FORBIDDEN
        for found in re.finditer(pattern, line, re.IGNORECASE)
    ]


def fingerprint(word: str) -> str:
    """Return the fingerprint of a word as it is spelled, capitals and all."""
    return sha256(f"name of a maker: {word}".encode()).hexdigest()[:16]


def makers_named(text: str, names: frozenset[str] = NAMES) -> set[str]:
    """Return the words of a text that are names of makers."""
    words = set(re.findall(r"[^\W\d_]+", text))
    return {word for word in words if word[0].isupper() and fingerprint(word) in names}


def texts() -> Iterator[Path]:
    """Yield every text file of the checkout, this guard apart."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        capture_output=True,
        text=True,
        check=False,
        cwd=ROOT,
    ).stdout.split("\0")
    names = [name for name in listed if name] or [
        str(path.relative_to(ROOT))
        for folder in ("hoseselect", "catalog", "tests", "docs")
        for path in (ROOT / folder).rglob("*")
    ]
    for name in sorted(names):
        path = ROOT / name
        if name.startswith(".") and not name.startswith(".ci/"):  # environments, caches
            continue
        if path.is_file() and path.suffix in SUFFIXES and path.name != Path(__file__).name:
            yield path


def test_the_checkout_is_seen() -> None:
    seen = {path.name for path in texts()}
    assert {"README.md", "pick_hose.py", "hose_types.csv", "services.csv"} <= seen


def test_no_text_speaks_of_anything_but_the_product() -> None:
    odd = {
        str(path.relative_to(ROOT)): found
        for path in texts()
        if (found := _foreign(path.read_text(encoding="utf-8")))
    }
    assert odd == {}


def _foreign(text: str) -> list[str]:
    """Return the forbidden words, the scope of a fixture in a test apart."""
    return forbidden_words(text.replace('scope="session"', ""))


def test_no_text_names_a_maker() -> None:
    odd = {
        str(path.relative_to(ROOT)): found
        for path in texts()
        if path.name != "sources.csv" and (found := makers_named(path.read_text(encoding="utf-8")))
    }
    assert odd == {}


@pytest.mark.parametrize(
    "text",
    [
        "see /" + "home/somebody/file",
        "as asked in issue " + "12",
        "from an earlier ses" + "sion",
        "an ag" + "ent wrote it",
        "fetched from py" + "pi",
        "see the tran" + "script",
        "as in sha" + "red/list.csv",
    ],
)
def test_the_word_guard_sees_a_planted_word(text: str) -> None:
    assert len(forbidden_words(f"first line\n{text}\n")) == 1


def test_the_word_guard_lets_the_trade_speak() -> None:
    assert forbidden_words("NOx reduction agent AUS 32; a leak is an issue at 2 bar; n/work") == []


def test_the_name_guard_sees_a_planted_name() -> None:
    planted = frozenset({fingerprint("Plantedworks")})
    assert makers_named("Hose by Plantedworks, 13 mm", planted) == {"Plantedworks"}
    assert makers_named("hose by plantedworks", planted) == set()
