"""Classes of machines: how fast they lose value and what repairs they need.

The figures stand in ``machine_classes.csv``, ``remaining_value.csv`` and ``repair_factors.csv``,
each with its source and with what it was checked against.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from fieldsim.quantities import parse
from fieldsim.ranges import number_in_range
from fieldsim.tables import read_table

__all__ = ["MachineClass", "machine_class", "machine_classes", "tractor_class"]

CLASSES, VALUES, REPAIRS = "machine_classes.csv", "remaining_value.csv", "repair_factors.csv"
FOUR_WHEEL_DRIVE = "tractor_4wd"


@dataclass(frozen=True)
class MachineClass:
    """Coefficients of a class; `dataclasses.replace` makes a user's own of a shipped one.

    Parameters
    ----------
    c1, c2, c3 : float
        Coefficients of `remaining_share` [1, 1/year^0.5, (year/h)^0.5]; `c1` above 0, the others
        at least 0.
    rf1, rf2 : float
        Repair factors of `accumulated_repair_share` [1]; `rf1` at least 0, `rf2` above 0.
    life : float
        Wear-out life [h], above 0.
    name : str
    value_source, repair_source : str
        Where the coefficients come from and what they were checked against.

    Raises
    ------
    ValueError
        If a number is out of its range.

    Examples
    --------
    >>> from dataclasses import replace
    >>> replace(machine_class("planter"), rf1=0.25).rf1
    0.25
    """

    c1: float
    c2: float
    c3: float
    rf1: float
    rf2: float
    life: float
    name: str = ""
    value_source: str = ""
    repair_source: str = ""

    def __post_init__(self) -> None:
        number_in_range("c1", self.c1, above=0)
        number_in_range("c2", self.c2, at_least=0)
        number_in_range("c3", self.c3, at_least=0)
        number_in_range("rf1", self.rf1, at_least=0)
        number_in_range("rf2", self.rf2, above=0)
        number_in_range("life", self.life, "h", above=0)


def machine_class(name: str) -> MachineClass:
    """Return a shipped class of machines by its name.

    Parameters
    ----------
    name : str
        One of `machine_classes()`.

    Returns
    -------
    MachineClass

    Raises
    ------
    ValueError
        If there is no such class.

    Notes
    -----
    Coefficients of ASABE D497.7, from memory; the sources of the class say what they were held
    against.

    Examples
    --------
    >>> machine_class("planter").life
    1500.0
    """
    classes = _classes()
    if name not in classes:
        names = ", ".join(classes)
        raise ValueError(f"there is no machine class {name!r}: {names} are allowed")
    return classes[name]


def machine_classes() -> tuple[str, ...]:
    """Return the names of the shipped classes, tractors first."""
    return tuple(_classes())


def tractor_class(power: float, four_wheel_drive: bool = False) -> MachineClass:
    """Return the class of a tractor.

    Parameters
    ----------
    power : float
        Maximum PTO power [kW], above 0.
    four_wheel_drive : bool
        Whether all wheels are of one size and driven, or it runs on tracks; front-wheel assist
        does not count.

    Returns
    -------
    MachineClass
        Small below 80 hp (59.7 kW), medium below 150 hp (111.9 kW), else large.

    Raises
    ------
    ValueError
        If the power is out of its range.

    Examples
    --------
    >>> tractor_class(90).name
    'tractor_medium'
    """
    kilowatts = number_in_range("power", power, "kW", above=0)
    if four_wheel_drive:
        return machine_class(FOUR_WHEEL_DRIVE)
    return machine_class([name for least, name in _tractors() if least <= kilowatts][-1])


@cache
def _tractors() -> tuple[tuple[float, str], ...]:
    """Return where each class of two-wheel-drive tractors begins [kW], and its name, rising."""
    rows = _rows(CLASSES, ("class", "least_power"))
    bounds = ((row["least_power"], row["class"]) for row in rows if row["least_power"])
    return tuple(sorted((parse(power, "power"), name) for power, name in bounds))


@cache
def _classes() -> dict[str, MachineClass]:
    """Return the classes by name, read at first use."""
    values = {row["name"]: row for row in _rows(VALUES, ("name", "c1", "c2", "c3"))}
    repairs = {row["name"]: row for row in _rows(REPAIRS, ("name", "rf1", "rf2", "life"))}
    classes = {}
    for row in _rows(CLASSES, ("class", "value", "repair")):
        value, repair = values[row["value"]], repairs[row["repair"]]
        classes[row["class"]] = MachineClass(
            c1=float(value["c1"]),
            c2=float(value["c2"]),
            c3=float(value["c3"]),
            rf1=float(repair["rf1"]),
            rf2=float(repair["rf2"]),
            life=parse(repair["life"], "time"),
            name=row["class"],
            value_source=f"{value['source']} ({value['status']})",
            repair_source=f"{repair['source']} ({repair['status']})",
        )
    return classes


def _rows(file: str, columns: tuple[str, ...]) -> list[dict[str, str]]:
    """Return the cells of a shipped table, line by line."""
    table = read_table(files("fieldsim.machines") / file, columns, file)
    return [row.cells for row in table.rows]
