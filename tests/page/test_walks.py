"""People at the counter reply as it comes: whatever is said in which order is no fault of ours."""

from __future__ import annotations

import html
import random
import re
from urllib.parse import urlencode

import pytest
from starlette.testclient import TestClient

FORM = re.compile(r'<form class="typed" id="typed-form".*?</form>', re.DOTALL)
HIDDEN = re.compile(r'type="hidden" name="([^"]*)" value="([^"]*)"')
CHOICE = re.compile(r'name="reply" value="(\d+)"')
LINES = ("heater hose", "PCV hose", "fuel return", "oil cooler hose", "breather", "brake hose",
         "power steering return", "dunno", "vacuum hose", "water hose")  # fmt: skip
REPLIES = (
    *("dunno", "same", "yes", "no", "?", "<", "0", "1", "99", "16 mm", "5/8 in", "13", "400"),
    *("400 mm", "a foot or so", "75 mm", "hot", "20 inHg", "2 bar", "diesel", "both"),
)


def walk(client: TestClient, chance: random.Random, most: int = 14) -> int:
    """Reply until nothing is asked; return how many replies were given."""
    page = client.get("/counter").text
    for number in range(most):
        form = FORM.search(page)
        if form is None:
            return number
        fields = [(name, html.unescape(value)) for name, value in HIDDEN.findall(form[0])]
        choices = CHOICE.findall(page)
        reply = chance.choice(LINES if number == 0 else REPLIES)
        if choices and chance.random() < 0.5:
            reply = chance.choice(choices)
        told = client.get(f"/counter?{urlencode([*fields, ('reply', reply)])}")
        assert told.status_code == 200, (fields, reply, re.findall(r"fault.*", told.text))
        page = told.text
    return most


@pytest.mark.parametrize("part", range(4))
def test_no_reply_in_any_order_is_a_fault_of_ours(client: TestClient, part: int) -> None:
    chance = random.Random(100 + part)
    assert sum(walk(client, chance) for _ in range(6)) > 20


def test_the_other_end_is_the_same_as_one_that_nobody_knows(client: TestClient) -> None:
    told = client.get("/counter", params=[
        ("service", "heater hose"), ("nipple_a.outside_diameter", "dunno"),
        ("nipple_b.outside_diameter", "same"),
    ])  # fmt: skip
    assert told.status_code == 200
