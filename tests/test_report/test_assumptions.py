from __future__ import annotations

import dataclasses

import numpy as np
import pytest

import fieldsim
from fieldsim.crops import PlateauCurve, QuadraticCurve, published_curve
from fieldsim.days import DailyChain, Given
from fieldsim.farm import Farm, changed, parse_farm
from fieldsim.machines import draft_coefficients, machine_class
from fieldsim.report.assumptions import assumptions
from fieldsim.report.curves import curve_text
from fieldsim.report.shown import hours_text, range_text, share_text, shown
from fieldsim.report.table import Table
from fieldsim.season import CalendarDay
from tests.farms import SMALL_FARM, SMALL_TABLES, small_farm
from tests.test_report.full_farm import full_farm


def tables(farm: Farm) -> dict[str, Table]:
    return {table.heading: table for table in assumptions(farm)}


@pytest.fixture(scope="module")
def small() -> Farm:
    return parse_farm(SMALL_FARM, SMALL_TABLES)


def test_quantities_come_back_as_the_farm_file_gave_them(farm: fieldsim.Farm) -> None:
    shown_as = tables(farm)
    assert shown_as["Crops"].rows[0][:4] == ("corn", "185 bu/acre", "$4.30/bu", "10 May")
    assert shown_as["Crops"].rows[1][:4] == ("soybeans", "54 bu/acre", "$10.40/bu", "25 May")
    assert ("far quarter", "soybeans", "231 acres", "2,600 ft", "5.5 mile") in shown_as[
        "Fields"
    ].rows
    assert ("wage", "$24.00/h") in shown_as["Money"].rows
    disk = shown_as["Machines at work"].rows[0]
    assert disk == ("disk", "till", "21 ft", "5.5 mph", "80 %", "11.2 acre/h", "110 hp")
    planter = shown_as["Machines at work"].rows[1]
    assert planter[2:4] == ("10 ft: 4 rows of 30 in", "5 mph, drill")
    assert ("tractor 95", "95 hp", "two wheel") in shown_as["Tractors"].rows
    kept = ("tractor medium", "$66,000", "15 years", "its remaining value", "150 h")
    assert ("tractor 95", *kept) in shown_as["Owning"].rows
    fertilizer = ("dry fertilizer", "900 lb", "110 lb/acre", "10 min", "beside seed")
    assert ("planter 4 rows", *fertilizer) in shown_as["Stops to fill"].rows
    assert ("planter 4 rows", "24 s", "1 %", "6 %") in shown_as["Time elements"].rows
    assert ("fuel", "$3.40/gal") in shown_as["Money"].rows
    assert ("lubricants, of the cost of fuel", "15 %") in shown_as["Money"].rows
    assert shown_as["Options"].rows[3] == (
        "two outfits of 6 rows",
        "1 × disk, 2 × planter 6 rows, 2 × cultivator 6 rows",
        "1 × tractor 130, 2 × tractor 95",
        "3",
    )


def test_a_fixed_efficiency_gives_the_capacity_worked_by_hand(farm: fieldsim.Farm) -> None:
    """21 ft x 5.5 mph x 80 % / 8.25 = 11.2 acre/h (ASABE EP496, field capacity in U.S. units)."""
    assert tables(farm)["Machines at work"].rows[0][5] == "11.2 acre/h"
    assert round(21 * 5.5 * 0.8 / 8.25, 1) == 11.2


def test_a_metric_farm_is_shown_in_metric_units(small: Farm) -> None:
    metric = parse_farm(SMALL_FARM.replace('"us"', '"metric"'), SMALL_TABLES)
    crop = tables(metric)["Crops"].rows[0]
    assert crop[1] == "11.3 t/ha"  # 180 bu/acre x 56 lb/bu
    assert crop[2] == "$177.16/t"
    assert tables(metric)["Fields"].rows[0][2] == "80.9 ha"
    assert "ft" not in " ".join(tables(metric)["Machines at work"].rows[0])
    assert tables(small)["Fields"].rows[0][2] == "200 acres"


def test_late_rules_and_days_after_are_told(small: Farm) -> None:
    shown_as = tables(small)
    assert shown_as["Crops"].rows[0][4] == "from 1 Jun planted to soybeans"
    assert shown_as["Crops"].rows[1][4] == "from 10 Jul left unplanted, for $60.00/acre"
    operations = {row[:2]: row[2:] for row in shown_as["Operations"].rows}
    assert operations["plant", "soybeans"] == ("1 May", "1 day after till", "", "10 h")
    assert operations["cultivate", "corn"] == (
        *("", "24 days after plant", "45 days after planting", "10 h"),
    )


def test_sources_and_notes_are_those_of_the_tables(farm: fieldsim.Farm) -> None:
    curves = {row[0]: row[1:] for row in tables(farm)["Yield by planting date"].rows}
    published = published_curve("corn_minnesota_1988_2003")
    assert curves["corn"] == ("corn_minnesota_1988_2003", published.source)
    assert "Potter" in published.source
    days = dict(tables(farm)["Days and people"].rows)
    assert "INVENTED" in days["notes in suitable_days.csv"]
    assert "correlation of 0.3" in days["suitable days"]
    assert "20 % of the ups and downs" in days["suitable days"]
    assert days["hours"] == "11 h a day for each, none on Sunday"
    assert days["helper: neighbor"] == "turns up on 40 % of days"


