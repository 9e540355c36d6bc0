"""What a page begins and ends with: the question, the land, and the command that runs it again."""

from __future__ import annotations

import json

import xarray as xr

from fieldsim.decisions.in_words.words import either
from fieldsim.errors import Fault, InputError
from fieldsim.farm import Farm
from fieldsim.outcomes.revenue import crop_area
from fieldsim.plots.words import readable
from fieldsim.quantities import area_text

__all__ = ["check_farm", "land", "question", "run_command"]


def check_farm(farm: Farm, outcomes: xr.Dataset) -> None:
    """Raise unless outcomes were made from this farm.

    Raises
    ------
    InputError
        If they were made from another farm file, or other tables.
    """
    given = (outcomes.attrs["farm_text"], json.loads(outcomes.attrs["farm_tables"]))
    if given != (farm.text, dict(farm.tables)):
        name = str(outcomes.attrs["farm"])
        problem = "these outcomes were made from another farm file"
        raise InputError([Fault("", "outcomes", name, problem, "simulate this farm anew")])


def question(outcomes: xr.Dataset) -> str:
    """Return what was asked of the options.

    Examples
    --------
    >>> import fieldsim
    >>> question(fieldsim.simulate(fieldsim.demo_farm(), 2).isel(option=[0, 1]))
    'Which costs least in a year: one outfit of 4 rows or one outfit of 6 rows?'
    """
    labels = [readable(str(label)) for label in outcomes.option_label.values]
    if len(labels) == 1:
        return f"What does a year cost with {labels[0]}?"
    return f"Which costs least in a year: {either(labels)}?"


def land(farm: Farm) -> str:
    """Return the area of each crop, in the farm's own units.

    Examples
    --------
    >>> import fieldsim
    >>> land(fieldsim.demo_farm())
    '462 acres of corn and 440 acres of soybeans'
    """
    parts = [
        f"{area_text(crop_area(farm, crop), farm.units)} of {readable(crop)}"
        for crop in farm.grown_crops
    ]
    return " and ".join([", ".join(parts[:-1]), parts[-1]] if len(parts) > 1 else parts)


def run_command(outcomes: xr.Dataset) -> str:
    """Return the command that gives the same outcomes again.

    Examples
    --------
    >>> import fieldsim
    >>> run_command(fieldsim.simulate(fieldsim.demo_farm(), 20, seed=1))
    'fieldsim run farm.toml --seasons 20 --seed 1'
    """
    attrs = outcomes.attrs
    words = f"fieldsim run farm.toml --seasons {outcomes.sizes['season']} --seed {attrs['seed']}"
    parts = attrs.get("replicates")
    return words if parts is None else f"{words} --replicates {parts}"
