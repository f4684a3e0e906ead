"""One pole: response to a step and to sines, from scipy.signal's state-space and transfer-function solvers."""

import numpy as np
from scipy import signal

from table import write


def continuous(corner_hz):
    w = 2 * np.pi * corner_hz
    return signal.TransferFunction([w], [1, w])


def step_rows():
    rows = []
    for corner_hz, dt_s in ((20e3, 0.78125e-6), (200e3, 0.78125e-6), (200e3, 50e-6 / 17), (500e3, 50e-6)):
        times = dt_s * np.arange(13)
        _, y = signal.step(continuous(corner_hz), T=times)
        rows += [[corner_hz, dt_s, i, value] for i, value in enumerate(y)]
    return rows


def straight(corner_hz, dt_s):
    """The pole sampled with an input that runs straight from sample to sample (first-order hold): (b, a)."""
    w = 2 * np.pi * corner_hz
    b, a, *_ = signal.cont2discrete(([w], [1, w]), dt_s, "foh")
    return b[0], a


def sine_rows():
    """Continuous pole by its transfer function; the recursion y += k (x - y) by its z transform."""
    rows = []
    for corner_hz in (20e3, 200e3, 500e3):
        for samples in (64, 16):
            dt_s = 50e-6 / samples
            for ratio in (0.1, 0.5, 1.0, 2.0):
                frequency_hz = ratio * corner_hz
                if frequency_hz * dt_s > 0.4:
                    continue
                _, h = signal.freqs([2 * np.pi * corner_hz], [1, 2 * np.pi * corner_hz], [2 * np.pi * frequency_hz])
                a, b, *_ = signal.cont2discrete(([2 * np.pi * corner_hz], [1, 2 * np.pi * corner_hz]), dt_s, "zoh")
                # cont2discrete answers the sample before; the recursion uses the present one: one sample less delay.
                _, sampled = signal.freqz(np.trim_zeros(a[0], "f"), b, [2 * np.pi * frequency_hz * dt_s])
                _, ramp = signal.freqz(*straight(corner_hz, dt_s), [2 * np.pi * frequency_hz * dt_s])
                answers = [value for r in (h, sampled, ramp) for value in (abs(r[0]), -np.angle(r[0]))]
                rows.append([corner_hz, dt_s, frequency_hz, *answers])
    return rows


def make():
    write(
        __name__,
        "pole_step",
        "Answer of one pole to a unit step at time 0, after i samples (scipy.signal.step).",
        ["corner_hz", "dt_s", "i", "answer"],
        step_rows(),
    )
    write(
        __name__,
        "pole_sine",
        """
Gain and lag (rad) of one pole at a frequency: of the continuous pole (scipy.signal.freqs); of its sampled form that
holds the input over a sample and answers with the present one (cont2discrete zoh, freqz); and, for comparison, of the
sampled form whose input runs straight from sample to sample (foh).
""",
        ["corner_hz", "dt_s", "frequency_hz", "gain", "lag_rad", "sampled_gain", "sampled_lag_rad",
         "straight_gain", "straight_lag_rad"],
        sine_rows(),
    )  # fmt: skip
