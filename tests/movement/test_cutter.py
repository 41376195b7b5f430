"""The groove depths that a shop can cut: the shallowest that is deep enough, and where there is none."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from movement.errors import RangeError
from movement.fits.cutter import DEPTH, STEP, Cutter

INCH = 25.4
lists = st.lists(st.floats(*DEPTH), min_size=1, max_size=8).map(tuple)


@pytest.mark.parametrize(
    ("cutter", "least", "depth"),
    [
        (Cutter(step=1.0), 6.9476, 7.0),
        (Cutter(step=1.0), 7.0, 7.0),
        (Cutter(step=1.0), 7.0 + 1e-12, 7.0),  # floating error costs no step
        (Cutter(step=1.0), 7.001, 8.0),
        (Cutter(step=0.5), 7.001, 7.5),
        (Cutter(step=INCH / 32), 7.0, 9 * INCH / 32),  # 7.14375 mm; 8/32 in is 6.35 mm
        (Cutter(depths=(6.0, 8.0, 10.0)), 6.5, 8.0),
        (Cutter(depths=(10.0, 6.0, 8.0)), 6.5, 8.0),
        (Cutter(depths=(6.0, 8.0, 10.0)), 10.0 + 1e-12, 10.0),
        (Cutter(step=5.0, depths=(6.0,)), 2.0, 6.0),  # the list rules where there is one
        (Cutter(step=0.25), 0.0, 1.0),
        (Cutter(step=0.3), 0.0, 1.2),
        (Cutter(step=25.4), 0.0, 25.4),
    ],
)
def test_the_shallowest_that_is_deep_enough(cutter: Cutter, least: float, depth: float) -> None:
    assert cutter.choose(least) == pytest.approx(depth, abs=1e-9)


@pytest.mark.parametrize("cutter", [Cutter(depths=(5.0, 6.5)), Cutter(step=7.0)])
def test_none_where_the_shop_has_none(cutter: Cutter) -> None:
    assert cutter.choose(cutter.deepest) == cutter.deepest
    assert cutter.choose(cutter.deepest + 0.01) is None


@pytest.mark.parametrize(
    ("cutter", "deepest"),
    [
        (Cutter(depths=(8.0, 12.0, 10.0)), 12.0),
        (Cutter(step=1.0), 100.0),
        (Cutter(step=7.0), 98.0),
        (Cutter(step=25.4), 76.2),
    ],
)
def test_the_deepest_groove_is_the_last_step_within_the_cutter_s_reach(cutter: Cutter, deepest: float) -> None:
    assert cutter.deepest == pytest.approx(deepest, abs=1e-9)


@given(st.floats(*STEP), st.floats(0.0, 120.0))
def test_a_depth_is_a_multiple_of_the_step_deep_enough_and_none_shallower_is(step: float, least: float) -> None:
    depth = Cutter(step=step).choose(least)
    if depth is None:
        # the next multiple would pass the limit
        assert least + step > DEPTH[1]
    else:
        assert depth / step == pytest.approx(round(depth / step), abs=1e-6)
        assert depth >= max(least, DEPTH[0]) - 2e-9
        assert depth - step < max(least, DEPTH[0])
        assert depth <= DEPTH[1]


@given(lists, st.floats(0.0, 120.0))
def test_of_a_list_the_shallowest_that_is_deep_enough(depths: tuple[float, ...], least: float) -> None:
    enough = [depth for depth in depths if depth >= least]
    chosen = Cutter(depths=depths).choose(least)
    assert chosen == (min(enough) if enough else None) or abs((chosen or 0) - least) <= 1e-9


@pytest.mark.parametrize("step", [0.0, 0.009, 25.5, float("nan")])
def test_a_step_out_of_range_is_refused(step: float) -> None:
    with pytest.raises(RangeError) as caught:
        Cutter(step=step)
    assert caught.value.name == "step between groove depths"
    assert (caught.value.low, caught.value.high, caught.value.unit) == (*STEP, "mm")


@pytest.mark.parametrize("depth", [0.0, 0.99, 100.1, float("inf")])
def test_a_depth_out_of_range_is_refused(depth: float) -> None:
    with pytest.raises(RangeError) as caught:
        Cutter(depths=(8.0, depth))
    assert (caught.value.name, caught.value.value) == ("groove depth", depth)
