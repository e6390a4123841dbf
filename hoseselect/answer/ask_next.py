"""What to find out next: each unknown input is varied over its plausible range.

An input counts where it changes the verdict of a hose that nothing else refuses; the input that
settles most hoses comes first.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from hoseselect.answer.answer import Question
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.assume import assume, duty_range
from hoseselect.judging.columns import UNKNOWN, YES, Array, HoseColumns, JobColumns
from hoseselect.judging.engine import RuleResult, run_rule
from hoseselect.judging.services import fluid_mask, service_columns
from hoseselect.knowledge.load import Row, limit, table

NAMED_HOSES = 8


def ask_next(
    jobs: JobColumns, hoses: HoseColumns, results: Sequence[RuleResult]
) -> tuple[Question, ...]:
    """Return the questions that would change a verdict, most decisive first.

    Parameters
    ----------
    jobs : one job
    hoses : t types, m sizes
    results : of every rule on that job
    """
    ranked = []
    asked: set[str] = set()
    for row in table("questions"):
        variants = None if row["input"] in asked else _variants(row, jobs)
        if variants is None:
            continue
        names = set(row["columns"].split(";"))
        partner = _partner(row)
        both = partner is not None and _variants(partner, jobs) is not None
        if both and partner is not None:
            variants = _variants(partner, variants) or variants
            names.add(partner["columns"])
            asked.add(partner["input"])
        reading = [result for result in results if names & set(result.rule.needs)]
        others = [result for result in results if not names & set(result.rule.needs)]
        open_to_it = _worst([r.codes for r in others], others, hoses, 1)[0] < Verdict.REJECT
        filled = assume(JobColumns.stack([jobs, variants]))
        codes = [run_rule(result.rule, filled, hoses).codes for result in reading]
        trial = _worst(codes, reading, hoses, 1 + len(variants))
        changed = (trial.max(axis=0) != trial.min(axis=0)) & open_to_it
        if changed.any():
            held_up = int((changed & (trial[0] == Verdict.UNKNOWN)).sum())
            seen = sorted(set(trial[1:, changed].ravel().tolist()))
            ranked.append(
                (held_up, int(changed.sum()), _question(row, hoses, changed, seen, both=both))
            )
    ranked.sort(key=lambda entry: (-entry[0], -entry[1]))
    return tuple(question for _, _, question in ranked)


def _partner(row: Row) -> Row | None:
    """Return the same question for the other nipple, where it is one for nipple A."""
    end, _, name = row["input"].partition(".")
    return table("questions").row(input=f"nipple_b.{name}") if end == "nipple_a" else None


def _question(
    row: Row, hoses: HoseColumns, changed: Array, seen: list[int], *, both: bool
) -> Question:
    field, words = row["input"], row["question"]
    if both:
        field = field.replace("nipple_a", "nipples")
        words = words.replace("nipple A", "each nipple")
    return Question(
        field=field,
        question=words,
        why=row["why"],
        decides=tuple(str(name) for name in hoses.sizes.name[changed][:NAMED_HOSES]),
        verdicts=tuple(Verdict(code).word for code in seen),
    )


def _worst(
    codes: Sequence[Array], results: Sequence[RuleResult], hoses: HoseColumns, rows: int
) -> Array:
    worst = np.zeros((rows, len(hoses.sizes)), dtype=np.int8)
    for code, result in zip(codes, results, strict=True):
        across = code[:, hoses.sizes.type_index] if result.rule.axis == "type" else code
        worst = np.maximum(worst, across)
    return worst


def _variants(row: Row, jobs: JobColumns) -> JobColumns | None:
    """Return the job with the input at each plausible value, or None where it is known."""
    name = row["columns"].split(";")[0]
    column = getattr(jobs, name)
    match row["kind"]:
        case "fluids":
            return _fluid_variants(row, jobs)
        case "answer" | "keep" | "measured-on":
            if column[0, 0] != UNKNOWN or not _asked(row, jobs):
                return None
            return _each(jobs, {name: [np.array([[1]]), np.array([[0]])]})
        case "bead":
            return _bead_variants(name, jobs)
        case "route":
            if not np.isnan(column[0, 0]):
                return None
            radii = [np.array([[value]]) for value in _plausible(row)]
            lengths = [np.array([[LENGTH_FOR_TRIAL]])] * len(radii)
            return _each(jobs, {"tip_length": lengths, "tightest_radius": radii})
        case _:
            if not np.isnan(column[0, 0]) or _part_of_route(name, jobs):
                return None
            values = _range(row, name, jobs)
            return _each(jobs, {name: values}) if values else None


LENGTH_FOR_TRIAL = 300.0


def _part_of_route(name: str, jobs: JobColumns) -> bool:
    """Return whether a bend is asked about together with the whole route."""
    return name == "tightest_radius" and bool(np.isnan(jobs.tip_length[0, 0]))


def _asked(row: Row, jobs: JobColumns) -> bool:
    if row["kind"] == "measured-on":
        end = row["columns"][-1]
        beaded = getattr(jobs, f"has_bead_{end}")[0, 0] == YES
        return bool(beaded and np.isnan(getattr(jobs, f"bead_{end}")[0, 0]))
    return True


def _plausible(row: Row) -> list[float]:
    return [float(text) for text in row["plausible"].split(";") if text]


def _range(row: Row, name: str, jobs: JobColumns) -> list[Array]:
    if row["kind"] == "duty":
        ends = [float(end[jobs.service[0, 0]]) for end in duty_range(name)]
        if name == "pressure_max" and np.isnan(ends).any():
            ends = [0.0, 1000.0]
        numbers = [end for end in ends if not np.isnan(end)]
    else:
        numbers = _plausible(row) or [
            row.number(end) for end in ("favourable", "adverse") if row[end] != ""
        ]
    return [np.array([[number]]) for number in numbers]


def _bead_variants(name: str, jobs: JobColumns) -> JobColumns | None:
    nipple = getattr(jobs, f"nipple_{name[-1]}")
    beaded = getattr(jobs, f"has_bead_{name[-1]}")[0, 0] == YES
    if not beaded or not np.isnan(getattr(jobs, name)[0, 0]) or np.isnan(nipple[0, 0]):
        return None
    ends = (limit("bead-over-nipple-min"), limit("bead-over-nipple-max"))
    return _each(jobs, {name: [nipple[:1] + end for end in ends]})


def _fluid_variants(row: Row, jobs: JobColumns) -> JobColumns | None:
    known = "fluids_known" if row["input"] == "fluids" else "drips_known"
    if getattr(jobs, known)[0, 0] != UNKNOWN:
        return None
    name = row["columns"]
    own = getattr(jobs, name)
    if name == "drips":
        kinds = [own, own | fluid_mask(("engine-oil",))[None, :]]
    else:
        group = service_columns().group[int(jobs.service[0, 0])]
        if group not in FLUIDS_FOR_TRIAL:
            return None
        kinds = [own | fluid_mask((fluid,))[None, :] for fluid in FLUIDS_FOR_TRIAL[group]]
    return _each(jobs, {name: kinds, known: [np.array([[YES]])] * len(kinds)})


FLUIDS_FOR_TRIAL = {
    "fuel": ("petrol-e0", "petrol-e10", "petrol-e85"),
    "diesel": ("diesel-b7", "diesel-b20", "diesel-b100"),
}


def _each(jobs: JobColumns, columns: dict[str, list[Array]]) -> JobColumns:
    """Return the job once for every value; jobs that are varied already take them in turn."""
    count = len(next(iter(columns.values())))
    rows = [jobs] * count if len(jobs) == 1 else [jobs.take(np.array([k])) for k in range(count)]
    return JobColumns.stack([_with(rows[k], columns, k) for k in range(count)])


def _with(row: JobColumns, columns: dict[str, list[Array]], k: int) -> JobColumns:
    """Return one job with the k-th value of each column, as wide as the column was."""
    return row.change(
        **{
            name: np.broadcast_to(values[k], getattr(row, name).shape)
            for name, values in columns.items()
        }
    )
