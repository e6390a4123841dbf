"""Figures that pages of explanation show beside what they explain, each with its source."""

from __future__ import annotations

from collections.abc import Iterator

from hoseselect.knowledge.constants import constant
from hoseselect.knowledge.load import Row, limit, limit_source, table
from hoseselect.knowledge.tolerances import PERCENT
from hoseselect.mechanics.boiling import boiling_point
from hoseselect.mechanics.flow import blow_by

SPEED = 4000.0  # of the engine for which blow-by is shown, an example [1/min]


def figure_line(row: Row, meaning: str) -> str:
    """Return a row with a figure as one line: meaning, value, unit, source."""
    unit = "" if row["unit"] == "-" else f" {row['unit']}"
    return f"{meaning}: {row['value']}{unit} [{row.source}]"


def group_figures(group: str) -> tuple[str, ...]:
    """Return the figures that bear on the services of a group, those of every service last."""
    named = [
        row["limit"]
        for place in (group, "every-service")
        for row in table("group_limits").where(group=place)
    ]
    rows = (table("limits").row(limit=name) for name in named)
    return tuple(figure_line(row, row["meaning"]) for row in rows)


def blow_by_lines() -> tuple[str, ...]:
    """Return how much gas leaves the crankcase of an engine in order."""
    gas = blow_by(
        1.0,
        SPEED,
        limit("cylinder-filling"),
        limit("blow-by-share-low"),
        limit("blow-by-share-high"),
    )
    other = PERCENT * limit("blow-by-share-other-sources")
    return (
        f"per litre of engine at {SPEED:.0f} 1/min and full load: {float(gas.low):.1f} to"
        f" {float(gas.high):.0f} L/min [{limit_source('blow-by-share-low')}]",
        f"turbocharger, compressor and valve stems add up to {other:.0f} % of all gas"
        f" [{limit_source('blow-by-share-other-sources')}]",
    )


def boiling_lines() -> tuple[str, ...]:
    """Return at which temperature coolant boils, open and under a usual pressure cap."""
    air, cap = constant("standard-atmosphere"), limit("cap-pressure")
    shares = (0.0, limit("coolant-share-min"), limit("coolant-share-max"))
    lines = [
        f"{share:.0f} % glycol by volume: {float(boiling_point(share / PERCENT, 0.0, air)):.0f}"
        f" degC open, {float(boiling_point(share / PERCENT, cap, air)):.0f} degC under a cap of"
        f" {cap:g} kPa"
        for share in shares
    ]
    return (*lines, "worked out by Raoult's law at sea level; least and greatest share of glycol:",
            limit_source("coolant-share-min"))  # fmt: skip


def oil_and_heat_lines(symbol: str) -> Iterator[str]:
    """Yield what the designations of ASTM D2000 say of a polymer: ageing heat and oil swell."""
    rows = table("d2000_designations").where(symbol=symbol)
    for row in rows:
        kind, oil_class = tuple(row["designation"])
        heat = table("d2000_types").row(type=kind)
        swell = table("d2000_classes").row(**{"class": oil_class})["swell_percent_max"]
        oil = f"swells at most {swell} % in oil" if swell else "no limit of its swell in oil"
        yield (
            f"{row['designation']}: aged at {heat['temperature_degc']} degC, {oil} at"
            f" {row['test_temperature_degc']} degC [{row.source}]"
        )
    if rows:
        hottest = table("limits").row(limit="oil-test-temperature-max")
        yield figure_line(hottest, hottest["meaning"])


def ageing_lines(symbol: str) -> Iterator[str]:
    """Yield the published activation energies of a polymer's ageing."""
    for name in (f"activation-energy-{symbol.lower()}", f"activation-energy-{symbol.lower()}-high"):
        for row in table("limits").where(limit=name):
            yield figure_line(row, row["meaning"])
