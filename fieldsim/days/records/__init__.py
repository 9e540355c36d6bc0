"""Records of past years: reading, drawing, trend, fitting, checking."""

from fieldsim.days.records.chain_fit import fit_daily_chain
from fieldsim.days.records.checking import check_days
from fieldsim.days.records.detrending import Detrended, remove_trend
from fieldsim.days.records.files import parse_records, read_records
from fieldsim.days.records.fitted import Fitted
from fieldsim.days.records.fitting import fit
from fieldsim.days.records.record import Records, from_seasons, weekly
from fieldsim.days.records.resampling import RecordYears
from fieldsim.days.records.table_fit import fit_weekly_table
from fieldsim.days.records.trend import Trend, level, season_totals, trend
from fieldsim.days.records.uncertainty import resampled

__all__ = [
    "Detrended",
    "Fitted",
    "RecordYears",
    "Records",
    "Trend",
    "check_days",
    "fit",
    "fit_daily_chain",
    "fit_weekly_table",
    "from_seasons",
    "level",
    "parse_records",
    "read_records",
    "remove_trend",
    "resampled",
    "season_totals",
    "trend",
    "weekly",
]
