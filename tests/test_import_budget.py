"""`import fieldsim` loads only what it needs: nothing that draws, compiles, fits or reads files."""

from __future__ import annotations

import subprocess
import sys

import pytest

HEAVY = {
    *("numba", "llvmlite", "scipy", "pandas", "xarray", "matplotlib", "pint", "pydantic"),
    *("h5netcdf", "h5py", "click", "rich", "jinja2"),
}
LIST = "import sys, {module}; print(*sys.modules, sep='\\n')"


def loaded_by(module: str) -> set[str]:
    """Top-level packages in memory after an import, in a fresh interpreter."""
    command = [sys.executable, "-c", LIST.format(module=module)]
    run = subprocess.run(command, capture_output=True, text=True, check=True)
    return {name.split(".")[0] for name in run.stdout.split()}


def test_importing_fieldsim_loads_no_heavy_package() -> None:
    assert not loaded_by("fieldsim") & HEAVY


def test_the_list_of_what_is_loaded_shows_a_heavy_package() -> None:
    assert "pandas" in loaded_by("pandas")


@pytest.mark.parametrize("room", ["season", "errors", "randomness", "tables", "variables"])
def test_rooms_of_lowest_rank_load_no_heavy_package(room: str) -> None:
    assert not loaded_by(f"fieldsim.{room}") & HEAVY


@pytest.mark.parametrize("room", ["days", "machines", "crops"])
def test_science_loads_neither_the_compiler_nor_the_plots(room: str) -> None:
    assert not loaded_by(f"fieldsim.{room}") & {"numba", "matplotlib", "pydantic", "xarray"}


def test_the_engine_does_not_load_the_plots() -> None:
    assert "matplotlib" not in loaded_by("fieldsim.simulation")
