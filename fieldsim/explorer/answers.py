"""What the explorer answers: settings in, the data of its four pictures and their words out."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any

import xarray as xr

from fieldsim.decisions import total_cost
from fieldsim.decisions.sampling import mean_error, told_apart
from fieldsim.draws import Draws, draw_seasons
from fieldsim.errors import InputError, no_such
from fieldsim.explorer.pictures import cost_parts, finish_curves, lost_dots, season_days
from fieldsim.explorer.settings import farm_with
from fieldsim.explorer.sliders import sliders_of
from fieldsim.farm import Farm, parse_farm
from fieldsim.plots.words import money_text, readable
from fieldsim.simulation import simulate

__all__ = ["SEASONS", "answer", "drawn", "explorer_start"]

SEASONS = 2000
KEPT = 4  # draws that are kept in memory


def answer(
    farm: Farm, settings: Mapping[str, Any], seasons: int = SEASONS, seed: int = 0
) -> dict[str, Any]:
    """Run a farm with the sliders moved, and return what the four pictures show.

    The seasons are the same for any settings, so that what changes in the pictures comes from the
    sliders and not from luck.

    Parameters
    ----------
    farm : Farm
        As it stands in its file.
    settings : mapping
        ``option``, the option whose outfit the sliders change (default: the first), and values by
        name of the slider, in the slider's unit; see `fieldsim.explorer.sliders.Slider`. What is
        not there stays as in the file.
    seasons, seed : int

    Returns
    -------
    dict
        Plain numbers, text and lists, ready for JSON: ``options``, ``seasons``, ``first_day``,
        ``finish``, ``lost``, ``cost`` and ``days`` (see `fieldsim.explorer.pictures`), ``verdict``
        and ``cautions``. Money is in dollars a year.

    Raises
    ------
    InputError
        If a setting is unknown or out of range, or the farm is not sound with it.

    Examples
    --------
    >>> import fieldsim
    >>> found = answer(fieldsim.demo_farm(), {"option": "six_rows", "rows": 8}, seasons=50)
    >>> [option["label"] for option in found["options"]][1], len(found["lost"]["dots"][1])
    ('yours: 8 rows', 20)
    """
    option = settings.get("option", next(iter(farm.options)))
    if not isinstance(option, str):
        raise InputError([no_such("option", "option", option, farm.options)])
    moved = {name: value for name, value in settings.items() if name != "option"}
    changed = farm_with(farm, option, moved)
    draws = drawn(farm, seasons, seed)
    outcomes = simulate(changed, seasons, seed, draws=draws)
    labels = [readable(str(label)) for label in outcomes.option_label.values]
    return {
        "options": [
            {"name": str(name), "label": label, "changed": str(name) == option and label != own}
            for name, label, own in zip(outcomes.option.values, labels, _labels(farm), strict=True)
        ],
        "seasons": seasons,
        "first_day": farm.season.first_day.isoformat(),
        "finish": finish_curves(changed, outcomes, labels),
        "lost": lost_dots(outcomes, labels),
        "cost": cost_parts(outcomes, labels),
        "days": season_days(changed, outcomes, draws, labels),
        "verdict": _verdict(outcomes, labels),
        "cautions": _cautions(farm, option, moved, outcomes),
    }


def explorer_start(farm: Farm) -> dict[str, Any]:
    """Return what the explorer shows before anything is moved: options and their sliders.

    Parameters
    ----------
    farm : Farm

    Returns
    -------
    dict
        ``farm``, ``first_day``, and ``options``, each with ``name``, ``label`` and ``sliders``.
    """
    return {
        "view": "explorer",
        "farm": readable(farm.name),
        "first_day": farm.season.first_day.isoformat(),
        "options": [
            {
                "name": name,
                "label": label,
                "sliders": [vars(slider) for slider in sliders_of(farm, name).values()],
            }
            for name, label in zip(farm.options, _labels(farm), strict=True)
        ],
    }


def drawn(farm: Farm, seasons: int, seed: int) -> Draws:
    """Return the seasons of a farm, drawn once and kept: no slider touches them.

    Parameters
    ----------
    farm : Farm
    seasons, seed : int

    Returns
    -------
    Draws
    """
    return _drawn(farm.text, tuple(sorted(farm.tables.items())), seasons, seed)


@lru_cache(maxsize=KEPT)
def _drawn(text: str, tables: tuple[tuple[str, str], ...], seasons: int, seed: int) -> Draws:
    return draw_seasons(parse_farm(text, dict(tables)), seasons, seed)


def _labels(farm: Farm) -> list[str]:
    return [readable(part.label or name) for name, part in farm.options.items()]


def _verdict(outcomes: xr.Dataset, labels: list[str]) -> str:
    """Say which option costs least, and by how much with its standard error."""
    cost = total_cost(outcomes).values
    order = cost.mean(axis=1).argsort(kind="stable")
    best = int(order[0])
    if len(order) == 1:
        return f"{labels[best]}: {money_text(float(cost[best].mean()))} a year."
    second = int(order[1])
    paired = cost[second] - cost[best]
    difference, error = float(paired.mean()), mean_error(paired)
    if not told_apart(difference, error):
        return (
            f"{labels[best]} and {labels[second]} cost least; these seasons cannot tell them apart."
        )
    return (
        f"{labels[best]} costs least, {money_text(difference)} a year less than {labels[second]} "
        f"(standard error {money_text(error)}); lost revenue is counted as a cost."
    )


def _cautions(farm: Farm, option: str, moved: Mapping[str, Any], outcomes: xr.Dataset) -> list[str]:
    """Return what is to be borne in mind with these settings."""
    said = []
    sliders = sliders_of(farm, option)
    for name, value in {"hours": farm.crew.hours_per_day, **moved}.items():
        most = sliders[name].caution_above
        if most is not None and value > most:
            said.append(
                f"More than {most:g} hours a day wear people out and cause accidents: "
                "plan rest before you plan on such hours."
            )
    if "rows" in moved or "width" in moved:
        said.append(
            "Price, tractor power, hoppers and the time to fill them go in proportion to the width."
        )
    if outcomes.attrs["not_counted"]:
        said.append(f"Not counted: {outcomes.attrs['not_counted']}.")
    return said
