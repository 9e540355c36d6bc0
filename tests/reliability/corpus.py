"""Farms of every kind as documents and tables, and what may be done to them."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from hypothesis import strategies as st

from fieldsim.demo import demo_folder
from tests.farms import HAND_FARM, HAND_TABLES, SMALL_FARM, SMALL_TABLES, changed
from tests.test_farm.test_day_sources import FIELDS, PLACE, RECORDS, WEATHER, WEEKS
from tests.test_report.full_farm import FULL_FARM
from tests.weather import records_text, weather_text

WEATHER_TABLES = SMALL_TABLES | {"weather.csv": weather_text(3)}
RECORD_TABLES = SMALL_TABLES | {"past.csv": records_text(6)}
GENERATED = WEATHER.replace('table = "weather.csv"', 'table = "weather.csv"\nweather = "generator"')
MILDER = '[days.milder]\nfrom = "15 Jun"\nto = "31 Jul"\nworkable = 1.1\nrain_limit = "15 mm"\n'
LATITUDE = (PLACE, f'{PLACE}\nlatitude = "42 degrees"')


@dataclass(frozen=True)
class Case:
    """A farm that is right: its text and its tables."""

    text: str
    tables: dict[str, str]

    @property
    def document(self) -> dict[str, Any]:
        return tomllib.loads(self.text)


def _demo() -> Case:
    texts = {path.name: path.read_text(encoding="utf-8") for path in demo_folder().iterdir()}
    return Case(texts["farm.toml"], {"suitable_days.csv": texts["suitable_days.csv"]})


CASES = {
    "demo": _demo(),
    "small": Case(SMALL_FARM, SMALL_TABLES),
    "full": Case(FULL_FARM, SMALL_TABLES),  # weeds, insurance, drying, replanting, draft, custom
    "chain": Case(HAND_FARM, HAND_TABLES),
    "records": Case(changed((WEEKS, RECORDS)), RECORD_TABLES),
    "trend": Case(changed((WEEKS, f"{RECORDS}reference_year = 2005\n")), RECORD_TABLES),
    "blocks": Case(
        changed((WEEKS, f'{RECORDS}resampling = "blocks"\nblock_weeks = 3\n')), RECORD_TABLES
    ),
    "weather": Case(changed((WEEKS, WEATHER + MILDER), LATITUDE, *FIELDS), WEATHER_TABLES),
    "generator": Case(changed((WEEKS, GENERATED), LATITUDE, *FIELDS), WEATHER_TABLES),
}
SHELF = (demo_folder() / "machines.csv").read_text(encoding="utf-8")

NUMBERS = (
    *("nan", "inf", "-inf", "1e308", "-1e308", "1e-320", "-0", "0", "-0.0", "1", "-1", "1e999"),
    *(
        "9" * 400,
        "1_000",
        "1,5",
        "1.5.5",
        "0x10",
        "٣",
        "１２",
        "½",
        "1e",
        "+",
        "--1",
        "1 000",
        "12,345",
    ),
)
UNITS = (
    *("", " acre", " ha", " ft", " in", " m", " mph", " km/h", " h", " min", " days", " hp", " kW"),
    *(
        " %",
        " %/day",
        " bu/acre",
        " t/ha",
        "/bu",
        "/h",
        "/acre",
        " degF days",
        " degrees",
        " lb/bu",
    ),
    *(" acre**1e9", " m**99999999", " (m)", " furlong", " dB", " degC", " mm/mm/mm", " %%%", " ′"),
)
WORDS = (
    *("", "corn", "soybeans", "till", "plant", "disk", "planter", "large", "1 Apr", "31 Apr"),
    *("29 Feb", "1 Dec", "31 Dec", "1 Jan", "daily_chain", "records", "soil_water", "weekly_table"),
    *("days.csv", "../days.csv", "/dev/null", "/", ".", "Sunday", "metric", "us", "a\nb", "a\tb"),
    *("\x00", "\ufeff", "\u202e", "é" * 50, "x" * 2000, "=1+1", "<script>", "{{ 7 * 7 }}", "%s%n"),
    *("yes", "true", "none", "null", "years", "replay", "iowa_corn", "fine", "silt_loam", "hill"),
)
quantities = st.builds(
    lambda sign, number, unit: f"{sign}{number}{unit}",
    st.sampled_from(["", "$", "-", "$-"]),
    st.sampled_from(NUMBERS),
    st.sampled_from(UNITS),
)
scalars = st.one_of(
    quantities,
    st.sampled_from(WORDS),
    st.booleans(),
    st.integers(-3, 400),
    st.sampled_from([10**18, 10**30, -(2**63)]),
    st.floats(),
    st.sampled_from([float("nan"), float("inf"), 1e308, -0.0, 5e-324]),
    st.text(max_size=5).filter(lambda text: not any(0xD800 <= ord(s) <= 0xDFFF for s in text)),
)
names = st.sampled_from(
    ["corn", "table", "x", "disk", "plateau", "from", "plant", "large", "", "a.b", "é", "a" * 41]
)
junk = st.recursive(
    scalars,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(names, inner, max_size=3),
    max_leaves=5,
)


def places(value: object, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Yield the path of every entry of a document."""
    inner: Any = ()
    if isinstance(value, dict):
        inner = value.items()
    elif isinstance(value, list):
        inner = enumerate(value)
    for key, entry in inner:
        yield (*path, key)
        yield from places(entry, (*path, key))


