"""The steel table and the stiffness of profile with steel against sectionproperties, a mesh library."""

import pytest
from sectionproperties.analysis import Section
from sectionproperties.pre import Material
from sectionproperties.pre.library import (
    channel_section,
    circular_hollow_section,
    rectangular_hollow_section,
    rectangular_section,
)

from jambwright.basis import table
from jambwright.checks.members import parallel_ei_n_mm2

STEEL_KG_M3, TIMBER_KG_M3 = 7850, 375


def drawn(row):
    across, deep, wall = row["across_mm"], row["deep_mm"], row["wall_mm"]
    if row["shape"] == "box":
        return rectangular_hollow_section(d=deep, b=across, t=wall, r_out=0, n_r=1)
    if row["shape"] == "channel":
        # the web lies along the glass, the flanges point along the wind
        return channel_section(d=across, b=deep, t_f=wall, t_w=wall, r=0, n_r=1)
    if row["shape"] == "tube":
        return circular_hollow_section(d=across, t=wall, n=512)
    return rectangular_section(d=deep, b=across)


def second_moments_cm4(geometry):
    section = Section(geometry.create_mesh(mesh_sizes=[4]))
    section.calculate_geometric_properties()
    ixx, iyy, _ = section.get_ic()
    return ixx / 1e4, iyy / 1e4, section.get_area()


@pytest.mark.parametrize("row", [pytest.param(r, id=r["section"]) for r in table("reinforcement")])
def test_section_table_matches_finite_elements(row):
    """Three figures in the table, so half a unit of the last; channels about their own centroid."""
    ixx, iyy, area = second_moments_cm4(drawn(row))
    tolerance = 0.051 if row["i_cm4"] >= 10 else 0.0051
    deep = iyy if row["shape"] == "channel" else ixx
    assert row["i_cm4"] == pytest.approx(deep, abs=tolerance)
    density = STEEL_KG_M3 if row["material"] == "steel" else TIMBER_KG_M3
    assert row["kg_m"] == pytest.approx(area * 1e-6 * density, abs=0.0051)


def test_profile_and_steel_on_one_axis_add_up_as_a_composite_does():
    """A plastic box with a steel box filling its chamber bends as the sum of both, exactly."""
    plastic = Material("plastic", 2500, 0.4, 40, 1.4e-6, "white")
    steel = Material("steel", 210_000, 0.3, 200, 7.85e-6, "grey")
    profile = rectangular_hollow_section(d=70, b=70, t=3, r_out=0, n_r=1, material=plastic)
    insert = rectangular_hollow_section(d=64, b=64, t=1.5, r_out=0, n_r=1, material=steel)
    insert = insert.align_center(align_to=profile)
    section = Section((profile + insert).create_mesh(mesh_sizes=[4, 4]))
    section.calculate_geometric_properties()
    composite, *_ = section.get_eic()
    boxes = [rectangular_hollow_section(d=70, b=70, t=3, r_out=0, n_r=1),
             rectangular_hollow_section(d=64, b=64, t=1.5, r_out=0, n_r=1)]  # fmt: skip
    apart = [second_moments_cm4(box)[0] for box in boxes]
    assert parallel_ei_n_mm2(e_n_mm2=[2500, 210_000], i_cm4=apart) == pytest.approx(composite, rel=1e-6)
