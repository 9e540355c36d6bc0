"""The farm of one crew as a SimPy model: one operator, one tractor, one of each machine.

An independent telling of the work, in hours and events where fieldsim counts days: operations are
processes that queue for the operator, land is handed on in parcels. Both tell the same where

- one operator and one tractor do all the work, so that one operation runs at a time, and the field
  is open as long for every operation;
- all fields have the same soil: the suitable share of a day is one stretch of its field hours, from
  the opening on;
- operations are served in a listed order, fields in the order of the file. The kernel serves each
  task once a day in that order; here the operator goes to the waiting operation that stands first
  whenever he is free. With a lag of a day or more no land becomes ready within the day, so that
  both orders are one. Without a lag, land is handed on within the day: the orders still agree where
  each operation stands after the one that it follows, and no field may be begun sooner than those
  that stand before it in the file;
- land expires some days after planting, for no operation sooner than for the one it follows.

Speeds, widths and set-up times are the farm's own; tests/test_machines holds them.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Generator, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import simpy

from fieldsim import Farm
from fieldsim.work.outfit import block_capacity, block_setup

DAY = 24.0  # [h]
OPENING = 6.0  # hour of the day at which field hours begin
MOMENT = 1e-9  # [h]: less is what rounding leaves of none
SLIVER = 1e-9  # share of a block that is too small to be left over

Process = Generator[simpy.Event, Any, Any]


@dataclass(frozen=True, eq=False)
class Job:
    """One operation on one block; `rank` is its place in the order of service."""

    field: str
    operation: str
    rank: int
    area: float  # [ha]
    capacity: float  # [ha/h]
    setup: float  # [h]
    earliest: int  # day
    lag: int  # days
    longest_wait: float  # days after planting
    plants: bool
    follows: Job | None


@dataclass(frozen=True)
class Parcel:
    """Land of one block: when the last operation was done on it, and when it was planted."""

    area: float
    day: int
    planted: int


@dataclass
class Record:
    """What became of a job's land [ha]: done on each day, and missed."""

    done: dict[int, float] = field(default_factory=lambda: defaultdict(float))
    missed: float = 0.0
    hours: float = 0.0  # of the machine, setting up included [h]

    def finish_day(self, area: float) -> int:
        """Last day with land done if all of it is done, else -1."""
        return max(self.done) if sum(self.done.values()) >= area * (1 - SLIVER) else -1


def jobs_of(farm: Farm, option: str) -> list[Job]:
    """Return the jobs of an option that has one machine for each operation."""
    jobs: list[Job] = []
    for place, (name, block) in enumerate(farm.fields.items()):
        done: dict[str | None, Job | None] = {None: None}
        waiting = {o: by[block.crop] for o, by in farm.operations.items() if block.crop in by}
        while waiting:
            operation = next(o for o, part in waiting.items() if part.follows in done)
            part = waiting.pop(operation)
            machine = next(
                farm.machines[m]
                for m in farm.options[option].machines
                if operation in farm.machines[m].operations
            )
            first = 0 if part.earliest is None else max(0, farm.season.index(part.earliest))
            wait = part.latest_after_planting
            done[operation] = Job(
                field=name,
                operation=operation,
                rank=farm.priority.index(operation) * len(farm.fields) + place,
                area=block.area,
                capacity=block_capacity(machine, block),
                setup=block_setup(machine, block),
                earliest=first,
                lag=part.lag.days,
                longest_wait=float("inf") if wait is None else wait.days,
                plants=part.kind == "planting",
                follows=done[part.follows],
            )
            jobs.append(done[operation])
    return jobs


