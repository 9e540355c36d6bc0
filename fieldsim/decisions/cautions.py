"""What a farm's own figures call for care about: people, roads, seed, spraying, debts, wet soil.

A caution says when to ask those who know; labels, codes, policies and licensed people decide.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from fieldsim.decisions.machine_cautions import plain, roads, seed_placement
from fieldsim.farm import Farm
from fieldsim.farm.names import listed
from fieldsim.farm.parts import LONG_DAY, Operation

__all__ = ["Caution", "cautions"]

MOST_NAMED = 3  # options by name
Found = tuple[str, str] | None  # the text, and where the figures stand that call for it


@dataclass(frozen=True)
class Caution:
    """Something that a farm's own figures call for care about.

    Parameters
    ----------
    topic : str
        In a word or two.
    text : str
        A few sentences.
    where : str
        Paths in the farm file of the figures that call for it, with commas between them.
    """

    topic: str
    text: str
    where: str


def cautions(farm: Farm) -> tuple[Caution, ...]:
    """Return the cautions that a farm's own figures call for.

    Parameters
    ----------
    farm : Farm

    Returns
    -------
    tuple of Caution
        Only of what concerns the farm; empty where nothing does.

    Notes
    -----
    Long days: over 12 h for one person. Roads: wider than 2.6 m (8.5 ft) on a farm with a road to
    its fields. Seed: see `fieldsim.machines.seed_placement.seed_placement_limit`. Debts: an
    option's purchase prices above the revenue of one year with all land planted on its best date.
    These are common practice without a source: rules that say when to ask, and no advice.

    Examples
    --------
    >>> import fieldsim
    >>> [caution.topic for caution in cautions(fieldsim.demo_farm())]
    ['Wide machines on roads', 'Spraying']
    """
    found = ((topic, rule(farm)) for topic, rule in RULES.items())
    return tuple(Caution(topic, *caution) for topic, caution in found if caution is not None)


def _named(farm: Farm, applies: Callable[[Operation], bool]) -> list[str]:
    """Return the operations to which something applies on any crop."""
    return [
        name
        for name, by_crop in farm.operations.items()
        if any(applies(part) for part in by_crop.values())
    ]


def _words(names: list[str]) -> str:
    return listed([plain(name) for name in names])


def _long_days(farm: Farm) -> Found:
    day = farm.crew.hours_per_day
    if day > LONG_DAY:
        text = (
            f"This farm file has people at work {day:g} hours a day. Days that long, one after the "
            "other, are dangerous: tired people get caught in machines and fall asleep at the "
            "wheel. Shorten the day or find another driver, and run the farm again before you rely "
            "on these dates."
        )
        return text, "crew.hours_per_day"
    long = _named(farm, lambda part: part.hours_per_day > LONG_DAY)
    if not long:
        return None
    text = (
        f"More than {LONG_DAY:g} hours a day are open to {_words(long)}: too long for one person, "
        "own or hired. Change drivers."
    )
    return text, ", ".join(f"operations.{name}.hours_per_day" for name in long)


def _night(farm: Farm) -> Found:
    dark = _named(farm, lambda part: part.after_dark)
    if not dark:
        return None
    text = (
        f"Work goes on after dark: {_words(dark)}. People are tired then and hard to see. Light "
        "the machine and the place where it is filled, know where every helper stands before it "
        "moves, and keep to the code's hours on roads."
    )
    return text, ", ".join(f"operations.{name}.after_dark" for name in dark)


def _spraying(farm: Farm) -> Found:
    sprayed = [
        crop
        for crop in farm.grown_crops
        if (weeds := farm.crops[crop].weeds) is not None and weeds.pressure < 1
    ]
    worked = _named(farm, lambda part: part.kind == "cultivating")
    said, where = [], [f"crops.{crop}.weeds.pressure" for crop in sprayed]
    if sprayed:
        said.append(
            f"Weed pressure below 100 % in {_words(sprayed)} takes herbicides for granted; their "
            "timing is not simulated. The label sets rate, growth stage, weather and gear."
        )
    if worked:
        said.append(
            f"People go into the fields for {_words(worked)}: keep the label's interval after "
            "spraying."
        )
        where += [f"operations.{name}" for name in worked]
    if not said:
        return None
    return f"{' '.join(said)} A licensed applicator sprays where one is required.", ", ".join(where)


def _wet_soil(farm: Farm) -> Found:
    wet = _named(farm, lambda part: part.wet_from is not None)
    if not wet:
        return None
    free = [
        crop
        for crop, part in farm.crops.items()
        if part.wet_soil_loss == 0
        and any((on := farm.operations[name].get(crop)) and on.wet_from for name in wet)
    ]
    text = (
        f"Late in the season {_words(wet)} goes on where the soil is too wet. Ruts and packed soil "
        "cost yield for years, of which at most the first is counted; stuck machines hurt people "
        "who pull them out."
    )
    if free:
        text += f" Not even that is counted in {_words(free)} (no wet_soil_loss)."
    return text, ", ".join(f"operations.{name}.wet_from" for name in wet)


def _insurance(farm: Farm) -> Found:
    insured = [crop for crop, part in farm.crops.items() if part.insurance is not None]
    if not insured:
        return None
    text = (
        f"Dates and shares for {_words(insured)} are published examples. The policy, the county "
        "and the year decide what is insured and paid: ask a licensed agent before planting waits "
        "or stops because of them."
    )
    return text, ", ".join(f"crops.{crop}.insurance" for crop in insured)


def _debts(farm: Farm) -> Found:
    potential = math.fsum(
        field.area * farm.crops[field.crop].yield_ * farm.crops[field.crop].price
        for field in farm.fields.values()
    )
    prices = {name: _purchase(farm, name) for name in farm.options}
    dear = {name: price for name, price in prices.items() if price > potential}
    if not dear:
        return None
    if len(dear) > MOST_NAMED:
        low, high = min(dear.values()), max(dear.values())
        named = f"{len(dear)} options (${low:,.0f} to ${high:,.0f})"
    else:
        labels = {name: farm.options[name].label or plain(name) for name in dear}
        named = ", ".join(f"{labels[name]} (${price:,.0f})" for name, price in dear.items())
    text = (
        "More than all crops bring in one year with every field planted on its best date "
        f"(${potential:,.0f}) is what these cost to buy: {named}. Take the bad years' figures to a "
        "licensed lender and adviser before you sign."
    )
    return text, ", ".join(f"options.{name}" for name in dear)


def _purchase(farm: Farm, option: str) -> float:
    """Return what all machines and tractors of an option cost to buy [$]."""
    chosen = farm.options[option]
    machines = (farm.machines[name].price * units for name, units in chosen.machines.items())
    tractors = (farm.tractors[name].price * units for name, units in chosen.tractors.items())
    return math.fsum((*machines, *tractors))


RULES: dict[str, Callable[[Farm], Found]] = {
    "Long days": _long_days,
    "Work at night": _night,
    "Wide machines on roads": roads,
    "Fertilizer with the seed": seed_placement,
    "Spraying": _spraying,
    "Work on wet soil": _wet_soil,
    "Crop insurance": _insurance,
    "Debts": _debts,
}
