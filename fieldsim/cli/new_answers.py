"""What ``fieldsim new`` asks, and how an answer is read."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, NamedTuple

import click

__all__ = ["Answers", "Crew", "Land", "Outfit", "ask", "crew", "land", "name", "outfits", "tillage"]

MOST_FIELDS, MOST_PEOPLE, LONGEST_DAY, MOST_UNITS, MOST_OPTIONS = 60, 12, 24.0, 4, 8
AREA_OF_FIELD = {"acre": 120.0, "ha": 50.0}  # where the number of fields is not said
AREAS = {"": "acre", "ac": "acre", "acre": "acre", "acres": "acre", "ha": "ha", "hectares": "ha"}
WIDTHS = {"": "ft", "ft": "ft", "feet": "ft", "m": "m"}
NUMBER = r"(\d{1,3}(?:,\d{3})+|\d+)(\.\d+)?"
LAND = re.compile(rf"(?P<area>{NUMBER})\s*(?P<unit>[a-z]*)\s*(?:(?:on|in)?\s*(?P<fields>\d+)"
                  r"(?:\s*fields?)?)?", re.IGNORECASE)  # fmt: skip
CREW = re.compile(rf"(?P<people>\d+)\s*(?:people|persons?|drivers?|operators?)?\s*(?:[,;]|and)?\s+"
                  rf"(?P<hours>{NUMBER})\s*(?:h|hours?)?", re.IGNORECASE)  # fmt: skip
WIDE = re.compile(rf"(?P<width>{NUMBER})\s*(?P<unit>[a-z]*)", re.IGNORECASE)
OUTFIT = re.compile(r"(?:(?P<units>\d+)\s*[x×*]\s*)?(?P<rows>\d+)(?:\s*rows?)?", re.IGNORECASE)


class Land(NamedTuple):
    """Area of a crop, its unit ("acre" or "ha"), and how many fields it lies on."""

    area: float
    unit: str
    fields: int


class Crew(NamedTuple):
    """People who drive, and their hours on a suitable day [h]."""

    people: int
    hours: float


class Outfit(NamedTuple):
    """Rows of a planter, and how many of them work."""

    rows: int
    units: int


@dataclass(frozen=True)
class Answers:
    """The six answers; the width of the tillage tool is in feet."""

    name: str
    corn: Land
    soybeans: Land
    crew: Crew
    tillage: float
    outfits: tuple[Outfit, ...]


def name(text: str) -> str:
    """Read the farm's name."""
    said = " ".join(text.split())
    if not said or not said.isprintable() or len(said) > 80:
        raise click.BadParameter("write a name of at most 80 letters.")
    return said


def land(text: str) -> Land:
    """Read how much land a crop has, and on how many fields.

    Examples
    --------
    >>> land("462 acres on 4 fields"), land("80 ha")
    (Land(area=462.0, unit='acre', fields=4), Land(area=80.0, unit='ha', fields=2))
    """
    match = LAND.fullmatch(text.strip())
    unit = AREAS.get(match["unit"].lower()) if match else None
    if match is None or unit is None:
        raise click.BadParameter('write it as "460 acre on 4 fields" or "180 ha on 3"; 0 for none.')
    area = _number(match["area"])
    usual = max(1, min(MOST_FIELDS, round(area / AREA_OF_FIELD[unit])))
    fields = int(match["fields"]) if match["fields"] else usual
    if area > 0 and not 1 <= fields <= MOST_FIELDS:
        raise click.BadParameter(f"write 1 to {MOST_FIELDS} fields; more can stand in the file.")
    if not (area == 0 or 1 <= area <= 100_000):
        raise click.BadParameter("write 0, or an area from 1 to 100,000.")
    return Land(area, unit, fields if area else 0)


