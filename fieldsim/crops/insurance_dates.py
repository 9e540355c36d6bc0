"""Published insurance rules by state and crop: examples, as the county and the year decide.

Dates and shares are those of 2018 to 2024, read in extension and farm press and not in the policy.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from fieldsim.crops.insurance import InsuranceRules
from fieldsim.crops.published_figures import published_figure
from fieldsim.season import parse_calendar_day
from fieldsim.tables import read_table

__all__ = ["published_insurance", "published_insurances"]

TABLE = "insurance_dates.csv"


def published_insurances() -> tuple[str, ...]:
    """Return the names of the published rules, one for each state or part of it and crop."""
    return tuple(_published())


def published_insurance(name: str) -> InsuranceRules:
    """Return published rules by their name, as examples; the county's dates decide.

    Parameters
    ----------
    name : str
        One of `published_insurances()`.

    Returns
    -------
    InsuranceRules

    Raises
    ------
    ValueError
        If there are no such rules.

    Examples
    --------
    >>> published_insurance("nebraska_corn").late_days
    20.0
    """
    rules = _published()
    if name not in rules:
        names = ", ".join(rules)
        raise ValueError(f"there are no insurance rules {name!r}: {names} are allowed")
    return rules[name]


@cache
def _published() -> dict[str, InsuranceRules]:
    """Return the published rules by name, read at first use."""
    columns = ("name", "crop", "final", "late_days", "source", "status")
    table = read_table(files("fieldsim.crops") / TABLE, columns, TABLE)
    return {row.cells["name"]: _rules(row.cells) for row in table.rows}


def _rules(cells: dict[str, str]) -> InsuranceRules:
    """Return the rules of one row: its dates, and the shares of its crop."""

    def share(name: str) -> float:
        return published_figure("insurance", name).low / 100

    return InsuranceRules(
        final_day=float(parse_calendar_day(cells["final"]).day_of_year),
        late_days=float(cells["late_days"]),
        daily_cut=share("daily_cut"),
        share_after=share(f"{cells['crop']}_share_after"),
        prevented_share=share(f"{cells['crop']}_prevented"),
    )