def at(document: Any, path: tuple[Any, ...]) -> Any:
    """Return the entry at a path; None where an earlier change has taken it away."""
    for key in path:
        if not isinstance(document, dict | list):  # of a text, too, the first letter could be had
            return None
        try:
            document = document[key]
        except (KeyError, IndexError, TypeError):
            return None
    return document


@dataclass(frozen=True)
class Change:
    """What is done to an entry of a document: a word, and what it needs."""

    kind: str
    value: Any
    other: Any
    name: str

    def apply(self, holder: Any, key: Any) -> None:
        named = isinstance(holder, dict)
        if self.kind == "delete":
            del holder[key]
        elif self.kind == "beside" and named:
            holder[self.name] = self.value
        elif self.kind == "move" and self.other is not None:
            holder[key] = self.other
        elif self.kind == "rename" and named:
            holder[self.name] = holder.pop(key)
        else:
            holder[key] = self.value


def with_entry(document: Any, path: tuple[Any, ...], change: Change) -> Any:
    """Return the document with the entry at `path` changed."""
    key, *rest = path
    if at(document, (key,)) is None:
        return document
    copy = document.copy()
    if rest:
        copy[key] = with_entry(copy[key], tuple(rest), change)
    else:
        change.apply(copy, key)
    return copy


@st.composite
def documents(draw: st.DrawFn) -> tuple[dict[str, Any], dict[str, str]]:
    """Return the document of a farm with one to four entries changed, and its tables."""
    case = CASES[draw(st.sampled_from(sorted(CASES)))]
    document: Any = case.document
    paths = list(places(document))
    for _ in range(draw(st.integers(1, 4))):
        path = draw(st.sampled_from(paths))
        kind = draw(st.sampled_from(["delete", "replace", "quantity", "beside", "move", "rename"]))
        value: Any = draw(quantities if kind == "quantity" else junk)
        other = at(document, draw(st.sampled_from(paths)))
        name = draw(names)

        change = Change(kind, value, other, name)
        document = with_entry(document, path, change)
    return document, case.tables


CELLS = st.one_of(
    st.sampled_from(NUMBERS),
    st.sampled_from(WORDS),
    quantities,
    st.sampled_from(['"', '""', "'", "#", ";", "1;2", " ", "2001-02-30", "2001-13-01"]),
    st.sampled_from(["99999-01-01", "1 apr", "Apr 1", "53", "7.0001", "M", "T", "-99", "\u2028"]),
)


@st.composite
def tables(draw: st.DrawFn, text: str) -> str:
    """Return a table with one to four cells, rows or columns changed."""
    lines = [line.split(",") for line in text.splitlines()]
    for _ in range(draw(st.integers(1, 4))):
        row = draw(st.integers(0, len(lines) - 1)) if lines else 0
        column = draw(st.integers(0, max(map(len, lines), default=1)))
        cell = draw(CELLS)
        match draw(st.integers(0, 9)):
            case 0:
                lines[row : row + 1] = []
            case 1:
                lines.insert(row, lines[row] if lines else [cell])
            case 2:
                lines = [line[:column] + line[column + 1 :] for line in lines]
            case 3:
                lines = [[*line[:column], cell, *line[column:]] for line in lines]
            case 4:
                lines = lines[:1] + lines[:0:-1]
            case 5:
                lines = lines[: row + 1]
            case 6:
                lines[1:] = lines[row + 1 :]
            case _ if lines:
                lines[row][column : column + 1] = [cell]
    end = draw(st.sampled_from(["\n", "\r\n", "\r", "\n\n", ""]))
    return end.join(",".join(line) for line in lines)


@st.composite
def bytes_of(draw: st.DrawFn, text: str) -> bytes:
    """Return a text as bytes of some encoding, cut, repeated or with bytes changed."""
    encoding = draw(st.sampled_from(["utf-8", "utf-8", "utf-8-sig", "utf-16", "utf-32", "latin-1"]))
    content = bytearray(text.encode(encoding, "replace"))
    for _ in range(draw(st.integers(0, 3))):
        place = draw(st.integers(0, max(0, len(content) - 1)))
        match draw(st.integers(0, 4)):
            case 0:
                content[place : place + 1] = draw(st.binary(min_size=1, max_size=3))
            case 1:
                content[place:place] = draw(
                    st.sampled_from([b"\0", b"\xff", b"\xef\xbb\xbf", b'"'])
                )
            case 2:
                del content[place:]
            case 3:
                content[place:place] = content[place : place + 200]
            case 4:
                signs = draw(st.sampled_from([b"[[", b"{", b"]", b"\r", b"'''", b'"']))
                content[place:place] = signs * 50
    return bytes(content)
