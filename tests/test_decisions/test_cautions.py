from __future__ import annotations

import pytest

import fieldsim
from fieldsim.decisions.cautions import Caution, cautions
from tests.farms import hand_farm, small_farm

FILL = 'rate = "32,000 seeds/acre"\ntime = "12 min"\n'
STARTER = """
[machines.planter.time.fills.starter]
hopper = "900 lb"
rate = "{rate}"
time = "10 min"
placement = "{placement}"
{more}
"""


def found(farm: fieldsim.Farm) -> dict[str, Caution]:
    return {caution.topic: caution for caution in cautions(farm)}


def with_starter(
    share: str = "", rate: str = "100 lb/acre", placement: str = "with_seed", hopper: str = "900 lb"
) -> fieldsim.Farm:
    more = f'nitrogen_and_potash = "{share}"' if share else ""
    fill = STARTER.format(rate=rate, placement=placement, more=more)
    return small_farm((FILL, FILL + fill.replace("900 lb", hopper)))


def test_a_farm_whose_figures_call_for_nothing_has_no_cautions() -> None:
    assert cautions(hand_farm()) == ()


def test_people_who_work_more_than_twelve_hours_are_cautioned() -> None:
    assert "Long days" not in found(small_farm())  # just 12 h
    long = found(small_farm(('hours_per_day = "12 h"', 'hours_per_day = "12.5 h"')))["Long days"]
    assert "12.5 hours a day" in long.text
    assert long.where == "crew.hours_per_day"


def test_an_operation_of_many_hours_calls_for_a_change_of_drivers() -> None:
    farm = small_farm(('hours_per_day = "11 h"', 'hours_per_day = "16 h"'))
    assert "till: too long for one person" in found(farm)["Long days"].text
    assert found(farm)["Long days"].where == "operations.till.hours_per_day"


def test_work_after_dark_is_cautioned() -> None:
    farm = small_farm(('hours_per_day = "11 h"', 'hours_per_day = "11 h"\nafter_dark = true'))
    assert "after dark: till" in found(farm)["Work at night"].text
    assert found(farm)["Work at night"].where == "operations.till.after_dark"


def test_wide_machines_are_named_with_their_width_where_they_go_by_road() -> None:
    roads = found(small_farm())["Wide machines on roads"]
    assert "disk (20 ft), planter (15 ft), cultivator (15 ft)" in roads.text
    assert "wider than 8.5 ft" in roads.text
    assert roads.where == "machines.disk, machines.planter, machines.cultivator"
    home = small_farm(('distance = "3 mile"\n', ""))
    assert "Wide machines on roads" not in found(home)


def test_what_counts_on_a_road_is_the_folded_width() -> None:
    folded = small_farm(
        ('width = "20 ft"', 'width = "20 ft"\ntransport_width = "8.5 ft"'),
        ('width = "15 ft"', 'width = "15 ft"\nfold_time = "5 min"'),
    )
    text = found(folded)["Wide machines on roads"].text
    assert "disk" not in text
    assert "planter (15 ft)" in text
    assert "Folded width not given (transport_width): cultivator." in text


def test_widths_are_shown_in_the_units_of_the_farm() -> None:
    roads = found(small_farm(('units = "us"', 'units = "metric"')))["Wide machines on roads"].text
    assert "wider than 2.6 m" in roads
    assert "planter (4.57 m)" in roads


def test_a_hired_machine_goes_by_road_on_its_owners_account() -> None:
    farm = hand_farm(
        ('width = "2.5 m"', 'width = "9 m"\nroad_speed = "20 km/h"\ncustom = { rate = "$50/ha" }'),
        ('width = "5 m"', 'width = "2.5 m"\nroad_speed = "20 km/h"'),
        ('area = "40 ha"', 'area = "40 ha"\ndistance = "4 km"'),
    )
    assert "Wide machines on roads" not in found(farm)


def test_more_salts_with_the_seed_than_is_usual_are_cautioned() -> None:
    """Of corn in 30-inch rows 10 lb of N + K2O an acre: common practice, from memory."""
    seed = found(with_starter("20 %"))["Fertilizer with the seed"]
    assert "seed of corn: 20 lb/acre of N + K2O, where at most 10 lb/acre is usual" in seed.text
    assert "seed of soybeans: 20 lb/acre of N + K2O, where none is usual" in seed.text
    assert "local tables and the label decide" in seed.text
    assert seed.where == "machines.planter.time.fills.starter"


