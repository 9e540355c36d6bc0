"""The registry of outcome variables: each one's name, dimensions, unit, label and meaning."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["CAUSES", "DATE", "FLAG", "VARIABLES", "Variable"]

DATE, FLAG = "date", "flag"

WORK = ("option", "season", "operation", "crop")

# Why revenue is lost; the causes add up to the loss.
CAUSES = ("planting_date", "unplanted", "switched")


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
        WORK, "time", "labor", "machine hours with the share of labor above them"
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
