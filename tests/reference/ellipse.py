"""Fit of an ellipse to noisy points of a quadrature figure: algebraic and geometric least squares."""

import numpy as np
from scipy.optimize import least_squares

from table import write

POINTS = 48
CASES = [
    # offset A, offset B, radius A, radius B, phase (deg), noise (V), arc (turns)
    ("clean", 0.02, -0.03, 0.48, 0.55, 4, 0.0, 1.0),
    ("healthy", 0.0, 0.0, 0.5, 0.5, 0, 2e-3, 1.0),
    ("offset", 0.08, -0.02, 0.5, 0.49, 1, 2e-3, 1.0),
    ("slim", 0.0, 0.01, 0.5, 0.2, -3, 3e-3, 1.0),
    ("phase", -0.01, 0.02, 0.45, 0.5, 25, 3e-3, 1.0),
    ("noisy", 0.03, -0.05, 0.4, 0.45, -8, 20e-3, 1.0),
    ("single-ended", 1.2, 1.25, 0.97, 0.9, 6, 10e-3, 1.0),
    ("most of a turn", 0.02, 0.01, 0.5, 0.47, 5, 2e-3, 0.8),
]


def points(case, seed):
    _, oa, ob, ra, rb, phase, noise, arc = case
    rng = np.random.Generator(np.random.PCG64(seed))
    t = 2 * np.pi * arc * (np.arange(POINTS) + 0.3) / POINTS
    a = oa + ra * np.cos(t) + noise * rng.standard_normal(POINTS)
    b = ob + rb * np.sin(t + np.radians(phase)) + noise * rng.standard_normal(POINTS)
    # What the table keeps is what is fitted.
    return np.round(a, 10), np.round(b, 10)


def algebraic(a, b):
    """Least squares of the conic P a^2 + Q ab + S b^2 + D a + E b = 1 on points freed of mean and root mean square."""
    ma, mb = a.mean(), b.mean()
    sa, sb = np.sqrt(np.mean((a - ma) ** 2)), np.sqrt(np.mean((b - mb) ** 2))
    u, v = (a - ma) / sa, (b - mb) / sb
    p, q, s, d, e = np.linalg.lstsq(np.column_stack([u * u, u * v, v * v, u, v]), np.ones(u.size), rcond=None)[0]
    # Centre and half-axes by linear algebra, not by the model's formulas.
    form = np.array([[p, q / 2], [q / 2, s]])
    centre = np.linalg.solve(-2 * form, [d, e])
    level = 1 + centre @ form @ centre
    # x^T form x = level is x = L (cos, sin) turned; the covariance-like matrix has the radii squared on its diagonal.
    shape = level * np.linalg.inv(form)
    ra, rb = np.sqrt(np.diag(shape))
    # <a b> over a period is ra rb sin(phase)/2, and shape's off-diagonal is twice that.
    phase = np.arcsin(shape[0, 1] / (ra * rb))
    return [ma + sa * centre[0], mb + sb * centre[1], sa * ra, sb * rb, phase]


def geometric(a, b):
    """Orthogonal distances: every point has its own parameter t, all fitted together (Levenberg-Marquardt)."""
    start = algebraic(a, b)
    t0 = np.arctan2((b - start[1]) / start[3], (a - start[0]) / start[2])

    def residuals(x):
        oa, ob, ra, rb, phase, *t = x
        t = np.asarray(t)
        return np.concatenate([oa + ra * np.cos(t) - a, ob + rb * np.sin(t + phase) - b])

    fit = least_squares(residuals, [*start, *t0], method="lm", xtol=1e-14, ftol=1e-14, gtol=1e-14)
    degrees = max(a.size - 5, 1)
    covariance = np.linalg.pinv(fit.jac.T @ fit.jac) * 2 * fit.cost / degrees
    return list(fit.x[:5]), list(np.sqrt(np.diag(covariance)[:5]))


def make():
    point_rows, fit_rows = [], []
    for seed, case in enumerate(CASES, 1):
        name, oa, ob, ra, rb, phase, noise, _ = case
        a, b = points(case, seed)
        point_rows += [[name, x, y] for x, y in zip(a, b)]
        fitted, error = geometric(a, b)
        fit_rows.append([name, "truth", noise, oa, ob, ra, rb, np.radians(phase)])
        fit_rows.append([name, "algebraic", noise, *algebraic(a, b)])
        fit_rows.append([name, "geometric", noise, *fitted])
        fit_rows.append([name, "deviation", noise, *error])
    write(
        __name__,
        "ellipse_points",
        f"""
Points (V) on a = offset_a + radius_a cos t, b = offset_b + radius_b sin(t + phase) with normal noise (PCG64),
{POINTS} a figure; what ellipse_fit.csv was fitted to.
""",
        ["figure", "a_v", "b_v"],
        point_rows,
    )
    write(
        __name__,
        "ellipse_fit",
        """
Ellipses fitted to ellipse_points.csv. method: truth, what the points were made from; algebraic, least squares of the
conic on points freed of mean and rms (numpy.linalg.lstsq, axes by matrix inversion); geometric, least orthogonal
distances (scipy.optimize.least_squares); deviation, standard errors of the geometric fit.
""",
        ["figure", "method", "noise_v", "offset_a_v", "offset_b_v", "radius_a_v", "radius_b_v", "phase_rad"],
        fit_rows,
    )
