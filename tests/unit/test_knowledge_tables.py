"""The published tables: sources, keys, references, completeness; a planted fault per guard."""

from __future__ import annotations

import copy
import csv
import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

FOLDER = Path(__file__).parents[2] / "hoseselect" / "knowledge" / "tables"
STATUSES = {"read", "second-hand", "from-memory", "common-practice", "computed"}
SERVICES_TEXT = """
crankcase-suction crankcase-breather crankcase-boosted coolant-heater coolant-bypass
coolant-throttle-body coolant-turbo coolant-to-gas-vaporiser vacuum-control vacuum-fuel-wetted
brake-servo-vacuum charge-air-control air-injection fuel-feed-low-pressure fuel-injection-feed
fuel-return fuel-in-tank fuel-filler-and-vent fuel-vapour-purge diesel-feed diesel-return
injector-leak-off atf-cooler engine-oil-cooler steering-return steering-suction turbo-oil-drain
washer drain radiator coolant-expansion oil-cooler-coolant charge-cooler-coolant
auxiliary-heater-coolant egr-cooler-coolant vacuum-pump-servo vacuum-pump-oil-wet
oil-separator-drain catch-can axle-breather battery-vent carburettor-bowl-vent headlamp-washer
exhaust-pressure-sensing
"""
STOPS_TEXT = """
brake-hydraulics clutch-hydraulics brake-fluid-reservoir air-brakes refrigerant gas-fuel
high-pressure-injection steering-pressure active-suspension steering-unknown-side
quick-connect-tube crimped-ends boat aircraft exhaust-gas urea-line traction-battery-loop
unknown-service injection-pressure-unknown turbo-oil-feed hydraulic-brake-booster
oil-pressure-gauge charge-air-duct intake-join fuel-fired-heater-fuel hydraulics compressed-air
"""
DUTY_FIELDS_TEXT = """
fluid_steady fluid_peak air_steady air_peak coldest_start pressure_min pressure_max
"""
SERVICES = SERVICES_TEXT.split()
STOPS = STOPS_TEXT.split()
DUTY_FIELDS = DUTY_FIELDS_TEXT.split()
# Figures remembered with low confidence only. They must not become data; a row is compared as
# "table|cell|cell|...".
LOW_CONFIDENCE = {
    "vacuum, swell and burst tables of SAE J30": (
        r"^marking_figures\|j30-[^|]+\|(suction|swell|collapse|pressure-burst)"
    ),
    "temperature types of ISO 4081": r"^marking_figures\|iso4081\|temperature",
    "tightening torques of DIN 3017-1": r"^clamp_torques\|[^|]+\|(9|12)(\.0)?\|",
    "a row that admits it": r"low confidence",
}
PRINTS = {
    "SAE 30R7": "j30-r7",
    "SAE J30 R7 5/16": "j30-r7",
    "30R9 8 mm 03/25": "j30-r9",
    "sae j30r13": "j30-r13",
    "SAE J20R3": "j20-r3",
    "SAE J20 R1": "j20-r1",
    "SAE 20R3 CLASS D-1": "j20-r3 j20-class-d1",
    "SAE J20": "j20",
    "SAE J20 CLASS A": "j20 j20-silicone",
    "SAE J1532": "j1532",
    "SAE J1532 TYPE A": "j1532-a",
    "SAE J189": "j189",
    "SAE J1403 VH": "j1403-vh",
    "DOT 03/25 3/8 VL": "fmvss106-vl",
    "A1-15, SAE J1527": "j1527-a1",
    "SAE J517 100R6": "j517-100r6",
    "ISO 19013-1": "iso19013-1",
    "LINER ECO OR AEM": "",
    "J300 R7": "",
    "130R9": "",
}

Tables = dict[str, list[dict[str, str]]]


def read_tables(folder: Path) -> Tables:
    tables = {}
    for path in sorted(folder.glob("*.csv")):
        with path.open(encoding="utf-8", newline="") as stream:
            tables[path.stem] = list(csv.DictReader(stream, restkey="surplus", restval="missing"))
    return tables


