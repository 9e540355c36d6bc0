"""Farm files that name records or weather as the source of their suitable days."""

from __future__ import annotations

import numpy as np
import pytest

from fieldsim.days import WarmDates
from fieldsim.days.records import RecordYears, level, trend
from fieldsim.days.weather import SoilWater, soil_class, soil_classes
from fieldsim.farm import Farm, parse_farm
from fieldsim.farm.entries import Wait
from fieldsim.season import CalendarDay
from tests.farms import HAND_FARM, SMALL_TABLES, changed, messages
from tests.weather import records_text, weather_text

WEEKS = '[days]\nsource = "weekly_table"\ntable = "days.csv"\nweek_correlation = 0.3\n'
RECORDS = '[days]\nsource = "records"\ntable = "past.csv"\n'
WEATHER = """\
[days]
source = "soil_water"
table = "weather.csv"

[days.soils.bottom]
class = "silty_clay_loam_tiled"
[days.soils.hill]
class = "silt_loam"
workable = 0.9
rain_limit = "0.3 in"
"""
PLACE = 'priority = ["plant", "cultivate", "till"]'
FIELDS = (
    ('row_length = "1300 ft"', 'row_length = "1300 ft"\nsoil = "hill"'),
    ('row_length = "2600 ft"', 'row_length = "2600 ft"\nsoil = "bottom"'),
)
TABLES = SMALL_TABLES | {"past.csv": records_text(), "weather.csv": weather_text()}


def with_days(days: str, *changes: tuple[str, str], tables: dict[str, str] | None = None) -> Farm:
    return parse_farm(changed((WEEKS, days), *changes), TABLES | (tables or {}))


def on_weather(*changes: tuple[str, str], days: str = WEATHER) -> Farm:
    here = (PLACE, f'{PLACE}\nlatitude = "42 degrees"')
    return with_days(days, here, *FIELDS, *changes)


def messages_of(
    days: str, *changes: tuple[str, str], tables: dict[str, str] | None = None
) -> list[str]:
    return messages((WEEKS, days), *changes, tables=TABLES | (tables or {}))


def test_records_are_resampled_as_the_file_says() -> None:
    source = with_days(
        RECORDS + 'resampling = "blocks"\nblock_weeks = 3\npersistence = 0.7\n'
    ).day_source
    assert isinstance(source, RecordYears)
    assert (source.resampling, source.block_weeks, source.persistence) == ("blocks", 3, 0.7)
    assert source.records.years == tuple(range(2001, 2013))


def test_a_trend_goes_to_the_reference_year_and_only_at_the_users_word() -> None:
    table = {"past.csv": records_text(years=30, per_year=0.05)}
    as_shown = with_days(RECORDS, tables=table).day_source
    detrended = with_days(RECORDS + "reference_year = 2030\n", tables=table).day_source
    assert isinstance(as_shown, RecordYears)
    assert isinstance(detrended, RecordYears)
    before, after = trend(as_shown.records), trend(detrended.records)
    assert before.slope == pytest.approx(0.05 * 20, abs=3 * before.standard_error)
    assert abs(after.slope) < before.slope / 10
    assert after.mean == pytest.approx(level(before, 2030), rel=0.02)


def test_records_of_southern_seasons_cross_new_year() -> None:
    weeks = ["1 Nov", "8 Nov", "15 Nov", "22 Nov", "29 Nov", "6 Dec", "13 Dec", "20 Dec", "27 Dec"]
    weeks += ["3 Jan", "10 Jan", "17 Jan", "24 Jan", "31 Jan"]
    lines = [f"{year},{week},{1 + year % 6}" for year in range(2001, 2013) for week in weeks]
    text = changed(
        ('first_day = "1 Apr"', 'first_day = "8 Nov"'),
        ('last_day = "30 Apr"', 'last_day = "20 Jan"'),
        ('source = "daily_chain"', 'source = "records"\nyear_begins = "1 Jul"'),
        text=HAND_FARM.replace('"20 Apr"', '"20 Nov"')
        .replace('full_from = "1 Apr"', 'full_from = "8 Nov"')
        .replace('from = "10 Apr"', 'from = "20 Nov"'),
    )
    farm = parse_farm(text, {"days.csv": "\n".join(["year,week_starting,days", *lines]) + "\n"})
    days = farm.day_source.draw(farm.season, 300, 0).sum(axis=(1, 2))
    per_week = days / farm.season.days * 7
    assert set(per_week.round()) == {1, 2, 3, 4, 5, 6}  # whole years, both sides of New Year
    np.testing.assert_allclose(per_week, per_week.round(), atol=0.25)


