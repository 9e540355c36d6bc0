"""Outcomes to and from netCDF files."""

from __future__ import annotations

import io
from pathlib import Path

import h5netcdf
import h5py  # type: ignore[import-untyped]
import xarray as xr
from xarray.backends import H5NetCDFStore

from fieldsim.errors import Fault, InputError
from fieldsim.writing import written_whole

__all__ = ["read_outcomes", "write_outcomes"]

# A small file can claim any amount of memory; outcomes are stored as large as they are.
MOST_UNPACKED = 100_000_000  # bytes, and besides
MOST_PACKED = 10  # times the size of the file


def write_outcomes(outcomes: xr.Dataset, path: str | Path) -> None:
    """Write outcomes to a netCDF file; an old file stays whole until the new one is.

    Parameters
    ----------
    outcomes : xarray.Dataset
    path : str or Path

    Raises
    ------
    OSError
        If the disk does not take it.

    Examples
    --------
    >>> import tempfile
    >>> import fieldsim
    >>> outcomes = fieldsim.simulate(fieldsim.demo_farm(), seasons=5)
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write_outcomes(outcomes, f"{folder}/outcomes.nc")
    ...     bool(read_outcomes(f"{folder}/outcomes.nc").identical(outcomes))
    True
    """
    whole = io.BytesIO()  # a full disk would crash the library that writes into files itself
    with h5netcdf.File(whole, "w") as file:
        outcomes.dump_to_store(H5NetCDFStore(file))
    with written_whole(path) as beside:
        beside.write_bytes(whole.getbuffer())


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

    Examples
    --------
    See `write_outcomes`.
    """
    path = Path(path)
    if not path.is_file():
        raise InputError([Fault(str(path), "", "", "there is no such file", "check its name")])
    try:
        unpacked = _claimed(path)
        if unpacked > MOST_UNPACKED + MOST_PACKED * path.stat().st_size:
            problem = f"it unpacks to {unpacked / 1e9:,.1f} GB, far more than it holds"
            raise InputError([Fault(str(path), "", "", problem, "write it anew")])
        return xr.load_dataset(path, engine="h5netcdf")
    except InputError:
        raise
    except Exception as error:  # damaged files break the reading libraries in many ways
        problem = f"not a file of outcomes ({type(error).__name__})"
        raise InputError([Fault(str(path), "", "", problem, "write it anew")]) from None


def _claimed(path: Path) -> int:
    """Return the memory that the arrays of a file take, read nothing of them [bytes]."""
    sizes = []
    with h5py.File(path, "r") as file:
        file.visititems(lambda _, found: sizes.append(getattr(found, "nbytes", 0)))
    return int(sum(sizes))
