"""Wind pressure by name: peak pressure of a site, and the net pressure on one window of a building."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from jambwright.basis import BadInput, Problem, Working
from jambwright.basis.border import Positive, Strict
from jambwright.basis.problems import raise_if_any
from jambwright.calc.calculation import Answer, Calculation
from jambwright.checks.wind import (
    MapSite,
    TerrainSite,
    classes_wanted,
    map_notes,
    map_speed_help,
    net_pressures,
    peak_pressure_pa,
    window_problems,
    zone_of,
)

Terrain = Annotated[
    Literal["0", "I", "II", "III", "IV"], BeforeValidator(lambda given: "0" if given == 0 else given)
]


class Building(Strict):
    """Plan and height of the building; breadth across the wind, depth along it."""

    breadth_m: Positive
    depth_m: Positive
    height_m: Positive


class Window(Strict):
    """The window's place in the wall."""

    area_m2: Positive
    from_corner_m: Annotated[float, Field(ge=0)]
    """From the windward corner of the building to the window's nearest edge."""
    wall: Literal["windward", "side", "leeward"]


class WindPressureInput(Strict):
    """A site by terrain category (`en`) or by the UK National Annex (`uk`), with or without a window."""

    method: Literal["en", "uk"]
    basic_wind_speed_ms: Positive | None = None
    terrain: Terrain | None = None
    height_m: Positive | None = None
    orography: float = 1.0
    air_density_kg_m3: Positive | None = None
    """1.25 when left out."""
    map_wind_speed_ms: Positive | None = None
    """Off the national wind map, without altitude."""
    altitude_m: float | None = None
    distance_to_sea_km: Annotated[float, Field(ge=0)] | None = None
    distance_in_town_km: Annotated[float, Field(ge=0)] | None = None
    """Shortest distance to the edge of town; 0, open country, when left out."""
    effective_height_m: Positive | None = None
    """Height above ground less the shelter of dense housing upwind."""
    direction_factor: float = 1.0
    building: Building | None = None
    window: Window | None = None
    internal: Literal["worst"] | float = "worst"
    """Internal pressure coefficient; `worst` takes +0.2 and -0.3."""


InOut = dict[Literal["in", "out"], float]
"""Into the room is positive, out of it negative; 0 where the wind can't act that way."""


class WindPressureAnswer(Answer):
    """Peak pressure, and the net pressures on the window where one was given."""

    peak_pressure_pa: float
    zone: str | None = None
    net_coefficients: InOut | None = None
    net_pressures_pa: InOut | None = None
    wind_class: str | None = None
    """Least EN 12210 class for the greater net pressure."""
    exposure_category: str | None = None
    notes: list[str] = []


_WANTED = {
    "en": {
        "basic_wind_speed_ms": "give the basic wind speed of the national map, m/s",
        "terrain": "give 0 (sea), I, II, III (suburbs) or IV (city)",
        "height_m": "give the height of the building above ground",
    },
    "uk": {
        "map_wind_speed_ms": f"read it off the wind map: {map_speed_help()}",
        "altitude_m": "give the height of the site above the sea",
        "distance_to_sea_km": "give the shortest distance to the sea",
        "effective_height_m": "give the height of the building above ground",
    },
}
_OPTIONAL = {"en": {"air_density_kg_m3"}, "uk": {"distance_in_town_km"}}


def _field_problems(given: WindPressureInput) -> Iterator[Problem]:
    mine, other = (given.method, "uk" if given.method == "en" else "en")
    for field, remedy in _WANTED[mine].items():
        if getattr(given, field) is None:
            yield Problem(field, f"{field}: is missing for method {mine}; {remedy}.")
    for field in [*_WANTED[other], *_OPTIONAL[other]]:
        if getattr(given, field) is not None:
            yield Problem(field, f"{field}: belongs to method {other}; remove it or change the method.")
    for field, partner in (("building", "window"), ("window", "building")):
        if getattr(given, field) is None and getattr(given, partner) is not None:
            yield Problem(field, f"{field}: is missing; the net pressure needs building and window.")


def _site(given: WindPressureInput) -> TerrainSite | MapSite:
    raise_if_any(_field_problems(given))
    kind, optional = (
        (TerrainSite, "air_density_kg_m3") if given.method == "en" else (MapSite, "distance_in_town_km")
    )
    taken = [*_WANTED[given.method], "orography", "direction_factor"]
    if getattr(given, optional) is not None:
        taken.append(optional)
    return kind(**{field: getattr(given, field) for field in taken})


def _zone(building: Building, window: Window, work: Working) -> str:
    raise_if_any(
        window_problems(
            height_over_depth={"building": building.height_m / building.depth_m},
            area_m2=window.area_m2,
            from_corner_m=window.from_corner_m,
        )
    )
    along_m = building.depth_m if window.wall == "side" else building.breadth_m
    if window.from_corner_m > along_m:
        raise BadInput.one(
            "window.from_corner_m",
            f"window.from_corner_m: {window.from_corner_m:g} m is beyond the {window.wall} wall, which is "
            f"{along_m:g} m long. Measure from the building's corner to the window.",
        )
    return str(
        zone_of(
            wall=window.wall, breadth_m=building.breadth_m, height_m=building.height_m,
            from_corner_m=window.from_corner_m, work=work,
        )
    )  # fmt: skip


def _run(given: WindPressureInput, work: Working) -> WindPressureAnswer:
    site = _site(given)
    peak = float(peak_pressure_pa(site, work))
    found: dict[str, Any] = {"peak_pressure_pa": peak}
    notes = map_notes(site) if isinstance(site, MapSite) else []
    if given.building and given.window:
        zone = _zone(given.building, given.window, work)
        net = net_pressures(
            peak_pa=peak, zone=zone, height_over_depth=given.building.height_m / given.building.depth_m,
            area_m2=given.window.area_m2, method=given.method, internal=given.internal, work=work,
        )  # fmt: skip
        coefficients: InOut = {"in": float(net.coefficients.into), "out": float(net.coefficients.out)}
        pressures: InOut = {"in": float(net.in_pa), "out": float(net.out_pa)}
        wanted = classes_wanted(max(pressures["in"], -pressures["out"]))
        found |= {
            "zone": zone,
            "net_coefficients": coefficients,
            "net_pressures_pa": pressures,
            "wind_class": wanted.wind,
            "exposure_category": wanted.category,
        }
        if zone in "ABC":
            notes.append(FUNNEL)
    return WindPressureAnswer(**found, notes=notes)


FUNNEL = (
    "A house beside this wall, at a gap of a quarter to the whole of the smaller of breadth and twice the "
    "height, funnels the wind: the suction can rise by a third in zone A and more in C. Ask an engineer."
)


CALCULATIONS = (
    Calculation(
        name="wind-pressure",
        summary="Peak wind pressure of a site, and net pressure in and out on a window.",
        asks=WindPressureInput,
        answers=WindPressureAnswer,
        run=_run,
        example={
            "method": "uk",
            "map_wind_speed_ms": 21.8,
            "altitude_m": 140,
            "distance_to_sea_km": 100,
            "distance_in_town_km": 5,
            "effective_height_m": 8,
            "building": {"breadth_m": 8, "depth_m": 9, "height_m": 5.5},
            "window": {"area_m2": 1.4, "from_corner_m": 1.0, "wall": "side"},
        },
    ),
)