def test_less_than_the_usual_limit_is_cautioned_for_soybeans_only() -> None:
    text = found(with_starter("9 %"))["Fertilizer with the seed"].text
    assert "of corn:" not in text
    assert "of soybeans: 9 lb/acre" in text
    assert "Fertilizer with the seed" not in found(with_starter("0 %"))


def test_sandy_soil_stands_half_as_much() -> None:
    sandy = fieldsim.changed(with_starter("9 %"), {"fields.home.texture": "coarse"})
    assert "at most 5 lb/acre is usual in such rows on sandy soil" in (
        found(sandy)["Fertilizer with the seed"].text
    )


def test_a_share_that_is_not_given_is_asked_for() -> None:
    assert "its share of nitrogen and potash is not given" in (
        found(with_starter())["Fertilizer with the seed"].text
    )


def test_a_volume_is_no_weight() -> None:
    seed = found(with_starter("20 %", rate="5 gal/acre", hopper="150 gal"))
    assert "its rate (5 gal/acre) is no weight" in seed["Fertilizer with the seed"].text


@pytest.mark.parametrize("placement", ["beside_seed", "broadcast"])
def test_fertilizer_elsewhere_is_no_matter_of_the_seed(placement: str) -> None:
    assert "Fertilizer with the seed" not in found(with_starter("50 %", placement=placement))


def test_no_limit_is_made_up_for_another_crop() -> None:
    text = with_starter("20 %").text.replace("soybeans", "field_peas")
    peas = fieldsim.parse_farm(text, with_starter().tables)
    assert "seed of field peas: no usual limit is known" in (
        found(peas)["Fertilizer with the seed"].text
    )


def test_herbicides_that_are_taken_for_granted_and_cultivation_call_for_the_label() -> None:
    assert "label's interval" in found(small_farm())["Spraying"].text
    assert "herbicides" not in found(small_farm())["Spraying"].text
    weeds = '[crops.corn.weeds]\ntable = "corn_ontario_low"\npressure = "{}"\n\n[crops.corn.late]'
    less, full = (small_farm(("[crops.corn.late]", weeds.format(p))) for p in ("40 %", "100 %"))
    assert "in corn takes herbicides for granted" in found(less)["Spraying"].text
    assert "crops.corn.weeds.pressure" in found(less)["Spraying"].where
    assert "herbicides" not in found(full)["Spraying"].text


def test_forced_work_on_wet_soil_says_what_of_it_is_counted() -> None:
    farm = fieldsim.changed(small_farm(), {"operations.plant.wet_from": {"corn": "20 May"}})
    wet = found(farm)["Work on wet soil"]
    assert "Not even that is counted in corn (no wet_soil_loss)" in wet.text
    counted = fieldsim.changed(farm, {"crops.corn.wet_soil_loss": "10 %"})
    assert "Not even" not in found(counted)["Work on wet soil"].text


def test_the_policy_decides_on_insurance() -> None:
    insurance = {"published": "iowa_corn", "coverage": "75 %", "yield": "170 bu/acre",
                 "price": "$4.60/bu"}  # fmt: skip
    farm = fieldsim.changed(small_farm(), {"crops.corn.insurance": insurance})
    assert "The policy, the county and the year decide" in found(farm)["Crop insurance"].text
    assert found(farm)["Crop insurance"].where == "crops.corn.insurance"


def test_equipment_dearer_than_a_years_crops_is_a_matter_of_debts() -> None:
    """200 acre x 180 bu x $4.50 + 150 acre x 50 bu x $10.00 = $237,000.

    Two outfits: $30,000 + 2 x $29,000 + $9,500 + 2 x $98,000 + $66,000 = $359,500; one $232,500.
    """
    debts = found(small_farm())["Debts"]
    assert "($237,000) is what these cost to buy: two planters ($359,500)." in debts.text
    assert debts.where == "options.two_planters"
    better = fieldsim.changed(small_farm(), {"crops.corn.price": "$9.00/bu"})
    assert "Debts" not in found(better)


def test_many_dear_options_are_counted_instead_of_named() -> None:
    text = small_farm().text
    more = "".join(
        f"[options.o{n}]\nmachines = {{ disk = 1, planter = {n}, cultivator = 1 }}\n"
        "tractors = { large = 2, small = 1 }\n"
        for n in range(2, 6)
    )
    farm = fieldsim.parse_farm(text + more, small_farm().tables)
    assert "5 options ($359,500 to $446,500)" in found(farm)["Debts"].text
