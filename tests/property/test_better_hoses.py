"""A hose whose maker states better limits gets no worse verdict, and no other hose changes its own.

The catalogue is changed as a shop would change it, before its figures are capped, doubted and
estimated; then thousands of jobs at random are put to every hose.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest
from random_columns import jobs_at_random

from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.hose_columns import hose_columns
from hoseselect.catalogue.read import read_catalogue
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.columns import Array, JobColumns
from hoseselect.judging.engine import evaluate
from hoseselect.knowledge.load import table
from hoseselect.rules.manual import all_rules

JOBS = 1_000
FLUIDS = tuple(row["fluid"] for row in table("fluids"))
FAMILIES = tuple(sorted({row["family"] for row in table("service_families")}))
Random = np.random.Generator
Better = Callable[[Catalogue, Random], Catalogue]


@cache
def catalogue() -> Catalogue:
    return read_catalogue()


@cache
def jobs() -> JobColumns:
    """Return jobs at random; on some the hose sits loosely, some are longer than a roll."""
    random = np.random.default_rng(12)
    made = jobs_at_random(random, JOBS)
    loose = np.round(random.uniform(0.0, 0.8, (JOBS, 1)), 1) * (random.random((JOBS, 1)) < 0.4)
    longer = np.where(random.random((JOBS, 1)) < 0.2, 80.0, 1.0)
    return made.change(
        nipple_a=made.nipple_a - loose,
        nipple_b=made.nipple_b - loose,
        tip_length=made.tip_length * longer,
        cut_length=made.tip_length * longer + 60.0,
    )


def said(shop: Catalogue, asked: JobColumns) -> Array:
    """Return what every rule says of every size, shape (rules, jobs, m)."""
    hoses = hose_columns(shop)
    rows = np.arange(len(asked))
    return np.array([one.size_codes(rows, hoses) for one in evaluate(asked, hoses, all_rules())])


@cache
def before() -> Array:
    return said(catalogue(), jobs())


def types(**change: Callable[[Any, Random], Any]) -> Better:
    """Change columns of the hose types."""

    def better(shop: Catalogue, random: Random) -> Catalogue:
        made = {name: by(getattr(shop.types, name), random) for name, by in change.items()}
        return replace(shop, types=replace(shop.types, **made))

    return better


def sizes(**change: Callable[[Any, Random], Any]) -> Better:
    """Change columns of the hose sizes."""

    def better(shop: Catalogue, random: Random) -> Catalogue:
        made = {name: by(getattr(shop.sizes, name), random) for name, by in change.items()}
        return replace(shop, sizes=replace(shop.sizes, **made))

    return better


def more(figures: Array, random: Random) -> Array:
    return np.asarray(figures + random.uniform(0, 40))


def less(figures: Array, random: Random) -> Array:
    return np.asarray(figures - random.uniform(0, 40))


def times(low: float, high: float, end: float = np.inf) -> Callable[[Array, Random], Array]:
    def scaled(figures: Array, random: Random) -> Array:
        return np.asarray(np.clip(figures * random.uniform(low, high), -end, end))

    return scaled


def yes(words: Array, random: Random) -> Array:
    return np.full_like(words, "yes")


def one_more(names: tuple[str, ...], *, where_stated: bool = False) -> Callable[..., Any]:
    """Add a name to every list, or to every list in which something stands."""

    def longer(lists: tuple[tuple[str, ...], ...], random: Random) -> tuple[tuple[str, ...], ...]:
        name = names[random.integers(len(names))]
        return tuple((*own, name) if own or not where_stated else own for own in lists)

    return longer


def one_less(lists: tuple[tuple[str, ...], ...], random: Random) -> tuple[tuple[str, ...], ...]:
    return tuple(own[1:] for own in lists)


def tighter(shop: Catalogue, random: Random) -> Catalogue:
    """Hold the bore closer to its nominal size."""
    share, own = random.uniform(0, 1), shop.sizes
    nearer = {
        name: own.bore + share * (getattr(own, name) - own.bore)
        for name in ("bore_min", "bore_max")
    }
    return replace(shop, sizes=replace(own, **nearer))


def hotter(shop: Catalogue, random: Random) -> Catalogue:
    """Raise both limits together, as the longer one may not be above the short one."""
    by = random.uniform(0, 60)
    own = shop.types
    both = {
        name: getattr(own, name) + by
        for name in ("temperature_continuous", "temperature_short_time")
    }
    return replace(shop, types=replace(own, **both))


BETTER: dict[str, Better] = {
    "hotter": hotter,
    "hotter for a short time": types(temperature_short_time=more),
    "colder": types(temperature_cold=less),
    "pressure": sizes(
        working_pressure_clamped=times(1.4, 1.4), working_pressure_crimped=times(1.4, 1.4)
    ),
    "suction": sizes(
        suction_limit_cold=times(1.3, 1.3, 101.0), suction_limit_hot=times(1.3, 1.3, 101.0)
    ),
    "longer roll": sizes(roll_length_m=more),
    "a closer bore": tighter,
    "made for clamps": types(made_for_clamps=yes),
    "may lie in fuel": types(submersible=yes),
    "one more fluid claimed": types(fluids_claimed=one_more(FLUIDS)),
    "one more family stated": types(family=one_more(FAMILIES)),
    "one fluid less excluded": types(not_for=one_less),
    "not only for these": types(only_for=one_more(FLUIDS, where_stated=True)),
}
"""What a maker may state better, by name. A smaller bend radius stands below."""
OFTEN = {"one more fluid claimed": 12, "one more family stated": 12, "not only for these": 6}


def none_worse(shop: Catalogue, where: Array | None = None) -> int:
    """Assert that no rule says worse of any hose, and return how often one says better."""
    after = said(shop, jobs())
    worse = after > before()
    if where is not None:
        worse &= where
    assert not worse.any(), told(shop, np.argwhere(worse)[0], after)
    return int((after < before()).sum())


def told(shop: Catalogue, place: Array, after: Array) -> str:
    """Return which rule, job and size got worse."""
    rule, job, size = (int(one) for one in place)
    name = shop.sizes.hose_size[size]
    codes = Verdict(before()[rule, job, size]).word, Verdict(after[rule, job, size]).word
    return f"{all_rules()[rule].code} on {name}, job {job}: {codes[0]} became {codes[1]}"


@pytest.mark.parametrize("name", BETTER)
def test_a_better_limit_gets_no_worse_verdict(name: str) -> None:
    """And somewhere it gets a better one, or the change would prove nothing."""
    random = np.random.default_rng(len(name))
    gained = sum(none_worse(BETTER[name](catalogue(), random)) for _ in range(OFTEN.get(name, 2)))
    assert gained > 0


@pytest.mark.parametrize("share", [0.95, 0.8, 0.6])
def test_a_smaller_least_bend_radius_is_no_worse_until_it_is_not_to_be_believed(
    share: float,
) -> None:
    """A radius below what bore and wall allow is doubted, and only such a one."""
    own = catalogue().sizes
    shop = replace(catalogue(), sizes=replace(own, least_bend_radius=own.least_bend_radius * share))
    believed = ~np.isnan(hose_columns(shop).sizes.least_bend_radius)
    assert believed.any()
    assert none_worse(shop, believed[None, None, :]) > 0


@pytest.mark.parametrize("name", BETTER)
def test_a_change_of_one_hose_changes_no_other(name: str) -> None:
    """A hose is judged by itself: its neighbours on the shelf do not count."""
    random = np.random.default_rng(2)
    shop = BETTER[name](catalogue(), random)
    hose = random.integers(len(catalogue().types))
    mine = catalogue().sizes.type_index == hose
    mixed = {}
    for part in ("types", "sizes"):
        old, new = getattr(catalogue(), part), getattr(shop, part)
        own = np.arange(len(old)) == hose if part == "types" else mine
        mixed[part] = replace(old, **{
            column: chosen(getattr(old, column), getattr(new, column), own)
            for column in old.__dataclass_fields__
        })  # fmt: skip
    few = jobs().take(np.arange(300))
    after = said(replace(catalogue(), **mixed), few)
    others = after[:, :, ~mine] == before()[:, :300, ~mine]
    assert others.all()


def chosen(old: Any, new: Any, own: Array) -> Any:
    """Return the new cells of some rows beside the old cells of all others."""
    if isinstance(old, tuple):
        return tuple(b if mine else a for a, b, mine in zip(old, new, own, strict=True))
    return np.where(own, new, old)


@pytest.mark.parametrize("seed", range(4))
def test_hoses_that_are_not_on_the_shelf_change_nothing_for_those_that_are(seed: int) -> None:
    """Half of the types are taken away: the rest are judged as before."""
    random = np.random.default_rng(seed)
    kept = random.random(len(catalogue().types)) < 0.5
    own = kept[catalogue().sizes.type_index]
    place = np.cumsum(kept) - 1
    fewer = only(catalogue().sizes, own)
    fewer = replace(fewer, type_index=place[fewer.type_index])
    rolls = only(catalogue().rolls, own[catalogue().rolls.size_index])
    rolls = replace(rolls, size_index=(np.cumsum(own) - 1)[rolls.size_index])
    shop = replace(catalogue(), types=only(catalogue().types, kept), sizes=fewer, rolls=rolls)
    few = jobs().take(np.arange(300))
    assert (said(shop, few) == before()[:, :300, own]).all()


def only(columns: Any, kept: Array) -> Any:
    """Return some rows of columns."""
    return replace(columns, **{
        name: tuple(one for one, keep in zip(values, kept, strict=True) if keep)
        if isinstance(values, tuple) else values[kept]
        for name in columns.__dataclass_fields__
        if (values := getattr(columns, name)) is not None
    })  # fmt: skip
