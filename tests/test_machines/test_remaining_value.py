from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsim.machines import machine_class, machine_classes, mean_yearly_hours, remaining_share

CLASSES = st.sampled_from(machine_classes())
AGES = st.floats(0, 100)
USE = st.floats(0, 3_000)


@given(name=CLASSES, age=AGES, more=st.floats(0, 50), hours=USE)
def test_value_never_rises_with_age(name: str, age: float, more: float, hours: float) -> None:
    young, old = remaining_share(machine_class(name), [age, age + more], hours)
    assert 0 <= old <= young < 1


@given(name=CLASSES, age=AGES, hours=USE, more=st.floats(0, 3_000))
def test_value_never_rises_with_use(name: str, age: float, hours: float, more: float) -> None:
    little, much = remaining_share(machine_class(name), age, [hours, hours + more])
    assert 0 <= much <= little


def test_a_very_old_machine_is_worth_nothing_instead_of_more_again() -> None:
    # The root of the tillage equation is 0 at (0.891 / 0.110)^2 = 65.6 years.
    np.testing.assert_array_equal(remaining_share(machine_class("disk"), [66, 90, 150], 50), 0.0)
    assert remaining_share(machine_class("disk"), 65, 50) > 0


def test_the_first_year_counts_as_a_whole_one() -> None:
    shares = remaining_share(machine_class("planter"), [0.0, 0.5, 1.0], 80)
    np.testing.assert_allclose(shares, (0.883 - 0.0787) ** 2)


def test_hours_lower_the_value_of_tractors_only() -> None:
    for name in machine_classes():
        idle, busy = remaining_share(machine_class(name), 8, [0, 600])
        assert (busy < idle) == name.startswith("tractor")


def test_equation_of_a_large_tractor_by_hand() -> None:
    # 0.976 - 0.119 x 3 - 0.0019 x 20 = 0.581
    share = remaining_share(machine_class("tractor_large"), 9, 400)
    assert share.shape == ()
    assert float(share) == pytest.approx(0.581**2)


def test_ages_and_hours_broadcast() -> None:
    shares = remaining_share(machine_class("tractor_small"), np.arange(1, 4)[:, None], [200, 400])
    assert shares.shape == (3, 2)


def test_mean_use_of_a_new_machine_is_its_yearly_use() -> None:
    np.testing.assert_allclose(mean_yearly_hours(0, 0, [1, 10], 400), 400)


def test_mean_use_of_a_used_machine_counts_the_hours_before() -> None:
    assert mean_yearly_hours(10, 6_000, 5, 300) == (6_000 + 1_500) / 15


def test_a_machine_used_before_its_first_birthday_has_its_hours_in_one_year() -> None:
    assert mean_yearly_hours(0.25, 150, 0, 400) == 150


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: remaining_share(machine_class("disk"), -1, 50), r"age = -1 years"),
        (lambda: remaining_share(machine_class("disk"), 1, -5), r"yearly_hours = -5 h/year"),
        (lambda: remaining_share(machine_class("disk"), 1, 9_000), r"from 0 to 8784 h/year"),
        (lambda: mean_yearly_hours(-1, 0, 1, 1), r"age = -1 years"),
        (lambda: mean_yearly_hours(1, -1, 1, 1), r"hours = -1 h"),
        (lambda: mean_yearly_hours(1, 0, -1, 1), r"years = -1 years"),
        (lambda: mean_yearly_hours(1, 0, 1, float("nan")), r"yearly_hours = nan"),
    ],
)
def test_ages_and_hours_out_of_range_are_named(make: object, message: str) -> None:
    assert callable(make)
    with pytest.raises(ValueError, match=message):
        make()
