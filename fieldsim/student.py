"""Student's t, to as many digits as every release of SciPy gives alike."""

from __future__ import annotations

from typing import Any, overload

import numpy as np
from numpy.typing import NDArray

__all__ = ["student_quantile"]

DECIMALS = 8  # releases differ in the eleventh digit


@overload
def student_quantile(freedom: float, share: float) -> float: ...
@overload
def student_quantile(freedom: NDArray[np.int64], share: float) -> NDArray[np.float64]: ...
def student_quantile(freedom: Any, share: float) -> float | NDArray[np.float64]:
    """Return the value below which a share of Student's t distribution lies.

    Parameters
    ----------
    freedom : float or ndarray
        Degrees of freedom, above 0.
    share : float
        0..1.

    Returns
    -------
    float or ndarray
        Rounded to 8 decimals, so that bands are the same to the last bit by every release.

    Examples
    --------
    >>> student_quantile(10, 0.975)
    2.22813885
    """
    from scipy.special import stdtrit

    found = np.asarray(stdtrit(freedom, share), dtype=np.float64).round(DECIMALS)
    return found if found.ndim else float(found)
