"""Whatever is wanted: packs hold it with its waste, and what is left is less than one more pack."""

from hypothesis import given
from hypothesis import strategies as st

from jambwright.basis.tables import table
from jambwright.plan.cutting_list import bars_taken, cutting_lists
from jambwright.plan.materials import materials_of
from jambwright.plan.packs import pack_of
from jambwright.plan.quantities import Quantity

ROWS = [(row["item"], row["size"] or "any") for row in table("packs")]


@st.composite
def wanted(draw):
    item, size = draw(st.sampled_from(ROWS))
    pack = pack_of(item, size)
    most = 1.4 * pack.size if pack.kerf_mm else 5 * pack.size
    amounts = draw(st.lists(st.floats(0.01 * pack.size, most), min_size=1, max_size=30))
    return [
        Quantity(item=item, size=size, amount=a, unit=pack.unit, opening_id=f"W{n % 7}")
        for n, a in enumerate(amounts)
    ]


def bought(parts):
    return materials_of(parts, bars_taken(cutting_lists(parts, seconds=0.1)))


@given(wanted())
def test_packs_hold_what_is_needed_with_its_waste(parts):
    (each,) = bought(parts)
    whole = each.packs * each.pack.size
    with_waste = sum(part.amount for part in parts) * (1 + each.pack.waste)
    assert whole >= with_waste * (1 - 1e-9)
    assert each.used >= each.needed * (1 - 1e-9)
    assert each.left_over >= 0
    if each.pack.kerf_mm is None:
        assert each.left_over < each.pack.size * (1 + 1e-6)


@given(wanted(), st.data())
def test_more_openings_never_need_fewer_packs(parts, data):
    some = data.draw(st.integers(1, len(parts)))
    if parts[0].unit != "mm":  # in the time it has, cutting may do better with a longer list
        assert bought(parts[:some])[0].packs <= bought(parts)[0].packs