def read_descriptor(folder: Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((folder / "datapackage.json").read_text(encoding="utf-8"))
    return {resource["path"].removesuffix(".csv"): resource for resource in found["resources"]}


YARDSTICKS = Path(__file__).parents[1] / "validation" / "tables"
TABLES = read_tables(FOLDER)
DESCRIPTOR = read_descriptor(FOLDER)


def words(key: str | list[str]) -> list[str]:
    return [key] if isinstance(key, str) else key


def schema_of(name: str) -> dict[str, Any]:
    """Return the schema of a table; that of an undescribed one says nothing."""
    found: dict[str, Any] = DESCRIPTOR.get(name, {"schema": {"fields": []}})["schema"]
    return found


def form_faults(tables: Tables) -> list[str]:
    """Files and headings against the descriptor, and ragged rows."""
    found = [f"{name}: not described" for name in tables.keys() - DESCRIPTOR.keys()]
    found += [f"{name}: described, no file" for name in DESCRIPTOR.keys() - tables.keys()]
    for name, rows in tables.items():
        headings = [field["name"] for field in schema_of(name)["fields"]]
        found += [f"{name}: {row}" for row in rows if headings and list(row) != headings]
        found += [f"{name}: no rows"] * (not rows)
    return found


def cell_faults(tables: Tables) -> list[str]:
    """Cells against type, required and allowed words of the descriptor."""
    found = []
    for name, rows in tables.items():
        for field in schema_of(name)["fields"]:
            rules = field.get("constraints", {})
            allowed = {str(word) for word in rules.get("enum", [])}
            for row in rows:
                cell = row.get(field["name"], "")
                if cell == "":
                    bad = rules.get("required", False)
                elif field["type"] == "string":
                    bad = cell != cell.strip()
                else:
                    bad = re.fullmatch(r"-?\d+(\.\d+)?(e-?\d+)?", cell) is None
                if bad or (cell and allowed and cell not in allowed):
                    found.append(f"{name}: {field['name']} '{cell}'")
    return found


def key_faults(tables: Tables) -> list[str]:
    """Two rows with one key."""
    found = []
    for name, rows in tables.items():
        schema = schema_of(name)
        key = words(schema.get("primaryKey", [field["name"] for field in schema["fields"]][:-3]))
        seen = [tuple(row[heading] for heading in key) for row in rows]
        found += [f"{name}: {item}" for item in set(seen) if seen.count(item) > 1]
    return found


def reference_faults(tables: Tables) -> list[str]:
    """Ids that name a row of another table, which is not there."""
    found = []
    for name, rows in tables.items():
        for foreign in schema_of(name).get("foreignKeys", []):
            other = foreign["reference"]["resource"].replace("-", "_")
            known = {row[foreign["reference"]["fields"]] for row in tables[other]}
            cells = {row[foreign["fields"]] for row in rows}
            found += [f"{name}: {foreign['fields']} {cell}" for cell in cells - known]
    groups = {row["group"] for row in tables["services"]}
    places = groups | {row["service"] for row in tables["services"]} | {"every-job"}
    for name in ("cautions", "checks"):
        found += [
            f"{name}: {row['text']}" for row in tables[name] if row["applies_to"] not in places
        ]
    found += [
        f"group_limits: {row['group']}"
        for row in tables["group_limits"]
        if row["group"] not in groups | {"every-service"}
    ]
    for row in tables["clamp_families"]:
        found += [f"clamp_families: {word}" for word in set(row["suits"].split(";")) - groups]
    return found


def source_faults(tables: Tables) -> list[str]:
    """Rows without source, place or status, and rows that claim more than their source allows."""
    sources = {row["source_id"]: row for row in tables["sources"]}
    found = []
    for name, rows in tables.items():
        for row in rows if name != "sources" else []:
            source = sources.get(row["source_id"])
            status = row["status"]
            bad = source is None or row["locator"] == "" or status not in STATUSES
            if source is not None:
                unread = source["kind"] in {"memory", "practice", "derived"}
                unread |= "not seen" in source["edition"]
                bad |= status == "read" and unread
                bad |= (status == "common-practice") != (row["source_id"] == "common-practice")
                bad |= row["source_id"] == "from-memory" and status != "from-memory"
            found += [f"{name}: {row}"] * bad
    return found


def low_confidence_faults(tables: Tables) -> list[str]:
    """Rows that hold a figure remembered with low confidence only."""
    texts = ["|".join([name, *row.values()]) for name, rows in tables.items() for row in rows]
    return [
        f"{what}: {text}"
        for what, pattern in LOW_CONFIDENCE.items()
        for text in texts
        if re.search(pattern, text)
    ]


def service_faults(tables: Tables) -> list[str]:
    """Services and stops that are missing, or lack duty, fluids, cautions or checks."""
    groups = {row["service"]: row["group"] for row in tables["services"]}
    found = [f"no service {name}" for name in SERVICES if name not in groups]
    found += [f"no stop {name}" for name in {*STOPS} - {row["stop"] for row in tables["stops"]}]
    for service, group in groups.items():
        duty = {row["field"] for row in tables["service_duty"] if row["service"] == service}
        found += [f"{service}: no {field}" for field in DUTY_FIELDS if field not in duty]
        if service not in {row["service"] for row in tables["service_fluids"]}:
            found.append(f"{service}: no fluids")
        for name in ("cautions", "checks"):
            if not {service, group} & {row["applies_to"] for row in tables[name]}:
                found.append(f"{service}: no {name}")
    return found


def duty_faults(tables: Tables) -> list[str]:
    """Ranges whose adverse end is the milder one, and peaks below the steady value."""
    found = []
    ends = {}
    for row in tables["service_duty"]:
        favourable, adverse = float(row["favourable"]), float(row["adverse"])
        downwards = row["field"] in {"coldest_start", "pressure_min"}
        ends[row["service"], row["field"]] = (favourable, adverse)
        if (adverse > favourable) if downwards else (adverse < favourable):
            found.append(f"{row['service']}: {row['field']}")
    for (service, field), steady in ends.items():
        peak = ends.get((service, field.replace("_steady", "_peak")), steady)
        if field.endswith("_steady") and (peak[0] < steady[0] or peak[1] < steady[1]):
            found.append(f"{service}: peak below {field}")
    return found


def name_faults(tables: Tables) -> list[str]:
    """Other names that mean two things, or are not written the plain way."""
    found = []
    for kinds in (("service", "stop"), ("fluid",)):
        meaning: dict[str, str] = {}
        for kind in kinds:
            named = [(row[kind], row[kind]) for row in tables[kind + "s"]]
            named += [(row["name"], row[kind]) for row in tables[kind + "s"]]
            named += [(row["other_name"], row[kind]) for row in tables[kind + "_names"]]
            for name, target in named:
                if meaning.setdefault(name.replace("-", " ").lower(), target) != target:
                    found.append(f"{kind}: {name} means {target} and something else")
            for row in tables[kind + "_names"]:
                if row["other_name"] != " ".join(row["other_name"].lower().split()):
                    found.append(f"{kind}: {row['other_name']} is not plain")
    return found


def print_faults(tables: Tables) -> list[str]:
    """Patterns of markings that miss or mistake a printed line."""
    found = []
    for line, expected in PRINTS.items():
        seen = [
            row["marking"] for row in tables["markings"] if re.search(row["print_pattern"], line)
        ]
        found += [f"{line}: {seen}"] * (seen != expected.split())
    return found


# Which answers for a single marking its family allows; a finer answer may be stricter, and looser
# only where the family may stand in.
FINER = {
    "yes": {"made-for", "stand-in"},
    "over-specified": {"made-for", "stand-in"},
    "in-part": {"made-for", "stand-in", "refused"},
    "no": {"stand-in", "refused"},
}


def family_faults(tables: Tables) -> list[str]:
    """Pairs without an answer, and single markings that contradict their family."""
    answers = {(row["service"], row["family"]): row["answer"] for row in tables["service_families"]}
    families = {row["marking"]: row["family"] for row in tables["marking_families"]}
    found = [
        f"no answer for {service['service']} and {family['family']}"
        for service in tables["services"]
        for family in tables["families"]
        if (service["service"], family["family"]) not in answers
    ]
    found += [
        f"no family for {row['marking']}"
        for row in tables["markings"]
        if row["marking"] not in families
    ]
    for row in tables["service_markings"]:
        pair = (row["service"], families.get(row["marking"], ""))
        if answers.get(pair) not in FINER[row["answer"]]:
            found.append(f"{row['service']}: {row['marking']} is {row['answer']}, not its family")
    made_for = {service for (service, _), answer in answers.items() if answer == "made-for"}
    found += [
        f"nothing is made for {row['service']}"
        for row in tables["services"]
        if row["service"] not in made_for and row["service"] not in NOTHING_MADE_FOR
    ]
    return found


NOTHING_MADE_FOR = {"exhaust-pressure-sensing"}
"""Lines for which no hose is made: what is taken stands in."""


def blend_faults(tables: Tables) -> list[str]:
    """Mixtures of mixtures, parts that no liner is rated for, and liners without storage life."""
    own = {row["fluid"] for row in tables["fluid_constituents"]}
    alone = {row["fluid"] for row in tables["fluids"]} - own
    alone |= {r["fluid"] for r in tables["fluid_constituents"] if r["fluid"] == r["constituent"]}
    rated = {row["fluid"] for row in tables["resistance"]}
    parts = {row["constituent"] for row in tables["fluid_constituents"]}
    found = [f"{part} is a mixture itself" for part in parts - alone]
    found += [f"no liner is rated for {fluid}" for fluid in alone - rated]
    known = {row["symbol"] for row in tables["storage_life"]}
    liners = {row["symbol"] for row in tables["resistance"]} - {"textile"}
    return found + [f"no storage life of {symbol}" for symbol in liners - known]


Guard = Callable[[Tables], list[str]]
GUARDS: list[Guard] = [
    form_faults,
    cell_faults,
    key_faults,
    reference_faults,
    source_faults,
    low_confidence_faults,
    service_faults,
    duty_faults,
    name_faults,
    print_faults,
    family_faults,
    blend_faults,
]


@pytest.mark.parametrize("guard", GUARDS)
def test_tables_are_sound(guard: Guard) -> None:
    assert guard(TABLES) == []


def test_yardsticks_of_the_validation_have_sources_too() -> None:
    yardsticks = read_tables(YARDSTICKS)
    assert yardsticks
    assert source_faults({**yardsticks, "sources": TABLES["sources"]}) == []


def with_cell(table: str, heading: str, text: str) -> Callable[[Tables], None]:
    def plant(tables: Tables) -> None:
        tables[table][0][heading] = text

    return plant


def without(table: str, heading: str, text: str) -> Callable[[Tables], None]:
    def plant(tables: Tables) -> None:
        tables[table] = [row for row in tables[table] if row[heading] != text]

    return plant


def twice(table: str) -> Callable[[Tables], None]:
    def plant(tables: Tables) -> None:
        tables[table].append(dict(tables[table][0]))

    return plant


def added(table: str, **cells: str) -> Callable[[Tables], None]:
    def plant(tables: Tables) -> None:
        tables[table].append(tables[table][0] | cells)

    return plant


def surplus_cell(tables: Tables) -> None:
    tables["limits"][0]["surplus"] = "a comma too many"


FAULTS: list[tuple[Guard, Callable[[Tables], None]]] = [
    (form_faults, surplus_cell),
    (cell_faults, with_cell("limits", "value", "about 3")),
    (cell_faults, with_cell("limits", "value", "")),
    (cell_faults, with_cell("resistance", "rating", "3")),
    (cell_faults, with_cell("polymers", "role", " padded")),
    *[(key_faults, twice(table)) for table in TABLES],
    (reference_faults, with_cell("resistance", "symbol", "ABC")),
    (reference_faults, with_cell("service_fluids", "fluid", "syrup")),
    (reference_faults, with_cell("marking_figures", "marking", "j30-r99")),
    (reference_faults, with_cell("cautions", "applies_to", "garden")),
    (reference_faults, with_cell("group_limits", "group", "garden")),
    (reference_faults, with_cell("group_limits", "limit", "no-such-limit")),
    (reference_faults, with_cell("clamp_families", "suits", "coolant;garden")),
    (source_faults, with_cell("limits", "source_id", "hearsay")),
    (source_faults, with_cell("limits", "locator", "")),
    (source_faults, with_cell("limits", "status", "certain")),
    (source_faults, with_cell("limits", "status", "read")),
    (source_faults, added("limits", source_id="sae-j30", status="read")),
    (source_faults, added("limits", source_id="fmvss-106", status="common-practice")),
    (source_faults, added("limits", source_id="from-memory", status="computed")),
    (low_confidence_faults, added("marking_figures", marking="j30-r7", figure="suction")),
    (low_confidence_faults, added("marking_figures", marking="j30-r9", figure="pressure-burst")),
    (
        low_confidence_faults,
        added("marking_figures", marking="iso4081", figure="temperature-continuous"),
    ),
    (low_confidence_faults, added("clamp_torques", band_width_mm="9", torque_new_nm="3")),
    (low_confidence_faults, added("clamp_torques", band_width_mm="12", torque_new_nm="5")),
    (low_confidence_faults, with_cell("limits", "locator", "memory, low confidence")),
    *[(service_faults, without("services", "service", service)) for service in SERVICES],
    *[(service_faults, without("stops", "stop", stop)) for stop in STOPS],
    (service_faults, without("service_duty", "service", "drain")),
    (service_faults, without("service_duty", "field", "coldest_start")),
    (service_faults, without("service_fluids", "service", "washer")),
    (service_faults, without("cautions", "applies_to", "coolant")),
    (service_faults, without("checks", "applies_to", "fuel")),
    (duty_faults, with_cell("service_duty", "adverse", "20")),
    (duty_faults, added("service_duty", field="pressure_min", favourable="-50", adverse="0")),
    (duty_faults, added("service_duty", field="fluid_peak", favourable="50", adverse="60")),
    (name_faults, added("stop_names", other_name="pcv-hose")),
    (name_faults, added("fluid_names", other_name="diesel")),
    (name_faults, added("service_names", other_name="Upper Hose")),
    (print_faults, with_cell("markings", "print_pattern", "R7")),
    (print_faults, without("markings", "marking", "j30-r9")),
    (family_faults, without("service_families", "family", "washer")),
    (family_faults, without("marking_families", "marking", "j30-r9")),
    (family_faults, without("service_families", "answer", "made-for")),
    (family_faults, added("service_markings", service="coolant-heater", marking="j189")),
    (blend_faults, added("fluid_constituents", fluid="oily-water", constituent="diesel-b7-b20")),
    (blend_faults, without("resistance", "fluid", "gear-oil")),
    (blend_faults, without("storage_life", "symbol", "NBR")),
]


@pytest.mark.parametrize(("guard", "plant"), FAULTS)
def test_guard_finds_planted_fault(guard: Guard, plant: Callable[[Tables], None]) -> None:
    tables = copy.deepcopy(TABLES)
    plant(tables)
    assert guard(tables) != []


def test_guard_finds_ragged_row_and_undescribed_file(tmp_path: Path) -> None:
    (tmp_path / "limits.csv").write_text("limit,value\na,1,2\nb\n", encoding="utf-8")
    (tmp_path / "rumours.csv").write_text("rumour\nfits\n", encoding="utf-8")
    read = read_tables(tmp_path)
    assert "surplus" in read["limits"][0]
    assert read["limits"][1]["value"] == "missing"
    found = form_faults({**TABLES, **read})
    assert "rumours: not described" in found
    assert sum(fault.startswith("limits: ") for fault in found) == 2


def test_guard_finds_missing_file() -> None:
    assert "limits: described, no file" in form_faults(
        {name: rows for name, rows in TABLES.items() if name != "limits"}
    )
