"""A farm file while it is being read: the parts that are right so far, and every fault found."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from math import prod
from typing import Any, TypeVar

from pydantic import ValidationError

from fieldsim.days import DaySource, WarmDates
from fieldsim.errors import Fault, InputError
from fieldsim.farm.crop_parts import Crop
from fieldsim.farm.entries import Part, name_problem
from fieldsim.farm.machine_parts import Machine, Tractor
from fieldsim.farm.messages import (
    MISSING,
    as_written,
    entries_needed,
    from_validation,
    misspelt,
    place_of,
)
from fieldsim.farm.partial import without_faults
from fieldsim.farm.parts import Crew, FarmField, Heading, Operation, Option
from fieldsim.season import Season

__all__ = ["Draft", "oversized"]

MOST_FAULTS = 300
MOST_PARTS = {"crops": 30, "operations": 60, "days.soils": 50}
MOST_ENTRIES = 500  # of any other section, table or list
MOST_WORK = 50_000  # fields x operations x options, as much as is read and shown in seconds

SomePart = TypeVar("SomePart", bound=Part)
Result = TypeVar("Result")


@dataclass
class Draft:
    """The document of a farm file, the parts read from it, and the faults found on the way.

    A part with faults stands in it as far as it is right, so that one fault does not hide another.

    Parameters
    ----------
    file : str
        What to call the file in messages.
    document : mapping
        The file as read from TOML.
    """

    file: str
    document: Mapping[str, Any]
    faults: list[Fault] = field(default_factory=list)
    unread: set[str] = field(default_factory=set)
    heading: Heading | None = None
    season: Season | None = None
    crew: Crew | None = None
    crops: dict[str, Crop] = field(default_factory=dict)
    fields: dict[str, FarmField] = field(default_factory=dict)
    operations: dict[str, dict[str, Operation]] = field(default_factory=dict)
    machines: dict[str, Machine] = field(default_factory=dict)
    tractors: dict[str, Tractor] = field(default_factory=dict)
    options: dict[str, Option] = field(default_factory=dict)
    soils: tuple[str, ...] | None = None
    source: DaySource | None = None
    warm_dates: WarmDates | None = None

    def fault(self, path: str, value: object, problem: str, repair: str) -> None:
        """Note a fault; `value` None means that nothing was found there.

        Where an entry could not be read, its place is taken by an example: nothing more is said
        of it.
        """
        shown = "" if value is None else as_written(value)
        if path.partition(" (item")[0] not in self.unread:
            self.note([Fault(self.file, path, shown, problem, repair)])

    def misread(self, path: str, value: object, problem: str, repair: str) -> None:
        """Note the fault of an entry that cannot be read: what hangs on it is not judged."""
        self.note([Fault(self.file, path, as_written(value), problem, repair)])
        self.unread.add(path)

    def note(self, faults: Iterable[Fault]) -> None:
        """Note faults, each once; raise all of them where there are too many to go on."""
        for fault in dict.fromkeys(faults):
            if fault not in self.faults:
                self.faults.append(fault)
            if len(self.faults) > MOST_FAULTS:
                raise InputError(self.faults)

    def named(self, section: str) -> tuple[str, ...]:
        """Return the names that stand in a section, whether or not their parts are right."""
        entries = self.document.get(section)
        return tuple(entries) if isinstance(entries, Mapping) else ()

    def entry(self, *steps: str) -> tuple[str, object]:
        """Return the path of an entry and what stands there as written; None for nothing.

        The last step may be a crop: it counts where the entry is a table with a value for each.
        """
        found: object = self.document
        walked: list[str] = []
        for step in steps:
            if not isinstance(found, Mapping):
                break
            walked.append(step)
            found = found.get(step)
        return ".".join(walked), found

    def sound(self, *paths: str) -> bool:
        """Say whether no entry at or below any of the paths was at fault when it was read."""
        return not any(
            place == path or place.startswith(f"{path}.") for place in self.unread for path in paths
        )

    def part(
        self,
        model: type[SomePart],
        entry: object,
        path: str,
        within: Mapping[str, str] | None = None,
    ) -> SomePart | None:
        """Read one part; note its faults. See `from_validation` for `within`."""
        try:
            return model.model_validate(entry)
        except ValidationError as error:
            self.unread |= {place_of(path, location) for location in misspelt(error, model)}
            found = [
                fault
                for fault in from_validation(error, model, self.file, path, within)
                if fault.problem != MISSING or fault.field not in self.unread
            ]
            self.note(found)
            self.unread |= {fault.field.partition(" (item")[0] for fault in found}
            return without_faults(model, entry, error)

    def section(self, model: type[SomePart], name: str) -> SomePart | None:
        """Read a section that is one part; note its absence as one fault."""
        if name not in self.document:
            repair = f"write [{name}] and below it {entries_needed(model)}"
            self.fault(name, None, "the section is missing", repair)
            return None
        return self.part(model, self.document[name], name)

    def entries(self, section: str) -> Iterator[tuple[str, object]]:
        """Yield the entries of a section of named parts; note an absent or misshapen section."""
        content, repair = self.document.get(section), f"write [{section}.a_name] and its lines"
        if not isinstance(content, Mapping) or not content:
            problem = "the section is missing" if content is None else "not a section"
            problem = "the section is empty" if isinstance(content, Mapping) else problem
            self.fault(section, content, problem, repair)
            self.unread.add(section)
            return
        for name, entry in content.items():
            self.check_name(section, name)
            yield name, entry

    def check_name(self, section: str, name: str) -> None:
        """Note a name that cannot be used."""
        problem = name_problem(name)
        if problem:
            self.fault(section, name, problem, "choose a shorter, plainer name")

    def parts(self, model: type[SomePart], section: str) -> dict[str, SomePart]:
        """Read a section of named parts; those that cannot be read are left out."""
        read = {
            name: self.part(model, entry, f"{section}.{name}")
            for name, entry in self.entries(section)
        }
        return {name: part for name, part in read.items() if part is not None}

    def attempt(
        self, make: Callable[[], Result], path: str, value: object, repair: str
    ) -> Result | None:
        """Return what `make` makes; note the faults it raises at `path`, and return None."""
        try:
            return make()
        except InputError as error:
            self.note(error.faults)
        except ValueError as error:
            self.fault(path, value, str(error), repair)
        return None


def oversized(document: Mapping[str, Any], file: str) -> list[Fault]:
    """Return a fault for every section, table and list with more entries than any farm has."""
    faults: list[Fault] = []
    waiting: list[tuple[str, object]] = [("", document)]
    while waiting:
        path, entry = waiting.pop()
        if not isinstance(entry, Mapping | list):
            continue
        most = MOST_PARTS.get(path, MOST_ENTRIES)
        if len(entry) > most:
            problem = f"{len(entry):,} entries; {most:,} is the most"
            faults.append(Fault(file, path, "", problem, "leave some out"))
            continue
        inner = entry.items() if isinstance(entry, Mapping) else enumerate(entry)
        waiting += [(place_of(path, (step,)), value) for step, value in inner]
    if faults:
        return faults[:MOST_FAULTS]
    found = [document.get(name) for name in ("fields", "operations", "options")]
    counts = [len(entry) if isinstance(entry, Mapping) else 0 for entry in found]
    if prod(counts) <= MOST_WORK:
        return []
    problem = f"{prod(counts):,} of them; {MOST_WORK:,} is the most"
    place = "fields x operations x options"
    return [Fault(file, place, " x ".join(map(str, counts)), problem, "leave some out")]
