"""What a farm's tables give: its source of suitable days and its yield curves."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial
from typing import Any

from pydantic import ValidationError

from fieldsim.crops import parse_curve, published_curve, published_curves
from fieldsim.crops.yield_curve import PlateauCurve, QuadraticCurve, YieldCurve
from fieldsim.days import DaySource, WarmDates, parse_daily_chain, parse_weekly_table
from fieldsim.days.records import RecordYears, parse_records, remove_trend
from fieldsim.days.weather import (
    MilderRule,
    SoilClass,
    SoilWater,
    parse_weather,
    soil_class,
    soil_classes,
)
from fieldsim.errors import InputError
from fieldsim.farm.crop_parts import PlateauLosses, YieldByDate
from fieldsim.farm.days_parts import FIELDS_OF, DaysSection, SoilPart
from fieldsim.farm.draft import Draft
from fieldsim.season import CalendarDay, Season

__all__ = ["day_source", "tables_named", "warm_dates", "yield_curve"]

ONLY_WEEKS = ("week_correlation", "season_share", "persistence", "tails")
YEAR = 365  # days of a common year


def tables_named(document: Mapping[str, object]) -> dict[str, str]:
    """Return the tables named in a document, with the path of the field that names each."""
    days, crops = document.get("days"), document.get("crops")
    holders = {"days": days}
    if isinstance(crops, Mapping):
        for crop, part in crops.items():
            if isinstance(part, Mapping):
                curve = part.get("yield_by_planting_date")
                holders[f"crops.{crop}.yield_by_planting_date"] = curve
    named: dict[str, str] = {}
    for path, holder in holders.items():
        table = holder.get("table") if isinstance(holder, Mapping) else None
        if isinstance(table, str):
            named.setdefault(table, f"{path}.table")
    return named


def day_source(draft: Draft, days: DaysSection, tables: Mapping[str, str]) -> DaySource | None:
    """Return the source of suitable days; note its faults in the draft.

    A season is drawn once, so that a table that does not cover the season is found now.
    """
    allowed = FIELDS_OF[days.source]
    for key in sorted(days.model_fields_set - {"source", "table", "wet_share", *allowed}):
        value = getattr(days, key)
        written = value if isinstance(value, str | int | float) else None
        problem = f'source = "{days.source}" takes no such field'
        draft.fault(f"days.{key}", written, problem, "leave it out")
    text = tables.get(days.table)
    if text is None:
        return None

    def make() -> DaySource:
        source = SOURCES[days.source](draft, days, text)
        if draft.season is not None:
            _draw_one(source, draft, days)
        return source

    return draft.attempt(make, "days.table", days.table, "correct the table")


def _given(days: DaysSection, *names: str) -> dict[str, Any]:
    """Return the fields that the file gives."""
    return {name: value for name in names if (value := getattr(days, name)) is not None}


def _weekly_table(_: Draft, days: DaysSection, text: str) -> DaySource:
    return parse_weekly_table(text, days.table, **_given(days, *ONLY_WEEKS))


def _daily_chain(_: Draft, days: DaysSection, text: str) -> DaySource:
    return parse_daily_chain(text, days.table)


def _records(_: Draft, days: DaysSection, text: str) -> DaySource:
    records = parse_records(text, days.table, year_begins=days.year_begins)
    if days.reference_year is not None:
        records = remove_trend(records, days.reference_year).records
    return RecordYears(records, **_given(days, "resampling", "block_weeks", "persistence"))


def _soil_water(draft: Draft, days: DaysSection, text: str) -> DaySource:
    latitude = draft.heading.latitude if draft.heading else None
    if latitude is None:
        draft.fault("latitude", None, "is missing: the sun dries the soil", 'write "42 degrees"')
    if not days.soils:
        repair = f'write [days.soils.a_name] and class = "silt_loam" ({", ".join(soil_classes())})'
        draft.fault("days.soils", None, "is missing or empty", repair)
    record = parse_weather(text, days.table, 0.0 if latitude is None else latitude)
    classes = tuple(
        (name, soil)
        for name, part in days.soils.items()
        if (soil := _soil_class(draft, name, part)) is not None
    )
    if latitude is None or len(classes) < len(days.soils) or not classes:
        raise InputError([])
    rule = None
    if days.milder is not None:
        of = days.milder
        rule = MilderRule(of.from_, of.to, of.workable, of.rain_limit)
    return SoilWater(record, classes, milder=rule, **_given(days, "weather", "residue_cover"))


def _soil_class(draft: Draft, name: str, part: SoilPart) -> SoilClass | None:
    path = f"days.soils.{name}"
    if part.class_ not in soil_classes():
        repair = f"write one of {', '.join(soil_classes())}"
        draft.fault(f"{path}.class", part.class_, "there is no such soil class", repair)
        return None
    own = part.model_dump(exclude={"class_"}, exclude_none=True)
    make = partial(replace, soil_class(part.class_), **own)
    return draft.attempt(make, path, None, "correct the figures")


SOURCES: dict[str, Callable[[Draft, DaysSection, str], DaySource]] = {
    "weekly_table": _weekly_table,
    "daily_chain": _daily_chain,
    "records": _records,
    "soil_water": _soil_water,
}


def warm_dates(draft: Draft, days: DaysSection) -> WarmDates | None:
    """Return when the soil is warm, where the file says so; note its faults in the draft."""
    warm = days.warm_soil
    if warm is None:
        return None
    dates = (warm.in_1_year_of_10_by, warm.in_5_years_of_10_by, warm.in_9_years_of_10_by)
    if draft.season is not None:
        places = [draft.season.index(day) for day in dates]
        if sorted(places) != places:
            problem = "the dates do not come one after the other"
            repair = "write the earliest first, the latest last"
            draft.fault("days.warm_soil", ", ".join(map(str, dates)), problem, repair)
    return WarmDates((0.1, 0.5, 0.9), dates, warm.wetness_correlation)


def _draw_one(source: DaySource, draft: Draft, days: DaysSection) -> None:
    """Draw one season; say of its faults where in the farm's files they are."""
    assert draft.season is not None
    try:
        source.draw(draft.season, 1, 0)
    except InputError as error:
        raise InputError(
            replace(fault, file=draft.file, field=f"days.{fault.field}")
            if fault.field in ONLY_WEEKS
            else replace(fault, file=days.table)
            for fault in error.faults
        ) from None


