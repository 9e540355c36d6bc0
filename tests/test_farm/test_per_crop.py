from __future__ import annotations

from fieldsim.farm.entries import Wait
from fieldsim.season import CalendarDay
from tests.farms import HAND_FARM, HAND_TABLES, changed, faults_of, hand_farm, small_farm


def test_a_table_gives_each_crop_its_own_value() -> None:
    planting = small_farm().operations["plant"]
    assert planting["corn"].earliest == CalendarDay(4, 18)
    assert planting["soybeans"].earliest == CalendarDay(5, 1)
    assert planting["corn"].lag == planting["soybeans"].lag == Wait(days=1)


def test_a_table_may_leave_out_a_crop_where_the_field_may_be_left_out() -> None:
    planting = small_farm((', soybeans = "1 May" }', " }")).operations["plant"]
    assert planting["corn"].earliest == CalendarDay(4, 18)
    assert planting["soybeans"].earliest is None


def test_every_field_of_an_operation_may_differ_between_crops() -> None:
    farm = small_farm(
        (
            'follows = "till"\nlag = "1 day"',
            'follows = { corn = "till" }\nlag = { corn = "2 days" }',
        ),
        ('switch_to = "soybeans"\nswitch_from = "1 Jun"\n', ""),
        ('hours_per_day = "11 h"', 'hours_per_day = { corn = "11 h", soybeans = "9 h" }'),
    )
    assert farm.operations["plant"]["corn"].follows == "till"
    assert farm.operations["plant"]["soybeans"].follows is None
    assert farm.operations["plant"]["corn"].lag == Wait(days=2)
    assert farm.operations["till"]["soybeans"].hours_per_day == 9.0


def test_an_operation_is_done_on_the_crops_of_the_fields() -> None:
    farm = hand_farm()
    assert farm.grown_crops == ("corn",)
    assert list(farm.operations["till"]) == list(farm.operations["plant"]) == ["corn"]


def test_an_operation_is_done_on_crops_to_which_land_may_be_switched() -> None:
    late = '\n[crops.corn.late]\nswitch_to = "soybeans"\nswitch_from = "15 Apr"\n\n[crops.soybeans]'
    farm = hand_farm(("\n[crops.soybeans]", late))
    assert list(farm.operations["till"]) == list(farm.operations["plant"]) == ["corn", "soybeans"]


def test_land_cannot_be_switched_to_a_crop_that_nothing_plants() -> None:
    late = '\n[crops.corn.late]\nswitch_to = "soybeans"\nswitch_from = "15 Apr"\n\n[crops.soybeans]'
    text = changed(
        ("\n[crops.soybeans]", late),
        ('kind = "planting"', 'kind = "planting"\ncrops = ["corn"]'),
        text=HAND_FARM,
    )
    (fault,) = faults_of(text, HAND_TABLES)
    assert str(fault) == (
        'farm.toml: crops.corn.late.switch_to = "soybeans": no operation plants soybeans; '
        'add "soybeans" to the crops of the planting operation'
    )


def test_an_operation_may_list_its_crops() -> None:
    farm = small_farm(
        ('kind = "cultivating"', 'kind = "cultivating"\ncrops = ["corn"]'),
        (', soybeans = "50 days" }', " }"),
    )
    assert list(farm.operations["cultivate"]) == ["corn"]
    assert list(farm.operations["plant"]) == ["corn", "soybeans"]


def test_priority_is_loss_or_a_list() -> None:
    assert small_farm().priority == ("plant", "cultivate", "till")
    assert small_farm(('["plant", "cultivate", "till"]', '"loss"')).priority == ("loss",)


def test_fields_options_and_machines_keep_the_order_of_the_file() -> None:
    farm = small_farm()
    assert list(farm.fields) == ["home", "river"]
    assert list(farm.options) == ["one_outfit", "two_planters"]
    assert list(farm.options["two_planters"].machines.items()) == [
        ("disk", 1),
        ("planter", 2),
        ("cultivator", 1),
    ]
