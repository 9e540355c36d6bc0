"""What an answer hangs on: exact on a farm that can be worked out, known for known functions."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from numpy.typing import NDArray

import fieldsim
from fieldsim.decisions import total_cost
from fieldsim.decisions.sensitivity.inputs import Input
from fieldsim.decisions.sensitivity.one_at_a_time import flips, ranges
from fieldsim.decisions.sensitivity.together import sobol, variance_shares
from fieldsim.errors import InputError
from fieldsim.farm import Farm, parse_farm
from tests.farms import HAND_FARM, HAND_TABLES, always, hand_farm

# Two options on the hand-worked farm that do the same work: 40 ha at 2 ha/h and at 1 ha/h are 60
# hours; one of them has a planter of $20,000 that comes to $1,000 a year (20 years, no interest),
# the other is hired at $30/ha, its planting done without own hours.
OWN = '[machines.planter]\noperations = ["plant"]\n'
OWNED = OWN + 'price = "$20,000"\nyears = 20\nsalvage = 0.0\n'
HIRED = (
    '[machines.hired]\noperations = ["plant"]\nwidth = "2.5 m"\nspeed = "8 km/h"\n'
    'field_efficiency = 0.5\ncustom = { rate = "$30/ha", arrives_after = "0 days" }\n\n'
    "[options.usual]"
)
SECOND = "\n[options.hire]\nmachines = { disk = 1, hired = 1 }\n"

WAGE = Input("wage", ("money.wage",), "$10/h", "$40/h", "figure")
PRICE = Input("planter price", ("machines.planter.price",), 0.5, 2.0)
RATE = Input("rate", ("machines.hired.custom.rate",), "$20/ha", "$60/ha", "figure")
LOSS = Input("loss", ("crops.corn.yield_by_planting_date",), 0.5, 2.0)


def two_ways(chain: str = HAND_TABLES["days.csv"]) -> Farm:
    text = HAND_FARM.replace(OWN, OWNED).replace("[options.usual]", HIRED) + SECOND
    return parse_farm(text, {"days.csv": chain})


def test_effects_are_those_of_the_exact_derivatives_where_cost_is_linear() -> None:
    table = ranges(two_ways(), [WAGE, PRICE], option="usual", seasons=3)
    # 20 h with the disk and 40 h with the planter, one person each.
    assert table.effect["wage"] == pytest.approx(60 * (40 - 10))
    assert table.effect["planter price"] == pytest.approx(1000 * (2.0 - 0.5))
    assert (table.effect_error < 1e-6).all()  # every season is the same
    hired = ranges(two_ways(), [WAGE, RATE], option="hire", seasons=3)
    assert hired.effect["wage"] == pytest.approx(20 * (40 - 10))
    assert hired.effect["rate"] == pytest.approx(40 * (60 - 20))


def test_a_difference_moves_by_the_difference_of_the_effects() -> None:
    table = ranges(two_ways(), [WAGE, PRICE, RATE], option="usual", against="hire", seasons=3)
    assert table.effect.to_dict() == pytest.approx(
        {"wage": 40 * 30, "planter price": 1500, "rate": -1600}
    )
    assert list(table.index) == ["rate", "planter price", "wage"]  # the largest effect first
    # 40 h of wages and the planter against $1,200.
    assert table.at_own.to_numpy() == pytest.approx([40 * 20 + 1000 - 1200] * 3)


def test_the_error_is_that_of_paired_seasons() -> None:
    farm = two_ways(always(0.8, 0.5))
    table = ranges(farm, [LOSS], option="usual", seasons=200)
    costs = [
        fieldsim.simulate(farm, 200).lost_revenue.sel(option="usual").sum("crop").values * factor
        for factor in (0.5, 2.0)
    ]
    paired = costs[1] - costs[0]
    # Twice the loss by date is twice the lost revenue: all land is planted in the season.
    assert table.effect["loss"] == pytest.approx(paired.mean())
    assert table.effect_error["loss"] == pytest.approx(paired.std(ddof=1) / np.sqrt(200))


def test_a_decision_flips_where_the_costs_are_equal() -> None:
    # By itself usual costs 40 x wage + 1,000 x price factor, hire 40 x rate: $1,800 and $1,200.
    table = ranges(two_ways(), [WAGE, PRICE, RATE], seasons=3)
    assert table.attrs["best"] == "hire"
    assert table.flips.to_dict() == {"rate": True, "planter price": False, "wage": False}
    assert table.flips_at["rate"] == "$45.00/ha"
    assert table.flips_at["planter price"] == ""
    assert (table.best_low["rate"], table.best_high["rate"]) == ("hire", "usual")


def test_flips_say_what_would_have_to_be_true() -> None:
    found = flips(two_ways(), [WAGE, PRICE, RATE], seasons=3)
    rate = found[found.input == "rate"].iloc[0]
    assert rate.position == pytest.approx(45.0, rel=1e-3)
    assert (rate.then, rate.own, rate.flips_at) == ("usual", "$30/ha", "$45.00/ha")
    assert rate.of_range == pytest.approx(15 / 30, rel=1e-3)
    assert rate.position_error == pytest.approx(0, abs=1e-9)


def test_the_error_of_a_flip_is_that_of_the_difference_over_its_slope() -> None:
    text = two_ways().text.replace(
        'width = "2.5 m"\nspeed = "8 km/h"\nfield_efficiency = 0.5\ncust',
        'width = "6 m"\nspeed = "8 km/h"\nfield_efficiency = 0.5\ncust',
    )
    farm = parse_farm(text, {"days.csv": always(0.6, 0.3)})
    rate = Input("rate", RATE.paths, "$20/ha", "$300/ha", "figure")
    found = flips(farm, [rate], seasons=100).iloc[0]
    cost = total_cost(fieldsim.simulate(farm, 100))
    paired = cost.sel(option="usual").values - cost.sel(option="hire").values
    # Each $/ha of the rate costs $40 on the 40 ha, which are planted in nearly every season.
    assert found.position_error == pytest.approx(paired.std(ddof=1) / 10 / 40, rel=0.05)
    assert found.position == pytest.approx(30 + paired.mean() / 40, rel=0.05)
    assert found.position_error > 0


def test_where_nothing_flips_the_table_is_empty_and_has_its_columns() -> None:
    found = flips(two_ways(), [Input("price", ("crops.corn.price",), 0.9, 1.1)], seasons=3)
    assert found.empty
    assert {"input", "flips_at", "then", "position"} <= set(found.columns)


def test_one_option_alone_flips_nothing() -> None:
    table = ranges(hand_farm(), [WAGE], seasons=3)
    assert not table.flips.any()
    with pytest.raises(InputError, match="one option only"):
        ranges(hand_farm(), [WAGE], against="usual")


def test_a_flip_between_whole_numbers_is_found() -> None:
    crew = Input("operators", ("options.two_six_rows.operators",), 1, 3, "figure")
    found = flips(fieldsim.demo_farm(), [crew], seasons=50)
    assert found.then.tolist() == ["eight_rows"]
    assert 1 < found.position[0] < 3


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ({"option": "none"}, "option = 'none': there is no such option; options are usual, hire"),
        ({"option": "hire", "against": "hire"}, "this is the option itself"),
        ({"seasons": 0}, "seasons = 0"),
        ({"inputs": []}, "there is none"),
    ],
)
def test_what_cannot_be_asked_is_told(words, said) -> None:
    with pytest.raises(InputError, match=said):
        ranges(two_ways(), **({"inputs": [WAGE]} | words))


def ishigami(shares: NDArray[np.float64]) -> NDArray[np.float64]:
    """Ishigami and Homma (1990), with a = 7 and b = 0.1, on shares of -pi..pi."""
    x = np.pi * (2 * shares - 1)
    return np.sin(x[0]) + 7 * np.sin(x[1]) ** 2 + 0.1 * x[2] ** 4 * np.sin(x[0])


def known_ishigami(a: float = 7.0, b: float = 0.1) -> tuple[list[float], list[float]]:
    """First-order and total indices in closed form.

    Ishigami and Homma (1990), An importance quantification technique in uncertainty analysis for
    computer models, Proc. ISUMA '90; variances as worked out in Saltelli et al. (2008), Global
    Sensitivity Analysis: The Primer, section 4.6; from memory, and by hand.
    """
    pi4 = np.pi**4
    first = 0.5 * (1 + b * pi4 / 5) ** 2
    second = a**2 / 8
    both = b**2 * pi4**2 * (1 / 18 - 1 / 50)
    total = first + second + both
    return [first / total, second / total, 0.0], [
        (first + both) / total,
        second / total,
        both / total,
    ]


def test_indices_of_ishigamis_function_are_found_and_lie_in_their_intervals() -> None:
    table = variance_shares(ishigami, ["x1", "x2", "x3"], samples=4096)
    for name, known in zip(("first_order", "total"), known_ishigami(), strict=True):
        assert table[name].to_numpy() == pytest.approx(known, abs=0.02)
        assert (table[f"{name}_low"] <= known).all()
        assert (table[f"{name}_high"] >= known).all()
    # The same numbers from the printed example of SciPy's sobol_indices (1,024 random samples).
    printed = [0.31637954, 0.43781162, 0.00318825], [0.56122127, 0.44287857, 0.24229595]
    np.testing.assert_allclose(np.array(known_ishigami()), printed, atol=0.01)


def test_indices_of_a_linear_function_are_its_squared_slopes() -> None:
    table = variance_shares(lambda x: 3 * x[0] - 4 * x[1] + 0 * x[2], list("abc"), samples=1024)
    assert table.first_order.to_numpy() == pytest.approx([9 / 25, 16 / 25, 0], abs=0.01)
    assert table.total.to_numpy() == pytest.approx([9 / 25, 16 / 25, 0], abs=0.01)
    assert table.loc["c"].to_numpy() == pytest.approx(np.zeros(6), abs=1e-12)


def test_indices_of_a_farm_that_is_linear_are_its_squared_effects() -> None:
    inputs = [WAGE, PRICE, RATE]
    of = {"option": "usual", "against": "hire", "seasons": 2}
    table = sobol(two_ways(), inputs, samples=64, **of)
    effects = ranges(two_ways(), inputs, **of).effect
    shares = (effects**2 / (effects**2).sum())[table.index]
    assert table.first_order.to_numpy() == pytest.approx(shares.to_numpy(), abs=0.1)
    assert table.total.to_numpy() == pytest.approx(shares.to_numpy(), abs=0.1)
    assert table.index[0] == "rate"
    # Uniform ranges: the variance is a twelfth of the squared effects; the mean is at the middle.
    assert table.attrs["standard_deviation"] == pytest.approx(
        np.sqrt((effects**2).sum() / 12), rel=0.1
    )
    assert table.attrs["mean"] == pytest.approx(40 * 25 + 1250 - 40 * 40, abs=60)
    assert 0 < table.attrs["cheaper"] < 1


def test_the_same_seed_gives_the_same_indices_and_intervals() -> None:
    tables = [sobol(two_ways(), [WAGE, PRICE], samples=16, seasons=2, seed=5) for _ in range(2)]
    pd.testing.assert_frame_equal(*tables)


def test_progress_is_told_up_to_the_end() -> None:
    for call, more in ((ranges, {}), (sobol, {"samples": 16})):
        told: list[float] = []
        call(two_ways(), [WAGE, PRICE], seasons=2, progress=told.append, **more)
        assert told == sorted(told)
        assert told[-1] == 1.0


@pytest.mark.parametrize("samples", [0, 15, 100, 131_072, 64.0])
def test_a_number_of_samples_that_is_no_power_of_2_is_refused(samples) -> None:
    with pytest.raises(InputError, match="a power of 2 from 16 to 65,536"):
        sobol(two_ways(), [WAGE, PRICE], samples=samples)


def test_shares_of_the_variance_need_two_inputs() -> None:
    with pytest.raises(InputError, match="two inputs or more"):
        sobol(two_ways(), [WAGE])
