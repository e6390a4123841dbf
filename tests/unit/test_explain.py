"""Pages of explanation: everything that is listed has its page."""

from __future__ import annotations

import json
import math

import pytest

from hoseselect.application.explain import explain_code, published
from hoseselect.intake.names import listed_line
from hoseselect.knowledge.errors import InputError, KnowledgeError
from hoseselect.knowledge.load import table
from hoseselect.rules.manual import all_rules

LISTED = {
    "rule": [rule.code for rule in all_rules()],
    "service": table("services").column("service"),
    "stop": table("stops").column("stop"),
    "fluid": table("fluids").column("fluid"),
    "polymer": table("polymers").column("symbol"),
    "marking": table("markings").column("marking"),
    "source": table("sources").column("source_id"),
    "limit": table("limits").column("limit"),
    "constant": table("formula_constants").column("constant"),
}


def test_the_index_lists_all() -> None:
    sections = dict(explain_code("").sections)
    for codes, heading in zip(LISTED.values(), sections, strict=False):
        assert sections[heading] == (", ".join(codes),)


@pytest.mark.parametrize("kind", LISTED)
def test_everything_listed_has_its_own_page(kind: str) -> None:
    wrong = []
    for code in LISTED[kind]:
        page = explain_code(code)
        if (page.code, page.kind) != (code, kind):
            wrong.append(f"{code}: {page.kind} {page.code}")
        assert page.title
        json.dumps(page.as_json(), allow_nan=False)
    assert wrong == []


@pytest.mark.parametrize("code", LISTED["rule"])
def test_the_page_of_a_rule_is_its_manual_page(code: str) -> None:
    page = explain_code(code.upper())
    rule = next(rule for rule in all_rules() if rule.code == code)
    assert page.title == rule.title
    for heading in ("What it checks", "Why it matters", "Example", "Source"):
        assert heading in page.paragraphs
    assert dict(page.sections)["Finding"][1] == f"source: {rule.row.source}"


@pytest.mark.parametrize(
    ("text", "kind", "code"),
    [
        ("PCV hose", "service", "crankcase-suction"),
        ("nbr", "polymer", "NBR"),
        ("J30-R7", "marking", "j30-r7"),
        ("lpg", "stop", "gas-fuel"),
        ("gasoline", "fluid", "petrol-e10"),
        ("job", "job file", "job"),
        (" ISO-11346 ", "source", "iso-11346"),
    ],
)
def test_other_names_lead_to_the_page(text: str, kind: str, code: str) -> None:
    page = explain_code(text)
    assert (page.kind, page.code) == (kind, code)


@pytest.mark.parametrize("text", ["banana", "\x1b[31m", "x" * 500])
def test_what_nothing_bears_is_refused_in_one_short_line(text: str) -> None:
    with pytest.raises(InputError) as caught:
        explain_code(text)
    assert str(caught.value).isprintable()
    assert len(str(caught.value)) < 200


def test_the_job_file_page_is_a_schema_without_nan() -> None:
    schema = explain_code("job").as_json()
    text = json.dumps(schema, allow_nan=False)
    assert "service" in schema["properties"]
    assert '"unknown"' in text


def test_an_unknown_default_is_published_as_a_word() -> None:
    assert published({"a": [math.nan, 1.0, {"b": math.nan}]}) == {
        "a": ["unknown", 1.0, {"b": "unknown"}]
    }


def test_a_service_page_tells_fluids_duty_and_cautions() -> None:
    sections = dict(explain_code("coolant-heater").sections)
    assert any("coolant" in line for line in sections["What flows"])
    assert any(
        line.startswith("fluid_steady: 90 to 110 degC")
        for line in sections["Plausible duty, favourable to adverse"]
    )
    assert sections["Cautions"]
    assert sections["Checks"]


@pytest.mark.parametrize(
    ("name", "heading"), [("limits", "limit"), ("formula_constants", "constant")]
)
def test_the_page_of_a_figure_tells_value_unit_and_source(name: str, heading: str) -> None:
    for row in table(name):
        page = explain_code(row[heading])
        sections = dict(page.sections)
        assert sections["Value"] == (f"{row['value']} {row['unit']}".removesuffix(" -"),)
        assert sections["Source"] == (row.source,)
        assert page.paragraphs == ((row["meaning"],) if heading == "limit" else ())


@pytest.mark.parametrize(
    ("code", "heading", "line"),
    [
        ("coolant", "Boiling point", "40 % glycol by volume: 105 degC open, 127 degC under a cap"),
        (
            "crankcase-breather",
            "Blow-by",
            "per litre of engine at 4000 1/min and full load: 3.4 to",
        ),
        ("crankcase-breather", "Figures that bear on it", "high end of normal crankcase pressure"),
        ("coolant-heater", "Figures that bear on it", "spring band clamp on coolant: 300 kPa"),
        ("NBR", "Heat and oil by ASTM D2000", "BF: aged at 100 degC, swells at most 60 % in oil"),
        ("NBR", "Heat ageing", "heat ageing of NBR, elongation: 92 kJ/mol"),
    ],
)
def test_pages_show_the_figures_that_bear_on_them(code: str, heading: str, line: str) -> None:
    assert any(shown.startswith(line) for shown in dict(explain_code(code).sections)[heading])


@pytest.mark.parametrize("code", ["atf", "washer", "CR"])
def test_pages_show_no_figures_of_others(code: str) -> None:
    sections = dict(explain_code(code).sections)
    for heading in ("Boiling point", "Blow-by", "Heat ageing"):
        assert not sections.get(heading)


@pytest.mark.parametrize(
    "word", ["bend", "bead", "nipple", "spigot", "Barb", "saucer", "stub", "kink", "liner"]
)
def test_words_of_the_trade_are_explained(word: str) -> None:
    page = explain_code(word)
    assert page.kind == "word"
    assert page.paragraphs
    assert dict(page.sections)["Source"] == ("common practice, no source",)


def test_a_word_of_the_trade_hides_no_code_and_leads_to_one() -> None:
    words = [
        word
        for row in table("glossary")
        for word in (row["term"], *filter(None, row["other_names"].split("|")))
    ]
    assert len(set(words)) == len(words)
    for row in table("glossary"):
        assert not row["see"] or explain_code(row["see"]).kind != "word"
    for word in words:
        assert explain_code(word).kind == "word", word
        assert not listed_line(word), word


def test_a_letter_and_a_number_are_told_as_what_they_may_be() -> None:
    page = explain_code("R7")
    assert page.kind == "print"
    assert "name no standard" in page.paragraphs[0]
    assert "SAE J30 R7" in dict(page.sections)["May be"][0]
    assert explain_code("SAE 30R9").kind == "print"
    with pytest.raises(InputError):
        explain_code("R99")


def test_a_rule_without_its_manual_page_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """As `python -OO` leaves it: an empty page would look like one."""
    assert explain_code("bend-radius") is not None
    (rule,) = (rule for rule in all_rules() if rule.code == "bend-radius")
    monkeypatch.setattr(rule.function, "__doc__", None)
    with pytest.raises(KnowledgeError, match="without its manual page"):
        explain_code("bend-radius")
