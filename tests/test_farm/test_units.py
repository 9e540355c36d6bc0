from __future__ import annotations

import re

import numpy as np
import pytest

from fieldsim.farm import Farm, parse_farm
from fieldsim.quantities import area_covered
from fieldsim.simulation import simulate
from tests.farms import SMALL_FARM, SMALL_TABLES, changed, faults_of, small_farm

# Definitions, exact; from memory, of NIST Special Publication 811 (2008), appendix B.8. An acre is
# 43,560 square feet of 0.3048 m (Federal Register 85 FR 62698, 2020).
ACRE = 43_560 * 0.3048**2 / 10_000  # ha
POUND = 0.45359237  # kg
HORSEPOWER = 550 * 0.3048 * POUND * 9.80665 / 1000  # kW
BUSHEL_OF = {"corn": 56 * POUND / 1000, "soybeans": 60 * POUND / 1000}  # t
METRIC = {
    "acre": (ACRE, "ha"),
    "ft": (0.3048, "m"),
    "in": (2.54, "cm"),
    "mile": (1.609344, "km"),
    "mph": (1.609344, "km/h"),
    "hp": (HORSEPOWER, "kW"),
    "seeds/acre": (1 / ACRE, "seeds/ha"),
}


def in_metric_units(text: str) -> str:
    """Return the small farm with every quantity written in metric units, by hand."""

    def convert(match: re.Match[str]) -> str:
        times, unit = METRIC[match[2]]
        return f'"{float(match[1].replace(",", "")) * times!r} {unit}"'

    text = re.sub(r'"([\d.,]+) ([a-z/]+)"', lambda m: convert(m) if m[2] in METRIC else m[0], text)
    text = text.replace('"$60/acre"', f'"${60 / ACRE!r}/ha"').replace(
        'units = "us"', 'units = "metric"'
    )
    text = re.sub(r'test_weight = "\d+ lb/bu"\n', "", text)
    for crop, bushels, price in (("corn", 180, 4.5), ("soybeans", 50, 10)):
        ton = BUSHEL_OF[crop]
        text = text.replace(f'"{bushels} bu/acre"', f'"{bushels * ton / ACRE!r} t/ha"')
        text = text.replace(f'"${price:.2f}/bu"', f'"${price / ton!r}/t"')
    return text


def numbers(farm: Farm) -> dict[str, float]:
    """Return every number of a farm's parts by its path, hoppers as the land they cover."""
    found: dict[str, float] = {}

    def walk(path: str, value: object) -> None:
        if isinstance(value, dict):
            if "hopper" in value:
                value = {**value, "area": area_covered(value.pop("hopper"), value.pop("rate"))}
            for key, inner in value.items():
                if key != "test_weight":
                    walk(f"{path}.{key}", inner)
        elif isinstance(value, float):
            found[path] = value

    for section in ("crops", "fields", "machines", "tractors", "options"):
        for name, part in getattr(farm, section).items():
            walk(f"{section}.{name}", part.model_dump())
    for name, by_crop in farm.operations.items():
        for crop, part in by_crop.items():
            walk(f"operations.{name}.{crop}", part.model_dump())
    walk("crew", farm.crew.model_dump())
    walk("money", farm.money.model_dump())
    return found


@pytest.fixture(scope="module")
def metric() -> Farm:
    return parse_farm(in_metric_units(SMALL_FARM), SMALL_TABLES)


def test_no_unit_of_the_us_is_left_in_the_metric_farm() -> None:
    left = re.findall(
        r'"[^"]*\b(acre|ft|in|mile|mph|hp|lb|bu)\b[^"]*"', in_metric_units(SMALL_FARM)
    )
    assert left == []


def test_a_farm_in_metric_units_has_the_numbers_of_the_same_farm_in_us_units(
    metric: Farm,
) -> None:
    us = numbers(small_farm())
    assert len(us) > 40
    assert numbers(metric) == pytest.approx(us, rel=1e-9, abs=0)


def test_a_farm_in_metric_units_has_the_outcomes_of_the_same_farm_in_us_units(
    metric: Farm,
) -> None:
    us, hectares = simulate(small_farm(), 50), simulate(metric, 50)
    assert us.done_area.attrs["units"] == "acre"
    assert hectares.done_area.attrs["units"] == "ha"
    for name in us.data_vars:
        if us[name].dtype.kind == "f":
            ratio = {"acre": ACRE, "gal": 3.785411784}.get(us[name].attrs["units"], 1.0)
            np.testing.assert_allclose(us[name] * ratio, hectares[name], rtol=1e-9, atol=1e-6)
        else:
            assert us[name].equals(hectares[name]), name


def test_the_acre_is_that_of_the_international_foot() -> None:
    assert small_farm().fields["home"].area == pytest.approx(200 * 0.40468564224, rel=1e-12)


def test_it_does_not_matter_where_the_test_weight_stands() -> None:
    weight = 'test_weight = "56 lb/bu"\n'
    target = 'target_date = "10 May"\n'
    after = changed((weight, ""), (target, target + weight))
    assert parse_farm(after, SMALL_TABLES).crops == small_farm().crops


def test_bushels_and_tonnes_may_be_mixed() -> None:
    mixed = small_farm(('"180 bu/acre"', f'"{180 * BUSHEL_OF["corn"] / ACRE!r} t/ha"'))
    assert mixed.crops["corn"].yield_ == pytest.approx(small_farm().crops["corn"].yield_, rel=1e-12)


@pytest.mark.parametrize(
    ("written", "share"), [('"40 %"', 0.4), ("0.4", 0.4), ("1", 1.0), ("0", 0.0), ('"0 %"', 0.0)]
)
def test_a_share_is_a_number_or_per_cent(written: str, share: float) -> None:
    assert small_farm(('"40 %"', written)).crew.helpers["neighbor"].probability == share


@pytest.mark.parametrize("written", ['"5 %"', "0.05", '"5 %/year"'])
def test_a_rate_is_a_share_with_or_without_the_year(written: str) -> None:
    assert small_farm(('"5 %"', written)).money.interest == pytest.approx(0.05, rel=1e-15)


def test_powers_in_messages_are_in_the_units_of_the_farm() -> None:
    weak = in_metric_units(SMALL_FARM).replace("tractors = { large = 1, small = 1 }\n", "")
    (fault,) = faults_of(weak)
    assert fault.problem == "disk needs a tractor of 82 kW and the option has none"
