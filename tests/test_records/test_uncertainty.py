import numpy as np
import pytest

from fieldsim.days.records import Records, RecordYears, fit, resampled
from tests.test_records.made import CHAIN, SPRING, record_of, spring_table

TABLE = spring_table()


def test_records_are_resampled_by_whole_years():
    records = record_of(TABLE, 20)
    other = resampled(records, 3, seed=0)
    assert isinstance(other, Records)
    assert len(other.years) == 20
    assert set(other.years) < set(records.years)
    for year, days in zip(other.years, other.days, strict=True):
        assert (days == records.days[records.years.index(year)]).all()


def test_replicates_differ_and_do_not_depend_on_how_many_are_made():
    records = record_of(TABLE, 20)
    years = [resampled(records, replicate, seed=0).years for replicate in range(5)]
    assert len(set(years)) == 5
    assert resampled(records, 4, seed=0).years == years[4]
    assert resampled(records, 0, seed=1).years != years[0]


def test_a_source_of_years_keeps_its_way_of_drawing():
    source = RecordYears(record_of(TABLE, 20), "blocks", 3)
    other = resampled(source, 0, seed=0)
    assert (other.resampling, other.block_weeks) == ("blocks", 3)
    assert other.records.years == resampled(source.records, 0, seed=0).years
    assert (other.draw(SPRING, 5, 0) != source.draw(SPRING, 5, 0)).any()


def test_tables_of_20_years_scatter_like_fits_to_20_years():
    made = np.array([resampled(TABLE, r, seed=0, years=20).days for r in range(150)])
    fitted = np.array(
        [fit(record_of(TABLE, 20, seed), replicates=50).source.days for seed in range(60)]
    )
    assert made.std(axis=0).mean() == pytest.approx(fitted.std(axis=0).mean(), rel=0.1)
    assert np.abs(made.mean(axis=0) - np.array(TABLE.days)).mean() < 0.15


def test_20_years_leave_the_worst_year_in_10_open_by_many_days():
    # 3.3 standard deviations: how far apart the 5th and the 95th of 100 such tables lie.
    made = np.array([resampled(TABLE, r, seed=0, years=20).days for r in range(150)])
    many = np.array([resampled(TABLE, r, seed=0, years=500).days for r in range(30)])
    assert 1.0 < 3.3 * made[:, :, 0].std(axis=0).mean() < 2.0
    assert many.std(axis=0).mean() < 0.3 * made.std(axis=0).mean()


def test_a_resampled_table_keeps_its_parameters_and_its_levels():
    other = resampled(TABLE, 1, seed=0, years=10)
    assert (other.percentiles, other.week_correlation) == (TABLE.percentiles, 0.3)
    assert other.days != TABLE.days


def test_what_cannot_be_resampled_is_refused():
    with pytest.raises(ValueError, match="say how many years lie behind the table"):
        resampled(TABLE, 0, seed=0)
    with pytest.raises(ValueError, match="years = 1"):
        resampled(TABLE, 0, seed=0, years=1)
    with pytest.raises(ValueError, match="the records know how many they are"):
        resampled(record_of(TABLE, 5), 0, seed=0, years=5)
    with pytest.raises(ValueError, match="replicate = -1"):
        resampled(record_of(TABLE, 5), -1, seed=0)
    with pytest.raises(TypeError, match="no years lie behind a DailyChain"):
        resampled(CHAIN, 0, seed=0)
