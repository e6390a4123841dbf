"""A job as a short code of letters and digits, to be read off a card and typed in again.

The code is the job as it was written: canonical JSON (keys in order, no spaces), deflated with a
dictionary of the words that jobs are made of, behind a version and a checksum, in 32 letters and
digits of which none looks like another (no I, L, O, U). Capitals and spaces do not matter.
"""

from __future__ import annotations

import base64
import binascii
import json
import zlib
from collections.abc import Mapping
from typing import Any

from hoseselect.knowledge.errors import InputError

LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
LOOK_ALIKE = str.maketrans("OIL", "011")
STANDARD = "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567"
"""The letters of base 32 in RFC 4648, for which ours stand."""
TO_OURS = str.maketrans(STANDARD, LETTERS)
TO_STANDARD = str.maketrans(LETTERS, STANDARD)
PADDING = "="
WHOLE = 8
"""Letters that hold a whole number of bytes."""
GROUP = 5
VERSION = 1
HEAD = 5
"""Bytes before the deflated text: version and checksum."""
RAW = -15
"""Deflate without a head of its own."""
LONGEST_JOB = 200_000
"""Characters of the JSON of a job that is taken from a code."""
LONGEST_CODE = 2_000_000
PLACE = "--code"
EXPECTED = "a code as it stands on a bench card, whole and without a slip of the pen"

WRITTEN_AS = {"cut_length": "piece"}
"""Keys that a code of this version may hold by another name."""

WORDS = (
    b'"brittle""soft""swollen""flattened""rubbed""split""pulled-off""check-valve""flame-trap""re'
    b'strictor""plastic""metal""boat""aircraft""road-vehicle""quick-connect""crimped""threaded""'
    b'plain""petrol-e10""diesel-b7""coolant""engine-oil""atf""power-steering-fluid""heater hose"'
    b'"steering return""oil cooler hose""fuel hose""vacuum hose""brake servo hose""breather hose'
    b'""coolant-heater""crankcase-breather""crankcase-suction""fuel-return""brake-servo-vacuum"{'
    b'"cut_length":"{"drips":["nothing"],"duty":{"air_peak":"120 degC","air_steady":"100 degC","'
    b'coldest_start":"-25 degC","flow":"50 L/min","fluid_peak":"125 degC","fluid_steady":"110 de'
    b'gC","pressure_max":"0 kPa","pressure_min":"20 inHg vacuum","pressure_spike":"150 kPa"},"fe'
    b'atures":{"end_fitting":"insert":"none","place":"sees_boost":"no","submerged":"no","turbo":'
    b'"no"},"fluids":["petrol"],"name":"hose","nipple_a":{"nipple_b":{"bead":"yes","bead_diamete'
    b'r":"14 mm","engagement":"25 mm","fixed_to":"engine","material":"measured_on":"outside_diam'
    b'eter":"13.0 mm","usable_length":"25 mm"},"nipples":{"bead":"yes","bead_diameter":"17.5 mm"'
    b',"engagement":"30 mm","fixed_to":"body","outside_diameter":"16.0 mm"},"old_hose":{"bore":"'
    b'12.7 mm","condition":"length":"outside_diameter":"reuse":"no"},"original_bore":"route":{"f'
    b'all":"yes","free":{"angle_error":"clip":[{"along":"at":{"flat":{"angle_a":"angle_b":"dista'
    b'nce":"wire":[{"keep_out":[{"ball":"box":{"clearance":"diameter":"20 mm","growth":"hot":tru'
    b'e,"name":"rod":[{"shake":"size":{"movement":{"forward":"8 mm","up":"10 mm"},"nipple_a_poin'
    b'ts":"forward and 30 deg up","nipple_b_points":"back","offset":"forward 120 mm; left 40 mm;'
    b' right; down; up 80 mm""tape_error":"heat_source":{"distance":"120 mm","shielded":"no"},"l'
    b'ow_spot":"no","measured":"650 mm","movement":"15 mm","run":["60 mm",{"bend":"90 deg","radi'
    b'us":"110 mm","turn":"180 deg"},"180 mm"],"supports":"300 mm","tightest_radius":"unknown"},'
    b'"service":"PCV hose"}'
)
"""What is usual in a job; it belongs to the version and never changes within it."""


def encode_job(values: Mapping[str, Any]) -> str:
    """Return the code of a job.

    Parameters
    ----------
    values : keys as in a job file

    Returns
    -------
    letters and digits in groups of five
    """
    text = json.dumps(values, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    packer = zlib.compressobj(9, zlib.DEFLATED, RAW, 9, zlib.Z_DEFAULT_STRATEGY, WORDS)
    body = bytes([VERSION]) + packer.compress(text.encode()) + packer.flush()
    letters = _letters(zlib.crc32(body).to_bytes(4, "big") + body)
    return " ".join(letters[k : k + GROUP] for k in range(0, len(letters), GROUP))


def decode_job(code: str) -> dict[str, Any]:
    """Return the job of a code, with keys as in a job file.

    Parameters
    ----------
    code : letters and digits; spaces and hyphens do not count, O is 0, I and L are 1

    Raises
    ------
    InputError
        when the code is damaged, cut short, or of a later version.
    """
    body = _checked(code)
    if body[0] != VERSION:
        raise InputError(PLACE, f"a code of version {body[0]}", f"one of version {VERSION}")
    opener = zlib.decompressobj(RAW, WORDS)
    try:
        text = opener.decompress(body[1:], LONGEST_JOB)
        if not opener.eof or opener.unused_data:
            raise InputError(PLACE, "a code that does not end where it should", EXPECTED)
        values = json.loads(text.decode())
    except (zlib.error, ValueError, RecursionError):
        raise InputError(PLACE, "a code that holds no job", EXPECTED) from None
    if not isinstance(values, dict):
        raise InputError(PLACE, "a code that holds no job", EXPECTED)
    return {WRITTEN_AS.get(str(key), str(key)): value for key, value in values.items()}


def _checked(code: str) -> bytes:
    """Return version and deflated text, once the checksum agrees."""
    plain = "".join(code.split()).replace("-", "").upper().translate(LOOK_ALIKE)
    if not plain:
        raise InputError(PLACE, "nothing", EXPECTED)
    if len(plain) > LONGEST_CODE:
        raise InputError(PLACE, f"{len(plain)} letters", EXPECTED)
    strange = next((letter for letter in plain if letter not in LETTERS), "")
    if strange:
        raise InputError(PLACE, f"the character {strange!a}", EXPECTED)
    found = _bytes(plain)
    if len(found) <= HEAD or zlib.crc32(found[4:]) != int.from_bytes(found[:4], "big"):
        raise InputError(PLACE, "a code whose checksum does not agree", EXPECTED)
    return found[4:]


def _letters(data: bytes) -> str:
    """Write bytes in letters of five bits, first bit first, zeros at the end."""
    return base64.b32encode(data).decode("ascii").rstrip(PADDING).translate(TO_OURS)


def _bytes(letters: str) -> bytes:
    """Read bytes from letters of five bits; nothing where bits are left over that are not zero."""
    padded = letters.translate(TO_STANDARD) + PADDING * (-len(letters) % WHOLE)
    try:
        data = base64.b32decode(padded)
    except binascii.Error:
        return b""
    return data if _letters(data) == letters else b""
