from __future__ import annotations

import pytest

from fieldsim.crops import harvest_moisture, insured_share, published_weed_competition, weed_loss
from fieldsim.errors import InputError
from fieldsim.farm import Farm, parse_farm
from fieldsim.farm.late_costs import LateCosts
from tests.farms import HAND_FARM, HAND_TABLES, changed, hand_farm, small_farm

BUSHEL = 56 * 0.45359237 / 1000  # t, of corn at 56 lb/bu
ACRE = 0.40468564224  # ha


def crop(lines: str) -> tuple[str, str]:
    """Return the change that adds lines to the corn of the farm worked out by hand."""
    head = 'target_date = "20 Apr"\n[crops.corn.yield'
    return head, head.replace("[crops", f"{lines}\n[crops")


def late(lines: str, *changes: tuple[str, str]) -> LateCosts:
    return hand_farm(crop(lines), *changes).late_costs["corn"]


DRYING = 'drying = { on_time_until = "10 Apr", points_per_day = 0.5, cost_per_point = "$2/t" }'
INSURED = (
    'insurance = { published = "nebraska_corn", coverage = "75 %", yield = "9 t/ha", '
    'price = "$120/t" }'
)


def test_a_crop_of_which_nothing_is_said_costs_nothing_more_when_late() -> None:
    assert hand_farm().late_costs["corn"] == LateCosts()


def test_weeds_are_a_published_table_pressed_as_the_file_says() -> None:
    part = late('weeds = { table = "corn_ontario_high", pressure = "40 %", emergence = "7 days" }')
    assert part.weeds is not None
    assert part.emergence == 7
    full = published_weed_competition("corn_ontario_high")
    # 10 % of the yield by the 17th day in the table.
    assert float(weed_loss(full, 17)) == 0.1
    assert float(weed_loss(part.weeds, 17)) == pytest.approx(0.04)


def test_weeds_press_with_all_they_have_ten_days_after_planting_where_nothing_is_said() -> None:
    part = late('weeds = { table = "soybean_ontario_low" }')
    assert part.weeds is not None
    assert (part.emergence, part.weeds.pressure) == (10, 1.0)


def test_moisture_rises_from_the_day_after_the_last_on_time() -> None:
    part = late(DRYING)
    assert part.moisture is not None
    # 10 April is day 100; base 15.5 %.
    assert harvest_moisture(part.moisture, [90, 100, 104]).tolist() == [15.5, 15.5, 17.5]
    assert part.point_cost == 2.0


def test_a_season_over_new_year_dries_from_its_own_day() -> None:
    text = changed(crop(DRYING.replace("10 Apr", "5 Jan")), text=HAND_FARM)
    text = text.replace(' Apr"', ' Dec"').replace('"30 Dec"', '"31 Jan"')
    farm = parse_farm(text, {"days.csv": HAND_TABLES["days.csv"].replace("1 Apr", "1 Dec")})
    moisture = farm.late_costs["corn"].moisture
    assert moisture is not None
    # Days 365 + 5 and, ten days later, 365 + 15: 5 points.
    days = farm.season.day_of_year[[35, 45]]
    assert days.tolist() == [370, 380]
    assert harvest_moisture(moisture, days).tolist() == [15.5, 20.5]


def test_the_cost_of_a_point_by_the_bushel_goes_by_the_test_weight() -> None:
    farm = small_farm(
        ("[crops.corn.late]", '[crops.corn.drying]\non_time_until = "5 May"\n'
         'points_per_day = 0.1\ncost_per_point = "$0.045/bu"\n\n[crops.corn.late]'),
    )  # fmt: skip
    assert farm.late_costs["corn"].point_cost == pytest.approx(0.045 / BUSHEL)


def test_the_guarantee_is_coverage_times_yield_times_price() -> None:
    part = late(INSURED)
    assert part.insurance is not None
    assert part.guarantee == pytest.approx(0.75 * 9 * 120)  # $810/ha
    # Nebraska corn: 25 May (day 145), 1 % a day for 20 days after it, then 55 %
    # (fieldsim/crops/insurance_dates.csv and its sources).
    assert insured_share(part.insurance, [145, 150, 166]) == pytest.approx([1, 0.95, 0.55])


def test_insurance_by_the_bushel_goes_by_the_test_weight() -> None:
    farm = small_farm(
        ("[crops.corn.late]", '[crops.corn.insurance]\npublished = "iowa_corn"\ncoverage = 0.8\n'
         'yield = "170 bu/acre"\nprice = "$4.60/bu"\n\n[crops.corn.late]'),
    )  # fmt: skip
    assert farm.late_costs["corn"].guarantee == pytest.approx(0.8 * 170 * 4.60 / ACRE)


@pytest.mark.parametrize(
    ("lines", "paid"),
    [
        (INSURED, 0.55 * 810),  # the share of corn that cannot be planted
        (f'{INSURED}\nlate = {{ unplanted_from = "20 Apr" }}', 0.55 * 810),
        (f'{INSURED}\nlate = {{ unplanted_from = "20 Apr", unplanted_revenue = "$0/ha" }}', 0.0),
        (f'{INSURED}\nlate = {{ unplanted_from = "20 Apr", unplanted_revenue = "$90/ha" }}', 90.0),
        ('late = { unplanted_from = "20 Apr", unplanted_revenue = "$90/ha" }', 90.0),
        ('late = { unplanted_from = "20 Apr" }', 0.0),
    ],
)
def test_unplanted_land_earns_what_is_written_else_what_the_insurance_pays(
    lines: str, paid: float
) -> None:
    assert late(lines).prevented_payment == pytest.approx(paid)


def test_names_with_dots_are_found() -> None:
    def dotted(lines: str) -> Farm:
        text = changed(crop(lines), text=HAND_FARM).replace("[crops.corn", '[crops."sweet.corn"')
        return parse_farm(text.replace('"corn"', '"sweet.corn"'), HAND_TABLES)

    assert dotted(DRYING).late_costs["sweet.corn"].point_cost == 2.0
    with pytest.raises(InputError) as caught:
        dotted(DRYING.replace("10 Apr", "10 Sep").replace("$2/t", "$2/bu"))
    assert [(fault.field, fault.value) for fault in caught.value.faults] == [
        ("crops.sweet.corn.drying.on_time_until", '"10 Sep"'),
        ("crops.sweet.corn.drying.cost_per_point", '"$2/bu"'),
    ]
