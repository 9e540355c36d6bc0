"""What each machine does on each block, on the farm worked out by hand.

The disk takes 29.881 kW on the drawbar at 8 km/h (tests/test_farm/test_pulling.py).
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from fieldsim.farm import Farm
from fieldsim.work.slots import block_speed, fitting_tractors, needed_power, slot_arrays
from fieldsim.work.tasks import tasks_of
from tests.farms import hand_farm
from tests.test_farm.test_pulling import ON_THE_DRAWBAR, PULLED, held_by

SLOWER = f"{PULLED}\nallow_slower = true"


def farm_with(lines: str, tractors: dict[str, str], *changes: tuple[str, str]) -> Farm:
    """Return the farm with more said of its disk, and one of each of some tractors."""
    sections = "\n\n".join(f"[tractors.{name}]\n{said}" for name, said in tractors.items())
    counts = ", ".join(f"{name} = 1" for name in tractors)
    return hand_farm(
        ('width = "5 m"\n', f'width = "5 m"\n{lines}\n'),
        ("[options.usual]", f"{sections}\n\n[options.usual]"),
        ("planter = 1 }", f"planter = 1 }}\ntractors = {{ {counts} }}"),
        *changes,
    )


def slots(farm: Farm) -> dict[str, NDArray[Any]]:
    return slot_arrays(farm, tasks_of(farm), "usual")


def needed(lines: str, tractors: dict[str, str]) -> float:
    return needed_power(farm_with(lines, tractors), "usual")[0]


TWO, ASSIST = "two_wheel", "front_wheel_assist"
NEEDED = {TWO: ON_THE_DRAWBAR / 0.67 / 0.8, ASSIST: ON_THE_DRAWBAR / 0.73 / 0.8}  # 55.7, 51.2 kW


def tractor(power: float, drive: str = TWO) -> str:
    return f'power = "{power} kW"\ndrive = "{drive}"'


def test_without_a_draft_the_tractor_power_is_needed_and_nothing_without_it() -> None:
    assert needed('tractor_power = "50 kW"', {"one": tractor(60)}) == 50.0
    assert needed("", {"one": tractor(60)}) == 0.0
    assert needed_power(hand_farm(), "usual") == [0.0, 0.0]


def test_with_a_draft_its_power_is_needed() -> None:
    assert needed(PULLED, {"one": tractor(60)}) == pytest.approx(NEEDED[TWO])
    assert needed(PULLED, {"one": tractor(60, ASSIST)}) == pytest.approx(NEEDED[ASSIST])


@pytest.mark.parametrize(
    ("tractors", "fit"),
    [
        ({"a": tractor(40), "b": tractor(60)}, ["b"]),
        ({"a": tractor(80), "b": tractor(60)}, ["b", "a"]),
        # 52 kW pull it with front-wheel assist and not without.
        ({"a": tractor(51.5, TWO), "b": tractor(52, ASSIST)}, ["b"]),
        ({"a": tractor(55, TWO), "b": tractor(58, ASSIST)}, ["b"]),
        ({"a": tractor(52, ASSIST), "b": tractor(80, TWO)}, ["a", "b"]),
        # The limit of one threshold for power: a stronger tractor counts as fitting too.
        ({"a": tractor(52, ASSIST), "b": tractor(55, TWO)}, ["a", "b"]),
    ],
)
def test_the_tractors_that_fit_are_those_that_can_pull_it(
    tractors: dict[str, str], fit: list[str]
) -> None:
    farm = farm_with(PULLED, tractors)
    names = {id(part): name for name, part in farm.tractors.items()}
    found = fitting_tractors(farm, "usual")
    assert [names[id(part)] for part in found[0]] == fit
    assert found[1] == []  # the planter needs none


def test_a_hired_machine_takes_no_tractor_no_fuel_and_nobody() -> None:
    farm = hand_farm(('width = "5 m"\n', 'width = "5 m"\ncustom = { rate = "$40/ha" }\n'))
    assert needed_power(farm, "usual") == [0.0, 0.0]
    found = slots(farm)
    assert (found["fuel"][0, 0], found["labor"][0, 0]) == (0.0, 0.0)
    assert found["capacity"][0, 0] == pytest.approx(2.0)


def test_a_machine_that_may_go_slower_works_at_the_speed_that_is_held() -> None:
    farm = farm_with(SLOWER, {"one": tractor(30)})
    # Capacity goes with speed: 5 m x speed x 0.5 / 10.
    assert slots(farm)["capacity"][0, 0] == pytest.approx(held_by(30) * 5 * 0.5 / 10)
    assert held_by(30) < 8
    assert needed_power(farm, "usual")[0] == 30.0


def test_the_strongest_of_tractors_too_weak_pulls_it_and_the_others_do_not() -> None:
    farm = farm_with(SLOWER, {"a": tractor(20), "b": tractor(30), "c": tractor(25)})
    assert needed_power(farm, "usual")[0] == 30.0
    assert slots(farm)["capacity"][0, 0] == pytest.approx(held_by(30) / 4)


def test_a_tractor_that_holds_the_speed_is_enough() -> None:
    farm = farm_with(SLOWER, {"a": tractor(30), "b": tractor(60)})
    assert needed_power(farm, "usual")[0] == pytest.approx(NEEDED[TWO])
    assert slots(farm)["capacity"][0, 0] == pytest.approx(2.0)


def test_every_tractor_that_may_pull_it_holds_its_speed() -> None:
    # With front-wheel assist 40 kW pull as much as 40 x 0.73 / 0.67 = 43.6 with two driven wheels.
    assist, two = ("a", tractor(40, ASSIST)), ("b", tractor(42, TWO))
    for tractors in (dict([assist, two]), dict([two, assist])):
        farm = farm_with(SLOWER, tractors)
        assert slots(farm)["capacity"][0, 0] == pytest.approx(held_by(42) / 4)
        assert len(fitting_tractors(farm, "usual")[0]) == 2
    alone = farm_with(SLOWER, dict([assist]))
    assert slots(alone)["capacity"][0, 0] == pytest.approx(held_by(40 * 0.73 / 0.67) / 4)


def test_each_field_is_worked_at_its_own_speed() -> None:
    sand = ("[operations.till]", '[fields.sand]\ncrop = "corn"\narea = "5 ha"\n'
            'texture = "coarse"\n\n[operations.till]')  # fmt: skip
    farm = farm_with(SLOWER, {"one": tractor(45)}, sand)
    fitting = fitting_tractors(farm, "usual")[0]
    speeds = [block_speed(farm.machines["disk"], f, fitting) for f in farm.fields.values()]
    assert speeds[0] == pytest.approx(held_by(45))
    # Sand takes 0.78 / 0.88 of the draft, as if the tractor had that much more power.
    assert speeds[1] == pytest.approx(held_by(45 * 0.88 / 0.78))
    capacity = slots(farm)["capacity"][:, 0]
    assert capacity[[0, 2]] == pytest.approx(np.array(speeds) / 4)


def test_an_hour_burns_the_fuel_of_its_time_in_the_row_and_of_an_engine_that_runs() -> None:
    # 29.881 / 0.67 = 44.60 kW for half of the hour (the field efficiency) of a tractor of 60 kW;
    # 0.22 L/kWh and 0.096 L/h for each kW it has (ASABE D497.7, from memory).
    fuel = slots(farm_with(PULLED, {"one": tractor(60)}))["fuel"]
    assert fuel[0, 0] == pytest.approx(0.22 * ON_THE_DRAWBAR / 0.67 * 0.5 + 0.096 * 60)
    assert fuel[0, 0] == pytest.approx(10.666, abs=0.001)
    assert fuel[1, 0] == 0  # the planter needs no tractor


def test_a_tractor_power_given_burns_four_fifths_of_it_in_the_row() -> None:
    fuel = slots(farm_with('tractor_power = "50 kW"', {"one": tractor(60)}))["fuel"]
    assert fuel[0, 0] == pytest.approx(0.22 * 40 * 0.5 + 0.096 * 60)


def test_what_is_worked_twice_is_pulled_twice() -> None:
    # With 20 % of the width worked twice 8 km/h x 4 m take 0.3125 h/ha along the rows; the turn of
    # 36 s for each 4 m x 400 m = 0.16 ha takes 0.0625 h/ha: five sixths of the hour in the row.
    elements = 'time = { turn = "36 s", overlap = "20 %" }'
    farm = farm_with(
        f"{PULLED}\n{elements}", {"one": tractor(60)},
        ('area = "40 ha"', 'area = "40 ha"\nrow_length = "400 m"'),
        ("field_efficiency = 0.5\n\n[machines.planter]", "\n[machines.planter]"),
    )  # fmt: skip
    found = slots(farm)
    assert found["capacity"][0, 0] == pytest.approx(1 / 0.375)
    assert found["fuel"][0, 0] == pytest.approx(0.22 * ON_THE_DRAWBAR / 0.67 * 5 / 6 + 0.096 * 60)


def test_the_weakest_tractor_that_fits_burns_the_fuel() -> None:
    two = {"strong": tractor(120), "fit": tractor(60)}
    fuel = slots(farm_with(PULLED, two))["fuel"][0, 0]
    assert fuel == pytest.approx(0.22 * ON_THE_DRAWBAR / 0.67 * 0.5 + 0.096 * 60)


def test_an_overloaded_tractor_burns_no_more_than_at_full_load() -> None:
    # The power is given as 50 kW, and the draft takes 44.6 kW of a tractor of 40 kW on the field.
    fuel = slots(farm_with(f'{PULLED}\ntractor_power = "40 kW"', {"one": tractor(40)}))["fuel"]
    assert fuel[0, 0] == pytest.approx(0.22 * 40 * 0.5 + 0.096 * 40)


FILLED = (
    ('width = "2.5 m"\nspeed = "8 km/h"\nfield_efficiency = 0.5',
     'width = "2.5 m"\nspeed = "8 km/h"\ntime = { turn = "0 s", fills = { seed = '
     '{ hopper = "10 kg", rate = "10 kg/ha", time = "30 min", helpers = 2 } } }'),
    ('area = "40 ha"', 'area = "40 ha"\nrow_length = "400 m"'),
)  # fmt: skip


def test_who_helps_to_fill_works_for_the_share_of_the_time_that_filling_takes() -> None:
    # 0.5 h/ha along the rows and half an hour to fill for each hectare: two helpers for half of the
    # time, beside the operator.
    found = slots(hand_farm(*FILLED))
    assert found["capacity"][1, 0] == pytest.approx(1.0)
    assert found["labor"][:, 0] == pytest.approx([1.0, 1 + 2 * 0.5])


def test_two_materials_have_each_their_helpers() -> None:
    more = FILLED[0][1].replace(
        "helpers = 2 }",
        'helpers = 2 }, fertilizer = { hopper = "100 kg", rate = "100 kg/ha", '
        'time = "1 h", helpers = 1 }',
    )
    # 0.5 h/ha of rows, 0.5 h of seed with two helpers, 1 h of fertilizer with one: of 2 h.
    found = slots(hand_farm((FILLED[0][0], more), FILLED[1]))
    assert found["labor"][1, 0] == pytest.approx(1 + 2 * 0.25 + 1 * 0.5)


def test_the_morning_is_service_and_for_a_machine_that_comes_home_the_road_twice() -> None:
    road = ('area = "40 ha"', 'area = "40 ha"\ndistance = "5 km"')
    at = ('width = "5 m"\n', 'width = "5 m"\nroad_speed = "20 km/h"\ndaily_service = "30 min"\n')
    planter = ('width = "2.5 m"\n', 'width = "2.5 m"\nroad_speed = "20 km/h"\ncomes_home = true\n')
    found = slots(hand_farm(road, at, planter))
    # 5 km at 20 km/h are a quarter of an hour, once each way.
    assert found["morning"][:, 0] == pytest.approx([0.5, 0.5])
    assert found["setup"][:, 0] == pytest.approx([0.25, 0.25])


def test_places_without_a_machine_are_marked() -> None:
    second = ("[options.usual]", '[machines.chisel]\noperations = ["till"]\nwidth = "5 m"\n'
              'speed = "8 km/h"\nfield_efficiency = 0.5\n\n[options.usual]')  # fmt: skip
    found = slots(hand_farm(second, ("planter = 1 }", "planter = 1, chisel = 1 }")))
    assert found["machine"].tolist() == [[0, 2], [1, -1]]
