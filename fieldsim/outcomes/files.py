"""Outcomes to and from netCDF files."""

from __future__ import annotations

from pathlib import Path

import xarray as xr

from fieldsim.errors import Fault, InputError
from fieldsim.writing import written_whole

__all__ = ["read_outcomes", "write_outcomes"]


def write_outcomes(outcomes: xr.Dataset, path: str | Path) -> None:
    """Write outcomes to a netCDF file; an old file stays whole until the new one is.

    Parameters
    ----------
    outcomes : xarray.Dataset
    path : str or Path
    """
    with written_whole(path) as beside:
        outcomes.to_netcdf(beside, engine="h5netcdf")


def read_outcomes(path: str | Path) -> xr.Dataset:
    """Read outcomes written by `write_outcomes`.

    Parameters
    ----------
    path : str or Path

    Returns
    -------
    xarray.Dataset
        Equal to what was written, loaded into memory.

    Raises
    ------
    InputError
        If there is no such file or it is no netCDF file.
    """
    path = Path(path)
    if not path.is_file():
        raise InputError([Fault(str(path), "", "", "there is no such file", "check its name")])
    try:
        return xr.load_dataset(path, engine="h5netcdf")
    except (OSError, ValueError, KeyError) as error:
        problem = f"not a file of outcomes ({type(error).__name__})"
        raise InputError([Fault(str(path), "", "", problem, "write it anew")]) from None
