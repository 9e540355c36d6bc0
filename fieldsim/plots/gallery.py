"""All pictures of a farm, by ``python -m fieldsim.plots.gallery FARM.toml FOLDER``.

Made anew after a change to any plot, so that one that falls out of the common look is seen beside
the others.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Callable, Iterator, Mapping
from functools import partial
from pathlib import Path
from typing import Any

import xarray as xr
from matplotlib.axes import Axes

from fieldsim.decisions import (
    certainty_curves,
    cost_curve,
    invest,
    ranges,
    sizes,
    sobol,
    total_cost,
    usual_inputs,
)
from fieldsim.farm import Farm, Times, read_farm
from fieldsim.farm.shelf import read_shelf
from fieldsim.farm.shelf_parts import Shelf
from fieldsim.plots.breakeven import plot_cost_curves
from fieldsim.plots.days import plot_suitable_days
from fieldsim.plots.finish import plot_finish_dates
from fieldsim.plots.investment import plot_investment
from fieldsim.plots.loss import plot_lost_revenue
from fieldsim.plots.replay import plot_season
from fieldsim.plots.risk import plot_yearly_cost
from fieldsim.plots.sensitivity import plot_ranges, plot_variance_shares
from fieldsim.plots.sizes import plot_sizes
from fieldsim.plots.sizing import plot_certainty
from fieldsim.simulation import replay, simulate

__all__ = ["pictures", "write_gallery"]

DPI = 100
SAMPLES, MOST_INPUTS = 64, 6  # of the variance shares: each input takes as many runs more
HOURS = 0.75  # of a day's hours, beside the curve of all of them
ABREAST, PANEL = 3, (4.8, 3.0)  # of the montage: pictures in a row, and their room [in]

Picture = Callable[[], Axes]


def pictures(
    farm: Farm, shelf: Shelf | None = None, *, seasons: int = 1000, seed: int = 0
) -> dict[str, Picture]:
    """Return what draws each picture that a farm has, on new axes.

    Parameters
    ----------
    farm : Farm
    shelf : Shelf, optional
        Without it there is no picture of sizes.
    seasons, seed : int
        See `simulate`.

    Returns
    -------
    dict
        Functions by name of the picture. Studies are run when a function is called.

    Examples
    --------
    >>> import fieldsim
    >>> drawn = pictures(fieldsim.demo_farm(), seasons=20)
    >>> drawn["lost_revenue"]().get_xlabel()
    'lost revenue in a year [$]'
    """
    outcomes = simulate(farm, seasons, seed)
    drawn = {"seasons": seasons, "seed": seed}
    found: dict[str, Picture] = {
        "suitable_days": partial(_days, farm, drawn),
        "finish_dates": partial(plot_finish_dates, outcomes),
        "lost_revenue": partial(plot_lost_revenue, outcomes),
        "yearly_cost": partial(plot_yearly_cost, outcomes),
        "season": lambda: plot_season(replay(farm, _ranked(outcomes)[0], 0, seed=seed)),
        "certainty": partial(_certainty, farm, outcomes, drawn),
        "ranges": lambda: plot_ranges(ranges(farm, **_fewer(drawn))),
        "variance_shares": partial(_shares, farm, seed),
    }
    if shelf is not None:
        found["sizes"] = lambda: plot_sizes(sizes(farm, shelf, **_fewer(drawn)))
    if len(farm.options) > 1:
        found["cost_curves"] = lambda: plot_cost_curves(cost_curve(farm, "area", **_fewer(drawn)))
        found["investment"] = partial(_investment, farm, outcomes, seed)
    return found


def write_gallery(drawn: Mapping[str, Picture], folder: Path) -> list[Path]:
    """Draw pictures into PNG files, and all of them into ``montage.png``.

    Parameters
    ----------
    drawn : mapping
        From `pictures`.
    folder : Path

    Returns
    -------
    list of Path
        The montage last.
    """
    import matplotlib.pyplot as plt

    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for name, draw in drawn.items():
        figure = draw().get_figure(root=True)
        assert figure is not None
        written.append(folder / f"{name}.png")
        figure.savefig(written[-1], dpi=DPI)
        plt.close(figure)
    return [*written, _montage(written, folder / "montage.png")]


def _montage(files: list[Path], path: Path) -> Path:
    """Draw pictures side by side into one."""
    import matplotlib.pyplot as plt

    rows = math.ceil(len(files) / ABREAST)
    size = (ABREAST * PANEL[0], rows * PANEL[1])
    figure, panels = plt.subplots(rows, ABREAST, figsize=size, layout="constrained", squeeze=False)
    for panel in panels.flat:
        panel.set_axis_off()
    for panel, file in zip(panels.flat, files, strict=False):
        panel.imshow(plt.imread(file), interpolation="lanczos", interpolation_stage="rgba")
    figure.savefig(path, dpi=DPI)
    plt.close(figure)
    return path


def _ranked(outcomes: xr.Dataset) -> list[str]:
    """Return the options, cheapest first."""
    mean = total_cost(outcomes).mean("season").values
    return [str(outcomes.option.values[place]) for place in mean.argsort(kind="stable")]


def _fewer(drawn: Mapping[str, int]) -> dict[str, Any]:
    """Return the numbers of a study that runs the farm many times."""
    return {"seasons": max(2, drawn["seasons"] // 4), "seed": drawn["seed"]}


def _days(farm: Farm, drawn: Mapping[str, int]) -> Axes:
    source, soil = farm.day_source, farm.day_source.soils[0]
    seasons, seed = drawn["seasons"], drawn["seed"]
    return plot_suitable_days(source, farm.season, soil=soil, seasons=seasons, seed=seed)


def _certainty(farm: Farm, outcomes: xr.Dataset, drawn: Mapping[str, int]) -> Axes:
    """Draw how certain planting by the target date is, for each crop, by the size of planters."""
    crop = farm.grown_crops[0]
    at = outcomes.sel(crop=crop)
    planting = str(at.operation.values[at.plants.values][0])
    due = str(farm.crops[crop].target_date)
    fewer = dict.fromkeys(
        ("crew.hours_per_day", f"operations.{planting}.hours_per_day"), Times(HOURS)
    )
    curves = certainty_curves(
        farm,
        _ranked(outcomes)[0],
        planting,
        due,
        crop,
        changes={"as it is": {}, f"{100 * (1 - HOURS):.0f} % fewer hours a day": fewer},
        **_fewer(drawn),
    )
    return plot_certainty(curves, title=f"Chance that planting of {crop} is done by {due}")


def _shares(farm: Farm, seed: int) -> Axes:
    inputs = usual_inputs(farm)[:MOST_INPUTS]
    return plot_variance_shares(sobol(farm, inputs, samples=SAMPLES, seasons=50, seed=seed))


def _investment(farm: Farm, outcomes: xr.Dataset, seed: int) -> Axes:
    """Draw the move from the first option to the cheapest of the others."""
    first = str(outcomes.option.values[0])
    other = next(name for name in _ranked(outcomes) if name != first)
    return plot_investment(invest(farm, outcomes, first, other, seed=seed))


def _main(words: list[str]) -> Iterator[str]:
    """Draw the gallery that the command line asks for; say what was written."""
    if len(words) != 2:
        yield "python -m fieldsim.plots.gallery FARM.toml FOLDER"
        return
    farm_file, folder = map(Path, words)
    table = farm_file.parent / "machines.csv"
    shelf = read_shelf(table) if table.exists() else None
    yield from map(str, write_gallery(pictures(read_farm(farm_file), shelf), folder))


if __name__ == "__main__":
    print(*_main(sys.argv[1:]), sep="\n")
