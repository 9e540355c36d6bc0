"""The demo farm's commented file with six answers put in; its comments stay."""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from fieldsim.cli.new_answers import Answers, Land, Outfit

__all__ = ["farm_text", "planter_rows", "shelf_rows"]

HEADER = re.compile(r"^\[([^\]]+)\]", re.MULTILINE)
SQUARE_FEET, SQUARE_METERS = 43_560.0, 10_000.0  # of an acre, of a hectare
OWN_TRACTOR = 95.0  # [hp]: the weakest that plants, as on the demo farm
COUNTS = ("", "one outfit", "two outfits", "three outfits", "four outfits")
ORDINALS = ("", "", "two_", "three_", "four_")
HEAD = """\
# {name}: begun from an INVENTED farm with six answers. Land, people, tillage and options are
# yours; suitable days, yields, prices, dates and machines are still invented: put in your own.
"""
DEMO_HEAD = 2  # lines that say what the demo farm is

Shelf = Mapping[str, Mapping[str, str]]


@dataclass(frozen=True)
class Block:
    """A table of a TOML file: its name, the comments above it, and its lines."""

    name: str
    lead: str
    lines: str


def shelf_rows(text: str) -> dict[str, dict[str, str]]:
    """Return the lines of an equipment shelf by name."""
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    return {row["name"]: row for row in csv.DictReader(lines)}


def planter_rows(shelf: Shelf) -> tuple[int, ...]:
    """Return the sizes of new planters for which the shelf has a cultivator, rising."""
    sizes = [
        int(row["rows"])
        for name, row in shelf.items()
        if name == f"planter_{row['rows']}_rows" and f"cultivator_{row['rows']}_rows" in shelf
    ]
    return tuple(sorted(sizes))


def farm_text(demo: str, shelf: Shelf, answers: Answers) -> str:
    """Return a farm file with the answers in it.

    Parameters
    ----------
    demo : str
        Text of the demo farm's file.
    shelf : mapping
        From `shelf_rows`.
    answers : Answers

    Returns
    -------
    str
        All tables and comments of the demo but its fields, and planters, cultivators, tractors and
        options as asked for.
    """
    blocks = list(_blocks(demo))
    tractors = _tractors(shelf, answers)
    made = {
        "fields": list(_fields(answers)),
        "machines": _machines(blocks, shelf, answers),
        "tractors": [_tractor(blocks, shelf, power) for power in sorted(set(tractors.values()))],
        "options": [_option(outfit, answers, tractors) for outfit in answers.outfits],
    }
    text, done = "", set()
    for block in blocks:
        section = block.name.split(".")[0]
        if section in made:
            if section not in done:
                done.add(section)
                first, *rest = made[section]
                text += block.lead + first + "".join(f"\n{table}" for table in rest) + "\n"
            continue
        text += block.lead + _answered(block, answers)
    return re.sub(r"\n{3,}", "\n\n", text).rstrip() + "\n"


def _blocks(text: str) -> Iterator[Block]:
    """Yield the tables of a file, the first without a name; comments go with what follows them."""
    starts = [match.start() for match in HEADER.finditer(text)]
    name, lead = "", ""
    for begin, end in zip([0, *starts], [*starts, len(text)], strict=True):
        part = text[begin:end]
        match = HEADER.match(part)
        name = match[1] if match else ""
        kept = part.splitlines(keepends=True)
        after = len(kept)
        while after > 1 and (not kept[after - 1].strip() or kept[after - 1].startswith("#")):
            after -= 1
        yield Block(name, lead, "".join(kept[:after]))
        lead = "".join(kept[after:])
    if lead:
        yield Block("", lead, "")


def _answered(block: Block, answers: Answers) -> str:
    """Return the lines of a table with what was answered."""
    text, hours = block.lines, answers.crew.hours
    if not block.name and text:
        text = HEAD.format(name=answers.name) + "".join(text.splitlines(keepends=True)[DEMO_HEAD:])
        units = "metric" if "ha" in (answers.corn.unit, answers.soybeans.unit) else "us"
        text = _put(text, "name", answers.name)
        return _put(text, "units", units)
    if block.name == "crew":
        text = re.sub(r"(?m)^operators = \d+", f"operators = {answers.crew.people}", text)
        return _put(text, "hours_per_day", f"{hours:g} h")
    if block.name == "operations.till":
        return _put(text, "hours_per_day", f"{hours:g} h")
    if block.name.startswith("operations."):
        return _put(text, "hours_per_day", f"{max(hours - 1, 1):g} h")
    return text


def _put(text: str, key: str, value: str) -> str:
    """Put a text in the place of a key's, leaving the comment behind it."""
    written = json.dumps(value, ensure_ascii=False)
    return re.sub(rf'(?m)^{key} = "[^"]*"', lambda _: f"{key} = {written}", text, count=1)


def _fields(answers: Answers) -> Iterator[str]:
    """Yield a table for each field: equal parts, with rows as long as the side of a square."""
    for crop, of in (("corn", answers.corn), ("soybeans", answers.soybeans)):
        for number in range(1, of.fields + 1):
            yield (
                f'[fields.{crop}_{number}]\ncrop = "{crop}"\narea = "{of.area / of.fields:.5g} '
                f'{of.unit}"\nrow_length = "{_side(of)}"\n'
                f'distance = "{"1 mile" if of.unit == "acre" else "1.5 km"}"\n'
            )


