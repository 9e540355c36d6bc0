"""Lost revenue by cause and the cost of owning an option, from the totals of its seasons."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fieldsim.errors import FieldsimError
from fieldsim.farm import Farm
from fieldsim.farm.machine_parts import Owned
from fieldsim.machines import ownership_cost
from fieldsim.variables import CAUSES
from fieldsim.work.tasks import Group

__all__ = ["check_balance", "lost_revenue", "yearly_ownership"]


def _plants(farm: Farm, group: Group) -> bool:
    return farm.operations[group.operation][group.crop].kind == "planting"


def lost_revenue(
    farm: Farm, groups: tuple[Group, ...], total: NDArray[Any], crops: tuple[str, ...]
) -> NDArray[np.float64]:
    """Return lost revenue of one option [$], shape (season, crop, cause)."""
    loss = np.zeros((len(total), len(crops), len(CAUSES)))
    for g, group in enumerate(groups):
        part = farm.crops[group.crop]
        if not _plants(farm, group):
            continue
        worth = part.yield_ * part.price
        undone = total["left"][:, g] + total["missed"][:, g]
        late = (total["done"][:, g] - total["weighted"][:, g]) * worth
        paid = total["prevented"][:, g] * part.late.unplanted_revenue
        if not group.instead_of:
            at = loss[:, crops.index(group.crop)]
            at[:, CAUSES.index("planting_date")] += late
            at[:, CAUSES.index("unplanted")] += (undone + total["prevented"][:, g]) * worth - paid
            at[:, CAUSES.index("switched")] += total["switched"][:, g] * worth
        else:  # what switched land earns after all counts against the loss of the crop it left
            at = loss[:, crops.index(group.instead_of)]
            at[:, CAUSES.index("switched")] -= total["weighted"][:, g] * worth + paid
    return loss


def check_balance(
    farm: Farm,
    groups: tuple[Group, ...],
    totals: Mapping[str, NDArray[Any]],
    loss: NDArray[np.float64],
    potential: float,
) -> None:
    """Assert that all land is accounted for, and that revenue and its loss make the potential."""
    for option, total in enumerate(totals.values()):
        parts = (
            total["done"] + total["left"] + total["missed"] + total["switched"] + total["prevented"]
        )
        revenue = np.zeros(len(total))
        for g, group in enumerate(groups):
            part = farm.crops[group.crop]
            revenue += total["weighted"][:, g] * part.yield_ * part.price
            if _plants(farm, group):
                revenue += total["prevented"][:, g] * part.late.unplanted_revenue
        lost = loss[option].sum(axis=(1, 2))
        if not (
            np.allclose(parts, total["area"], rtol=1e-9, atol=1e-9)
            and np.allclose(revenue + lost, potential, rtol=1e-9)
        ):
            raise FieldsimError("land or revenue does not add up: please report this as a fault")


def yearly_ownership(farm: Farm, option: str) -> float:
    """Return the yearly cost of owning an option's machines and tractors [$]."""
    money, chosen = farm.money, farm.options[option]
    owned: list[tuple[Owned, int]] = [
        *((farm.machines[name], count) for name, count in chosen.machines.items()),
        *((farm.tractors[name], count) for name, count in chosen.tractors.items()),
    ]
    return sum(
        count
        * ownership_cost(
            part.price,
            part.price * part.salvage,
            money.interest,
            part.years,
            money.taxes_insurance_housing,
        )
        for part, count in owned
    )
