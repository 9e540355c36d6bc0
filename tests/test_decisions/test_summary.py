from __future__ import annotations

import numpy as np

from fieldsim.decisions import summarize

from .invented import outcomes_of

LOST = np.random.default_rng(1).gamma(2.0, 2000.0, 400)


def test_a_clear_winner_is_named_with_its_lead_and_its_years() -> None:
    lead = np.where(np.arange(400) % 10 < 7, 3000.0, -1000.0)  # cheaper in 7 springs of 10
    answer, years, *_ = summarize(outcomes_of({"small": LOST + lead, "large": LOST}))
    assert answer.startswith(
        "On these assumptions outfit large costs least: $1,800 a year (± $180)"
    )
    assert "less than the next, outfit small" in answer
    assert "about 7 of 10 springs" in answer
    bad = np.sort(LOST)[359]
    assert f"${LOST.mean():,.0f} of revenue in an average year and ${bad:,.0f} or more" in years


def test_no_winner_is_named_where_none_can_be_told() -> None:
    noise = np.random.default_rng(2).normal(0, 5000, 400)
    answer = summarize(outcomes_of({"small": LOST, "large": LOST + noise}))[0]
    assert "cannot be told apart" in answer
    assert "costs least" not in answer
    assert "outfit small" in answer
    assert "outfit large" in answer


def test_a_third_option_that_loses_clearly_is_not_in_the_tie() -> None:
    noise = np.random.default_rng(2).normal(0, 5000, 400)
    options = {"small": LOST, "large": LOST + noise, "none": LOST + 9000}
    assert "outfit none" not in summarize(outcomes_of(options))[0]


def test_one_option_has_no_rival() -> None:
    assert summarize(outcomes_of({"only": LOST}))[0] == "There is one option only: outfit only."


def test_few_seasons_are_called_few() -> None:
    few = " ".join(summarize(outcomes_of({"a": LOST[:50], "b": LOST[:50] + 900})))
    assert "50 seasons are few" in few
    assert "are few" not in " ".join(summarize(outcomes_of({"a": LOST, "b": LOST + 900})))