def yield_curve(draft: Draft, crop: str, tables: Mapping[str, str]) -> YieldCurve | None:
    """Return a crop's yield by planting date; note in the draft what is wrong with it."""
    path, entry = draft.entry("crops", crop, "yield_by_planting_date")
    try:
        form = YieldByDate.model_validate(entry)
    except ValidationError:  # noted with the crop
        return None
    if form.published is not None:
        if form.published in published_curves():
            return published_curve(form.published)
        repair = f"write one of {', '.join(published_curves())}"
        draft.fault(path, form.published, "there is no such published table", repair)
        return None
    if form.table is not None:
        name, text = form.table, tables.get(form.table)
        if text is None:
            return None
        make = partial(parse_curve, text, name)
        return draft.attempt(make, f"{path}.table", name, "correct the table")
    if form.quadratic is not None:
        best, loss = form.quadratic.best_day, form.quadratic.loss_per_day_squared
        return QuadraticCurve(_day_number(best, draft.season), loss)
    assert form.plateau is not None
    return _plateau(draft, form.plateau, f"{path}.plateau")


def _plateau(draft: Draft, form: PlateauLosses, path: str) -> PlateauCurve | None:
    """Return a plateau with slopes, if its days come in order."""
    days = [form.full_from, *(loss.from_ for loss in form.losses)]
    numbers = [_day_number(day, draft.season) for day in days]
    for place in range(1, len(days)):
        late_enough = numbers[place] >= numbers[place - 1] + (place > 1)
        if not late_enough:
            before = "full_from" if place == 1 else "the one above it"
            problem = f"comes before {before} ({days[place - 1]})"
            where = f"{path}.losses (item {place}).from"
            draft.fault(where, str(days[place]), problem, "put the days in order")
            return None
    slopes = tuple((n, loss.loss) for n, loss in zip(numbers[1:], form.losses, strict=True))
    return PlateauCurve(numbers[0], form.loss_before, slopes)


def _day_number(day: CalendarDay, season: Season | None) -> int:
    """Return the day of a common year as the season counts it: on past 365 after New Year."""
    if season is None:
        return day.day_of_year
    years = season.date(season.index(day)).year - season.first_day.year
    return day.day_of_year + YEAR * years
