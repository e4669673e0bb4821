"""Cutting to the known least on published sets, 10 s a job on two cores, beside two plain alternatives.

The plain alternatives are first-fit decreasing, and a bin model on CP-SAT with its defaults, given the same
10 s and as many bars as first-fit decreasing takes. About 10 minutes; the figures go to
``results/cutting.json`` and ``results/cutting.md``. Where the sets are from stands in
``tests/published_sets.py``.
"""

import itertools
import statistics
import time
from contextlib import suppress

from hypothesis import HealthCheck, Phase, given, settings
from ortools.sat.python import cp_model
from result_pages import cells, load, table, write

from jambwright import job
from jambwright.basis.problems import BadInput
from jambwright.plan.cutting import CuttingJob, Piece, Stock, plan_cuts, plan_plainly, recount
from jambwright.plan.cutting_list import cutting_lists
from jambwright.plan.quantities import quantities
from jambwright.plan.solving import Clock, Grant, solve_constraints
from jambwright.readings.survey_file import survey_from_tree
from made_up_houses import surveys
from published_sets import CUTTING, CUTTING_WITH_KERF, cutting_job

SECONDS = 10.0
OPENINGS = 200
OPENINGS_SECONDS = 60.0


def bin_model(cut: CuttingJob, bars: int):
    """Number of pieces of each length in each bar; bars fill up in turn, the fewer the better."""
    model = cp_model.CpModel()
    room = int(cut.stock[0].length_mm)
    used = [model.new_bool_var("") for _ in range(bars)]
    loads = [[] for _ in range(bars)]
    for piece in cut.pieces:
        shares = [model.new_int_var(0, piece.count, "") for _ in range(bars)]
        model.add(sum(shares) == piece.count)
        for load_of, share in zip(loads, shares, strict=True):
            load_of.append(int(piece.length_mm) * share)
    for load_of, one in zip(loads, used, strict=True):
        model.add(sum(load_of) <= room * one)
    for one, following in itertools.pairwise(used):
        model.add(one >= following)
    model.minimize(sum(used))
    return model, used


def published(instance):
    """One published instance by three ways."""
    cut = cutting_job(instance)
    plan = plan_cuts(cut, seconds=SECONDS)
    assert recount(cut, plan) == []
    assert plan.lower_bound <= instance["best_known"] <= len(plan.bars)
    plainly = len(plan_plainly(cut).bars)
    started = time.perf_counter()
    model, used = bin_model(cut, plainly)
    by_model = solve_constraints(model, used, grant=Grant(units=SECONDS, clock=Clock(SECONDS)))
    model_s = time.perf_counter() - started
    return {
        "name": instance["name"],
        "pieces": sum(p.count for p in cut.pieces),
        "known": instance["best_known"],
        "bars": len(plan.bars),
        "bound": plan.lower_bound,
        "proven": plan.proven_optimal,
        "seconds": round(plan.seconds, 2),
        "first_fit_bars": plainly,
        "model_bars": sum(by_model.values) if by_model.found else None,
        "model_bound": round(by_model.bound),
        "model_proven": by_model.status == "optimal",
        "model_seconds": round(model_s, 2),
    }


def test_published_sets(benchmark):
    found = benchmark.pedantic(lambda: [published(i) for i in CUTTING.values()], rounds=1)
    ours = sum(f["seconds"] for f in found)
    bars = sum(f["bars"] for f in found)
    figures = {
        "instances": len(found),
        "proven": sum(f["proven"] for f in found),
        "model_proven": sum(f["model_proven"] for f in found),
        "median_seconds": statistics.median(f["seconds"] for f in found),
        "first_fit_bars_ratio": round(sum(f["first_fit_bars"] for f in found) / bars, 4),
        "model_bars_ratio": round(sum(f["model_bars"] or f["first_fit_bars"] for f in found) / bars, 4),
        "model_seconds_ratio": round(sum(f["model_seconds"] for f in found) / ours, 1),
    }
    benchmark.extra_info.update(figures)
    _write("published", figures | {"each": found})


def with_kerf(name, given_job):
    """One job with kerf and several lengths; its least cost was proven by two models when it was made up."""
    cut = CuttingJob(
        stock=tuple(Stock(length_mm=s["length"], cost=s["cost"]) for s in given_job["stock"]),
        pieces=tuple(Piece(length_mm=mm, count=n) for mm, n in given_job["items"]),
        kerf_mm=given_job["kerf"],
    )
    plan = plan_cuts(cut, seconds=SECONDS)
    assert recount(cut, plan) == []
    assert plan.lower_bound <= given_job["optimal_cost"] <= plan.cost
    return {
        "name": name,
        "pieces": sum(p.count for p in cut.pieces),
        "known": given_job["optimal_cost"],
        "cost": plan.cost,
        "bound": plan.lower_bound,
        "proven": plan.proven_optimal,
        "seconds": round(plan.seconds, 2),
        "first_fit_cost": plan_plainly(cut).cost,
    }


