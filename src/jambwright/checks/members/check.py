"""Bars checked: closed form for two panes, any load for the bars of a composed frame, and the verdict."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from jambwright.basis import Working
from jambwright.checks.figures import Figures, Floats, one_or_all
from jambwright.checks.fixings.beam import Load
from jambwright.checks.members import bar
from jambwright.checks.members.limits import deflection_limit_mm, limit_words
from jambwright.checks.verdict import Rest, Verdict, Word, settled


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """What a bar carries, floats or arrays: at each end, in the middle, and the stiffness it wants."""

    reaction_n: Figures
    moment_n_mm: Figures
    sag_times_ei_n_mm3: Figures
    ei_required_n_mm2: Figures


def bar_between(
    *, span_mm: Any, pane_widths_mm: tuple[Any, Any], wind_pa: Any, limit_mm: Any, work: Working | None = None
) -> Bar:
    """A bar between two panes of the given full widths (0 for none), loads of both sides summed.

    ``work`` takes the steps, where one bar is given.
    """
    work = work or Working()
    span, wind, limit = (one_or_all(np.asarray(given, float)) for given in (span_mm, wind_pa, limit_mm))
    reaction, moment, sag = np.zeros(()), np.zeros(()), np.zeros(())
    for side, width in zip("lr", pane_widths_mm, strict=True):
        wide = one_or_all(np.asarray(width, float))
        t = work.step(f"t_{side}", bar.shed_depth_mm, span_mm=span, pane_width_mm=wide)
        q = work.step(f"q0_{side}", bar.peak_load_n_mm, wind_pa=wind, depth_mm=t)
        shape = {"peak_n_mm": q, "depth_mm": t, "span_mm": span}
        reaction = reaction + work.step(f"R_{side}", bar.end_reaction_n, **shape)
        moment = moment + work.step(f"M_{side}", bar.moment_n_mm, **shape)
        sag = sag + work.step(f"EIw_{side}", bar.sag_times_ei_n_mm3, **shape)
    return Bar(
        reaction_n=reaction, moment_n_mm=moment, sag_times_ei_n_mm3=sag,
        ei_required_n_mm2=work.step("EI", bar.ei_required_n_mm2, sag_times_ei_n_mm3=sag, limit_mm=limit),
    )  # fmt: skip


def sag_of_any_load_n_mm3(*, load: Load, span_mm: Any) -> Floats:
    """Mid-span deflection times stiffness of a simple beam under any load, exact for linear pieces.

    Serves bars that also carry the ends of others. Shape: the leading axes of the load.
    """
    span = np.asarray(span_mm, float)
    middle = np.broadcast_to(span[..., None] / 2, (*load.point_mm.shape[:-1], 1))
    sums = load.power_sums(middle)
    # a load u from the middle bends it by (L³ − 6 L u² + 4 u³) / 48
    cube = sums[..., 3, 1] - sums[..., 3, 0]
    sag: Floats = (span**3 * sums[..., 0, :].sum(-1) - 6 * span * sums[..., 2, :].sum(-1) + 4 * cube) / 48
    return sag


def bar_verdict(
    *,
    name: str,
    span_mm: float,
    sag_times_ei_n_mm3: float,
    ei_n_mm2: float | None,
    limit_rule: str,
    rests_on: Sequence[Rest] = (),
) -> Verdict:
    """Does the bar stay within a deflection limit; ``unknown`` while its stiffness is not known.

    ``rests_on`` says what the stiffness is by.
    """
    words, source = limit_words(limit_rule)
    work = Working()
    limit = work.step("w_lim", deflection_limit_mm, span_mm=span_mm, rule=limit_rule)
    wanted = work.step(
        "EI_wanted", bar.ei_required_n_mm2, sag_times_ei_n_mm3=sag_times_ei_n_mm3, limit_mm=limit
    )

    def verdict(word: Word, why: str, found: Any, allowed: Any, unit: str = "mm") -> Verdict:
        recalled = Rest(
            what="a recalled limit", how=source.how, ask="ask the glass maker how far its edge may bend"
        )
        return settled(
            rule="members.deflection", word=word, why=f"{name} {why} ({words}).", found=found, limit=allowed,
            unit=unit, source=source, working=work, rests_on=(*rests_on, recalled),
        )  # fmt: skip

    stiffness = f"E I of {wanted / 1e9:.2f} kN m²"
    if ei_n_mm2 is None:
        return verdict("unknown", f"wants {stiffness}; ask the profile maker for it", None, wanted, "N mm²")
    sag = work.step("w", bar.deflection_mm, sag_times_ei_n_mm3=sag_times_ei_n_mm3, ei_n_mm2=ei_n_mm2)
    if sag <= limit * (1 + 1e-9):
        return verdict("meets", f"bends {sag:.1f} mm of {limit:.1f} mm", sag, limit)
    return verdict(
        "fails",
        f"bends {sag:.1f} mm where {limit:.1f} mm is the most: reinforce it to {stiffness}",
        sag,
        limit,
    )
