"""A yield curve whose losses by planting date are all larger or smaller by a factor."""

from __future__ import annotations

from dataclasses import replace

from fieldsim.crops import PlateauCurve, QuadraticCurve, TableCurve, YieldCurve

__all__ = ["scaled_loss"]


def scaled_loss(curve: YieldCurve, factor: float) -> YieldCurve:
    """Return a curve that loses `factor` times what another loses on each planting date.

    Parameters
    ----------
    curve : TableCurve, QuadraticCurve or PlateauCurve
    factor : float
        0 or more. A table that would lose more than everything loses everything there.

    Returns
    -------
    YieldCurve
        Of the same kind.

    Raises
    ------
    ValueError
        If the factor is not a number of 0 or more.
    TypeError
        If `curve` is none of the three.

    Examples
    --------
    >>> from fieldsim.crops import relative_yield
    >>> curve = QuadraticCurve(best_day=118, curvature=1.8e-4)
    >>> relative_yield(scaled_loss(curve, 2), [118, 138])
    array([1.   , 0.856])
    """
    if not 0 <= factor < float("inf"):
        raise ValueError(f"factor = {factor:g}: a number of 0 or more is allowed")
    match curve:
        case TableCurve():
            most = max(curve.relative)
            shares = (1 - factor * (1 - share / most) for share in curve.relative)
            return replace(curve, relative=tuple(max(0.0, share) for share in shares))
        case QuadraticCurve():
            return replace(curve, curvature=factor * curve.curvature)
        case PlateauCurve():
            slopes = tuple((day, factor * slope) for day, slope in curve.slopes)
            return replace(curve, slope_before=factor * curve.slope_before, slopes=slopes)
        case _:
            raise TypeError(f"{type(curve).__name__} is not a yield curve")
