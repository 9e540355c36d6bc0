"""Many farms at once: the figures of each, on any scheduler, and after a stop."""

from __future__ import annotations

import io
import os
import signal
import sys
from pathlib import Path
from threading import Thread
from time import monotonic, sleep

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


def test_tail_figures_carry_their_bands(alone: xr.Dataset) -> None:
    for name in ("lost_revenue_1_in_10", "total_cost_1_in_10"):
        low, high = alone[f"{name}_from"], alone[f"{name}_to"]
        assert alone[name].attrs["units"] == low.attrs["units"] == high.attrs["units"] == "$/year"
        assert (low <= alone[name]).all()
        assert (alone[name] <= high).all()
        assert (low < high).any()
        assert np.isfinite(high).all()


def test_bands_that_so_few_seasons_cannot_tell_are_open_and_stay_so_in_the_store(
    farms: dict[str, Farm], tmp_path: Path
) -> None:
    found = study({"a": farms["times_4"]}, 20, store=tmp_path / "s", scheduler="synchronous")
    assert np.isposinf(found.total_cost_1_in_10_to).all()
    again = study({"a": farms["times_4"]}, 20, store=tmp_path / "s", scheduler="synchronous")
    xr.testing.assert_identical(again, found)


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


def test_a_store_is_gone_on_with_in_batches_of_another_size(
    farms: dict[str, Farm], alone: xr.Dataset, tmp_path: Path
) -> None:
    def stop(share: float) -> None:
        if share > 0.4:
            raise KeyboardInterrupt

    run = {"store": tmp_path / "s", "scheduler": "synchronous"}
    with pytest.raises(KeyboardInterrupt):
        study(farms, SEASONS, 3, batch=3, progress=stop, **run)
    with pytest.raises(KeyboardInterrupt):  # five of seven: amid a chunk of three
        study(farms, SEASONS, 3, batch=2, progress=lambda share: stop(share - 0.2), **run)
    with xr.open_zarr(tmp_path / "s") as held:
        assert held.done.values.tolist() == [True] * 5 + [False] * 2
        for name in STATISTICS:
            np.testing.assert_array_equal(held[name][:5], alone[name][:5])
            assert held[name][5:].isnull().all()
    xr.testing.assert_identical(study(farms, SEASONS, 3, batch=1, **run), alone)
    with xr.open_zarr(tmp_path / "s") as held:
        xr.testing.assert_identical(held.drop_vars("done").load(), alone)


def test_a_store_has_one_file_for_a_batch_of_a_figure(
    farms: dict[str, Farm], tmp_path: Path
) -> None:
    study(farms, 5, store=tmp_path / "s", batch=4, scheduler="synchronous")
    for name in STATISTICS:
        assert {path.name for path in (tmp_path / "s" / name).glob("[0-9]*")} == {"0.0", "1.0"}


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize("screen", [Terminal, io.StringIO])
def test_a_bar_is_shown_on_a_terminal_and_nothing_where_there_is_none(
    farms: dict[str, Farm], monkeypatch: pytest.MonkeyPatch, screen: type[io.StringIO]
) -> None:
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setattr(sys, "stderr", screen())
    study(farms, 5, scheduler="synchronous", batch=2)
    shown = sys.stderr.getvalue()
    assert ("7 farms" in shown) == (screen is Terminal)
    assert shown == "" or screen is Terminal


def test_a_store_of_another_study_is_refused(farms: dict[str, Farm], tmp_path: Path) -> None:
    one = {"a": farms["times_4"]}
    study(one, 10, store=tmp_path / "s", scheduler="synchronous")
    with pytest.raises(InputError, match="another seasons: 10, not 20"):
        study(one, 20, store=tmp_path / "s", scheduler="synchronous")
    with pytest.raises(InputError, match="another farms_sha256"):
        study({"a": farms["times_5"]}, 10, store=tmp_path / "s", scheduler="synchronous")
    with xr.open_zarr(tmp_path / "s") as held:
        held.load().drop_vars("total_cost_1_in_10_to").to_zarr(tmp_path / "old", zarr_format=2)
    with pytest.raises(InputError, match="it holds other figures"):
        study(one, 10, store=tmp_path / "old", scheduler="synchronous")


def test_farms_that_cannot_stand_side_by_side_are_told(farms: dict[str, Farm]) -> None:
    with pytest.raises(InputError, match="there are none"):
        study({})
    with pytest.raises(InputError) as caught:
        study({"a": farms["times_4"], "b": hand_farm()})
    assert [fault.field for fault in caught.value.faults] == ["farms['b']"] * 2


def study_that_loses_a_worker(
    farms: dict[str, Farm], allowed_failures: int
) -> tuple[xr.Dataset, bool]:
    """Figures, and whether a worker died over the first farm that it was given."""
    dask, distributed = pytest.importorskip("dask"), pytest.importorskip("distributed")
    died = []
    with (
        dask.config.set({"distributed.scheduler.allowed-failures": allowed_failures}),
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, dashboard_address=None, host="127.0.0.1"
        ) as cluster,
        distributed.Client(cluster) as client,
    ):
        worker = cluster.workers[0]

        def kill_at_work() -> None:
            deadline = monotonic() + 60
            while monotonic() < deadline:
                if client.processing()[worker.worker_address]:
                    os.kill(worker.pid, signal.SIGKILL)
                    died.append(True)
                    return
                sleep(0.005)

        killer = Thread(target=kill_at_work)
        killer.start()
        try:
            found = study(farms, SEASONS, 3, scheduler=client)
        finally:
            killer.join()
    return found, bool(died)


def test_a_cluster_that_loses_a_worker_gives_the_same_figures(
    farms: dict[str, Farm], alone: xr.Dataset
) -> None:
    found, died = study_that_loses_a_worker(farms, allowed_failures=3)
    assert died
    xr.testing.assert_identical(found, alone)


def test_without_a_second_try_a_lost_worker_ends_the_study(farms: dict[str, Farm]) -> None:
    distributed = pytest.importorskip("distributed")
    with pytest.raises(distributed.scheduler.KilledWorker):
        study_that_loses_a_worker(farms, allowed_failures=0)
