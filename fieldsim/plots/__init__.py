"""Pictures of outcomes: outcomes in, Axes out."""

from fieldsim.plots.days import plot_suitable_days
from fieldsim.plots.finish import plot_finish_dates
from fieldsim.plots.investment import plot_investment
from fieldsim.plots.loss import plot_lost_revenue
from fieldsim.plots.replay import plot_season
from fieldsim.plots.risk import plot_yearly_cost

__all__ = [
    "plot_finish_dates",
    "plot_investment",
    "plot_lost_revenue",
    "plot_season",
    "plot_suitable_days",
    "plot_yearly_cost",
]
