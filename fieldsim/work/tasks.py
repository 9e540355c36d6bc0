"""The tasks of a farm: each operation on each block, in chains from the first to the last."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from fieldsim.farm import Farm
from fieldsim.farm.checks import chain_of, planting_of

__all__ = ["Group", "Task", "groups_of", "tasks_of"]


@dataclass(frozen=True)
class Group:
    """Tasks whose totals are added up: one operation on one crop.

    Parameters
    ----------
    operation, crop : str
    instead_of : str
        Crop that was to stand on the land, where the land was switched; else empty.
    """

    operation: str
    crop: str
    instead_of: str = ""


@dataclass(frozen=True)
class Task:
    """One operation on one block.

    Parameters
    ----------
    field : str
    group : Group
    follows, planting, starts_with : int
        Places of other tasks in the list; -1 for none. See DEVELOPERS.md, "The rules of work".
    """

    field: str
    group: Group
    follows: int
    planting: int
    starts_with: int = -1


def tasks_of(farm: Farm) -> tuple[Task, ...]:
    """Return the tasks of a farm, field by field, each after the task that it follows.

    Where a crop may be switched late, the other crop's tasks from planting on stand beside it, on
    the same work ahead of planting.

    Parameters
    ----------
    farm : Farm

    Returns
    -------
    tuple of Task
    """
    tasks: list[Task] = []
    for field, part in farm.fields.items():
        ahead, onward = _split(farm, part.crop)
        places = _add(farm, tasks, field, Group("", part.crop), ahead, {})
        old = _add(farm, tasks, field, Group("", part.crop), onward, places)
        other = farm.crops[part.crop].late.switch_to
        if other is not None:
            twin = Group("", other, part.crop)
            _add(farm, tasks, field, twin, _split(farm, other)[1], places, old[onward[0]])
    return tuple(tasks)


def groups_of(tasks: Iterable[Task]) -> tuple[Group, ...]:
    """Return the groups of tasks, each once, in the order in which they first stand."""
    return tuple(dict.fromkeys(task.group for task in tasks))


def _split(farm: Farm, crop: str) -> tuple[list[str], list[str]]:
    """Return the operations ahead of planting and those from planting on, in chain order."""
    chains = {
        name: chain_of(farm.operations, crop, name) or []
        for name, by_crop in farm.operations.items()
        if crop in by_crop
    }
    planting = planting_of(farm.operations, crop)[0]
    ordered = sorted(chains, key=lambda name: len(chains[name]))
    return (
        [name for name in ordered if planting not in chains[name]],
        [name for name in ordered if planting in chains[name]],
    )


def _add(
    farm: Farm,
    tasks: list[Task],
    field: str,
    group: Group,
    operations: list[str],
    known: dict[str, int],
    starts_with: int = -1,
) -> dict[str, int]:
    """Add the tasks of `operations` to the list; return the place of each operation's task."""
    places = dict(known)
    planting = -1
    for operation in operations:
        part = farm.operations[operation][group.crop]
        if part.kind == "planting":
            planting = len(tasks)
        places[operation] = len(tasks)
        before = -1 if part.follows is None else places[part.follows]
        own = Group(operation, group.crop, group.instead_of)
        starts = starts_with if part.kind == "planting" else -1
        tasks.append(Task(field, own, before, planting, starts))
    return places
