"""What a code means: rules, services, fluids, polymers, markings, figures, the job file."""

from __future__ import annotations

import inspect
import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from hoseselect.answer.explained_figures import (
    ageing_lines,
    blow_by_lines,
    boiling_lines,
    group_figures,
    oil_and_heat_lines,
)
from hoseselect.answer.safety import cautions, checklist
from hoseselect.application.read import read_print
from hoseselect.intake.names import ascii_text, plain
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import Row, publication, table
from hoseselect.rules.manual import all_rules
from hoseselect.rules.stop import stop_of

Section = tuple[str, tuple[str, ...]]


@dataclass(frozen=True)
class Page:
    """A page of explanation.

    Parameters
    ----------
    code, kind, title : what it explains
    paragraphs : text
    sections : heading and lines
    data : the same as plain values
    """

    code: str
    kind: str
    title: str
    paragraphs: tuple[str, ...] = ()
    sections: tuple[Section, ...] = ()
    data: Any = None

    def as_json(self) -> Any:
        """Return the page as plain values."""
        if self.data is not None:
            return self.data
        return {
            "code": self.code,
            "kind": self.kind,
            "title": self.title,
            "paragraphs": list(self.paragraphs),
            "sections": {heading: list(lines) for heading, lines in self.sections},
        }


def explain_code(code: str) -> Page:
    """Return the page of a code; an empty code lists all.

    Raises
    ------
    InputError
        when nothing bears that code or name.
    """
    if not code.strip():
        return _index()
    for find in _FINDERS:
        page = find(code.strip())
        if page is not None:
            return page
    raise InputError("code", ascii_text(code), "one that `hoseselect explain` lists")


def _index() -> Page:
    kinds: tuple[tuple[str, list[str]], ...] = (
        ("Rules", [rule.code for rule in all_rules()]),
        ("Services", table("services").column("service")),
        ("Stops", table("stops").column("stop")),
        ("Fluids", table("fluids").column("fluid")),
        ("Polymers", table("polymers").column("symbol")),
        ("Markings", table("markings").column("marking")),
        ("Sources", table("sources").column("source_id")),
        ("Limits", table("limits").column("limit")),
        ("Constants", table("formula_constants").column("constant")),
        ("Words of the trade", table("glossary").column("term")),
        ("Job file", ["job"]),
    )
    sections = tuple((heading, (", ".join(names),)) for heading, names in kinds)
    return Page("", "index", "What can be explained", sections=sections)


def _rule(code: str) -> Page | None:
    for rule in all_rules():
        if rule.code == code.lower():
            text = inspect.cleandoc(rule.page)
            title, _, body = text.partition("\n")
            limits = (f"unit {rule.row['unit']}", f"source: {rule.row.source}")
            return Page(
                rule.code,
                "rule",
                title,
                _paragraphs(body),
                (
                    ("Group", (rule.group,)),
                    ("Finding", limits),
                ),
            )
    return None


def _paragraphs(body: str) -> tuple[str, ...]:
    """Return a manual page's headings, and its indented text joined into paragraphs."""
    joined: list[str] = []
    for line in body.strip("\n").split("\n"):
        if line.startswith(" ") and joined and joined[-1].startswith(" "):
            joined[-1] += f" {line.strip()}"
        elif line.strip():
            joined.append(line)
    return tuple(joined)


def _service(code: str) -> Page | None:
    from hoseselect.intake.names import listed_line

    service = listed_line(code)
    if service == "unknown-service" or not table("services").has(service=service):
        return None
    row = table("services").row(service=service)

    def cells(name: str, write: Callable[[Row], str]) -> tuple[str, ...]:
        return tuple(write(found) for found in table(name).where(service=service))

    duty = cells(
        "service_duty",
        lambda r: f"{r['field']}: {r['favourable']} to {r['adverse']} {r['unit']} [{r.source}]",
    )
    markings = cells("service_markings", lambda r: f"{r['marking']}: {r['answer']} ({r['basis']})")
    fluids = cells("service_fluids", lambda r: f"{r['fluid']} ({r['role']})")
    names = tuple(found["other_name"] for found in table("service_names").where(service=service))
    return Page(
        service,
        "service",
        row["name"],
        (row["description"],),
        (
            ("Also called", (", ".join(names),)),
            ("What flows", fluids),
            ("Plausible duty, favourable to adverse", duty),
            ("Markings", markings),
            ("Blow-by", blow_by_lines() if row["group"] == "crankcase" else ()),
            ("Figures that bear on it", group_figures(row["group"])),
            ("Cautions", tuple(f"{r.stage}: {r.text}" for r in cautions(service))),
            ("Checks", tuple(f"{r.stage}: {r.text}" for r in checklist(service))),
        ),
    )


def _stop(code: str) -> Page | None:
    from hoseselect.intake.names import listed_line

    stop = listed_line(code)
    if not table("stops").has(stop=stop):
        return None
    found = stop_of(stop)
    names = ", ".join(row["other_name"] for row in table("stop_names").where(stop=stop))
    return Page(
        stop,
        "stop",
        found.name,
        (found.reason,),
        (
            ("Who can help", (found.who,)),
            ("Also called", (names,)),
            ("Source", (found.source,)),
        ),
    )


def _fluid(code: str) -> Page | None:
    from hoseselect.intake.names import known_fluid
    from hoseselect.judging.services import constituents

    try:
        fluid = known_fluid(code, as_sold=False)
    except InputError:
        return None
    if not table("fluids").has(fluid=fluid):
        return None
    row = table("fluids").row(fluid=fluid)
    parts = constituents(fluid)
    lines = tuple(
        f"{r['symbol']}: {r['rating']} in {r['fluid']} {r['note']} [{r.source}]"
        for r in table("resistance")
        if r["fluid"] in parts
    )
    return Page(
        fluid,
        "fluid",
        row["name"],
        ("Ratings: 2 suits, 1 within limits of temperature, time or grade, 0 refused.",),
        (
            ("Made of", (", ".join(parts),)),
            ("Boiling point", boiling_lines() if fluid == "coolant" else ()),
            ("Liners", lines),
            ("Source", (row.source,)),
        ),
    )


