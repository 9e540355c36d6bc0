import numpy as np
import pytest

from fieldsim.days import normal_scores, weekly_quantiles
from fieldsim.randomness import stream

SEASONS = 40_000
Z = 4.0  # standard errors: a true band is left once in 16,000 comparisons


def correlations_by_lag(scores, lag):
    """Correlation of every pair of weeks so far apart."""
    matrix = np.corrcoef(scores.T)
    return np.diagonal(matrix, offset=lag)


@pytest.mark.parametrize(
    ("week_correlation", "season_share"), [(0.3, 0.0), (0.3, 0.25), (0.0, 0.4), (-0.2, 0.0)]
)
def test_weeks_are_correlated_as_the_parameters_say_at_every_lag(week_correlation, season_share):
    scores = normal_scores(
        SEASONS, 10, 0, week_correlation=week_correlation, season_share=season_share
    )
    for lag in range(1, 10):
        expected = season_share + (1 - season_share) * week_correlation**lag
        # Standard error of a correlation of normal pairs: (1 - r^2) / sqrt(n).
        band = Z * (1 - expected**2) / np.sqrt(SEASONS)
        assert correlations_by_lag(scores, lag) == pytest.approx(expected, abs=band)


@pytest.mark.parametrize("season_share", [0.0, 0.3, 1.0])
def test_every_week_has_standard_normal_scores(season_share):
    scores = normal_scores(SEASONS, 10, 3, week_correlation=0.5, season_share=season_share)
    assert scores.mean(axis=0) == pytest.approx(0.0, abs=Z / np.sqrt(SEASONS))
    assert scores.var(axis=0) == pytest.approx(1.0, abs=Z * np.sqrt(2 / SEASONS))


def test_a_season_share_of_one_gives_every_week_the_same_score():
    scores = normal_scores(50, 6, 1, week_correlation=0.3, season_share=1.0)
    assert (scores == scores[:, :1]).all()


def test_the_two_streams_are_taken_as_they_come():
    weeks, season = (
        normal_scores(50, 6, 1, week_correlation=0.3, season_share=share)[:, 0]
        for share in (0.0, 1.0)
    )
    assert (weeks == stream(1, "days.weeks").standard_normal((50, 6))[:, 0]).all()
    assert (season == stream(1, "days.season").standard_normal(50)).all()


def test_the_season_component_leaves_the_draw_of_the_weeks_alone():
    alone = normal_scores(50, 6, 1, week_correlation=0.3, season_share=0.0)
    with_season = normal_scores(50, 6, 1, week_correlation=0.3, season_share=0.19)
    common = (with_season - np.sqrt(0.81) * alone) / np.sqrt(0.19)
    assert common == pytest.approx(np.broadcast_to(common[:, :1], common.shape), abs=1e-12)


def test_streams_of_different_names_are_independent():
    days = normal_scores(SEASONS, 1, 0, week_correlation=0.3, season_share=0.0)
    pilot = normal_scores(SEASONS, 1, 0, week_correlation=0.3, season_share=0.0, name="days.pilot")
    assert abs(np.corrcoef(days[:, 0], pilot[:, 0])[0, 1]) < Z / np.sqrt(SEASONS)


def quantiles(shares, days, tails, percentiles=(0.2, 0.5, 0.8)):
    column = np.array(shares)[:, None]
    return weekly_quantiles(column, np.array(percentiles), np.array([days]), tails)[:, 0]


def test_quantiles_are_linear_between_the_percentiles():
    at = [0.2, 0.35, 0.5, 0.6, 0.8]
    assert quantiles(at, (1.0, 3.0, 4.5), "hold") == pytest.approx([1.0, 2.0, 3.0, 3.5, 4.5])


def test_extended_tails_go_on_with_the_slope_of_the_outermost_interval():
    # Slopes 2 / 0.3 below and 1.5 / 0.3 above.
    expected = [3.0 - 2.0 * 0.4 / 0.3, 4.5 + 0.5, 4.5 + 1.0]
    assert quantiles([0.1, 0.9, 1.0], (1.0, 3.0, 4.5), "extend") == pytest.approx(expected)


def test_extended_tails_are_cut_off_at_none_and_seven_days():
    # The slope is kept up to the bound: 0.5 days are reached at 0.15, none from 0.10 on.
    assert quantiles([0.0, 0.1, 0.15], (1.0, 4.0, 6.5), "extend") == pytest.approx([0, 0, 0.5])
    assert quantiles([0.86, 0.9, 1.0], (1.0, 4.0, 6.5), "extend") == pytest.approx([7, 7, 7])


def test_held_tails_keep_the_outermost_days():
    assert quantiles([0.0, 0.1, 0.9, 1.0], (1.0, 3.0, 4.5), "hold").tolist() == [1, 1, 4.5, 4.5]


def test_percentiles_that_reach_none_and_all_years_have_no_tails():
    at = [0.0, 0.25, 1.0]
    days = quantiles(at, (1.0, 3.0, 6.0), "extend", percentiles=(0.0, 0.5, 1.0))
    assert days.tolist() == [1.0, 2.0, 6.0]


@pytest.mark.parametrize("tails", ["extend", "hold"])
def test_quantiles_never_fall(tails):
    days = quantiles(np.linspace(0, 1, 1001), (0.2, 0.2, 6.8), tails)
    assert (np.diff(days) >= 0).all()
    assert days.min() >= 0
    assert days.max() <= 7