def test_jobs_with_kerf(benchmark):
    found = benchmark.pedantic(lambda: [with_kerf(*each) for each in CUTTING_WITH_KERF.items()], rounds=1)
    figures = {"jobs": len(found), "proven": sum(f["proven"] for f in found)}
    benchmark.extra_info.update(figures)
    _write("kerf", figures | {"each": found})


def many_openings():
    """Plans of made-up openings, the same at every run; what can't be planned is passed over."""
    planned = []

    @settings(
        max_examples=3 * OPENINGS, derandomize=True, database=None, deadline=None, phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )  # fmt: skip
    @given(surveys())
    def take(tree):
        if len(planned) < OPENINGS:
            tree["openings"][0]["id"] = f"W{len(planned) + 1}"
            with suppress(BadInput):
                planned.extend(job.plan_house(survey_from_tree(tree)).openings)

    take()
    return planned


def test_two_hundred_openings(benchmark):
    plans = many_openings()
    assert len(plans) == OPENINGS
    lists = benchmark.pedantic(
        cutting_lists, args=([part for plan in plans for part in quantities(plan)],), rounds=1
    )
    seconds = benchmark.stats.stats.mean
    each = []
    for one in lists:
        assert recount(one.job, one.plan) == []
        each.append(
            {
                "name": f"{one.item} {one.size}".strip(),
                "pieces": sum(p.count for p in one.job.pieces),
                "lengths": len({p.length_mm for p in one.job.pieces}),
                "joined": len(one.joined),
                "bars": len(one.plan.bars),
                "bound": one.plan.lower_bound,
                "proven": one.plan.proven_optimal,
                "seconds": round(one.plan.seconds, 2),
                "first_fit_bars": one.plainly,
            }
        )
    assert seconds < OPENINGS_SECONDS
    figures = {"openings": OPENINGS, "seconds": round(seconds, 1), "proven": sum(e["proven"] for e in each)}
    benchmark.extra_info.update(figures)
    _write("two_hundred_openings", figures | {"each": each})


def _write(part, figures):
    write("cutting", part, figures, as_text)


def as_text(parts):
    """All figures as a page."""
    lines = ["# Cutting: bars, bounds and time", ""]
    if "published" in parts:
        p = parts["published"]
        lines += [
            f"## Published sets, {SECONDS:g} s a job on two threads",
            "",
            f"{p['proven']} of {p['instances']} solved to the known optimum and proven, half of them within "
            f"{p['median_seconds']:.2f} s. First-fit decreasing takes {p['first_fit_bars_ratio']:.3f} times the "
            f"bars. A plain bin model on CP-SAT, given the same time, proves {p['model_proven']}, takes "
            f"{p['model_bars_ratio']:.3f} times the bars (those of first-fit decreasing where it finds no answer) "
            f"and {p['model_seconds_ratio']:g} times the time.",
            "",
            *load(p),
            "",
            *table(
                "instance, pieces, known, bars, bound, proven, s, first-fit decreasing, CP-SAT bars, bound, proven, s",
                [
                    cells(
                        f, "name pieces known bars bound proven seconds first_fit_bars model_bars model_bound "
                        "model_proven model_seconds",
                    )
                    for f in p["each"]
                ],
            ),
            "",
        ]  # fmt: skip
    if "kerf" in parts:
        k = parts["kerf"]
        lines += [
            "## Made-up jobs with kerf and several lengths",
            "",
            f"{k['proven']} of {k['jobs']} solved to the known least cost and proven.",
            "",
            *load(k),
            "",
            *table(
                "job, pieces, known, cost, bound, proven, s, first-fit decreasing",
                [cells(f, "name pieces known cost bound proven seconds first_fit_cost") for f in k["each"]],
            ),
            "",
        ]
    if "two_hundred_openings" in parts:
        t = parts["two_hundred_openings"]
        lines += [
            f"## All that is cut for {t['openings']} made-up openings",
            "",
            f"{t['seconds']:g} s in all.",
            "",
            *load(t),
            "",
            *table(
                "what, pieces, lengths, runs joined, bars, bound, proven, s, first-fit decreasing",
                [
                    cells(f, "name pieces lengths joined bars bound proven seconds first_fit_bars")
                    for f in t["each"]
                ],
            ),
            "",
        ]
    return "\n".join(lines)
