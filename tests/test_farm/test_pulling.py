"""Draft by hand: D = Fi (A + B S + C S^2) W T and P = D S / 3.6.

Coefficients of ASABE D497, from memory (fieldsim/machines/draft_coefficients.csv): tandem disk,
secondary tillage, 216 + 11.2 S newtons for each metre and centimetre of depth, texture factors 1
(fine), 0.88 (medium) and 0.78 (coarse); drawn planter 900 N a row. On the drawbar a tractor with
two driven wheels puts 0.67 of its PTO power on tilled soil and 0.72 on firm soil; with front-wheel
assist 0.73 on tilled soil (University of Arizona Cooperative Extension, Agricultural Machinery
Management).
"""

from __future__ import annotations

import math

import pytest

from fieldsim.errors import InputError
from fieldsim.farm import Farm
from fieldsim.farm.machine_parts import Machine
from fieldsim.farm.parts import FarmField
from fieldsim.farm.pulling import power_in_row, power_needed, speed_held
from tests.farms import hand_farm, messages

# The disk of the farm worked out by hand: 5 m, 8 km/h; at 10 cm on medium soil it takes
# 0.88 x (216 + 11.2 x 8) x 5 x 10 = 13,446.4 N, and 13.4464 x 8 / 3.6 = 29.881 kW.
PULLED = 'draft = { machine = "tandem_disk_secondary", depth = "10 cm" }'
ON_THE_DRAWBAR = 13.4464 * 8 / 3.6


def with_disk(lines: str, tractor: str = 'power = "60 kW"', *changes: tuple[str, str]) -> Farm:
    """Return the farm with more said of its disk, and a tractor to pull it."""
    return hand_farm(
        ('width = "5 m"\n', f'width = "5 m"\n{lines}\n'),
        ("[options.usual]", f"[tractors.one]\n{tractor}\n\n[options.usual]"),
        ("planter = 1 }", "planter = 1 }\ntractors = { one = 1 }"),
        *changes,
    )


def disk_of(farm: Farm) -> tuple[Machine, FarmField]:
    return farm.machines["disk"], farm.fields["north"]