class OneCrew:
    """The farm at work: `field_hours` [h] are those of each day."""

    def __init__(self, jobs: Sequence[Job], field_hours: Sequence[float]) -> None:
        self.env = simpy.Environment()
        self.operator = simpy.PriorityResource(self.env)
        self.tractor = simpy.Resource(self.env)
        self.field_hours = field_hours
        self.closing = 0.0
        self.records = {job: Record() for job in jobs}
        self.waiting = {job: simpy.Store(self.env) for job in jobs}
        self.at_hand: dict[Job, Parcel | None] = dict.fromkeys(jobs)
        self.setup_owed = {job: job.setup for job in jobs}
        self.followers = {job: [other for other in jobs if other.follows is job] for job in jobs}
        self.env.process(self.open_and_close())
        for job in jobs:
            if job.follows is None:
                self.waiting[job].put(Parcel(job.area, -job.lag, -1))
            self.env.process(self.carry_out(job))

    def run(self) -> dict[Job, Record]:
        """Work through all days and return what became of each job's land."""
        self.env.run(until=DAY * len(self.field_hours))
        last = len(self.field_hours) - 1
        for job, parcel in self.at_hand.items():
            for land in (*([parcel] if parcel else []), *self.waiting[job].items):
                if last > land.planted + job.longest_wait:
                    self.miss(job, land)
        return self.records

    @property
    def today(self) -> int:
        return int(self.env.now // DAY)

    @property
    def hours_left(self) -> float:
        return self.closing - self.env.now

    def dawn(self, day: int) -> simpy.Event:
        """The moment, ahead of field hours, from which land counts as a day older."""
        return self.env.timeout(max(0.0, DAY * day - self.env.now))

    def open_and_close(self) -> Process:
        """Keep the operator from the field while it is closed, whoever waits for him."""
        for day, hours in enumerate(self.field_hours):
            if hours > 0:
                with self.operator.request(priority=-1) as away:
                    yield away
                    yield self.env.timeout(DAY * day + OPENING - self.env.now)
                    self.closing = self.env.now + hours
                yield self.env.timeout(hours)
        yield self.operator.request(priority=-1)

    def carry_out(self, job: Job) -> Process:
        """Wait for land, then for the crew; what the day leaves over is for tomorrow."""
        while True:
            parcel = self.at_hand[job] = yield self.waiting[job].get()
            yield self.dawn(self.ready_day(job, parcel))
            while self.at_hand[job]:
                with self.operator.request(priority=job.rank) as hand:
                    yield hand
                    with self.tractor.request() as tractor:
                        yield tractor
                        yield from self.work_until_closing(job)
                if self.at_hand[job]:
                    yield self.dawn(self.today + 1)

    def work_until_closing(self, job: Job) -> Process:
        """Work parcel after parcel while the field is open and land lies ready."""
        while (parcel := self.at_hand[job]) and self.hours_left > MOMENT:
            if self.expired(job, parcel):
                self.miss(job, parcel)
                yield from self.take_next(job)
            elif self.setup_owed[job]:
                hours = min(self.setup_owed[job], self.hours_left)
                yield from self.spend(job, hours)
                self.setup_owed[job] -= hours
            else:
                hours = min(parcel.area / job.capacity, self.hours_left)
                yield from self.spend(job, hours)
                rest = parcel.area - hours * job.capacity
                if rest > SLIVER * job.area:
                    self.finish(job, replace(parcel, area=parcel.area - rest))
                    self.at_hand[job] = replace(parcel, area=rest)
                else:
                    self.finish(job, parcel)
                    yield from self.take_next(job)

    def spend(self, job: Job, hours: float) -> Process:
        yield self.env.timeout(hours)
        self.records[job].hours += hours

    def take_next(self, job: Job) -> Process:
        """Turn to the next parcel if it is ready today; the crew does not wait for others."""
        following = self.waiting[job].items
        self.at_hand[job] = None
        if following and self.ready_day(job, following[0]) <= self.today:
            self.at_hand[job] = yield self.waiting[job].get()

    def ready_day(self, job: Job, parcel: Parcel) -> int:
        return max(job.earliest, parcel.day + job.lag)

    def expired(self, job: Job, parcel: Parcel) -> bool:
        return self.today > parcel.planted + job.longest_wait

    def finish(self, job: Job, parcel: Parcel) -> None:
        """Write down land done and hand it on to the operations that follow."""
        self.records[job].done[self.today] += parcel.area
        planted = self.today if job.plants else parcel.planted
        for follower in self.followers[job]:
            self.waiting[follower].put(Parcel(parcel.area, self.today, planted))

    def miss(self, job: Job, parcel: Parcel) -> None:
        """Write down land whose time is over, for this operation and all that follow it."""
        self.records[job].missed += parcel.area
        for follower in self.followers[job]:
            self.miss(follower, parcel)
