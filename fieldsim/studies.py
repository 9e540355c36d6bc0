"""Many farms at once: each simulated and compared, on any of dask's schedulers, in one store."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager, nullcontext
from importlib.metadata import version
from itertools import islice
from multiprocessing import get_context
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from fieldsim.decisions.comparison import compare_costs
from fieldsim.errors import Fault, InputError
from fieldsim.farm import Farm
from fieldsim.progress import shown_progress
from fieldsim.simulation import simulate

if TYPE_CHECKING:
    import xarray as xr

__all__ = ["STATISTICS", "study"]

# What a study keeps of the comparison of a farm's options.
STATISTICS = (
    *("ownership_cost", "repair_cost", "labor_cost", "fuel_cost", "hire_cost"),
    *("lost_revenue", "lost_revenue_error"),
    *("lost_revenue_1_in_10", "lost_revenue_1_in_10_from", "lost_revenue_1_in_10_to"),
    *("lost_revenue_worst", "total_cost", "total_cost_error"),
    *("total_cost_1_in_10", "total_cost_1_in_10_from", "total_cost_1_in_10_to"),
    *("difference", "difference_error", "seasons_won"),
)
BATCH = 32  # farms that are worked before their figures are written, and of a chunk of the store

Progress = Callable[[float], None]


def study(
    farms: Mapping[str, Farm],
    seasons: int = 1000,
    seed: int = 0,
    *,
    store: str | Path | None = None,
    scheduler: Any = "threads",
    batch: int = BATCH,
    progress: Progress | None = None,
) -> xr.Dataset:
    """Simulate and compare the options of many farms.

    Parameters
    ----------
    farms : mapping
        Farms by name. All have the same options, by name, and the same unit system.
    seasons, seed : int
        As for `simulate`; every farm has the same.
    store : str or Path, optional
        Folder of a Zarr store, written as the work goes on. Where it holds a part of the same
        study already, only the rest is worked: a study that was stopped goes on.
    scheduler : str or dask.distributed.Client
        ``"threads"``, ``"processes"``, ``"synchronous"``, or the client of a cluster. The figures
        do not depend on it.
    batch : int
        How many farms are worked between two writings, best a multiple of the workers.
    progress : callable, optional
        Called with the share that is done, 0..1. Default: a bar on the terminal, where standard
        error is one.

    Returns
    -------
    xarray.Dataset
        Dims farm, option: `STATISTICS`, as in `compare` with the first option as baseline.

    Raises
    ------
    InputError
        If there are no farms, they differ in their options or units, or the store holds another
        study.

    Notes
    -----
    It takes the extra packages of ``pip install "fieldsim[cluster]"``. A script that uses processes
    or a cluster on its own machine stands below ``if __name__ == "__main__":``, since each of them
    reads it.

    Examples
    --------
    >>> import fieldsim
    >>> farm = fieldsim.demo_farm()
    >>> prices = {"low": "$4/bu", "high": "$5/bu"}
    >>> farms = {n: fieldsim.changed(farm, {"crops.corn.price": p}) for n, p in prices.items()}
    >>> dict(study(farms, seasons=20, scheduler="synchronous").sizes)
    {'farm': 2, 'option': 4}
    """
    from dask.base import compute
    from dask.delayed import delayed

    options = _options_of(farms)
    empty = _empty(farms, options, seasons, seed)
    results = empty if store is None else _opened(empty, Path(store), batch)
    names = list(farms)
    left = [place for place, done in enumerate(results.done.values) if not done]
    threads = None if scheduler == "synchronous" else 1  # elsewhere the farms run side by side
    bar = nullcontext(progress) if progress else shown_progress(f"{len(names):,} farms")
    with bar as show, _workers(scheduler) as workers:
        show(1 - len(left) / len(names))
        for some in _batches(left, batch):
            tasks = [delayed(_figures)(farms[names[i]], seasons, seed, threads) for i in some]
            for place, figures in zip(some, compute(*tasks, **workers), strict=True):  # type: ignore[no-untyped-call]
                _put(results, place, figures)
            if store is not None:
                _write(results, some, Path(store))
            show(float(results.done.mean()))
    return results.drop_vars("done")


@contextmanager
def _workers(scheduler: Any) -> Iterator[dict[str, Any]]:
    """Yield what dask is to be told of a scheduler; processes live as long as the study."""
    if scheduler != "processes":
        yield {"scheduler": scheduler}
        return
    with ProcessPoolExecutor(mp_context=get_context("spawn")) as pool:
        yield {"scheduler": scheduler, "pool": pool, "chunksize": 1}


def _figures(
    farm: Farm, seasons: int, seed: int, threads: int | None
) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Return the figures of one farm, shape (statistic, option)."""
    table = compare_costs(simulate(farm, seasons, seed, threads=threads))
    figures: np.ndarray[Any, np.dtype[np.float64]] = table[list(STATISTICS)].to_numpy(np.float64).T
    return figures


