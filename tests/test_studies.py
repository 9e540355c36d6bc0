"""Many farms at once: the figures of each, on any scheduler, and after a stop."""

from __future__ import annotations

import os
import signal
from pathlib import Path
from threading import Timer

import numpy as np
import pytest
import xarray as xr

from fieldsim.decisions import compare
from fieldsim.errors import InputError
from fieldsim.farm import Farm, Times, changed
from fieldsim.simulation import simulate
from fieldsim.studies import STATISTICS, study
from tests.farms import hand_farm, small_farm

pytest.importorskip("dask")
pytest.importorskip("zarr")
SEASONS = 60


@pytest.fixture(scope="module")
def farms() -> dict[str, Farm]:
    farm = small_farm()
    return {f"times_{k}": changed(farm, {"fields.*.area": Times(k / 4)}) for k in range(2, 9)}


@pytest.fixture(scope="module")
def alone(farms: dict[str, Farm]) -> xr.Dataset:
    return study(farms, SEASONS, 3, scheduler="synchronous")


def test_the_figures_are_those_of_each_farm_compared_alone(
    farms: dict[str, Farm], alone: xr.Dataset
) -> None:
    for name, farm in farms.items():
        table = compare(simulate(farm, SEASONS, 3))
        for statistic in STATISTICS:
            np.testing.assert_array_equal(alone[statistic].sel(farm=name), table[statistic])


@pytest.mark.parametrize("scheduler", ["threads", "processes"])
def test_the_figures_do_not_depend_on_the_scheduler(
    farms: dict[str, Farm], alone: xr.Dataset, scheduler: str
) -> None:
    xr.testing.assert_identical(study(farms, SEASONS, 3, scheduler=scheduler, batch=4), alone)


def test_a_study_that_was_stopped_goes_on(
    farms: dict[str, Farm], alone: xr.Dataset, tmp_path: Path
) -> None:
    store = tmp_path / "study.zarr"

    def stop(share: float) -> None:
        if share > 0.5:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        study(farms, SEASONS, 3, store=store, batch=2, scheduler="synchronous", progress=stop)
    shares: list[float] = []
    rest = study(farms, SEASONS, 3, store=store, scheduler="synchronous", progress=shares.append)
    assert shares[0] == pytest.approx(4 / 7)  # these are not worked again
    assert shares[-1] == 1.0
    xr.testing.assert_identical(rest, alone)
    with xr.open_zarr(store) as held:
        assert bool(held.done.all())
        xr.testing.assert_identical(held.drop_vars("done").load(), alone)


def test_a_store_of_another_study_is_refused(farms: dict[str, Farm], tmp_path: Path) -> None:
    one = {"a": farms["times_4"]}
    study(one, 10, store=tmp_path / "s", scheduler="synchronous")
    with pytest.raises(InputError, match="another seasons: 10, not 20"):
        study(one, 20, store=tmp_path / "s", scheduler="synchronous")
    with pytest.raises(InputError, match="another farms_sha256"):
        study({"a": farms["times_5"]}, 10, store=tmp_path / "s", scheduler="synchronous")


def test_farms_that_cannot_stand_side_by_side_are_told(farms: dict[str, Farm]) -> None:
    with pytest.raises(InputError, match="there are none"):
        study({})
    with pytest.raises(InputError) as caught:
        study({"a": farms["times_4"], "b": hand_farm()})
    assert [fault.field for fault in caught.value.faults] == ["farms['b']"] * 2


def test_a_cluster_that_loses_a_worker_gives_the_same_figures(
    farms: dict[str, Farm], alone: xr.Dataset
) -> None:
    distributed = pytest.importorskip("distributed")
    with (
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, dashboard_address=None, host="127.0.0.1"
        ) as cluster,
        distributed.Client(cluster) as client,
    ):
        kill = Timer(1.0, os.kill, (cluster.workers[0].pid, signal.SIGKILL))
        restarted = cluster.workers[0].pid

        def start_timer(share: float) -> None:
            if share == 0:
                kill.start()  # while the first farms are worked

        found = study(farms, SEASONS, 3, scheduler=client, progress=start_timer)
        kill.join()
        assert cluster.workers[0].pid != restarted
    xr.testing.assert_identical(found, alone)
