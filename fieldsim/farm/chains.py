"""Which operation follows which."""

from __future__ import annotations

from collections.abc import Mapping

from fieldsim.farm.parts import Operation

__all__ = ["Chains", "chain_of", "circle_of", "is_whole", "planting_of"]

Chains = Mapping[str, Mapping[str, Operation]]


def chain_of(operations: Chains, crop: str, last: str) -> list[str] | None:
    """Return the operations on `crop` up to `last`, first done first; None if they go in a circle.

    A predecessor that is not there ends the chain.
    """
    chain = [last]
    while (before := operations[chain[0]][crop].follows) is not None:
        if before in chain:
            return None
        if crop not in operations.get(before, {}):
            break
        chain.insert(0, before)
    return chain


def is_whole(operations: Chains, crop: str, chain: list[str] | None) -> bool:
    """Say whether a chain goes back to an operation that follows none."""
    return chain is not None and operations[chain[0]][crop].follows is None


def circle_of(operations: Chains, crop: str, name: str) -> list[str]:
    """Return the operations that follow each other round from `name` to itself; empty if none do.

    Each circle is returned for one of its operations only: the first in the file.
    """
    circle = [name]
    while (before := operations[circle[-1]][crop].follows) != name:
        if before is None or before in circle or crop not in operations.get(before, {}):
            return []
        circle.append(before)
    return circle if name == min(circle, key=list(operations).index) else []


def planting_of(operations: Chains, crop: str) -> list[str]:
    """Return the planting operations on `crop`; a sound farm has just one."""
    return [name for name, by in operations.items() if crop in by and by[crop].kind == "planting"]
