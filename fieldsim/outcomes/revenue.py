"""Lost revenue by its cause, from the totals of an option's seasons."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from fieldsim.crops import weed_loss
from fieldsim.errors import FieldsimError
from fieldsim.farm import Farm
from fieldsim.variables import CAUSES
from fieldsim.work.tasks import Group

__all__ = [
    "check_balance",
    "crop_area",
    "crops_of",
    "insured_share",
    "lost_revenue",
    "potential_revenue",
]

Floats = NDArray[np.float64]


class Harvest(NamedTuple):
    """What becomes of the yield of land that was planted, all arrays of shape (season,).

    Land counts here as its relative yield, so that 1 ha at 80 % is 0.8 ha.
    """

    late: Floats  # lost by the planting date [ha]
    replanted: Floats  # lost where it was planted again [ha]
    wet: Floats  # lost where the soil was too wet [ha]
    weeds: Floats  # lost to weeds [ha]
    kept: Floats  # harvested [ha]
    drying: Floats  # [$]
    replanting: Floats  # cost of planting again [$]


def crops_of(farm: Farm) -> tuple[str, ...]:
    """Return crops that stand on a field or may be switched to, in the order of the file."""
    switched = {farm.crops[crop].late.switch_to for crop in farm.grown_crops}
    return tuple(crop for crop in farm.crops if crop in farm.grown_crops or crop in switched)


def crop_area(farm: Farm, crop: str) -> float:
    """Return the land on which a crop is to stand [ha]."""
    return math.fsum(field.area for field in farm.fields.values() if field.crop == crop)


def potential_revenue(farm: Farm) -> dict[str, float]:
    """Return what each crop of `crops_of` earns where nothing is lost [$]."""
    return {
        crop: crop_area(farm, crop) * (farm.crops[crop].yield_ * farm.crops[crop].price)
        for crop in crops_of(farm)
    }


def _plants(farm: Farm, group: Group) -> bool:
    return farm.operations[group.operation][group.crop].kind == "planting"


def _harvest(
    farm: Farm, groups: tuple[Group, ...], g: int, total: NDArray[Any], replanted: Floats
) -> Harvest:
    """Return what becomes of the yield of one group's land; each loss is taken of what is left."""
    group, own = groups[g], total[:, g]
    part, late = farm.crops[group.crop], farm.late_costs[group.crop]
    again = replanted[:, list(farm.crops).index(group.crop)]
    worth = own["weighted"]
    second = again * (worth - own["second_weighted"])
    left = worth - second
    wet = part.wet_soil_loss * _share(own["wet"], worth) * left
    weedy = np.zeros_like(worth)
    if late.weeds is not None:
        same = [
            i
            for i, other in enumerate(groups)
            if (other.crop, other.instead_of) == (group.crop, group.instead_of)
        ]
        ahead = float(weed_loss(late.weeds, np.inf)) * worth - total["saved"][:, same].sum(axis=1)
        weedy = _share(ahead, worth) * (left - wet)
    kept = left - wet - weedy
    cost = 0.0 if part.replanting is None else part.replanting.cost
    return Harvest(
        late=own["done"] - worth,
        replanted=second,
        wet=wet,
        weeds=weedy,
        kept=kept,
        drying=own["drying"] * _share(kept, worth),
        replanting=again * own["done"] * cost,
    )


def _share(part: Floats, whole: Floats) -> Floats:
    """Return a part as a share of the whole, 0 where there is none."""
    return np.divide(part, whole, out=np.zeros_like(whole), where=whole > 0)


def lost_revenue(
    farm: Farm,
    groups: tuple[Group, ...],
    total: NDArray[Any],
    crops: tuple[str, ...],
    replanted: Floats,
) -> Floats:
    """Return lost revenue of one option [$], shape (season, crop, cause).

    Parameters
    ----------
    farm : Farm
    groups : tuple of Group
        What the columns of the totals stand for.
    total : ndarray of TOTALS, shape (season, group)
    crops : tuple of str
        Along the crop axis.
    replanted : ndarray of float64, shape (season, crop of the farm)
        Share of each crop's land that is planted again.

    Returns
    -------
    ndarray of float64
        Causes as in `variables.CAUSES`.
    """
    loss = np.zeros((len(total), len(crops), len(CAUSES)))
    for g, group in enumerate(groups):
        if not _plants(farm, group):
            continue
        worth = farm.crops[group.crop].yield_ * farm.crops[group.crop].price
        land = _harvest(farm, groups, g, total, replanted)
        undone = total["left"][:, g] + total["missed"][:, g] + total["prevented"][:, g]
        paid = total["prevented"][:, g] * farm.late_costs[group.crop].prevented_payment
        if group.instead_of:  # what switched land earns counts against the loss of its first crop
            earned = land.kept * worth - land.drying - land.replanting + paid
            loss[:, crops.index(group.instead_of), CAUSES.index("switched")] -= earned
            continue
        lost = {
            "planting_date": land.late * worth,
            "weeds": land.weeds * worth,
            "drying": land.drying,
            "replanting": land.replanted * worth + land.replanting,
            "wet_soil": land.wet * worth,
            "unplanted": undone * worth - paid,
            "switched": total["switched"][:, g] * worth,
        }
        for cause, money in lost.items():
            loss[:, crops.index(group.crop), CAUSES.index(cause)] += money
    return loss


def check_balance(
    farm: Farm,
    groups: tuple[Group, ...],
    total: NDArray[Any],
    loss: Floats,
    potential: float,
    replanted: Floats,
) -> None:
    """Assert that all land is accounted for, and that revenue and its loss make the potential."""
    parts = total["done"] + total["left"] + total["missed"] + total["switched"] + total["prevented"]
    revenue = np.zeros(len(total))
    for g, group in enumerate(groups):
        if _plants(farm, group):
            part = farm.crops[group.crop]
            land = _harvest(farm, groups, g, total, replanted)
            revenue += land.kept * part.yield_ * part.price - land.drying - land.replanting
            payment = farm.late_costs[group.crop].prevented_payment
            revenue += total["prevented"][:, g] * payment
    lost = loss.sum(axis=(1, 2))
    # Sums that cancel keep the rounding of their largest term.
    largest = potential + np.abs(loss).sum(axis=(1, 2))
    if not (
        np.allclose(parts, total["area"], rtol=1e-9, atol=1e-9)
        and (np.abs(revenue + lost - potential) <= 1e-9 * largest).all()
    ):
        raise FieldsimError("land or revenue does not add up: please report this as a fault")


def insured_share(
    farm: Farm, groups: tuple[Group, ...], total: NDArray[Any], crops: tuple[str, ...]
) -> Floats:
    """Return the share of the insured revenue that planted land keeps, shape (season, crop) [1].

    1 where nothing is planted or insured.
    """
    insured, done = (np.zeros((len(total), len(crops))) for _ in range(2))
    for g, group in enumerate(groups):
        if _plants(farm, group):
            insured[:, crops.index(group.crop)] += total["insured"][:, g]
            done[:, crops.index(group.crop)] += total["done"][:, g]
    return np.divide(insured, done, out=np.ones_like(done), where=done > 0)
