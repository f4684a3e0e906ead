"""Position error of a quadrature pair with offset, unequal amplitudes, phase error and harmonics, by FFT."""

import numpy as np

from table import write

CASES = [
    # offset A, offset B, amplitude A, amplitude B, phase error (rad), third and fifth harmonic (relative)
    (0.05, 0.0, 0.5, 0.5, 0.0, 0.0, 0.0),
    (0.03, -0.04, 0.5, 0.5, 0.0, 0.0, 0.0),
    (0.0, 0.0, 0.55, 0.5, 0.0, 0.0, 0.0),
    (0.0, 0.0, 0.5, 0.5, np.radians(5), 0.0, 0.0),
    (0.0, 0.0, 0.5, 0.5, np.radians(-20), 0.0, 0.0),
    (0.0, 0.0, 0.5, 0.5, 0.0, 0.02, 0.0),
    (0.0, 0.0, 0.5, 0.5, 0.0, 0.0, 0.02),
    (0.0, 0.0, 0.5, 0.5, 0.0, 0.05, -0.03),
    (0.02, -0.03, 0.48, 0.55, np.radians(4), 0.0, 0.0),
    (0.12, 0.05, 0.35, 0.5, np.radians(12), 0.03, 0.01),
]


def channels(theta, case):
    offset_a, offset_b, a, b, phase, third, fifth = case
    # A field behind a mask shifted by a quarter period sees harmonic n shifted by n quarters.
    va = offset_a + a * (np.cos(theta) + third * np.cos(3 * theta) + fifth * np.cos(5 * theta))
    t = theta + phase
    vb = offset_b + b * (np.sin(t) - third * np.sin(3 * t) + fifth * np.sin(5 * t))
    return va, vb


def error_harmonics(error_rad, count=8):
    """Mean and amplitudes of harmonics 1..count of an error over one period."""
    spectrum = np.fft.rfft(error_rad) / error_rad.size
    return [spectrum[0].real, *(2 * np.abs(spectrum[1 : count + 1]))]


def position_error(va, vb, theta):
    error = np.unwrap(np.arctan2(vb, va)) - theta
    return error - 2 * np.pi * np.round(error.mean() / (2 * np.pi))


def make():
    theta = 2 * np.pi * np.arange(8192) / 8192
    rows = []
    for case in CASES:
        error = position_error(*channels(theta, case), theta)
        rows.append([*case, *error_harmonics(error), np.ptp(error)])
    write(
        __name__,
        "quadrature",
        """
Error (rad) of atan2(B, A) against the true phase over one period, 8192 points, numpy.fft.
A = offset_a + a (cos t + third cos 3t + fifth cos 5t); B = offset_b + b (sin u - third sin 3u + fifth sin 5u), u = t + phase.
e0: mean; e1..e8: amplitudes of the harmonics; pp: peak to peak.
""",
        ["offset_a", "offset_b", "a", "b", "phase_rad", "third", "fifth", *(f"e{n}" for n in range(9)), "pp"],
        rows,
    )
