"""Blur of a fringe by the size of the source: the mean of cos(v u) over the source's shape, by quadrature."""

import numpy as np
from scipy.integrate import dblquad, quad

from table import write


def disc(v):
    """Mean of cos(v x) over the unit disc, integrated over the area."""
    value, _ = dblquad(lambda r, phi: r * np.cos(v * r * np.cos(phi)), 0, np.pi / 2, 0, 1, epsabs=1e-12, epsrel=1e-12)
    return value * 4 / np.pi


def slit(v):
    """Mean of cos(v x) over -1..1."""
    value, _ = quad(lambda x: np.cos(v * x), 0, 1, epsabs=1e-13, epsrel=1e-13, limit=400)
    return value


def make():
    arguments = [0, 1e-8, 1e-3, 0.1, 0.471, 1, 1.6, 2.3, np.pi, 3.8317059702, 4.5, 5.135622, 7.0155866698, 9.42,
                 12.3, 15, 20, 25, 29.9, 30.1, 33, 45]  # fmt: skip
    write(
        __name__,
        "blur",
        """
Blur factor of a fringe whose phase moves by v rad from the middle to the edge of the source.
disc: mean of cos(v x) over the unit disc, two-dimensional adaptive quadrature; slit: the same over -1..1.
""",
        ["v", "disc", "slit"],
        [[v, disc(v), slit(v)] for v in arguments],
    )
