"""The figures of a farm that a study moves: by a word or by path, and as people read them."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from fieldsim.decisions.named_figures import (
    FIGURE,
    UNWRITTEN,
    figure_times,
    figures_named,
    is_number,
    number_in,
    rounded,
)
from fieldsim.errors import Fault, InputError, no_such
from fieldsim.farm import Farm, Times, changed
from fieldsim.quantities import factor as shown_factor
from fieldsim.quantities import unit, with_unit

__all__ = [
    "OVER",
    "StudiedFigure",
    "at_factor",
    "figure_axis",
    "figure_text",
    "same_seasons",
    "studied",
]

OVER = ("area", "price", "yield", "loss", "purchase", "hours")
USUAL = (0.2, 5.0)  # factors that are looked at if nothing is said
FREE = (0.0, 5.0)  # of what may be nothing at all
HOURS = (0.4, 2.0)
AREA = re.compile(r"fields\.[^.]+\.area")
MOST_SHOWN = 3  # different figures that are written out
NOT_DRAWN = ("fields", "crops", "operations", "crew", "money", "machines", "tractors", "options")
DRAWN = ("helpers", "replanting")  # parts of them that are
PER_CENT_OF_NOW = "% of what the file says"


@dataclass(frozen=True)
class StudiedFigure:
    """Figures that are all multiplied by one factor.

    Parameters
    ----------
    name : str
        In words.
    paths : tuple of str
        In the farm file; see `fieldsim.changed`.
    bounds : tuple of float
        Factors that are looked at.
    """

    name: str
    paths: tuple[str, ...]
    bounds: tuple[float, float] = USUAL


def studied(
    farm: Farm,
    over: str,
    *,
    option: str = "",
    against: str = "",
    crop: str | None = None,
    machine: str | None = None,
) -> StudiedFigure:
    """Return the figures that a word stands for, or that stand at a path.

    Parameters
    ----------
    farm : Farm
    over : str
        ``"area"`` of all fields; ``"price"``, ``"yield"`` or ``"loss"`` (by planting date) of
        crops; ``"purchase"``, the price of a machine; ``"hours"`` a day, of all work and of the
        crew; or a path.
    option, against : str
        For a purchase without `machine`: the dearest machine that the option has more of.
    crop : str, optional
        Default: all crops.
    machine : str, optional
        For a purchase.

    Returns
    -------
    StudiedFigure

    Raises
    ------
    InputError
        If there is no such word, path, crop or machine, or no machine that only the option has.

    Examples
    --------
    >>> import fieldsim
    >>> studied(fieldsim.demo_farm(), "price", crop="corn").paths
    ('crops.corn.price',)
    """
    crops = farm.grown_crops if crop is None else (crop,)
    if crop is not None and crop not in farm.grown_crops:
        raise InputError([no_such("crop", "crop", crop, farm.grown_crops)])
    of = " and ".join(name.replace("_", " ") for name in crops)
    match over:
        case "area":
            return StudiedFigure("area of all fields", ("fields.*.area",))
        case "price" | "yield":
            return StudiedFigure(f"{over} of {of}", tuple(f"crops.{c}.{over}" for c in crops))
        case "loss":
            paths = tuple(f"crops.{c}.planting_loss" for c in crops)
            return StudiedFigure(f"loss by planting date of {of}", paths, FREE)
        case "purchase":
            name = _bought(farm, option, against) if machine is None else machine
            if name not in farm.machines:
                raise InputError([no_such("machine", "machine", name, farm.machines)])
            shown = name.replace("_", " ")
            return StudiedFigure(f"price of {shown}", (f"machines.{name}.price",), FREE)
        case "hours":
            paths = ("operations.*.hours_per_day", "crew.hours_per_day")
            return StudiedFigure("hours a day", paths, HOURS)
    if "." not in over:
        repair = f'write one of {", ".join(OVER)}, or a path as "crops.corn.price"'
        raise InputError([Fault("", "over", over, "there is no such word", repair)])
    for path, figure in figures_named(farm, (over,)):
        if not is_number(figure):
            problem, repair = "no figure that can be multiplied", "name another path"
            raise InputError([Fault("", path, str(figure), problem, repair)])
    words = over.replace(".*", "").replace(".", " ").replace("_", " ")
    return StudiedFigure(words, (over,))


def at_factor(farm: Farm, paths: Sequence[str], factor: float) -> Farm:
    """Return a farm with figures multiplied by a factor.

    Parameters
    ----------
    farm : Farm
    paths : sequence of str
    factor : float
        0 or more.

    Returns
    -------
    Farm

    Raises
    ------
    InputError
        As `fieldsim.changed`.

    Examples
    --------
    >>> import fieldsim
    >>> steep = at_factor(fieldsim.demo_farm(), ["crops.corn.planting_loss"], 1.5)
    >>> steep.crops["corn"].planting_loss
    1.5
    """
    return changed(
        farm,
        {
            path: figure_times(figure, factor)
            if path.split(".")[-1] in UNWRITTEN
            else Times(factor)
            for path, figure in figures_named(farm, paths)
        },
    )


def same_seasons(paths: Iterable[str]) -> bool:
    """Say whether figures at these paths can be other without other seasons being drawn.

    Parameters
    ----------
    paths : iterable of str

    Examples
    --------
    >>> same_seasons(["fields.*.area"]), same_seasons(["days.years"])
    (True, False)
    """
    steps = [path.split(".") for path in paths]
    return all(path[0] in NOT_DRAWN and not {*path} & {*DRAWN} for path in steps)


def figure_text(farm: Farm, paths: Sequence[str], factor: float) -> str:
    """Return figures times a factor as people read them; land is added up over its fields.

    Parameters
    ----------
    farm : Farm
    paths : sequence of str
    factor : float

    Returns
    -------
    str

    Examples
    --------
    >>> import fieldsim
    >>> farm = fieldsim.demo_farm()
    >>> figure_text(farm, ["fields.*.area"], 1.5), figure_text(farm, ["crops.corn.price"], 1.1)
    ('1,353 acres', '$4.73/bu')
    """
    found = figures_named(farm, paths)
    if all(AREA.fullmatch(path) for path, _ in found):
        number, label = figure_axis(farm, paths, factor)
        return with_unit(rounded(number), label)
    texts = list(dict.fromkeys(figure_times(figure, factor, shown=True) for _, figure in found))
    if len(texts) > MOST_SHOWN:
        return f"{rounded(factor)} times"
    return " and ".join(texts)


def figure_axis(farm: Farm, paths: Sequence[str], factor: float) -> tuple[float, str]:
    """Return figures times a factor as a number on an axis, and its unit; see `figure_text`.

    Figures that differ become per cent of what the file says.
    """
    found = figures_named(farm, paths)
    if all(AREA.fullmatch(path) for path, _ in found):
        area = math.fsum(farm.fields[path.split(".")[1]].area for path, _ in found)
        return area * factor * shown_factor("area", farm.units), unit("area", farm.units)
    texts = {figure_times(figure, 1.0) for _, figure in found}
    match = FIGURE.fullmatch(texts.pop())
    if texts or match is None:
        return 100.0 * factor, PER_CENT_OF_NOW
    dollar = "$" if "$" in match["before"] else ""
    return factor * number_in(match), dollar + match["after"].strip()


def _bought(farm: Farm, option: str, against: str) -> str:
    """Return the dearest machine that one option has more of than the other."""
    own, other = farm.options[option].machines, farm.options[against].machines
    more = [name for name, count in own.items() if count > other.get(name, 0)]
    priced = [name for name in more if farm.machines[name].price > 0]
    if not priced:
        problem = f"{option} has no machine with a price that {against} has not"
        raise InputError([Fault("", "machine", "", problem, "say which machine")])
    return max(priced, key=lambda name: farm.machines[name].price)
