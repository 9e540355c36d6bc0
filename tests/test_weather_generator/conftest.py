import pytest

from fieldsim.days.weather.generator import generate
from fieldsim.days.weather.generator_fit import fit_generator
from tests.test_weather_generator.records import (
    WHOLE_YEAR,
    as_record,
    champion_record,
    invented_generator,
    invented_record,
)


@pytest.fixture(scope="session")
def truth():
    return invented_generator(season_share=0.02)


@pytest.fixture(scope="session")
def long_draw(truth):
    """Two thousand years drawn from the truth."""
    return generate(truth, WHOLE_YEAR, 2000, seed=11)


@pytest.fixture(scope="session")
def refitted(long_draw):
    return fit_generator(as_record(long_draw))


@pytest.fixture(scope="session")
def record():
    return invented_record(40)


@pytest.fixture(scope="session")
def champion():
    return champion_record()
