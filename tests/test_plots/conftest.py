"""Outcomes to plot, and the promise that no plot touches matplotlib's settings."""

from __future__ import annotations

from collections.abc import Iterator

import matplotlib as mpl
import matplotlib.pyplot as plt
import pytest
import xarray as xr

import fieldsim


@pytest.fixture(scope="session")
def outcomes() -> xr.Dataset:
    return fieldsim.simulate(fieldsim.demo_farm(), seasons=200)


@pytest.fixture(autouse=True)
def _settings_stay_as_they_were() -> Iterator[None]:
    before = dict(mpl.rcParams)
    yield
    plt.close("all")
    assert dict(mpl.rcParams) == before
