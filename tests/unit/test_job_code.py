"""The code of a job: what goes in comes out, and no slip of the pen becomes another job."""

from __future__ import annotations

import zlib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoseselect.application.demo import DEMOS, FOLDER
from hoseselect.intake.job_code import (
    LETTERS,
    LONGEST_JOB,
    RAW,
    VERSION,
    _letters,
    decode_job,
    encode_job,
)
from hoseselect.interfaces.cli.job_input import job_file
from hoseselect.knowledge.errors import InputError

JOB: dict[str, Any] = {
    "service": "PCV hose",
    "drips": [],
    "nipples": {"outside_diameter": "13.0 mm", "bead": "yes"},
    "route": {"run": ["60 mm", {"bend": "90 deg", "radius": "110 mm"}, 180]},
}
PLAIN = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-(10**9), 10**9) | st.floats(allow_nan=False) | PLAIN,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(PLAIN, inner, max_size=4),
    max_leaves=12,
)


def sealed(body: bytes) -> str:
    """Return a code with a right checksum over any body."""
    return _letters(zlib.crc32(body).to_bytes(4, "big") + body)


@given(st.dictionaries(PLAIN, VALUES, max_size=5))
def test_what_goes_in_comes_out(values: dict[str, Any]) -> None:
    assert decode_job(encode_job(values)) == values


@pytest.mark.parametrize("name", [name for name, _ in DEMOS])
def test_the_demo_jobs_come_back_and_fit_on_a_card(name: str) -> None:
    values = job_file(FOLDER / name)
    code = encode_job(values)
    assert decode_job(code) == values
    assert len(code) <= 240


def test_the_order_of_the_keys_does_not_matter() -> None:
    assert encode_job(JOB) == encode_job(dict(reversed(JOB.items())))


def test_small_letters_hyphens_and_look_alikes_are_read() -> None:
    code = encode_job(JOB)
    typed = code.lower().replace(" ", "-").replace("0", "o").replace("1", "l")
    assert decode_job(f"  {typed}\n") == JOB


@given(st.data())
def test_one_wrong_letter_is_refused(data: st.DataObject) -> None:
    code = encode_job(JOB).replace(" ", "")
    place = data.draw(st.integers(0, len(code) - 1))
    wrong = data.draw(st.sampled_from([c for c in LETTERS if c != code[place]]))
    with pytest.raises(InputError):
        decode_job(code[:place] + wrong + code[place + 1 :])


def test_two_letters_changed_round_are_refused() -> None:
    code = encode_job(JOB).replace(" ", "")
    for place in range(len(code) - 1):
        first, second = code[place : place + 2]
        if first != second:
            with pytest.raises(InputError):
                decode_job(code[:place] + second + first + code[place + 2 :])


def test_a_code_cut_short_is_refused_at_every_length() -> None:
    code = encode_job(JOB).replace(" ", "")
    for end in range(len(code)):
        with pytest.raises(InputError):
            decode_job(code[:end])


@given(st.text(max_size=60) | st.text(LETTERS, max_size=200))
def test_any_text_is_a_job_or_one_sentence(text: str) -> None:
    try:
        assert isinstance(decode_job(text), dict)
    except InputError as error:
        assert str(error).startswith("--code: found ")


@pytest.mark.parametrize(
    "body",
    [
        bytes([VERSION]) + zlib.compress(b"{}"),
        bytes([VERSION + 1, 0, 0, 0]),
        bytes([VERSION]) + b"\xff\xff\xff\xff",
    ],
    ids=["other-packing", "later-version", "noise"],
)
def test_a_right_checksum_alone_is_no_job(body: bytes) -> None:
    with pytest.raises(InputError):
        decode_job(sealed(body))


def deflated(text: bytes) -> bytes:
    packer = zlib.compressobj(9, zlib.DEFLATED, RAW)
    return bytes([VERSION]) + packer.compress(text) + packer.flush()


@pytest.mark.parametrize(
    "text",
    [b"[1]", b'"x"', b"{", b"\xff", b"[" * 50_000, b'{"name":"' + b" " * LONGEST_JOB + b'"}'],
    ids=["list", "text", "torn", "no-utf-8", "deep", "huge"],
)
def test_what_is_packed_must_be_a_job_of_sane_size(text: bytes) -> None:
    with pytest.raises(InputError):
        decode_job(sealed(deflated(text)))


def test_a_job_packed_without_the_dictionary_of_words_is_read_too() -> None:
    assert decode_job(sealed(deflated(b'{"service":"drain"}'))) == {"service": "drain"}