def _side(of: Land) -> str:
    area = of.area / of.fields
    if of.unit == "acre":
        return f"{max(10, round(np.sqrt(area * SQUARE_FEET), -1)):.0f} ft"
    return f"{max(5, round(np.sqrt(area * SQUARE_METERS) / 5) * 5):.0f} m"


def _machines(blocks: list[Block], shelf: Shelf, answers: Answers) -> list[str]:
    """Return the tables of the tillage tool, and of planters and cultivators as asked for."""
    by_name = {block.name: block for block in blocks}
    found = [_disk(by_name["machines.disk"].lines, shelf, answers.tillage)]
    sizes = sorted({outfit.rows for outfit in answers.outfits})
    for kind in ("planter", "cultivator"):
        for number, rows in enumerate(sizes):
            like = f"{kind}_{6 if number else 4}_rows"  # that of 4 rows has comments to its lines
            pattern = [b.lines for b in blocks if b.name.startswith(f"machines.{like}")]
            row = shelf[f"{kind}_{rows}_rows"]
            found.append("".join(_resized(text, like, row) for text in pattern))
    return found


def _resized(text: str, name: str, row: Mapping[str, str]) -> str:
    """Return the table of a machine as one of the shelf's."""
    text = text.replace(name, row["name"])
    text = re.sub(r"(?m)^rows = \d+", f"rows = {row['rows']}", text)
    for key in ("tractor_power", "turn"):
        if row[key]:
            text = _put(text, key, row[key])
    text = _put(text, "price", _price(row))
    if "field_efficiency" in text:
        text = _put(text, "field_efficiency", row["field_efficiency"])
    if row["fold_time"]:
        text = re.sub(r"(?m)^(road_speed = .*)$", rf'\1\nfold_time = "{row["fold_time"]}"', text)
    for material in ("seed", "dry_fertilizer"):
        if f".fills.{material}]" in text:
            amount, unit = row[f"{material}_hopper"].split()
            commas = "," if float(amount) >= 10_000 else ""
            text = _put(text, "hopper", f"{float(amount):{commas}.0f} {unit}")
            text = _put(text, "time", row[f"{material}_fill_time"])
    return text


def _disk(text: str, shelf: Shelf, width: float) -> str:
    """Return the table of the tillage tool: power and price between those of the shelf's."""
    disks = [row for name, row in shelf.items() if re.fullmatch(r"disk_\d+_ft", name)]
    widths = [_number(row["width"]) for row in disks]
    power = np.interp(width, widths, [_number(row["tractor_power"]) for row in disks])
    price = np.interp(width, widths, [_number(row["price"]) for row in disks])
    text = _put(text, "width", f"{width:g} ft")
    text = _put(text, "tractor_power", f"{np.ceil(power):.0f} hp")
    return _put(text, "price", f"${round(float(price), -2):,.0f}")


def _tractors(shelf: Shelf, answers: Answers) -> dict[str | int, float]:
    """Return the power of the tractor for tillage, and for each size of planter [hp]."""
    powers = sorted(
        _number(row["power"])
        for name, row in shelf.items()
        if re.fullmatch(r"tractor_\d+_hp", name)
    )
    disk = _disk('tractor_power = "0 hp"', shelf, answers.tillage)
    needs: dict[str | int, float] = {"till": _number(disk.split('"')[1])}
    for outfit in answers.outfits:
        names = (f"planter_{outfit.rows}_rows", f"cultivator_{outfit.rows}_rows")
        own = [_number(shelf[name]["tractor_power"]) for name in names]
        needs[outfit.rows] = max(OWN_TRACTOR, *own)
    return {what: next(p for p in powers if p >= need) for what, need in needs.items()}


def _tractor(blocks: list[Block], shelf: Shelf, power: float) -> str:
    """Return the table of a tractor."""
    name = f"tractors.tractor_{power:.0f}"
    for block in blocks:
        if block.name == name:
            return block.lines
    row = shelf[f"tractor_{power:.0f}_hp"]
    text = next(block.lines for block in blocks if block.name.startswith("tractors."))
    text = re.sub(r"\[tractors\.\w+\]", f"[{name}]", text)
    text = _put(_put(text, "power", row["power"]), "price", _price(row))
    return re.sub(r"(?m)^(power = .*)$", rf'\1\ndrive = "{row["drive"]}"', text)


def _option(outfit: Outfit, answers: Answers, tractors: Mapping[str | int, float]) -> str:
    """Return the table of an option; each further outfit has a driver more."""
    count: dict[str, int] = {}
    for power, units in ((tractors["till"], 1), (tractors[outfit.rows], outfit.units)):
        name = f"tractor_{power:.0f}"
        count[name] = count.get(name, 0) + units
    pulled = ", ".join(f"{name} = {units}" for name, units in count.items())
    rows, units = outfit
    text = (
        f"[options.{ORDINALS[units]}{rows}_rows]\n"
        f'label = "{COUNTS[units]} of {rows} rows"\n'
        f"machines = {{ disk = 1, planter_{rows}_rows = {units}, "
        f"cultivator_{rows}_rows = {units} }}\ntractors = {{ {pulled} }}\n"
    )
    people = answers.crew.people + units - 1
    return text + (f"operators = {people}\n" if units > 1 else "")


def _price(row: Mapping[str, str]) -> str:
    return f"${_number(row['price']):,.0f}"


def _number(text: str) -> float:
    match = re.search(r"\d[\d,]*(\.\d+)?", text)
    assert match is not None
    return float(match[0].replace(",", ""))