def test_soils_are_classes_with_what_differs() -> None:
    farm = on_weather()
    source = farm.day_source
    assert isinstance(source, SoilWater)
    assert source.soils == ("bottom", "hill")
    bottom, hill = (soil for _, soil in source.classes)
    assert bottom == soil_class("silty_clay_loam_tiled")
    assert hill.workable == 0.9
    assert hill.rain_limit == pytest.approx(7.62)
    assert hill.field_capacity == soil_class("silt_loam").field_capacity
    assert source.record.latitude == 42.0


def test_weather_may_come_from_a_generator_and_late_work_be_done_on_wetter_soil() -> None:
    more = 'table = "weather.csv"\nweather = "generator"\nresidue_cover = "10 %"\n'
    rule = '[days.milder]\nfrom = "15 Jun"\nto = "31 Jul"\nworkable = 1.1\nrain_limit = "15 mm"\n'
    mild = on_weather(days=WEATHER.replace('table = "weather.csv"\n', more) + rule).day_source
    strict = on_weather(days=WEATHER.replace('table = "weather.csv"\n', more)).day_source
    assert isinstance(mild, SoilWater)
    assert (mild.weather, mild.residue_cover) == ("generator", 0.1)
    season = on_weather().season
    days = [source.draw(season, 200, 0).mean(axis=(0, 1)) for source in (mild, strict)]
    late = season.index(CalendarDay(6, 15))
    np.testing.assert_array_equal(days[0][:late], days[1][:late])
    assert days[0][late:].sum() > days[1][late:].sum()


def test_waits_may_be_growing_degrees_and_planting_wait_for_warm_soil() -> None:
    farm = on_weather(
        ('lag = "24 days"', 'lag = "440 degF days"'),
        ('{ corn = "45 days", soybeans = "50 days" }', '"450 degC days"'),
        ('kind = "planting"', 'kind = "planting"\nneeds_warm_soil = true'),
    )
    cultivating = farm.operations["cultivate"]["corn"]
    assert cultivating.lag.degrees == pytest.approx(440 * 5 / 9)
    assert cultivating.latest_after_planting == Wait(degrees=450.0)
    assert farm.operations["plant"]["corn"].needs_warm_soil


def test_warm_dates_stand_beside_sources_without_weather() -> None:
    warm = """
[days.warm_soil]
in_1_year_of_10_by = "5 Apr"
in_5_years_of_10_by = "16 Apr"
in_9_years_of_10_by = "1 May"
wetness_correlation = 0.3
"""
    farm = with_days(WEEKS + "years = 30\n" + warm)
    assert farm.table_years == 30
    dates = (CalendarDay(4, 5), CalendarDay(4, 16), CalendarDay(5, 1))
    assert farm.warm_dates == WarmDates((0.1, 0.5, 0.9), dates, 0.3)


def test_growing_degrees_and_warm_soil_need_a_source_that_knows_them() -> None:
    degrees = ('lag = "24 days"', 'lag = "440 degF days"')
    warm = ('kind = "planting"', 'kind = "planting"\nneeds_warm_soil = true')
    assert messages_of(RECORDS, degrees, warm) == [
        "farm.toml: operations.plant.needs_warm_soil = true: the farm does not say when its soil "
        "is warm; add [days.warm_soil] with its dates",
        'farm.toml: operations.cultivate.lag = "440 degF days": growing degrees need temperatures: '
        'source = "soil_water" has them; write days, as "21 days"',
    ]


