"""Heat, damp and money: U of glass and windows, sun, energy index, condensation, saving, options side by side."""

from jambwright.checks.heat.climate import Climate, climate, degree_days_of_year, region_of_nation
from jambwright.checks.heat.comparison import Option, OptionRow, compare, sound_rw_db
from jambwright.checks.heat.damp_year import (
    ColdSpot,
    RoomClimate,
    SpotYear,
    cold_spots,
    condensation_verdicts,
    damp_advice,
    spot_year,
)
from jambwright.checks.heat.energy_index import Band, area_weighted, energy_band
from jambwright.checks.heat.frame_heat import (
    USUAL_EDGE,
    Edge,
    FrameHeat,
    edge_of,
    frame_heat,
    layout_heat,
    ordered_heat,
)
from jambwright.checks.heat.glass_u import GlassHeat, glass_heat
from jambwright.checks.heat.outside_dew import outside_dew_note
from jambwright.checks.heat.payback import Heating, Range, heat_range, heating_of, payback_words
from jambwright.checks.heat.saving import (
    Glazed,
    House,
    Replacement,
    Saved,
    by_degree_days,
    by_months,
    usual_house,
)
from jambwright.checks.heat.standing import StandingWindow, standing_now, standing_window
from jambwright.checks.heat.unit import unit_g, unit_heat
from jambwright.checks.heat.window_u import Infill, WindowHeat, window_heat

__all__ = [
    "USUAL_EDGE",
    "Band",
    "Climate",
    "ColdSpot",
    "Edge",
    "FrameHeat",
    "GlassHeat",
    "Glazed",
    "Heating",
    "House",
    "Infill",
    "Option",
    "OptionRow",
    "Range",
    "Replacement",
    "RoomClimate",
    "Saved",
    "SpotYear",
    "StandingWindow",
    "WindowHeat",
    "area_weighted",
    "by_degree_days",
    "by_months",
    "climate",
    "cold_spots",
    "compare",
    "condensation_verdicts",
    "damp_advice",
    "degree_days_of_year",
    "edge_of",
    "energy_band",
    "frame_heat",
    "glass_heat",
    "heat_range",
    "heating_of",
    "layout_heat",
    "ordered_heat",
    "outside_dew_note",
    "payback_words",
    "region_of_nation",
    "sound_rw_db",
    "spot_year",
    "standing_now",
    "standing_window",
    "unit_g",
    "unit_heat",
    "usual_house",
    "window_heat",
]
