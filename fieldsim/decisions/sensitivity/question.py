"""What a study asks of a farm: the cost of an option, or its difference from another's."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fieldsim.decisions.comparison import total_cost
from fieldsim.errors import Fault, InputError, no_such
from fieldsim.farm import Farm
from fieldsim.quantities import unit
from fieldsim.simulation import simulate

__all__ = ["Question", "answer", "ask", "attributes", "costs"]

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Question:
    """Which options are looked at, in which seasons.

    Parameters
    ----------
    option : str
    against : str or None
        What is asked is the cost of `option`, less that of `against` where it is given.
    contenders : tuple of str
        The options that are worked; among them the cheapest is the one to choose.
    seasons, seed : int
        Whatever else of the farm is changed, the seasons are the same.
    units : str
        Of money.
    labels : mapping
        What people call each option of the farm.
    """

    option: str
    against: str | None
    contenders: tuple[str, ...]
    seasons: int
    seed: int
    units: str
    labels: Mapping[str, str]


def attributes(question: Question) -> dict[Hashable | None, Any]:
    """Return what a table of answers tells of its question."""
    return {
        "option": question.option,
        "against": question.against,
        "seasons": question.seasons,
        "seed": question.seed,
        "units": question.units,
        "labels": dict(question.labels),
    }


def ask(
    farm: Farm, option: str | None, against: str | None, seasons: int, seed: int
) -> tuple[Question, Floats]:
    """Return a question and the costs of its contenders on the farm as it stands.

    Parameters
    ----------
    farm : Farm
    option : str, optional
        Default: the one that costs least of all but `against`.
    against : str, optional
        Default: none; then all options contend.
    seasons, seed : int

    Returns
    -------
    Question, ndarray of float64, shape (contender, season)

    Raises
    ------
    InputError
        If there is no such option, or a number is out of range.
    """
    faults = [
        no_such("option", name, given, farm.options)
        for name, given in (("option", option), ("against", against))
        if given is not None and given not in farm.options
    ]
    if option is not None and option == against:
        problem, repair = "this is the option itself", "name another"
        faults.append(Fault("", "against", repr(against), problem, repair))
    if against is not None and len(farm.options) == 1:
        problem, repair = "this farm has one option only", "leave it out"
        faults.append(Fault("", "against", repr(against), problem, repair))
    if faults:
        raise InputError(faults)
    names = tuple(farm.options)
    labels = {name: part.label or name.replace("_", " ") for name, part in farm.options.items()}
    money = unit("money", farm.units)
    every = Question(names[0], None, names, seasons, seed, money, labels)
    found = costs(every, farm)
    if option is None:
        others = [name for name in names if name != against]
        option = min(others, key=lambda name: float(found[names.index(name)].mean()))
    contenders = names if against is None else (option, against)
    question = replace(every, option=option, against=against, contenders=contenders)
    return question, found[[names.index(name) for name in contenders]]


def costs(question: Question, farm: Farm) -> Floats:
    """Return the total cost of a year of each contender [$], shape (contender, season)."""
    only = replace(farm, options={name: farm.options[name] for name in question.contenders})
    outcomes = simulate(only, question.seasons, question.seed)
    return np.asarray(total_cost(outcomes).values, np.float64)


def answer(question: Question, found: Floats) -> Floats:
    """Return what is asked, from the costs of the contenders [$], shape (season,)."""
    of_option: Floats = found[question.contenders.index(question.option)]
    if question.against is None:
        return of_option
    difference: Floats = of_option - found[question.contenders.index(question.against)]
    return difference
