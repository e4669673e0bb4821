"""Whatever is wanted: packs hold it with its waste, and what is left is less than one more pack."""

from hypothesis import given
from hypothesis import strategies as st

from jambwright.basis.tables import table
from jambwright.plan.materials import bars, materials_of
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


@given(wanted())
def test_packs_hold_what_is_needed_with_its_waste(parts):
    (bought,) = materials_of(parts)
    whole = bought.packs * bought.pack.size
    with_waste = sum(part.amount for part in parts) * (1 + bought.pack.waste)
    assert whole >= with_waste * (1 - 1e-9)
    assert bought.used >= bought.needed * (1 - 1e-9)
    assert bought.left_over >= 0
    if bought.pack.kerf_mm is None:
        assert bought.left_over < bought.pack.size * (1 + 1e-6)


@given(st.lists(st.floats(50, 9000), min_size=1, max_size=40), st.sampled_from(["sill", "inside trim"]))
def test_no_bar_is_cut_beyond_its_end(pieces_mm, item):
    pack = pack_of(item)
    left = bars(pieces_mm, pack)
    room = pack.size - pack.ends_mm
    assert all(0 <= free < room for free in left)
    cut = sum(room - free for free in left)
    assert cut >= sum(pieces_mm) - 1e-6 * len(pieces_mm)
    # a cut behind every piece at most; a long piece is cut once more for each whole length it takes
    cuts = len(pieces_mm) + sum(int(piece // room) for piece in pieces_mm)
    assert cut <= sum(pieces_mm) + pack.kerf_mm * cuts + 1e-6
    assert len(left) * room >= sum(pieces_mm) * (1 - 1e-9)


@given(wanted(), st.data())
def test_more_openings_never_need_fewer_packs(parts, data):
    some = data.draw(st.integers(1, len(parts)))
    if parts[0].unit != "mm":  # first-fit may happen to pack a longer list better
        assert materials_of(parts[:some])[0].packs <= materials_of(parts)[0].packs
