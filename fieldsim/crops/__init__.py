"""Crops: yield by planting date, and what lateness costs besides."""

from __future__ import annotations

from fieldsim.crops.curve_tables import (
    parse_curve,
    published_curve,
    published_curves,
    read_curve,
)
from fieldsim.crops.drying import HarvestMoisture, drying_cost, harvest_moisture, wet_mass
from fieldsim.crops.insurance import (
    InsuranceRules,
    insured_share,
    least_prevented_area,
    prevented_planting_payment,
    revenue_guarantee,
)
from fieldsim.crops.insurance_dates import published_insurance, published_insurances
from fieldsim.crops.published_figures import (
    PublishedFigure,
    figure_subjects,
    published_figure,
    published_figures,
)
from fieldsim.crops.replanting import Replanting, expected_replanting_cost, replanting_loss
from fieldsim.crops.weed_competition import (
    WeedCompetition,
    published_weed_competition,
    published_weed_competitions,
    weed_loss,
)
from fieldsim.crops.weeds import loss_after_passes, loss_avoided
from fieldsim.crops.wet_soil import WetSoil, wet_soil_loss
from fieldsim.crops.yield_by_date import plateau_yield, quadratic_yield, table_yield
from fieldsim.crops.yield_curve import (
    PlateauCurve,
    QuadraticCurve,
    TableCurve,
    YieldCurve,
    relative_yield,
)

__all__ = [
    "HarvestMoisture",
    "InsuranceRules",
    "PlateauCurve",
    "PublishedFigure",
    "QuadraticCurve",
    "Replanting",
    "TableCurve",
    "WeedCompetition",
    "WetSoil",
    "YieldCurve",
    "drying_cost",
    "expected_replanting_cost",
    "figure_subjects",
    "harvest_moisture",
    "insured_share",
    "least_prevented_area",
    "loss_after_passes",
    "loss_avoided",
    "parse_curve",
    "plateau_yield",
    "prevented_planting_payment",
    "published_curve",
    "published_curves",
    "published_figure",
    "published_figures",
    "published_insurance",
    "published_insurances",
    "published_weed_competition",
    "published_weed_competitions",
    "quadratic_yield",
    "read_curve",
    "relative_yield",
    "replanting_loss",
    "revenue_guarantee",
    "table_yield",
    "weed_loss",
    "wet_mass",
    "wet_soil_loss",
]
