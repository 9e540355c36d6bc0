"""Sources of suitable days: when the soil carries fieldwork."""

from fieldsim.days.contract import DaySource, check_draw
from fieldsim.days.copula import normal_scores, weekly_quantiles
from fieldsim.days.daily_chain import (
    DailyChain,
    daily_probabilities,
    parse_daily_chain,
    read_daily_chain,
    stationary_share,
)
from fieldsim.days.replay import Given
from fieldsim.days.season_start import WarmDates, drawn_warm_days
from fieldsim.days.weekly_files import parse_weekly_table, read_weekly_table
from fieldsim.days.weekly_table import WeeklyTable, weekly_totals

__all__ = [
    "DailyChain",
    "DaySource",
    "Given",
    "WarmDates",
    "WeeklyTable",
    "check_draw",
    "daily_probabilities",
    "drawn_warm_days",
    "normal_scores",
    "parse_daily_chain",
    "parse_weekly_table",
    "read_daily_chain",
    "read_weekly_table",
    "stationary_share",
    "weekly_quantiles",
    "weekly_totals",
]
