"""What machines, tractors and people do and cost in a year, as tables of words."""

from __future__ import annotations

import math
from typing import Any

import xarray as xr

from fieldsim.decisions.equipment_costs import equipment_costs, people_and_fuel
from fieldsim.plots.words import money_text, readable
from fieldsim.quantities import several
from fieldsim.report.table import Table, without_empty_columns

__all__ = ["equipment_tables", "people_table"]

NONE = "—"


def equipment_tables(outcomes: xr.Dataset) -> tuple[Table, ...]:
    """Return a table for each option, all with the same columns, of its machines and tractors.

    Parameters
    ----------
    outcomes : xarray.Dataset
        From `simulate`.

    Returns
    -------
    tuple of Table
    """
    costs = equipment_costs(outcomes)
    land = costs.attrs["units"]["area"]
    hired = bool((costs.hire > 0).any())
    heads = ("machine or tractor", "hours", "hours of each", several(land), "capital recovery")
    standing = ("taxes, insurance, housing", "repairs", *(["hire"] if hired else []), "total")
    columns = (*heads, *standing, "an hour", _one(land))
    tables = []
    for option, label in zip(outcomes.option.values, outcomes.option_label.values, strict=True):
        own = costs[costs.option == option].to_dict("records")
        rows = tuple(_equipment(row, hired) for row in own)
        tables.append(Table(readable(str(label)), columns, (*rows, _sum(own, hired))))
    return tuple(tables)


def _equipment(row: dict[Any, Any], hired: bool) -> tuple[str, ...]:
    units, name = row["units"], readable(row["equipment"])
    label = name if units == 1 else f"{units} × {name}"
    return (
        f"{label} (hired)" if row["kind"] == "hired" else label,
        _number(row["hours"]),
        _number(row["hours_per_unit"]) if units > 1 else "",
        _number(row["area"]),
        *_money(row, hired),
        _cents(row["cost_per_hour"]),
        _cents(row["cost_per_area"]),
    )


def _sum(rows: list[dict[Any, Any]], hired: bool) -> tuple[str, ...]:
    columns = ("capital_recovery", "taxes_insurance_housing", "repairs", "hire", "total")
    together = {name: math.fsum(row[name] for row in rows) for name in columns}
    return "all together", "", "", "", *_money(together, hired), "", ""


def _money(row: dict[Any, Any], hired: bool) -> list[str]:
    names = ["capital_recovery", "taxes_insurance_housing", "repairs"]
    return [money_text(row[name]) for name in (*names, *(["hire"] if hired else []), "total")]


def people_table(outcomes: xr.Dataset) -> Table:
    """Return what the people of each option get done, and the fuel it takes.

    Parameters
    ----------
    outcomes : xarray.Dataset
        From `simulate`.

    Returns
    -------
    Table
    """
    table = people_and_fuel(outcomes)
    land, fuel = table.attrs["units"]["area"], table.attrs["units"]["fuel"]
    labels = (readable(str(label)) for label in outcomes.option_label.values)
    burns = bool((table.fuel > 0).any())
    rows = tuple(
        (
            label,
            str(row["operators"]),
            _number(row["labor_hours"]),
            _number(row["planted_per_operator"]),
            _number(row["planted_per_labor_hour"], 2),
            _number(row["labor_hours_per_area"], 2),
            _number(row["fuel"]) if burns else "",
            _number(row["fuel_per_area"], 2) if burns else "",
        )
        for label, row in zip(labels, table.to_dict("records"), strict=True)
    )
    heads = (
        "option",
        "operators",
        "hours of people",
        f"{several(land)} planted by operator",
        f"{several(land)} planted in an hour of people",
        f"hours of people {_one(land)}",
        f"{fuel} of fuel",
        f"{fuel} {_one(land)}",
    )
    return without_empty_columns(Table("People and fuel", heads, rows))


def _one(unit: str) -> str:
    """Return the name of a unit with its article."""
    return f"an {unit}" if unit == "acre" else f"a {unit}"


def _number(number: float, decimals: int = 0) -> str:
    """Return a number; a dash where there is none."""
    return NONE if math.isnan(number) else f"{number:,.{decimals}f}"


def _cents(amount: float) -> str:
    return NONE if math.isnan(amount) else f"${amount:,.2f}"
