"""Shares of pane load, closed forms: long side p t (L − t), short side p t², t half the short side."""

import pytest

from jambwright.checks.fixings import beside, frame_reactions, grid, pane, stacked


def test_pane_of_800_by_1200_sheds_384_and_192_newtons():
    edges = pane(width_mm=800, height_mm=1200, pressure_pa=1200)
    loads = [float(side.total_n()) for side in (edges.left, edges.right, edges.head, edges.sill)]
    assert loads == pytest.approx([384, 384, 192, 192], rel=1e-12)
    assert sum(loads) == pytest.approx(1152, rel=1e-12)


def test_square_pane_sheds_a_quarter_to_each_side():
    edges = pane(width_mm=1200, height_mm=1200, pressure_pa=1200)
    assert float(edges.left.total_n()) == pytest.approx(1728 / 4, rel=1e-12)


def test_mullion_between_850_wide_panes_carries_the_reference_reaction():
    """Case 1350 high, 850 + 850, 1.2 kPa: 471.8 N at each end, calculated independently."""
    edges = beside([pane(width_mm=850, height_mm=1350, pressure_pa=1200)] * 2)
    assert edges.head.point_n == pytest.approx([471.8], abs=0.06)
    assert edges.sill.point_n == pytest.approx([471.8], abs=0.06)


def test_transom_light_over_two_lights_keeps_every_newton():
    """Fanlight over the full width, two lights under it: sides sum to pressure times area."""
    edges = stacked([grid(widths_mm=[600, 900], heights_mm=[1100], pressure_pa=1000),
                     pane(width_mm=1500, height_mm=350, pressure_pa=1000)])  # fmt: skip
    assert [bar.kind for bar in edges.bars] == ["mullion", "transom"]
    total = sum(float(side.total_n()) for side in (edges.left, edges.right, edges.head, edges.sill))
    assert total == pytest.approx(1.5 * 1.45 * 1000, rel=1e-12)


# Jamb 1200, fixings at 150, 600, 1050, wind 1.2 kPa: integrated independently, good to 0.3 %.
@pytest.mark.parametrize(("width", "reactions"), [(800, [69.4, 245.2, 69.4]), (1200, [70.5, 291.0, 70.5])])
def test_reactions_of_a_jamb_match_the_reference(width, reactions):
    edges = grid(widths_mm=[width], heights_mm=[1200], pressure_pa=1200)
    jamb = [150, 600, 1050]
    ends = [150, width - 150]
    found = frame_reactions(
        edges=edges, positions_mm={"left": jamb, "right": jamb, "head": ends, "sill": ends}
    )
    assert found["left"] == pytest.approx(reactions, rel=3e-3)
    assert found["right"] == pytest.approx(reactions, rel=3e-3)