def _batches(places: Sequence[int], size: int) -> Iterator[list[int]]:
    remaining = iter(places)
    while some := list(islice(remaining, size)):
        yield some


def _options_of(farms: Mapping[str, Farm]) -> list[str]:
    """Return the options that all farms have; raise if they differ."""
    if not farms:
        raise InputError([Fault("", "farms", "", "there are none", "give one or more")])
    first = next(iter(farms))
    options, units = list(farms[first].options), farms[first].units
    faults = []
    for name, farm in farms.items():
        if list(farm.options) != options:
            found = ", ".join(farm.options)
            problem = f"its options are not those of {first} ({', '.join(options)})"
            faults.append(Fault("", f"farms[{name!r}]", found, problem, "give all the same"))
        if farm.units != units:
            problem = f"its unit system is not that of {first} ({units})"
            faults.append(Fault("", f"farms[{name!r}]", farm.units, problem, "give all the same"))
    if faults:
        raise InputError(faults)
    return options


def _empty(farms: Mapping[str, Farm], options: list[str], seasons: int, seed: int) -> xr.Dataset:
    """Return the Dataset of a study of which nothing is done."""
    import xarray as xr

    shape = (len(farms), len(options))
    money = "$/year"
    data: dict[str, Any] = {
        name: (
            ("farm", "option"),
            np.full(shape, np.nan),
            {} if "won" in name else {"units": money},
        )
        for name in STATISTICS
    }
    data["done"] = ("farm", np.zeros(len(farms), dtype=bool))
    texts = [[name, farm.text, dict(farm.tables)] for name, farm in farms.items()]
    digest = hashlib.sha256(json.dumps(texts).encode()).hexdigest()
    attrs = {
        "seasons": seasons,
        "seed": seed,
        "fieldsim_version": version("fieldsim"),
        "farms_sha256": digest,
    }
    return xr.Dataset(data, {"farm": list(farms), "option": options}, attrs)


def _put(results: xr.Dataset, place: int, figures: np.ndarray[Any, Any]) -> None:
    """Put the figures of one farm in their place."""
    for statistic, values in zip(STATISTICS, figures, strict=True):
        results[statistic].values[place] = values
    results["done"].values[place] = True


def _opened(empty: xr.Dataset, store: Path, batch: int) -> xr.Dataset:
    """Return what a store holds of a study; make the store where there is none."""
    import xarray as xr

    if not (store / ".zgroup").exists():
        for variable in empty.data_vars.values():
            variable.encoding["chunks"] = (min(batch, len(empty.farm)), *variable.shape[1:])
        empty.to_zarr(store, mode="w", zarr_format=2)
        return empty
    with xr.open_zarr(store) as held:
        found: xr.Dataset = held.load()
    for key, wanted in empty.attrs.items():
        if found.attrs.get(key) != wanted:
            problem = f"it holds a study with another {key}: {found.attrs.get(key)}, not {wanted}"
            repair = "name another folder, or the study that it holds"
            raise InputError([Fault("", "store", str(store), problem, repair)])
    if set(found.data_vars) != set(empty.data_vars):
        problem = "it holds other figures: another version of fieldsim wrote it"
        raise InputError([Fault("", "store", str(store), problem, "name another folder")])
    return found


def _write(results: xr.Dataset, places: list[int], store: Path) -> None:
    """Write the figures of some farms, and only then that they are done; whole chunks at a time."""
    (chunk,) = results.done.encoding["chunks"]
    region = {"farm": slice(places[0] // chunk * chunk, (places[-1] // chunk + 1) * chunk)}
    some = results.isel(region).drop_vars(["farm", "option"])
    some.drop_vars("done").to_zarr(store, region=region)
    some[["done"]].to_zarr(store, region=region)
