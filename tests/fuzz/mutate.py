"""Inputs made of others: pieces left out, doubled, moved, or replaced by what means something."""

from __future__ import annotations

import random
from collections.abc import Sequence

ODD = (
    *(b"\x00", b"\xff", b"\xc3\xbc", b"\xe2\x80\x8b", b"\xc2\xad", b"\xef\xbb\xbf", b"\x1b[2J"),
    *(b"9" * 40, b"1e999", b"-0", b"nan", b"inf", b"0x10", b"\xd9\xa3", b"\xc2\xbd", b"1e-320"),
    *(b"[" * 60, b"{" * 60, b"a." * 40, b"\n", b"\r", b"\t", b'"', b"'", b"\\", b"=", b"#", b"%s"),
    *(b"\xf0\x9f\x94\xa7", b"\xed\xa0\x80", b"\xe2\x80\xae", b"unknown", b"?", b"", b"1/0", b",,"),
    *(b"[" * 3000, b'{"a":' * 1500, b"9" * 5000),
)
MOST_CHANGES = 5
LONGEST = 20_000


def mutated(seeds: Sequence[bytes], words: Sequence[bytes], chance: random.Random) -> bytes:
    """Return an input made of one of the seeds, or of two of them.

    Parameters
    ----------
    seeds : inputs to begin with, at least one
    words : that mean something to the reader
    chance : all of it follows from its seed
    """
    data = chance.choice(seeds)
    for _ in range(chance.randint(1, MOST_CHANGES)):
        data = _changed(data, seeds, words, chance)[:LONGEST]
    return data


def _changed(
    data: bytes, seeds: Sequence[bytes], words: Sequence[bytes], chance: random.Random
) -> bytes:
    start = chance.randint(0, len(data))
    end = min(len(data), start + int(chance.expovariate(0.1)))
    piece = data[start:end]
    match chance.randrange(8):
        case 0:
            return data[:start] + data[end:]
        case 1:
            return data[:end] + piece * chance.randint(1, 4) + data[end:]
        case 2:
            place = chance.randint(0, len(data))
            return data[:place] + piece + data[place:]
        case 3:
            other = chance.choice(seeds)
            return data[:start] + other[chance.randint(0, len(other)) :]
        case 4:
            lines = data.split(b"\n")
            chance.shuffle(lines)
            return b"\n".join(lines)
        case 5:
            return data[:start] + bytes([chance.randrange(256)]) + data[start + 1 :]
        case 6:
            return data[:start] + chance.choice(words or ODD) + data[end:]
        case _:
            return data[:start] + chance.choice(ODD) + data[end:]
