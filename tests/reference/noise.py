"""Noise of the photodiode amplifiers: variances by integrating the spectrum, the sampled form, crossings of it."""

import numpy as np
from scipy import constants
from scipy.integrate import quad
from scipy.stats import multivariate_normal

from table import write

AMPLIFIER_NOISE = 10e-9  # V/sqrt(Hz)


def one_pole_variance(density, corner_hz):
    """Integral of a white one-sided density through one pole, over all frequencies."""
    value, _ = quad(lambda u: 1 / (1 + u * u), 0, np.inf, epsabs=1e-13, epsrel=1e-13)
    return density * corner_hz * value


def output_rms(amplifiers, gain_ohm, resistor_ohm, corner_hz, temperature_k, current_a):
    """Standard deviation at the output: shot noise, resistors and amplifiers of one channel."""
    shot = 2 * constants.e * current_a
    johnson = amplifiers * 4 * constants.k * temperature_k / resistor_ohm
    amplifier = amplifiers * (AMPLIFIER_NOISE / resistor_ohm) ** 2
    return gain_ohm * np.sqrt(one_pole_variance(shot + johnson + amplifier, corner_hz))


def make():
    rows = []
    # amplifiers in the channel, gain, resistor, corner, temperature, sum of the currents
    for case in [
        (2, 500e3, 500e3, 200e3, 300.0, 0.6e-6),
        (2, 1.0438e6, 500e3, 200e3, 300.0, 0.6e-6),
        (2, 1.0438e6, 500e3, 200e3, 350.0, 2e-6),
        (2, 2e6, 500e3, 500e3, 273.15, 0.02e-6),
        (1, 1e6, 1e6, 100e3, 300.0, 1e-6),
        (1, 4e6, 4e6, 20e3, 300.0, 0.3e-6),
        (1, 4e6, 4e6, 20e3, 300.0, 1e-9),
    ]:
        rows.append([*case, output_rms(*case)])
    single = []
    for what, density, corner_hz in [
        ("shot-1uA", 2 * constants.e * 1e-6, 100e3),
        ("johnson-1Mohm-300K", 4 * constants.k * 300 / 1e6, 100e3),
        ("shot-0.3uA", 2 * constants.e * 0.3e-6, 200e3),
    ]:
        single.append([what, corner_hz, np.sqrt(one_pole_variance(density, corner_hz))])
    write(
        __name__,
        "noise_rms",
        f"""
Standard deviation (V) at the output of a channel: shot noise 2 e i, resistor noise 4 k T/R and amplifier noise
{AMPLIFIER_NOISE} V/sqrt(Hz) over R, through one pole, spectrum integrated numerically; CODATA constants of scipy.
amplifiers: 2 where the channel is the difference of two fields, else 1; current: sum over its fields.
""",
        ["amplifiers", "gain_ohm", "resistor_ohm", "corner_hz", "temperature_k", "current_a", "rms_v"],
        rows,
    )
    write(
        __name__,
        "noise_current",
        "Standard deviation (A) of one white source of noise current through one pole, spectrum integrated numerically.",
        ["what", "corner_hz", "rms_a"],
        single,
    )
    write(
        __name__,
        "sampled_noise",
        """
One-pole noise sampled every dt. keep: correlation of neighbouring samples, cosine transform of the spectrum;
up_crossings: of the mean, per second, from the probability that a sample is below and the next above it (bivariate
normal distribution, numerical); simulated: a run of 2^25 samples (PCG64, seed 1), error: its standard error.
""",
        ["corner_hz", "dt_s", "keep", "up_crossings_per_s", "simulated_per_s", "error_per_s"],
        [sampled(corner_hz, dt_s) for corner_hz, dt_s in
         [(50e3, 1e-6), (20e3, 50e-6 / 64), (200e3, 50e-6 / 64), (200e3, 50e-6 / 16), (500e3, 50e-6 / 64)]],
    )  # fmt: skip


def sampled(corner_hz, dt_s):
    # Correlation at dt: integral of S cos(2 pi f dt) over integral of S, u = f/corner.
    top, _ = quad(lambda u: 1 / (1 + u * u), 0, np.inf, weight="cos", wvar=2 * np.pi * corner_hz * dt_s, limit=400)
    keep = top / (np.pi / 2)
    both_below = multivariate_normal.cdf([0, 0], cov=[[1, keep], [keep, 1]], abseps=1e-12, releps=1e-12)
    up = (0.5 - both_below) / dt_s
    rate, error = simulate(keep, dt_s)
    return [corner_hz, dt_s, keep, up, rate, error]


def simulate(keep, dt_s, count=2**25):
    from scipy.signal import lfilter

    rng = np.random.Generator(np.random.PCG64(1))
    x = lfilter([np.sqrt(1 - keep**2)], [1, -keep], rng.standard_normal(count))
    up = (x[:-1] < 0) & (x[1:] >= 0)
    blocks = up[: (up.size // 1024) * 1024].reshape(1024, -1).sum(axis=1)
    error = blocks.std() * np.sqrt(1024) / up.size / dt_s
    return up.mean() / dt_s, error
