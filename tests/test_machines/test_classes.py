from __future__ import annotations

from dataclasses import replace
from importlib.resources import files

import pytest

from fieldsim.machines import machine_class, machine_classes, tractor_class
from fieldsim.tables import Row, read_table


def rows(name: str) -> tuple[Row, ...]:
    return read_table(files("fieldsim.machines") / name).rows


def test_every_class_is_read_with_its_name_and_what_it_was_checked_against() -> None:
    for name in machine_classes():
        shipped = machine_class(name)
        assert shipped.name == name
        assert "D497.7 (2011)" in shipped.value_source
        assert "from memory" in shipped.value_source
        assert "from memory" in shipped.repair_source


@pytest.mark.parametrize(
    ("table", "column"), [("remaining_value.csv", "value"), ("repair_factors.csv", "repair")]
)
def test_every_row_of_the_tables_is_used_by_some_class(table: str, column: str) -> None:
    used = {row.cells[column] for row in rows("machine_classes.csv")}
    assert {row.cells["name"] for row in rows(table)} == used


def test_tillage_tools_share_a_value_but_not_their_repairs() -> None:
    hoe, disk = machine_class("rotary_hoe"), machine_class("disk")
    assert (hoe.c1, hoe.c2) == (disk.c1, disk.c2)
    assert hoe.rf1 != disk.rf1


@pytest.mark.parametrize(
    ("power", "name"),
    [
        (20.0, "tractor_small"),
        (59.6, "tractor_small"),
        (59.7, "tractor_medium"),
        (111.8, "tractor_medium"),
        (111.9, "tractor_large"),
        (400.0, "tractor_large"),
    ],
)
def test_tractors_are_classed_by_power_at_80_and_150_hp(power: float, name: str) -> None:
    assert tractor_class(power).name == name


def test_four_wheel_drive_is_a_class_of_its_own_at_any_power() -> None:
    assert tractor_class(400, four_wheel_drive=True) == machine_class("tractor_4wd")
    assert machine_class("tractor_4wd").c1 == machine_class("tractor_large").c1


def test_a_class_of_the_users_own_is_held_to_its_ranges() -> None:
    assert replace(machine_class("planter"), life=2_000).life == 2_000
    with pytest.raises(ValueError, match=r"rf2 = 0: a number above 0"):
        replace(machine_class("planter"), rf2=0)


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: machine_class("plough"), r"no machine class 'plough': tractor_small, .* allowed"),
        (lambda: tractor_class(0), r"power = 0 kW: a number above 0 kW"),
    ],
)
def test_an_unknown_class_or_power_is_named(make: object, message: str) -> None:
    assert callable(make)
    with pytest.raises(ValueError, match=message):
        make()
