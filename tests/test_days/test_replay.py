from datetime import date

import numpy as np
import pytest

from fieldsim.days import Given, check_draw
from fieldsim.errors import InputError
from fieldsim.season import Season

WEEK = Season(date(2026, 5, 1), date(2026, 5, 7))


def three_seasons():
    return np.random.default_rng(0).random((3, 2, 7))


def test_given_seasons_come_back_as_they_stand_whatever_the_seed():
    suitable = three_seasons()
    given = Given(suitable, ("clay", "sand"))
    assert given.soils == ("clay", "sand")
    assert (given.draw(WEEK, 2, seed=0) == suitable[:2]).all()
    assert (given.draw(WEEK, 3, seed=5) == suitable).all()


def test_changing_a_draw_leaves_the_given_seasons_alone():
    given = Given(three_seasons(), ("clay", "sand"))
    given.draw(WEEK, 3, seed=0)[:] = 0
    assert (given.draw(WEEK, 3, seed=0) == three_seasons()).all()


def test_more_seasons_or_other_days_than_given_are_refused_together():
    with pytest.raises(InputError) as error:
        Given(np.ones((3, 1, 30))).draw(WEEK, 1000, seed=0)
    assert str(error.value).splitlines() == [
        "given seasons: seasons = 1000: 3 seasons are given; ask for 3 or fewer",
        "given seasons: days of the season = 7: the given seasons have 30 days; "
        "give the season the same first and last day",
    ]


@pytest.mark.parametrize(
    ("place", "share"), [((0, 0, 0), -0.01), ((2, 1, 6), 1.01), ((1, 0, 3), float("nan"))]
)
def test_a_share_outside_none_to_one_is_refused_with_its_place(place, share):
    suitable = three_seasons()
    suitable[place] = share
    season, soil, day = place
    with pytest.raises(
        ValueError, match=rf"suitable\[{season}, {soil}, {day}\] = {share}: a share"
    ):
        Given(suitable, ("clay", "sand"))


@pytest.mark.parametrize("shape", [(3, 7), (3, 1, 7), (3, 2, 7, 1)])
def test_an_array_with_other_axes_is_refused(shape):
    with pytest.raises(ValueError, match=r"the axes are season, soil \(2: clay, sand\) and day"):
        check_draw(np.ones(shape), ("clay", "sand"))
