from __future__ import annotations

from pathlib import Path

import pytest
import xarray as xr

from fieldsim.errors import InputError
from fieldsim.farm import parse_farm
from fieldsim.outcomes import read_outcomes, write_outcomes
from fieldsim.simulation import simulate
from tests.farms import SMALL_FARM, SMALL_TABLES, hand_farm, small_farm


def test_outcomes_are_read_as_they_were_written(tmp_path: Path) -> None:
    short = small_farm(('area = "200 acre"', 'area = "900 acre"'))
    outcomes = simulate(short, 50, 3)
    assert outcomes.finish_date.isnull().any()
    assert outcomes.finish_date.notnull().any()
    write_outcomes(outcomes, tmp_path / "outcomes.nc")
    again = read_outcomes(tmp_path / "outcomes.nc")
    xr.testing.assert_identical(again, outcomes)
    for name in outcomes.variables:
        assert again[name].dtype == outcomes[name].dtype, name
    assert [path.name for path in tmp_path.iterdir()] == ["outcomes.nc"]


def test_outcomes_without_any_date_are_read_as_they_were_written(tmp_path: Path) -> None:
    outcomes = simulate(hand_farm(('area = "40 ha"', 'area = "9000 ha"')), 1)
    assert outcomes.finish_date.isnull().all()
    write_outcomes(outcomes, str(tmp_path / "outcomes.nc"))
    xr.testing.assert_identical(read_outcomes(str(tmp_path / "outcomes.nc")), outcomes)


def test_a_farm_file_of_any_length_goes_with_the_outcomes(tmp_path: Path) -> None:
    farm = parse_farm(SMALL_FARM + "# é\n" * 50_000, SMALL_TABLES)
    outcomes = simulate(farm, 1)
    write_outcomes(outcomes, tmp_path / "outcomes.nc")
    assert read_outcomes(tmp_path / "outcomes.nc").attrs["farm_text"] == farm.text


def test_an_old_file_stays_whole_when_writing_fails(tmp_path: Path) -> None:
    outcomes = simulate(hand_farm(), 1)
    path = tmp_path / "outcomes.nc"
    write_outcomes(outcomes, path)
    with pytest.raises(TypeError):
        write_outcomes(outcomes.assign_attrs(farm=object()), path)
    xr.testing.assert_identical(read_outcomes(path), outcomes)
    assert [inner.name for inner in tmp_path.iterdir()] == ["outcomes.nc"]


def test_a_file_that_holds_no_outcomes_is_told(tmp_path: Path) -> None:
    (tmp_path / "text.nc").write_text("not a netCDF file")
    (tmp_path / "empty.nc").touch()
    with pytest.raises(InputError, match=r"none\.nc: there is no such file; check its name"):
        read_outcomes(tmp_path / "none.nc")
    for name in ("text.nc", "empty.nc"):
        with pytest.raises(InputError, match=r"not a file of outcomes .*; write it anew"):
            read_outcomes(tmp_path / name)