def test_losses_by_planting_date_are_told_where_they_are_not_the_curves_own(small: Farm) -> None:
    plain = tables(small)["Yield by planting date"]
    assert "losses" not in plain.columns
    more = tables(changed(small, {"crops.corn.planting_loss": "120 %"}))["Yield by planting date"]
    said = dict(zip([row[0] for row in more.rows], [row[-1] for row in more.rows], strict=True))
    assert more.columns[-1] == "losses"
    assert said == {crop: "120 % of the curve's" if crop == "corn" else "" for crop in said}


def test_other_sources_of_days_are_named(small: Farm) -> None:
    chain = DailyChain((CalendarDay(4, 1),), (0.8,), (0.3,))
    given = Given(np.ones((1, 1, small.season.days)))
    for source, words in ((chain, "drawn day by day"), (given, "given seasons")):
        days = dict(tables(dataclasses.replace(small, day_source=source))["Days and people"].rows)
        assert days["suitable days"].startswith(words)


def test_a_farm_without_tractors_has_no_table_of_them(small: Farm) -> None:
    assert "Tractors" not in tables(dataclasses.replace(small, tractors={}))
    first = dict(tables(dataclasses.replace(small, priority=("loss",)))["Days and people"].rows)
    assert first["served first"] == "whatever loses most by waiting"


def test_curves_of_ones_own_are_put_in_words() -> None:
    """20 days past the best, 0.018 % x 20^2 = 7.2 %; the words give the loss at one day."""
    name, words = curve_text(QuadraticCurve(best_day=118, curvature=1.8e-4))
    assert name == "square"
    assert words == "best on 28 Apr; 0.018 % lost a day away, 4 times that at 2 days"
    words = curve_text(PlateauCurve(110, 0.0, ((130, 0.007),)))[1]
    assert words == "full from 20 Apr; 0 % a day lost before; after 10 May 0.7 % a day"


@pytest.mark.parametrize(
    ("kind", "number", "units", "text"),
    [
        ("area", 1234.6 / 2.4710538, "us", "1,235 acres"),
        ("distance", 1.609344 * 0.2, "us", "0.2 mile"),
        ("money", 98000.0, "us", "$98,000"),
        ("money", 0.0, "metric", "$0"),
        ("yield", 12.0, "us", "12 t/ha"),
        ("time", 0.25, "us", "0.25 h"),
    ],
)
def test_numbers_are_shown_with_their_unit(kind: str, number: float, units: str, text: str) -> None:
    assert shown(kind, number, units) == text


def test_a_range_names_the_unit_once() -> None:
    assert range_text("speed", [8.0, 6.0, 10.0], "metric") == "6 to 10 km/h"
    assert range_text("speed", [8.0, 8.0000001], "metric") == "8 km/h"


def test_times_are_shown_in_the_unit_that_reads_best() -> None:
    assert [hours_text(t) for t in (0.0, 30 / 3600, 2 / 60, 0.999, 1.0)] == [
        *("0 s", "30 s", "2 min", "59.9 min", "1 h"),
    ]
    assert [share_text(share) for share in (0.0, 0.004, 0.01, 1.0)] == [
        "0 %",
        "0.4 %",
        "1 %",
        "100 %",
    ]


def test_shipped_figures_come_with_their_sources(farm: fieldsim.Farm) -> None:
    shown_as = tables(farm)
    classes = {row[0]: row[1:] for row in shown_as["Classes of machines"].rows}
    assert set(classes) == {"disk", "planter", "row cultivator", "tractor medium"}
    known = machine_class("planter")
    assert classes["planter"] == (known.value_source, known.repair_source)
    weeds = {row[0]: row for row in shown_as["Weeds, by the day they are removed"].rows}
    assert weeds["corn"][1:5] == (
        *("corn_ontario_low", "40 %", "12 days after planting", "10 % of the yield"),
    )
    assert "Weed Technology" in weeds["corn"][5]
    draft = tables(full_farm())["Draft"].rows[0]
    assert draft[2].startswith(draft_coefficients("tandem_disk_secondary").source)


def test_a_machine_without_a_class_is_said_to_need_no_repairs_and_sell_for_nothing(
    small: Farm,
) -> None:
    owning = {row[0]: row[1:] for row in tables(small)["Owning"].rows}
    assert owning["disk"] == ("none: no repairs", "$30,000", "12 years", "nothing")
    salvage = small_farm(('price = "$30,000"', 'price = "$30,000"\nsalvage = "20 %"'))
    assert {row[0]: row[-1] for row in tables(salvage)["Owning"].rows}["disk"] == "20 %"


def test_hired_machines_are_not_owned() -> None:
    shown_as = tables(full_farm())
    hired = ("hired hoe", "$35.00/ha", "4 days after it is called")
    assert shown_as["Hired machines"].rows == (hired,)
    assert "hired hoe" not in {row[0] for row in shown_as["Owning"].rows}


def test_insurance_is_told_by_planting_date_and_as_an_example() -> None:
    """Iowa corn: final day 31 May, 1 % a day for 25 days, 55 % after and if left unplanted."""
    insurance = tables(full_farm())["Crop insurance"]
    assert insurance.rows[0][5] == (
        "all of it until 31 May; 1 % less for each of 25 days after; then 55 %; 55 % left unplanted"
    )
    assert insurance.rows[0][4] == "$1,312.50/ha"  # 75 % of 10 t/ha at $175/t
    assert "the policy" in insurance.note


def test_columns_that_say_nothing_are_left_out(farm: fieldsim.Farm) -> None:
    assert "on wet soil from" not in tables(farm)["Operations"].columns
    assert "on wet soil from" in tables(full_farm())["Operations"].columns
    for table in assumptions(farm):
        assert all(len(row) == len(table.columns) for row in table.rows)
