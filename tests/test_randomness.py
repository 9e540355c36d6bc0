from __future__ import annotations

import numpy as np
import pytest

from fieldsim.randomness import by_season, count_of, stream


def test_a_stream_is_the_same_each_time() -> None:
    assert (stream(7, "days.weeks").random(100) == stream(7, "days.weeks").random(100)).all()


def test_the_first_seasons_of_a_long_draw_are_those_of_a_short_one() -> None:
    for shape in ((1,), (122,), (18, 2)):
        few = stream(3, "days.layout").random((100, *shape))
        many = stream(3, "days.layout").random((1000, *shape))
        assert (many[:100] == few).all()


def test_seeds_and_names_give_streams_of_their_own() -> None:
    names = ("days.weeks", "days.layout", "crew.helpers.ann", "crew.helpers.anna", "")
    draws = [stream(seed, name).random(8) for seed in (0, 1, 2**63) for name in names]
    assert len({tuple(draw) for draw in draws}) == len(draws)


def test_streams_are_uncorrelated() -> None:
    # Of 100,000 pairs a correlation has a standard error of 0.0032; 5 of them are allowed.
    draws = [stream(0, name).random(100_000) for name in ("a", "b", "ab", "ba")]
    draws.append(stream(1, "a").random(100_000))
    correlations = np.corrcoef(draws)[~np.eye(len(draws), dtype=bool)]
    assert np.abs(correlations).max() < 0.016


@pytest.mark.parametrize("seed", [-1, 1.0, True, None, "0", np.float64(1)])
def test_a_seed_that_is_no_whole_number_of_0_or_more_is_refused(seed: object) -> None:
    with pytest.raises(ValueError, match="a whole number of 0 or more; write seed=0"):
        stream(seed, "days.weeks")  # type: ignore[arg-type]


def test_a_seed_of_numpy_is_that_seed() -> None:
    assert stream(np.int64(5), "x").random() == stream(5, "x").random()  # type: ignore[arg-type]


@pytest.mark.parametrize("part", [range(3), range(5, 6), range(999, 1001), range(1000, 2500)])
def test_any_seasons_can_be_drawn_without_those_before_them(part: range) -> None:
    def draw(generator: np.random.Generator, seasons: int) -> np.ndarray:
        return generator.standard_normal((seasons, 3))

    whole = by_season(4, "days.weeks", 2500, draw)
    assert whole.shape == (2500, 3)
    np.testing.assert_array_equal(
        by_season(4, "days.weeks", part, draw), whole[part.start : part.stop]
    )
    assert len(np.unique(whole)) == whole.size


def test_each_thousand_seasons_have_a_stream_of_their_own() -> None:
    drawn = by_season(4, "days.weeks", 1001, lambda random, n: random.random(n))
    assert drawn[999] == stream(4, "days.weeks").random(1000)[999]
    assert drawn[1000] == stream(4, "days.weeks.1000").random()


def test_seasons_are_counted_from_a_number_or_a_range() -> None:
    assert [count_of(seasons) for seasons in (0, 7, range(5, 9))] == [0, 7, 4]
    assert by_season(0, "a", 0, lambda random, n: random.random((n, 3))).shape == (0, 3)
