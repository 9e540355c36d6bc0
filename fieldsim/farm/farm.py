"""The farm as simulated: checked parts with their day source and yield curves."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from fieldsim.crops import YieldCurve
from fieldsim.days import DaySource, WarmDates
from fieldsim.farm.crop_parts import Crop
from fieldsim.farm.late_costs import LateCosts
from fieldsim.farm.machine_parts import Machine, Tractor
from fieldsim.farm.parts import Crew, FarmField, MoneySection, Operation, Option
from fieldsim.quantities import UnitSystem
from fieldsim.season import Season

__all__ = ["Farm"]


@dataclass(frozen=True)
class Farm:
    """A farm that has passed every check.

    Parameters
    ----------
    name : str
    units : "us" or "metric"
        What people see; inside, every number is in the internal unit of its kind.
    season : Season
    day_source : DaySource
    warm_dates : WarmDates or None
        When the soil is warm, where the farm says so; sources with weather know it themselves.
    table_years : int or None
        Years behind a weekly table of suitable days, where the farm says so.
    latitude : float or None
        [degrees], south below 0; daylight bounds the hours of work where it is given.
    crops, curves : mapping
        Crop and its yield curve, by name of the crop.
    late_costs : mapping
        What lateness costs beside the curve, by name of the crop.
    wet_share : float
        Share of a day's hours in which work that a late date forces goes on where soil is too wet.
    fields : mapping
        By name, in the order of the file: earlier fields are worked first.
    operations : mapping
        ``operations[operation][crop]``.
    priority : tuple of str
        Operations in the order in which they are served, or ``("loss",)``: by the most loss per
        hour of delay.
    crew : Crew
    money : MoneySection
    machines, tractors, options : mapping
        By name, in the order of the file.
    text : str
        The farm file as written.
    tables : mapping
        Texts of the tables it names, by name.

    Examples
    --------
    >>> import fieldsim
    >>> farm = fieldsim.demo_farm()
    >>> farm.grown_crops, farm.options["two_six_rows"].machines["planter_6_rows"]
    (('corn', 'soybeans'), 2)
    """

    name: str
    units: UnitSystem
    season: Season
    day_source: DaySource
    warm_dates: WarmDates | None
    table_years: int | None
    latitude: float | None
    crops: Mapping[str, Crop]
    curves: Mapping[str, YieldCurve]
    late_costs: Mapping[str, LateCosts]
    wet_share: float
    fields: Mapping[str, FarmField]
    operations: Mapping[str, Mapping[str, Operation]]
    priority: tuple[str, ...]
    crew: Crew
    money: MoneySection
    machines: Mapping[str, Machine]
    tractors: Mapping[str, Tractor]
    options: Mapping[str, Option]
    text: str = field(repr=False)
    tables: Mapping[str, str] = field(repr=False)

    @property
    def grown_crops(self) -> tuple[str, ...]:
        """Crops that stand on at least one field, in the order of the file."""
        grown = {part.crop for part in self.fields.values()}
        return tuple(name for name in self.crops if name in grown)
