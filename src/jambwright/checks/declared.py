"""What a maker declares, held against what is worked out: better than is likely, or for no light of this frame."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from jambwright.basis.problems import Problem
from jambwright.basis.tables import Row, table
from jambwright.checks.heat import FrameHeat, edge_of, unit_heat
from jambwright.frame.frame import Frame
from jambwright.frame.layout import PlacedLight
from jambwright.readings.declared import Declared, DeclaredLight


def doubt(
    name: str, *, declared: float, modelled: float, by: str, field: str = "", of: str = ""
) -> Iterator[Problem]:
    """A caution where a declared value is better than the modelled one by more than is likely.

    >>> [p.field for p in doubt("u_w_m2k", declared=0.7, modelled=1.4, by="sheet 7")]
    ['wanted.declared.u_w_m2k']
    >>> list(doubt("u_w_m2k", declared=1.3, modelled=1.4, by="sheet 7"))
    []
    """
    row = table("declared_doubts").find(name=name)
    if not _unlikely(row, declared, modelled):
        return
    unit, scale = row["unit"], row["scale"]
    say = (
        f"{of}{row['label']}: declared {declared * scale:.4g} {unit} where {modelled * scale:.4g} {unit} is worked "
        f"out, which is more than is likely. See in {by} whether it is for this unit."
    )
    yield Problem(
        f"wanted.declared.{field or name}", f"{say[:1].upper()}{say[1:]}".replace("  ", " "), "caution"
    )


def _unlikely(row: Row, declared: float, modelled: float) -> bool:
    better = modelled - declared if row["better"] == "less" else declared - modelled
    if row["better"] == "either":
        better = abs(better)
    if row["difference"] is not None:
        return bool(better > row["difference"])
    share = declared / modelled
    return bool(share < row["share"] if row["better"] == "less" else share > row["share"])


def unit_doubts(declared: Declared | None, frame: Frame, heat: FrameHeat) -> list[Problem]:
    """Cautions about what is declared of a unit's heat and of its lights."""
    if declared is None:
        return []
    given = declared.model_dump(exclude_none=True)
    if declared.energy_band:
        given["energy_band"] = _least_index(declared.energy_band)
    found = [
        problem
        for name, modelled in _modelled(frame, heat).items()
        if name in given
        for problem in doubt(name, declared=given[name], modelled=modelled, by=declared.by)
    ]
    return found + [
        p for mark, said in declared.lights.items() for p in _light_doubts(mark, said, frame, declared.by)
    ]


def _modelled(frame: Frame, heat: FrameHeat) -> Mapping[str, float]:
    glass = [float(unit_heat(unit).u_w_m2k) for unit in frame.glazing.values() if unit]
    edge = table("edge_cold_spots").find(spacer=edge_of(frame.chosen).spacer)["f_rsi"]
    return {
        "u_w_m2k": heat.reference.u_w_m2k,
        "energy_band": heat.index_kwh_m2,
        "u_frame_w_m2k": frame.chosen.profile.u_frame_w_m2k,
        "f_rsi_edge": edge,
        **({"u_glass_w_m2k": min(glass)} if glass else {}),
    }


def _least_index(band: str) -> float:
    """The least index of a band; the last has none and promises nothing."""
    edge = table("index_bands").find(band=band)["at_least_kwh_m2"]
    return float("-inf") if edge is None else float(edge)


def _light_doubts(mark: str, said: DeclaredLight, frame: Frame, by: str) -> Iterator[Problem]:
    light = next((light for light in frame.layout.lights if light.mark == mark), None)
    if light is None or light.sash is None:
        opening = ", ".join(each.mark for each in frame.layout.lights if each.sash) or "none"
        say = (
            f"The maker's figures name light {mark}, which is no light that opens here ({opening}): "
            "its values are not used."
        )
        yield Problem(f"wanted.declared.lights.{mark}", say, "caution")
        return
    given, modelled = said.model_dump(exclude_none=True), _sizes_mm(light, frame)
    for name, value in given.items():
        yield from doubt(
            name,
            declared=value,
            modelled=modelled[name],
            by=by,
            field=f"lights.{mark}.{name}",
            of=f"light {mark}, ",
        )
    for pair in (("clear_width_mm", "clear_height_mm"), ("sash_width_mm", "sash_height_mm")):
        if len([name for name in pair if name in given]) == 1:
            both = " and ".join(table("declared_doubts").find(name=name)["label"] for name in pair)
            say = f"Light {mark}: {both} are declared together; one alone is not enough."
            yield Problem(f"wanted.declared.lights.{mark}", say, "caution")


def _sizes_mm(light: PlacedLight, frame: Frame) -> Mapping[str, float]:
    """Of a light by the generic profile; clear sizes at their largest, the sash out of the way."""
    assert light.sash is not None
    return {
        "clear_width_mm": light.sight.width_mm,
        "clear_height_mm": light.sight.height_mm,
        "bottom_mm": light.sight.y_mm + frame.size.sill_height_mm,
        "sash_width_mm": light.sash.width_mm,
        "sash_height_mm": light.sash.height_mm,
    }