def _polymer(code: str) -> Page | None:
    for row in table("polymers"):
        if plain(row["symbol"]) == plain(code) or plain(row["name"]) == plain(code):
            symbol = row["symbol"]
            ratings = tuple(
                f"{r['fluid']}: {r['rating']} {r['note']} [{r.source}]"
                for r in table("resistance").where(symbol=symbol)
            )
            figures = tuple(
                f"{r['figure']}: {r['value']} {r['unit']} [{r.source}]"
                for r in table("polymer_figures").where(symbol=symbol)
            )
            return Page(
                symbol,
                "polymer",
                f"{symbol}: {row['name']}",
                (row["role"],),
                (
                    ("Ratings", ratings),
                    ("Figures", figures),
                    ("Heat and oil by ASTM D2000", tuple(oil_and_heat_lines(symbol))),
                    ("Heat ageing", tuple(ageing_lines(symbol))),
                    ("Source", (row.source,)),
                ),
            )
    return None


def _marking(code: str) -> Page | None:
    if not table("markings").has(marking=code.lower()):
        return None
    row = table("markings").row(marking=code.lower())
    figures = tuple(
        f"{r['figure']}: {r['value']} {r['unit']} [{r.source}]"
        for r in table("marking_figures").where(marking=row["marking"])
    )
    fluids = tuple(
        f"{r['fluid']}: {r['covered']}"
        for r in table("marking_fluids").where(marking=row["marking"])
    )
    services = tuple(
        f"{r['service']}: {r['answer']} ({r['basis']})"
        for r in table("service_markings").where(marking=row["marking"])
    )
    return Page(
        row["marking"],
        "marking",
        row["title"],
        (row["meaning"], row["does_not_prove"]),
        (
            ("Figures", figures),
            ("Fluids covered", fluids),
            ("Services", services),
            ("Source", (row.source,)),
        ),
    )


def _print(code: str) -> Page | None:
    """Return what a print such as "SAE 30R7" or "R7" may mean."""
    if not PRINTED.search(code):
        return None
    read = read_print(code)
    if not read.markings:
        return None
    lines = tuple(
        f"{one.title}: {one.meaning}. {one.does_not_prove} (see {one.marking})"
        for one in read.markings
    )
    return Page(code, "print", f"{code} in a print", read.notes[:1], (("May be", lines),))


PRINTED = re.compile(r"\bR ?-?\d|\b[A-Z]* ?J ?\d|\bISO\b|\d+ ?R ?\d", re.IGNORECASE)


def _word(code: str) -> Page | None:
    """Return the page of a word of the trade."""
    for row in table("glossary"):
        if plain(code) in {plain(row["term"]), *map(plain, row["other_names"].split("|"))}:
            more = (f"hoseselect explain {row['see']}",) if row["see"] else ()
            others = ", ".join(row["other_names"].split("|"))
            return Page(
                row["term"],
                "word",
                row["term"],
                (row["meaning"],),
                (
                    ("Also called", (others,) if others else ()),
                    ("More", more),
                    ("Source", (row.source,)),
                ),
            )
    return None


def _source(code: str) -> Page | None:
    if not table("sources").has(source_id=code.lower()):
        return None
    row = table("sources").row(source_id=code.lower())
    text = publication(row["source_id"])
    return Page(row["source_id"], "source", row["title"], (text, f"kind: {row['kind']}"))


def _limit(code: str) -> Page | None:
    return _figure("limits", "limit", code)


def _constant(code: str) -> Page | None:
    return _figure("formula_constants", "constant", code)


def _figure(name: str, kind: str, code: str) -> Page | None:
    """Return the page of one figure: meaning, value with unit, source."""
    if not table(name).has(**{kind: code.lower()}):
        return None
    row = table(name).row(**{kind: code.lower()})
    value = row["value"] if row["unit"] == "-" else f"{row['value']} {row['unit']}"
    return Page(
        row[kind],
        kind,
        f"{row[kind]}: {value}",
        (row["meaning"],) if kind == "limit" else (),
        (("Value", (value,)), ("Source", (row.source,))),
    )


def published(schema: Any) -> Any:
    """Return a JSON Schema in which an unknown number has the default "unknown"."""
    if isinstance(schema, dict):
        return {key: published(value) for key, value in schema.items()}
    if isinstance(schema, list):
        return [published(value) for value in schema]
    return "unknown" if isinstance(schema, float) and math.isnan(schema) else schema


def _job(code: str) -> Page | None:
    if plain(code) not in {"job", "job file"}:
        return None
    from hoseselect.intake.job_form import JobForm

    schema = published(JobForm.model_json_schema())
    lines = []
    for name, spec in schema["properties"].items():
        inner = schema["$defs"].get(str(spec.get("$ref", "")).rsplit("/", 1)[-1])
        lines.append(name if inner is None else f"[{name}] {', '.join(inner['properties'])}")
    return Page(
        "job",
        "job file",
        "The job file, in TOML",
        (
            "Every value carries its unit in quotes; bare numbers are mm, kPa gauge and degC;"
            ' every value may be "unknown". --json writes the JSON Schema.',
        ),
        (("Keys", tuple(lines)),),
        data=schema,
    )


_FINDERS = (
    _rule,
    _job,
    _marking,
    _limit,
    _constant,
    _polymer,
    _word,
    _service,
    _stop,
    _fluid,
    _source,
    _print,
)
