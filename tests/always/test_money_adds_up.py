"""Whatever the prices: every sum is the sum of what is printed, recounted in plain decimal arithmetic."""

from decimal import ROUND_HALF_UP, Decimal

import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from demo_house import buying, house
from jambwright.basis.tables import read_text
from jambwright.plan.money import Line, counted, penny, price_by_margin, price_by_mark_up
from jambwright.plan.price import price_house
from jambwright.plan.prices import prices_from_tree

MATERIALS = buying().whole
PENNY, HALF = Decimal("0.01"), Decimal("0.005")
pence = st.integers(0, 500_000).map(lambda n: Decimal(n).scaleb(-2))
shares = st.integers(0, 9_500).map(lambda n: Decimal(n).scaleb(-2))


def demo_tree():
    return yaml.safe_load(read_text("demo_prices.yaml"))


@st.composite
def price_files(draw):
    tree = demo_tree()
    for row in (*tree["frames"], *tree["glass"], *tree["materials"]):
        row |= {name: draw(pence) for name in row if name.startswith(("per_", "obscure_"))}
    tree["labour"]["per_hour"] = draw(pence)
    tree["labour"]["pace"] = draw(st.sampled_from(("low", "typical", "high")))
    tree["access"] = {"once": draw(pence), "per_opening": draw(pence)}
    tree |= {name: draw(pence) for name in ("panel_per_m2", "travel_per_visit", "waste_per_tonne")}
    del tree["margin_percent"]
    tree[draw(st.sampled_from(("margin_percent", "mark_up_percent")))] = draw(shares)
    tree["vat"] |= {"percent": draw(shares), "per": draw(st.sampled_from(("total", "line")))}
    return tree


def half_up(amount):
    return amount.quantize(PENNY, ROUND_HALF_UP)


@settings(max_examples=30)
@given(price_files())
def test_every_sum_is_the_sum_of_its_lines_to_the_penny(tree):
    estimate = price_house(house(), MATERIALS, prices_from_tree(tree))
    cost = net = tax = Decimal(0)
    rate = tree["vat"]["percent"] / 100
    for part in estimate.parts:
        lines = [half_up(line.quantity * line.each) for line in part.lines]
        assert part.cost == sum(lines)
        if "margin_percent" in tree:
            assert part.price == half_up(part.cost / (1 - tree["margin_percent"] / 100))
        else:
            assert part.price == half_up(part.cost * (1 + tree["mark_up_percent"] / 100))
        cost, net, tax = cost + part.cost, net + part.price, tax + half_up(part.price * rate)
    assert (estimate.cost, estimate.net, estimate.earned) == (cost, net, net - cost)
    assert estimate.vat == (tax if tree["vat"]["per"] == "line" else half_up(net * rate))
    assert estimate.total == net + estimate.vat
    for amount in (estimate.cost, estimate.net, estimate.vat, estimate.total):
        assert amount == amount.quantize(PENNY)


@settings(max_examples=30)
@given(price_files())
def test_what_is_earned_is_the_share_it_is_named_for(tree):
    estimate = price_house(house(), MATERIALS, prices_from_tree(tree))
    slack = HALF * len(estimate.parts)
    if "margin_percent" in tree:
        assert abs(estimate.earned - estimate.net * tree["margin_percent"] / 100) <= slack
    else:
        assert abs(estimate.earned - estimate.cost * tree["mark_up_percent"] / 100) <= slack


@given(pence, st.integers(0, 95).map(Decimal))
def test_a_margin_is_the_mark_up_that_earns_the_same(cost, margin):
    mark_up = 100 * margin / (100 - margin)
    assert abs(price_by_margin(cost, margin) - price_by_mark_up(cost, mark_up)) <= PENNY


@given(st.decimals(0, 10**7, places=6))
def test_half_a_penny_goes_up(amount):
    assert abs(penny(amount) - amount) <= HALF
    assert penny(amount) - amount != -HALF


@given(st.floats(0, 10**5), st.integers(0, 4))
def test_what_is_charged_is_what_is_printed(amount, places):
    shown = counted(amount, places)
    assert -shown.as_tuple().exponent == places
    assert abs(float(shown) - amount) <= 0.5 * 10**-places * (1 + 1e-9) + 1e-9
    line = Line(kind="glass", what="glass", quantity=shown, unit="m2", each=Decimal("38.00"))
    assert line.amount == half_up(shown * 38)
