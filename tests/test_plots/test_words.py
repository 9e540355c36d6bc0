from __future__ import annotations

import datetime

import numpy as np
import pandas as pd
import pytest

from fieldsim.plots.words import day_text, in_lines, money_text, readable


@pytest.mark.parametrize(
    "when",
    [np.datetime64("2026-05-09", "ns"), pd.Timestamp("2026-05-09"), datetime.date(2026, 5, 9)],
)
def test_days_are_shown_without_year_and_leading_zero(when: object) -> None:
    assert day_text(when) == "9 May"


def test_a_day_that_never_comes_is_empty() -> None:
    assert day_text(np.datetime64("NaT")) == ""
    assert day_text(pd.NaT) == ""


@pytest.mark.parametrize(
    ("amount", "text"),
    [(0.4, "$0"), (-0.4, "$0"), (1234567.8, "$1,234,568"), (-999.6, "−$1,000")],
)
def test_money_is_shown_in_whole_dollars(amount: float, text: str) -> None:
    assert money_text(amount) == text


def test_names_lose_underscores_and_control_characters() -> None:
    assert readable("two_six\x07rows\n") == "two six rows"


def test_long_labels_are_broken_and_cut_where_said() -> None:
    broken = in_lines("an outfit with a label of very many words that goes on", 12, 2)
    assert broken.count("\n") == 1
    assert broken.endswith("…")
    assert max(map(len, broken.splitlines())) <= 12
