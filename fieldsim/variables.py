"""The registry of outcome variables: each one's name, dimensions, unit, label and meaning."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["CAUSES", "COST_PARTS", "DATE", "FLAG", "VARIABLES", "Variable"]

DATE, FLAG = "date", "flag"

WORK = ("option", "season", "operation", "crop")

# Why revenue is lost; the causes add up to the loss.
CAUSES = (
    "planting_date",
    "weeds",
    "drying",
    "replanting",
    "wet_soil",
    "unplanted",
    "switched",
)
# What owning equipment costs.
COST_PARTS = ("capital_recovery", "taxes_insurance_housing", "repairs")


@dataclass(frozen=True)
class Variable:
    """One variable of the outcomes.

    Parameters
    ----------
    dims : tuple of str
    kind : str
        A kind of `quantities.KINDS`, ``"date"``, or ``"flag"``: true or false.
    label : str
        For axes and table heads, without the unit.
    meaning : str
        One line.
    """

    dims: tuple[str, ...]
    kind: str
    label: str
    meaning: str


VARIABLES = {
    "finish_date": Variable(
        WORK, DATE, "finished", "day on which the last of the land was done; NaT: not finished"
    ),
    "done_area": Variable(WORK, "area", "area done", "land on which the operation was done"),
    "unfinished_area": Variable(
        WORK, "area", "area unfinished", "land not done by the last day of the season"
    ),
    "missed_area": Variable(
        WORK, "area", "area missed", "land on which the operation's time had run out"
    ),
    "switched_area": Variable(
        WORK, "area", "area switched", "land that went to another crop instead"
    ),
    "prevented_area": Variable(
        WORK, "area", "area left unplanted", "land that was left unplanted by the late rule"
    ),
    "machine_hours": Variable(
        WORK, "time", "machine hours", "hours that the machines ran, setting up included"
    ),
    "labor_hours": Variable(
        WORK, "time", "labor", "hours of operators and who helps to fill, with the share above them"
    ),
    "fuel_use": Variable(WORK, "fuel", "fuel", "fuel that the tractors burn"),
    "equipment_hours": Variable(
        ("option", "season", "equipment"), "time", "hours", "hours of all units of the equipment"
    ),
    "equipment_area": Variable(
        ("option", "season", "equipment"), "area", "area", "land done by all units of a machine"
    ),
    "equipment_cost": Variable(
        ("option", "equipment", "cost_part"),
        "money",
        "cost of owning",
        "yearly cost of owning and repairing all units, at the mean use of the seasons",
    ),
    "lost_revenue": Variable(
        ("option", "season", "crop"),
        "money",
        "lost revenue",
        "revenue with all land planted on its best date, less the season's revenue",
    ),
    "lost_revenue_by_cause": Variable(
        ("option", "season", "crop", "cause"), "money", "lost revenue", "lost revenue by its cause"
    ),
    "labor_cost": Variable(
        ("option", "season"), "money", "labor", "labor hours at the farm's wage"
    ),
    "fuel_cost": Variable(
        ("option", "season"), "money", "fuel", "fuel and lubricants; 0 where fuel has no price"
    ),
    "hire_cost": Variable(
        ("option", "season"), "money", "hired work", "land done by hired machines"
    ),
    "repair_cost": Variable(
        ("option",), "money", "repairs", "yearly repairs of machines with a class and of tractors"
    ),
    "insured_share": Variable(
        ("option", "season", "crop"),
        "share",
        "insured revenue kept",
        "share of the guarantee that planted land keeps by its planting dates",
    ),
    "ownership_cost": Variable(
        ("option",),
        "money",
        "ownership",
        "capital recovery, taxes, insurance and housing of a year for machines and tractors",
    ),
    "crop_area": Variable(("crop",), "area", "area", "land of the crop's fields"),
    "potential_revenue": Variable(
        ("crop",), "money", "potential revenue", "revenue with all land planted on its best date"
    ),
    "plants": Variable(
        ("operation", "crop"), FLAG, "plants", "whether the operation plants the crop"
    ),
    "target_date": Variable(("crop",), DATE, "target", "when planting should be over"),
}
