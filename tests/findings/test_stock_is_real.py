"""Age of a roll, metres left on it: what hangs in the shop decides, not what is sold somewhere."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from hoseselect.answer.answer import Answer
from hoseselect.application.check_catalogue import check_catalogue
from hoseselect.application.pick import pick_hose
from hoseselect.catalogue.read import read_catalogue
from hoseselect.catalogue.roll_age import made_on
from hoseselect.domain.finding import Finding

TODAY = date(2026, 7, 1)
RUBBER = {"liner": "NBR", "cover": "CR", "fluids_claimed": "washer-fluid"}


def roll(made: str, metres: float = 5, name: str = "R1", size: str = "H1-1") -> dict[str, Any]:
    return {
        "roll": name,
        "hose_size": size,
        "length_m": metres,
        "place": "rack 4",
        "date_made": made,
    }


def told(bench: Any, *hoses: dict[str, Any], rolls: list[dict[str, Any]], **more: Any) -> Answer:
    """Return the answer to the mild job on a given day."""
    today = more.pop("today", TODAY)
    catalogue, _ = bench.shop(*hoses, rolls=rolls)
    return pick_hose(bench.job(more), read_catalogue(catalogue.folder, today))


def of(answer: Answer, code: str, hose: str = "H1-1") -> Finding:
    return next(f for f in answer.findings(hose) if f.code == code)


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("2021-Q1", date(2021, 1, 1)),
        ("2021-Q3", date(2021, 7, 1)),
        ("2021-q4", date(2021, 10, 1)),
        ("2021-05-17", date(2021, 5, 17)),
        *(
            (odd, None)
            for odd in ("2021-Q5", "2021-Q0", "Q3-2021", "3Q21", "0000-Q1", "2021-02-30")
        ),
    ],
)
def test_a_roll_is_as_old_as_the_first_day_of_its_quarter(text: str, day: date | None) -> None:
    assert made_on(text) == day


@pytest.mark.parametrize(
    ("made", "verdict", "words"),
    [
        ("2019-07-15", "accept", "youngest roll is"),  # 7 years less two weeks
        ("2019-Q4", "accept", "youngest roll is"),
        ("2019-06-15", "conditional", "kept dark and below 25 degC: suits if it passes a look"),
        ("2016-07-15", "conditional", "kept dark and below 25 degC: suits if it passes a look"),
        ("2016-06-15", "conditional", "more than the 10 years it keeps at most: take a fresh roll"),
        ("1990-Q1", "conditional", "more than the 10 years it keeps at most: take a fresh roll"),
        ("", "accept", "does not matter for this job"),
    ],
)
def test_the_age_of_a_roll(bench: Any, made: str, verdict: str, words: str) -> None:
    """Nitrile and polychloroprene: 7 years and 3 more after a look."""
    answer = told(bench, RUBBER, rolls=[roll(made)])
    found = of(answer, "stock-age")
    assert found.verdict.word == verdict
    assert words in found.reason
    if verdict == "conditional":
        assert "roll R1 is" in found.reason
        assert answer.hoses[0].verdict.word == "conditional"
        bench.worded(found)


def test_the_shorter_life_of_liner_and_cover_counts(bench: Any) -> None:
    for hose, word in (
        ({"liner": "EPDM", "cover": "EPDM"}, "accept"),
        ({"liner": "EPDM", "cover": "CR"}, "conditional"),
        ({"liner": "NBR", "cover": "EPDM"}, "conditional"),
        ({"liner": "EPDM", "cover": "textile"}, "accept"),
        ({"liner": "", "cover": ""}, "conditional"),  # not known: the shortest life of all
    ):
        assert of(told(bench, hose, rolls=[roll("2018-01-01")]), "stock-age").verdict.word == word


def test_an_unknown_polymer_is_no_younger_than_the_shortest_lived(bench: Any) -> None:
    unknown = {"liner": "", "cover": ""}
    assert (
        of(told(bench, unknown, rolls=[roll("2021-06-01")]), "stock-age").verdict.word != "accept"
    )
    assert (
        of(told(bench, unknown, rolls=[roll("2021-08-01")]), "stock-age").verdict.word == "accept"
    )


def test_a_fresh_roll_that_is_too_short_does_not_make_the_old_one_young(bench: Any) -> None:
    rolls = [roll("2015-01-01", 5), roll("2026-01-01", 0.3, "R2")]
    assert "roll R1 is 11 years" in of(told(bench, RUBBER, rolls=rolls), "stock-age").reason
    rolls[1]["length_m"] = 3
    answer = told(bench, RUBBER, rolls=rolls)
    assert of(answer, "stock-age").verdict.word == "accept"
    assert "roll R2, rack 4, 3 m left" in of(answer, "stock-roll").reason


def test_nothing_is_said_of_age_where_nobody_tells_the_day_or_the_day_is_to_come(
    bench: Any,
) -> None:
    for today in (None, date(1989, 1, 1)):
        found = of(told(bench, RUBBER, rolls=[roll("1990-Q1")], today=today), "stock-age")
        assert not found.matters


def test_older_is_never_better(bench: Any) -> None:
    codes = [
        of(told(bench, RUBBER, rolls=[roll(f"{year}-Q2")]), "stock-age").verdict
        for year in range(2026, 2005, -1)
    ]
    assert codes == sorted(codes)


def test_the_check_of_a_catalogue_names_old_rolls_and_rolls_of_a_day_to_come(bench: Any) -> None:
    catalogue, _ = bench.shop(RUBBER, rolls=[roll("2017-Q1"), roll("2027-Q1", 5, "R2")])
    said = [str(c.error) for c in check_catalogue(catalogue.folder, TODAY).warnings]
    assert any("rolls.csv:2:5 (date_made): found a roll 9 years old" in text for text in said)
    assert any("rolls.csv:3:5" in text and "a day to come" in text for text in said)
    assert not any(c.heading == "date_made" for c in check_catalogue(catalogue.folder).warnings)


@pytest.mark.parametrize(
    ("metres", "verdict"), [([1.05], "conditional"), ([0.5, 1.06], "accept"), ([], "accept")]
)
def test_a_cut_longer_than_what_is_left_is_to_be_ordered(
    bench: Any, metres: list[float], verdict: str
) -> None:
    """1000 mm between the mouths and 25 mm over each nipple: 1050 mm or 41 1/2 in, the longer."""
    rolls = [roll("", left, f"R{k}") for k, left in enumerate(metres)]
    answer = told(bench, {}, rolls=rolls, **{"route.run": [1000]})
    found = of(answer, "stock-roll")
    assert (found.demand, found.verdict.word) == (pytest.approx(41.5 * 25.4), verdict)
    if verdict == "conditional":
        assert "longer than any roll in stock, of which 1050 mm are left" in found.reason
        assert answer.hoses[0].cut is not None


def test_a_piece_that_is_cut_needs_no_roll(bench: Any) -> None:
    answer = told(bench, {}, rolls=[roll("", 0.2)], piece=310)
    assert of(answer, "stock-roll").verdict.word == "accept"


def test_the_shortest_roll_that_is_long_enough_is_named(bench: Any) -> None:
    rolls = [roll("", 20, "R1"), roll("", 2, "R2"), roll("", 0.1, "R3")]
    assert "roll R2, rack 4, 2 m left" in of(told(bench, {}, rolls=rolls), "stock-roll").reason


def test_among_equals_what_hangs_in_the_shop_comes_first(bench: Any) -> None:
    better = {"working_pressure_clamped_kpa": 2500}
    first = told(bench, {}, better, rolls=[roll("", 5)]).hoses[0].hose
    assert first == "H1-1"
    assert told(bench, {}, better, rolls=[roll("", 0.1)]).hoses[0].hose == "H2-1"
