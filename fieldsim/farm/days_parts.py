"""Where a farm's suitable days come from, as parts of the farm file."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from fieldsim.farm.entries import Day, Depth, Part, Rain, Share

__all__ = ["FIELDS_OF", "DaysSection", "Milder", "SoilPart", "WarmSoil"]

# The fields that each source takes, beside `source` and `table`.
FIELDS_OF = {
    "weekly_table": (
        *("week_correlation", "season_share", "persistence", "tails", "years"),
        "warm_soil",
    ),
    "daily_chain": ("warm_soil",),
    "records": (
        *("resampling", "block_weeks", "persistence", "reference_year", "year_begins"),
        "warm_soil",
    ),
    "soil_water": ("weather", "soils", "residue_cover", "milder"),
}


class WarmSoil(Part):
    """Dates by which the soil is warm enough to plant, and how they go with wet springs."""

    in_1_year_of_10_by: Day
    in_5_years_of_10_by: Day
    in_9_years_of_10_by: Day
    wetness_correlation: Annotated[float, Field(ge=-1, le=1, examples=["0.3"])] = 0.0


class SoilPart(Part):
    """A soil of the farm: a shipped class, and what differs from it.

    Water contents are shares of the volume, `depth` in metres, `rain_limit` in mm, `drainage` the
    share of the excess that drains in a day, `workable` the share of field capacity up to which the
    soil carries work.
    """

    class_: Annotated[str, Field(alias="class", examples=['"silt_loam"'])]
    field_capacity: Share | None = None
    wilting_point: Share | None = None
    saturation: Share | None = None
    depth: Depth | None = None
    drainage: Share | None = None
    workable: Annotated[float, Field(gt=0.3, lt=1.5, examples=["0.95"])] | None = None
    rain_limit: Rain | None = None


class Milder(Part):
    """A part of the year in which work is done on wetter soil: till when, and how wet."""

    from_: Annotated[Day, Field(alias="from")]
    to: Day
    workable: Annotated[float, Field(gt=0.3, lt=1.5, examples=["1.05"])]
    rain_limit: Rain


class DaysSection(Part):
    """Where suitable days come from: a source, its table, and what else the source takes.

    Records whose years cross New Year say when a record year begins. `residue_cover` is the share
    of the ground under crop residue.
    """

    source: Annotated[
        Literal["weekly_table", "daily_chain", "records", "soil_water"],
        Field(examples=['"weekly_table"']),
    ]
    table: Annotated[str, Field(examples=['"suitable_days.csv"'])]
    week_correlation: Annotated[float, Field(ge=0, lt=1, examples=["0.3"])] | None = None
    season_share: Annotated[float, Field(ge=0, lt=1, examples=["0.1"])] | None = None
    persistence: Annotated[float, Field(gt=0, lt=1, examples=["0.8"])] | None = None
    tails: Annotated[Literal["extend", "hold"], Field(examples=['"extend"'])] | None = None
    years: Annotated[int, Field(ge=2, le=200, examples=["30"])] | None = None
    resampling: (
        Annotated[Literal["years", "blocks", "replay"], Field(examples=['"years"'])] | None
    ) = None
    block_weeks: Annotated[int, Field(ge=1, le=52, examples=["4"])] | None = None
    reference_year: Annotated[int, Field(ge=1800, le=2200, examples=["2025"])] | None = None
    weather: Annotated[Literal["years", "generator"], Field(examples=['"years"'])] | None = None
    year_begins: Day | None = None
    residue_cover: Share | None = None
    milder: Milder | None = None
    wet_share: Share = 0.5
    soils: dict[str, SoilPart] = Field(default_factory=dict)
    warm_soil: WarmSoil | None = None
