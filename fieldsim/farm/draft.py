"""A farm file while it is being read: the parts that are right so far, and every fault found."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

from pydantic import ValidationError

from fieldsim.errors import Fault, InputError
from fieldsim.farm.crop_parts import Crop
from fieldsim.farm.entries import Part, name_problem
from fieldsim.farm.machine_parts import Machine, Tractor
from fieldsim.farm.messages import as_written, from_validation
from fieldsim.farm.parts import Crew, FarmField, Heading, Operation, Option
from fieldsim.season import Season

__all__ = ["Draft"]

SomePart = TypeVar("SomePart", bound=Part)
Result = TypeVar("Result")


@dataclass
class Draft:
    """The document of a farm file, the parts read from it, and the faults found on the way.

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

    def fault(self, path: str, value: object, problem: str, repair: str) -> None:
        """Note a fault; `value` None means that nothing was found there."""
        shown = "" if value is None else as_written(value)
        found = Fault(self.file, path, shown, problem, repair)
        if found not in self.faults:
            self.faults.append(found)

    def named(self, section: str) -> tuple[str, ...]:
        """Return the names that stand in a section, whether or not their parts are right."""
        entries = self.document.get(section)
        return tuple(entries) if isinstance(entries, Mapping) else ()

    def sound(self, section: str) -> bool:
        """Say whether no fault was found in a section so far."""
        return not any(f.file == self.file and f.field.startswith(section) for f in self.faults)

    def part(self, model: type[SomePart], entry: object, path: str) -> SomePart | None:
        """Read one part; note its faults and return None if it has any."""
        try:
            return model.model_validate(entry)
        except ValidationError as error:
            for fault in from_validation(error, model, self.file, path):
                if fault not in self.faults:
                    self.faults.append(fault)
            return None

    def entries(self, section: str) -> Iterator[tuple[str, object]]:
        """Yield the entries of a section of named parts; note an absent or misshapen section."""
        content = self.document.get(section)
        if not isinstance(content, Mapping) or not content:
            self.fault(section, content, "is missing or empty", f"add [{section}.a_name]")
            return
        for name, entry in content.items():
            problem = name_problem(name)
            if problem:
                self.fault(section, name, problem, "choose a shorter, plainer name")
            yield name, entry

    def parts(self, model: type[SomePart], section: str) -> dict[str, SomePart]:
        """Read a section of named parts; those with faults are left out."""
        read = {
            name: self.part(model, entry, f"{section}.{name}")
            for name, entry in self.entries(section)
        }
        return {name: part for name, part in read.items() if part is not None}

    def attempt(self, make: Callable[[], Result], path: str, value: object) -> Result | None:
        """Return what `make` makes; note the faults it raises at `path`, and return None."""
        try:
            return make()
        except InputError as error:
            self.faults.extend(error.faults)
        except ValueError as error:
            self.fault(path, value, str(error), "")
        return None