def faults_with(lines: str, tractor: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        with_disk(lines, tractor)
    return [str(fault) for fault in caught.value.faults]


def test_the_power_in_the_row_is_draft_times_speed_over_what_the_wheels_carry() -> None:
    disk, field = disk_of(with_disk(PULLED))
    assert power_in_row(disk, field, 8.0, "two_wheel") == pytest.approx(ON_THE_DRAWBAR / 0.67)
    assert power_in_row(disk, field, 8.0, "front_wheel_assist") == pytest.approx(
        ON_THE_DRAWBAR / 0.73
    )


def test_firm_soil_carries_more_of_the_power() -> None:
    disk, field = disk_of(with_disk(PULLED.replace(" }", ', surface = "firm" }')))
    assert power_in_row(disk, field, 8.0, "two_wheel") == pytest.approx(ON_THE_DRAWBAR / 0.72)


@pytest.mark.parametrize(("texture", "factor"), [("fine", 1.0), ("medium", 0.88), ("coarse", 0.78)])
def test_power_goes_by_the_texture_of_the_field(texture: str, factor: float) -> None:
    area = ('area = "40 ha"', f'area = "40 ha"\ntexture = "{texture}"')
    disk, field = disk_of(with_disk(PULLED, 'power = "70 kW"', area))
    by_hand = factor * (216 + 11.2 * 8) * 5 * 10 / 1000 * 8 / 3.6 / 0.67
    assert power_in_row(disk, field, 8.0, "two_wheel") == pytest.approx(by_hand)


def test_a_fifth_of_the_tractor_is_held_back() -> None:
    disk, field = disk_of(with_disk(PULLED))
    assert power_needed(disk, field, "two_wheel") == pytest.approx(ON_THE_DRAWBAR / 0.67 / 0.8)


def test_where_the_tractor_power_is_given_the_row_takes_four_fifths_of_it() -> None:
    disk, field = disk_of(with_disk('tractor_power = "50 kW"'))
    assert power_needed(disk, field, "tracks") == 50.0
    assert power_in_row(disk, field, 3.0, "tracks") == pytest.approx(40.0)


def test_a_machine_with_neither_needs_no_tractor() -> None:
    disk, field = disk_of(hand_farm())
    assert power_needed(disk, field, "two_wheel") == power_in_row(disk, field, 8.0, "tracks") == 0


def test_the_power_given_goes_before_the_draft_and_the_draft_tells_the_row() -> None:
    disk, field = disk_of(with_disk(f'{PULLED}\ntractor_power = "58 kW"'))
    assert power_needed(disk, field, "two_wheel") == 58.0
    assert power_in_row(disk, field, 8.0, "two_wheel") == pytest.approx(ON_THE_DRAWBAR / 0.67)


@pytest.mark.parametrize("size", ['width = "4.5 m"', 'rows = 6\nrow_spacing = "75 cm"'])
def test_a_planter_goes_by_its_rows(size: str) -> None:
    draft = 'draft = { machine = "planter_drawn_seed_only", spacing = "75 cm" }'
    farm = with_disk("", 'power = "60 kW"', ('width = "2.5 m"\n', f"{size}\n{draft}\n"))
    # 6 rows x 900 N at 8 km/h: 5.4 x 8 / 3.6 = 12 kW on the drawbar.
    power = power_in_row(farm.machines["planter"], farm.fields["north"], 8.0, "two_wheel")
    assert power == pytest.approx(12 / 0.67)


def held_by(power: float) -> float:
    """Return the speed of the disk that takes 0.8 x 0.67 of a power [km/h].

    0.88 x 50 x (216 S + 11.2 S^2) / 3600 = 0.536 P, solved for S.
    """
    right = 0.536 * power * 3600 / 44
    return (math.sqrt(216**2 + 4 * 11.2 * right) - 216) / (2 * 11.2)


@pytest.mark.parametrize("power", [5.0, 30.0, 55.0])
def test_a_weak_tractor_holds_the_speed_at_which_its_power_is_used_up(power: float) -> None:
    farm = with_disk(f"{PULLED}\nallow_slower = true", f'power = "{power} kW"')
    disk, field = disk_of(farm)
    assert speed_held(disk, field, farm.tractors["one"]) == pytest.approx(held_by(power))
    assert held_by(power) < 8


def test_no_tractor_goes_faster_than_the_machine() -> None:
    farm = with_disk(PULLED, 'power = "300 kW"')
    disk, field = disk_of(farm)
    assert speed_held(disk, field, farm.tractors["one"]) == 8.0


def test_a_tractor_too_weak_is_told_the_speed_it_could_hold() -> None:
    # Needed are 29.881 / 0.67 / 0.8 = 55.7 kW; 50 kW hold 7.35 km/h.
    assert held_by(50) == pytest.approx(7.350, abs=0.001)
    (message,) = faults_with(PULLED, 'power = "50 kW"')
    assert message == (
        "farm: options.usual.tractors = { one = 1 }: disk needs 56 kW and the strongest has 50 kW: "
        "at 8 km/h it is too heavy, 7.3 km/h could be held; add a tractor of 56 kW or more, "
        "or write allow_slower = true in machines.disk"
    )


def test_the_speed_named_is_never_more_than_could_be_held() -> None:
    # 55.7 kW hold 7.996 km/h, which must not be told as 8.
    (message,) = faults_with(PULLED, 'power = "55.7 kW"')
    assert "disk needs 55.75 kW and the strongest has 55.70 kW" in message
    assert "at 8 km/h it is too heavy, 7.9 km/h could be held" in message


def test_front_wheel_assist_pulls_what_two_driven_wheels_cannot() -> None:
    # It needs 29.881 / 0.73 / 0.8 = 51.2 kW, and 55.7 kW with two driven wheels.
    assert len(faults_with(PULLED, 'power = "52 kW"')) == 1
    assert with_disk(PULLED, 'power = "52 kW"\ndrive = "front_wheel_assist"')
    assert len(faults_with(PULLED, 'power = "51 kW"\ndrive = "front_wheel_assist"')) == 1


def test_what_is_needed_is_told_for_the_wheels_of_the_strongest_tractor() -> None:
    assist = (
        "[tractors.one]",
        '[tractors.two]\npower = "45 kW"\ndrive = "tracks"\n\n[tractors.one]',
    )
    with pytest.raises(InputError) as caught:
        with_disk(PULLED, 'power = "50 kW"', assist, ("{ one = 1 }", "{ one = 1, two = 1 }"))
    (fault,) = caught.value.faults
    assert "disk needs 56 kW and the strongest has 50 kW" in fault.problem


def test_the_repair_names_the_tractors_that_can_pull_it_with_their_wheels() -> None:
    others = (
        "[tractors.one]",
        '[tractors.wheels]\npower = "52 kW"\n\n[tractors.assist]\npower = "52 kW"\n'
        'drive = "front_wheel_assist"\n\n[tractors.one]',
    )
    with pytest.raises(InputError) as caught:
        with_disk(PULLED, 'power = "40 kW"', others)
    (fault,) = caught.value.faults
    assert fault.repair.startswith("add assist, or write allow_slower")


def test_the_heaviest_field_on_which_it_works_decides() -> None:
    fine = ("[operations.till]", '[fields.clay]\ncrop = "corn"\narea = "5 ha"\ntexture = "fine"\n\n'
            "[operations.till]")  # fmt: skip
    assert with_disk(PULLED, 'power = "60 kW"')
    with pytest.raises(InputError, match="disk needs 63 kW and the strongest has 60 kW"):
        with_disk(PULLED, 'power = "60 kW"', fine)
    other = (fine[0], fine[1].replace('"corn"', '"soybeans"'))
    till = ('kind = "tillage"', 'kind = "tillage"\ncrops = ["corn"]')
    plant = (
        'follows = "till"\nlag = "1 day"',
        'follows = { corn = "till" }\nlag = { corn = "1 day" }',
    )
    assert with_disk(PULLED, 'power = "60 kW"', other, till, plant)


def test_hired_machines_need_no_tractor_of_the_farm() -> None:
    hired = ('width = "5 m"\n', 'width = "5 m"\ncustom = { rate = "$40/ha" }\n')
    assert hand_farm(hired).options["usual"].tractors == {}


GATE = ('area = "200 acre"', 'area = "200 acre"\ngate_width = "16 ft"')


@pytest.mark.parametrize("way", ['fold_time = "6 min"', 'transport_width = "12 ft"'])
def test_a_machine_passes_a_gate_folded_or_on_its_end(way: str) -> None:
    assert len(messages(GATE)) == 1
    with pytest.raises(pytest.fail.Exception):
        messages(GATE, ('width = "20 ft"', f'width = "20 ft"\n{way}'))


def test_a_faulty_width_on_the_road_says_nothing_of_gates() -> None:
    (message,) = messages(GATE, ('width = "20 ft"', 'width = "20 ft"\ntransport_width = "12"'))
    assert message.startswith("farm.toml: machines.disk.transport_width")


def test_land_that_may_be_switched_is_told_what_the_other_crops_machine_needs() -> None:
    # Soybeans are sown by a drill built from time elements, also where corn was to stand.
    sow = (
        "[operations.till]",
        '[operations.sow]\nkind = "planting"\ncrops = ["soybeans"]\nhours_per_day = "10 h"\n'
        'follows = "till"\nlag = "1 day"\n\n[operations.till]',
    )
    switch = ("\n[crops.soybeans]", '\n[crops.corn.late]\nswitch_to = "soybeans"\n'
              'switch_from = "15 Apr"\n\n[crops.soybeans]')  # fmt: skip
    drill = (
        "[options.usual]",
        '[machines.drill]\noperations = ["sow"]\nwidth = "3 m"\nspeed = "8 km/h"\n'
        'time = { turn = "20 s" }\n\n[options.usual]',
    )
    changes = (
        sow, switch, drill, ('["plant", "till"]', '["plant", "sow", "till"]'),
        ("planter = 1 }", "planter = 1, drill = 1 }"),
        ('[operations.plant]\nkind = "planting"', '[operations.plant]\nkind = "planting"\n'
         'crops = ["corn"]'),
    )  # fmt: skip
    with pytest.raises(InputError, match=r"fields.north.row_length: is missing"):
        hand_farm(*changes)
    assert hand_farm(*changes, ('area = "40 ha"', 'area = "40 ha"\nrow_length = "400 m"'))
