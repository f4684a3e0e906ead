"""Loss of signal by yaw: the mean of the local phase over a rectangular field, by quadrature over its area."""

import numpy as np
from scipy.integrate import dblquad

from table import write


def field_mean(order, yaw_rad, length_m, height_m, period_m, x_m=0.0, y_m=0.0):
    """Mean of exp(2 pi i n (x_scale - x_mask)/p) over the field centred at (x_m, y_m) in head axes.

    A point (x, y) of the turned head lies at x cos(psi) - y sin(psi) along the scale.
    """
    scale = 2 * np.pi * order / period_m
    cos1, sin = np.cos(yaw_rad) - 1, np.sin(yaw_rad)

    def phase(v, u):
        return scale * ((x_m + u * length_m / 2) * cos1 - (y_m + v * height_m / 2) * sin)

    options = {"epsabs": 1e-10, "epsrel": 1e-10}
    real, _ = dblquad(lambda v, u: np.cos(phase(v, u)), -1, 1, -1, 1, **options)
    imaginary, _ = dblquad(lambda v, u: np.sin(phase(v, u)), -1, 1, -1, 1, **options)
    return (real + 1j * imaginary) / 4


CASES = [
    # length, height, period, yaws in rad
    (0.4e-3, 4e-3, 1e-3, (0.02, 0.063, 0.15)),
    (2e-3, 2e-3, 100e-6, (3e-3, 12.6e-3, 40e-3)),
    (1.6e-3, 1.5e-3, 40e-6, (2e-3, 6.6e-3, 20e-3)),
    (1.2e-3, 3e-3, 20e-6, (2e-3, 5e-3, 9e-3)),
    (0.8e-3, 1.2e-3, 20e-6, (1e-3, 4.2e-3, 12e-3)),
    (0.4e-3, 0.5e-3, 4e-6, (1e-3, 2e-3, 6e-3)),
]


def make():
    rows = []
    for length_m, height_m, period_m, yaws in CASES:
        for yaw_rad in yaws:
            for order in (1, 2, 3):
                mean = field_mean(order, yaw_rad, length_m, height_m, period_m)
                rows.append([order, yaw_rad, length_m, height_m, period_m, mean.real])
    write(
        __name__,
        "yaw",
        """
Mean of cos(2 pi n (x (cos psi - 1) - y sin psi)/p) over a centred field of the given length (along travel) and
height (along the lines), two-dimensional adaptive quadrature.
""",
        ["order", "yaw_rad", "length_m", "height_m", "period_m", "mean"],
        rows,
    )
