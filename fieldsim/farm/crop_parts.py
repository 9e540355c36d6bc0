"""A crop as a part of the farm: its yield, price, yield by planting date and late rule."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, Field, ValidationInfo, model_validator

from fieldsim.farm.entries import (
    Day,
    Days,
    LossRate,
    MoneyPerArea,
    Part,
    Share,
    TestWeight,
    fault,
)
from fieldsim.quantities import KINDS, NO_TEST_WEIGHT, parse

__all__ = [
    "Crop",
    "DryingPart",
    "InsurancePart",
    "LateRule",
    "Loss",
    "PlateauLosses",
    "Quadratic",
    "ReplantPart",
    "WeedsPart",
    "YieldByDate",
]


MOST_LOSS = 10.0  # times the losses of a curve
UNKNOWN_WEIGHT = 1.0  # t/m3, to check bushels where the test weight itself is at fault


def _grain(kind: str, most: float) -> Any:
    """Return the validator of a yield or price, which may come in bushels."""
    example = KINDS[kind].example

    def read(value: object, info: ValidationInfo) -> float:
        weight = info.data.get("test_weight", UNKNOWN_WEIGHT)
        try:
            number = parse(value, kind, test_weight=weight)
        except ValueError as error:
            lacks_weight = str(error) == NO_TEST_WEIGHT
            repair = 'add test_weight = "56 lb/bu"' if lacks_weight else f"write {example}"
            raise fault(str(error), repair) from None
        if number <= 0:
            raise fault("must be above 0", f"write a value such as {example}")
        if number > most:
            allowed = f"at most {most:,.0f} {KINDS[kind].metric.replace('dollar', '$')} is allowed"
            raise fault(f"is too large: {allowed}", f"write a value such as {example}")
        return number

    return BeforeValidator(read), Field(examples=[example])


def _loss_factor(value: object) -> float:
    """Read what the losses of a curve are multiplied by: a bare number, or per cent as text."""
    repair = 'write a number such as 1.2, or "120 %"'
    if isinstance(value, int | float) and not isinstance(value, bool):
        factor = float(value)
    else:
        try:
            factor = parse(value, "share")
        except ValueError as error:
            raise fault(str(error), repair) from None
    if not 0 <= factor <= MOST_LOSS:
        raise fault(f"from 0 % to {100 * MOST_LOSS:g} % is allowed", repair)
    return factor


LossFactor = Annotated[float, BeforeValidator(_loss_factor), Field(examples=['"120 %"'])]


def _grain_text(kind: str) -> Any:
    """Return the validator of a yield or price that is read later, with the crop's test weight."""
    example = KINDS[kind].example

    def check(text: str) -> str:
        try:
            number = parse(text, kind, test_weight=UNKNOWN_WEIGHT)
        except ValueError as error:
            raise fault(str(error), f"write {example}") from None
        if number < 0:
            raise fault("must not be negative", f"write a value such as {example}")
        return text

    return AfterValidator(check)


class Quadratic(Part):
    """Yield falls with the square of the days from the best day."""

    best_day: Day
    loss_per_day_squared: Annotated[float, Field(gt=0, lt=1, examples=["0.00018"])]  # [1/day2]


LOSSES = '[{ from = "15 May", loss = "0.7 %/day" }]'


class Loss(Part):
    """From a day on, this share of the full yield is lost for each further day."""

    from_: Annotated[Day, Field(alias="from", examples=['"10 May"'])]
    loss: LossRate


class PlateauLosses(Part):
    """Full yield between two days, then one or more slopes."""

    full_from: Day
    loss_before: LossRate = 0.0
    losses: Annotated[list[Loss], Field(min_length=1, examples=[LOSSES])]


CURVE_REPAIR = 'write the name of a published table, or { table = "my_table.csv" }'


class YieldByDate(Part):
    """Yield by planting date: a published table by name, or one of three forms of one's own."""

    published: str | None = None
    table: str | None = None
    quadratic: Quadratic | None = None
    plateau: PlateauLosses | None = None

    @model_validator(mode="before")
    @classmethod
    def _name_alone(cls, data: Any) -> Any:
        if not isinstance(data, str | dict):
            raise fault("not a yield by planting date", CURVE_REPAIR)
        return {"published": data} if isinstance(data, str) else data

    @model_validator(mode="after")
    def _just_one(self) -> YieldByDate:
        forms = (self.published, self.table, self.quadratic, self.plateau)
        if sum(form is not None for form in forms) != 1:
            raise fault("give just one of published, table, quadratic and plateau", CURVE_REPAIR)
        return self


class LateRule(Part):
    """What happens to land of a crop that is still unplanted late in the season.

    From `switch_from` it is planted to the crop `switch_to`; from `unplanted_from` it stays
    unplanted and earns `unplanted_revenue` [$/ha].
    """

    switch_to: str | None = None
    switch_from: Day | None = None
    unplanted_from: Day | None = None
    unplanted_revenue: MoneyPerArea = 0.0


class WeedsPart(Part):
    """Weeds of a crop: a published table of loss by time of removal, and how hard they press.

    `emergence` counts days after planting; herbicides lower the `pressure`.
    """

    table: Annotated[str, Field(examples=['"corn_ontario_low"'])]
    pressure: Share = 1.0
    emergence: Days = 10


class DryingPart(Part):
    """Moisture that late planting leaves in the grain, and what a point of it costs to dry."""

    on_time_until: Day
    points_per_day: Annotated[float, Field(ge=0, le=5, examples=["0.1"])]
    points_on_time: Annotated[float, Field(ge=0, le=30, examples=["3"])] = 0.0
    base_moisture: Annotated[float, Field(ge=0, le=50, examples=["15.5"])] = 15.5
    cost_per_point: Annotated[str, _grain_text("price"), Field(examples=['"$0.045/bu"'])]


class InsurancePart(Part):
    """Crop insurance: published dates and shares by name, the coverage, and the price insured."""

    published: Annotated[str, Field(examples=['"iowa_corn"'])]
    coverage: Share
    yield_: Annotated[str, _grain_text("yield"), Field(alias="yield", examples=['"170 bu/acre"'])]
    price: Annotated[str, _grain_text("price"), Field(examples=['"$4.60/bu"'])]


class ReplantPart(Part):
    """Replanting: its chance in a season, the land it takes, when, and what it costs [$/ha].

    `after` counts days from planting; `yield_kept` is the yield against land first planted then.
    """

    probability: Share
    land: Share
    after: Days
    cost: MoneyPerArea
    yield_kept: Share = 1.0


class Crop(Part):
    """A crop: yield on the best planting date [t/ha], price [$/t], and yield by planting date.

    The test weight comes first: fields are read in this order, wherever they stand in the file, and
    bushels are read through it. The losses of the yield by planting date are multiplied by
    `planting_loss`.
    """

    test_weight: TestWeight | None = None
    yield_: Annotated[float, *_grain("yield", 1e4), Field(alias="yield")]
    price: Annotated[float, *_grain("price", 1e7)]
    yield_by_planting_date: Annotated[YieldByDate, Field(examples=['"corn_minnesota_1988_2003"'])]
    planting_loss: LossFactor = 1.0
    target_date: Day
    late: LateRule = LateRule()
    weeds: WeedsPart | None = None
    drying: DryingPart | None = None
    insurance: InsurancePart | None = None
    replanting: ReplantPart | None = None
    wet_soil_loss: Share = 0.0