def test_fields_of_another_source_are_told_together() -> None:
    assert messages_of(RECORDS + 'weather = "years"\nseason_share = 0.2\n') == [
        'farm.toml: days.season_share = 0.2: source = "records" takes no such field; leave it out',
        'farm.toml: days.weather = "years": source = "records" takes no such field; leave it out',
    ]


def test_weather_without_a_place_or_soils_is_told() -> None:
    bare = WEATHER.partition("\n[days.soils")[0] + "\n"
    assert messages_of(bare) == [
        'farm.toml: latitude: is missing: the sun dries the soil; write "42 degrees"',
        "farm.toml: days.soils: is missing or empty; write [days.soils.a_name] and "
        'class = "silt_loam" (' + ", ".join(soil_names()) + ")",
    ]


def soil_names() -> list[str]:
    return list(soil_classes())


def test_a_soil_class_that_is_not_shipped_is_told() -> None:
    wrong = WEATHER.replace('"silt_loam"', '"loess"')
    here = (PLACE, f'{PLACE}\nlatitude = "42 degrees"')
    assert messages_of(wrong, here, *FIELDS) == [
        'farm.toml: days.soils.hill.class = "loess": there is no such soil class; write one of '
        + ", ".join(soil_names())
    ]


def test_a_soil_that_can_hold_no_water_is_told() -> None:
    wrong = WEATHER.replace("workable = 0.9", "field_capacity = 0.1\nwilting_point = 0.2")
    here = (PLACE, f'{PLACE}\nlatitude = "42 degrees"')
    (message,) = messages_of(wrong, here, *FIELDS)
    assert message.startswith("farm.toml: days.soils.hill: ")


@pytest.mark.parametrize("latitude", ['"42"', '"85 degrees"', '"42 mile"', "42"])
def test_a_latitude_is_degrees_where_crops_grow(latitude: str) -> None:
    (message,) = messages_of(WEEKS, (PLACE, f"{PLACE}\nlatitude = {latitude}"))
    assert message.startswith(f"farm.toml: latitude = {latitude}: ")
    assert 'write "42 degrees", south below 0' in message


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("2001-04-03", "2001-04-02", "weather.csv"),
        ("tmax_c", "tmax_f", "weather.csv"),
    ],
    ids=["a day twice", "another unit than the header says"],
)
def test_faults_of_a_weather_file_name_it(old: str, new: str, told: str) -> None:
    here = (PLACE, f'{PLACE}\nlatitude = "42 degrees"')
    wrong = TABLES["weather.csv"].replace(old, new, 1)
    found = messages_of(WEATHER, here, *FIELDS, tables={"weather.csv": wrong})
    assert found
    assert all(message.startswith(told) for message in found)


def test_weeks_that_end_on_two_weekdays_are_told_with_the_file() -> None:
    table = "week_ending,days\n2001-04-01,3\n2001-04-08,3\n2001-04-16,3\n2002-04-07,2\n"
    found = messages_of(RECORDS, tables={"past.csv": table})
    assert found
    assert all(message.startswith("past.csv") for message in found)


def test_years_too_few_for_a_source_are_told() -> None:
    table = "\n".join(records_text(years=1).splitlines()) + "\n"
    (message,) = messages_of(RECORDS, tables={"past.csv": table})
    assert message.startswith("past.csv")
    assert "year" in message


def test_warm_dates_out_of_order_are_told() -> None:
    warm = WEEKS + (
        '\n[days.warm_soil]\nin_1_year_of_10_by = "5 May"\nin_5_years_of_10_by = "16 Apr"\n'
        'in_9_years_of_10_by = "1 May"\n'
    )
    assert messages_of(warm) == [
        'farm.toml: days.warm_soil = "5 May, 16 Apr, 1 May": the dates do not come one after the '
        "other; write the earliest first, the latest last"
    ]