def crew(text: str) -> Crew:
    """Read how many people drive, and for how long.

    Examples
    --------
    >>> crew("2, 11 h"), crew("1 person and 9 h")
    (Crew(people=2, hours=11.0), Crew(people=1, hours=9.0))
    """
    match = CREW.fullmatch(text.strip())
    if match is None:
        raise click.BadParameter('write people and hours, as "2, 11 h".')
    people, hours = int(match["people"]), _number(match["hours"])
    if not 1 <= people <= MOST_PEOPLE or not 2 <= hours <= LONGEST_DAY:
        raise click.BadParameter(f"write 1 to {MOST_PEOPLE} people and 2 to 24 hours.")
    return Crew(people, hours)


def tillage(text: str) -> float:
    """Read the width of the tillage tool [ft].

    Examples
    --------
    >>> tillage("21 ft"), round(tillage("6.4 m"))
    (21.0, 21)
    """
    match = WIDE.fullmatch(text.strip())
    unit = WIDTHS.get(match["unit"].lower()) if match else None
    if match is None or unit is None:
        raise click.BadParameter('write a width, as "21 ft" or "6.4 m".')
    width = _number(match["width"]) / (1.0 if unit == "ft" else 0.3048)
    if not 11 <= width <= 42:
        said = "write a width from 11 to 42 ft (3.4 to 12.8 m); a wider tool can stand in the file."
        raise click.BadParameter(said)
    return round(width, 1)


def outfits(rows: tuple[int, ...]) -> Callable[[str], tuple[Outfit, ...]]:
    """Return what reads the planters to compare, of sizes that are known.

    Examples
    --------
    >>> outfits((4, 6, 8))("4, 2 x 6")
    (Outfit(rows=4, units=1), Outfit(rows=6, units=2))
    """

    def read(text: str) -> tuple[Outfit, ...]:
        matches = [OUTFIT.fullmatch(part.strip()) for part in text.split(",")]
        found = [Outfit(int(m["rows"]), int(m["units"] or 1)) for m in matches if m is not None]
        if len(found) < len(matches):
            raise click.BadParameter('write rows with commas between them, as "6, 8, 2 x 6".')
        known = ", ".join(map(str, rows))
        if any(o.rows not in rows or not 1 <= o.units <= MOST_UNITS for o in found):
            raise click.BadParameter(f"planters have {known} rows; 1 to {MOST_UNITS} of a size.")
        found = list(dict.fromkeys(found))
        if len(found) > MOST_OPTIONS:
            raise click.BadParameter(f"write at most {MOST_OPTIONS}; more can stand in the file.")
        return tuple(found)

    return read


def ask(rows: tuple[int, ...]) -> Answers:
    """Ask the six questions; an answer that cannot be read is asked for again.

    Parameters
    ----------
    rows : tuple of int
        Sizes of planters that are known.
    """
    click.echo("Six questions; Enter takes what stands in brackets. All can be changed later.")
    called = _asked("1. What is the farm called?", "My farm", name)
    while True:
        corn = _asked("2. How much corn, on how many fields?", "460 acre on 4", land)
        soybeans = _asked("3. How much soybeans? 0 for none", _like(corn), land)
        if corn.area or soybeans.area:
            break
        click.echo("Error: a farm needs land; write it for one of the two.")
    hands = _asked("4. How many people drive, how long on a good day?", "2, 11 h", crew)
    width = _asked("5. How wide is the tillage tool?", "21 ft", tillage)
    sizes = _asked(
        "6. Planters to compare, in rows; 2 x 6: two of 6", "4, 6, 8, 2 x 6", outfits(rows)
    )
    return Answers(called, corn, soybeans, hands, width, sizes)


def _asked(question: str, default: str, read: Callable[[str], Any]) -> Any:
    return click.prompt(question, default=default, value_proc=read)


def _like(corn: Land) -> str:
    """Return a usual answer beside another crop's: as much land in the same unit."""
    if not corn.area:
        return "460 acre on 4"
    return f"{corn.area:,.10g} {corn.unit} on {corn.fields}"


def _number(text: str) -> float:
    return float(text.replace(",", ""))
