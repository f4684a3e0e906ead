"""False edges: crossings of a level by noise, toggles of a comparator with hysteresis, edges at a slow crossing."""

import numpy as np
from scipy.integrate import dblquad, quad
from scipy.signal import lfilter
from scipy.stats import norm

from table import write

# --- rates of crossing a level -------------------------------------------------------------------------------------

BANDS = [
    ("low-pass 100 kHz", 0.0, 100e3),
    ("low-pass 10 kHz", 0.0, 10e3),
    ("band 20 kHz to 50 kHz", 20e3, 50e3),
    ("band 95 kHz to 105 kHz", 95e3, 105e3),
]


def band_noise(low_hz, high_hz, rate_hz, count, seed):
    """Gaussian noise of unit variance with a flat spectrum between two frequencies, periodic over the record."""
    rng = np.random.Generator(np.random.PCG64(seed))
    f = np.fft.rfftfreq(count, 1 / rate_hz)
    spectrum = rng.standard_normal(f.size) + 1j * rng.standard_normal(f.size)
    spectrum[(f < low_hz) | (f > high_hz)] = 0
    spectrum[0] = 0
    x = np.fft.irfft(spectrum, count)
    return x / x.std()


def rice_rows():
    """Rate of up-crossings: integral over the slope of slope x joint density at the level, the slope's variance from the
    spectrum; beside it a count in a simulated record, 64 samples in the shortest period."""
    rows = []
    for seed, (what, low_hz, high_hz) in enumerate(BANDS, 1):
        flat, _ = quad(lambda f: 1.0, low_hz, high_hz)
        square, _ = quad(lambda f: (2 * np.pi * f) ** 2, low_hz, high_hz)
        slope = np.sqrt(square / flat)
        rate_hz, count = 64 * high_hz, 2**25
        x = band_noise(low_hz, high_hz, rate_hz, count, seed)
        for level in (0.0, 1.0, 2.0, 3.0):
            positive, _ = quad(lambda v: v * norm.pdf(v / slope) / slope, 0, 12 * slope)
            expected = positive * norm.pdf(level)
            ups = np.count_nonzero((x[:-1] < level) & (x[1:] >= level))
            rows.append([what, low_hz, high_hz, level, expected, ups * rate_hz / count, ups])
    return rows


# --- comparator with hysteresis ------------------------------------------------------------------------------------


def toggles(x, half_band, mean):
    """Pairs of edges of a comparator that switches at +-half_band about its centre; the noise rides on `mean`."""
    y = x + mean
    marks = np.where(y > half_band, 1, np.where(y < -half_band, -1, 0))
    marks = marks[marks != 0]
    return np.count_nonzero(np.diff(marks)) / 2


def toggle_rows():
    rows = []
    rate_hz, count = 1.6e6, 2**25
    for seed, (half_band, mean) in enumerate([(1.5, 0.0), (2.0, 0.0), (2.0, 1.0), (2.5, 0.5), (3.0, 0.0)], 11):
        x = band_noise(0.0, 100e3, rate_hz, count, seed)
        pairs = toggles(x, half_band, mean)
        rows.append([100e3, half_band, mean, pairs * rate_hz / count, pairs])
    return rows


def sampled_toggle_rows():
    """The same for one-pole noise looked at every sample: stationary solution of the chain (noise, comparator level) by
    quadrature, and a simulated run."""
    rows = []
    for seed, (keep, half_band, mean) in enumerate(
        [(0.7304026910, 1.0, 0.0), (0.7304026910, 2.0, 0.5), (0.3747, 1.0, 0.0), (0.9065, 1.5, -0.3)], 21
    ):
        exact = chain_rate(keep, half_band, mean)
        rng = np.random.Generator(np.random.PCG64(seed))
        count = 2**24
        x = lfilter([np.sqrt(1 - keep**2)], [1, -keep], rng.standard_normal(count))
        pairs = toggles(x, half_band, mean)
        rows.append([keep, half_band, mean, exact, pairs / count])
    return rows


def chain_rate(keep, half_band, mean, nodes=240):
    """Pairs of edges per sample. The density of the noise while the comparator is low obeys an integral equation; the
    ups per sample are what crosses the upper switching point while low."""
    up, down = half_band - mean, -half_band - mean
    reach = 9.0
    fresh = np.sqrt(1 - keep**2)

    def panel(a, b, n):
        t, w = np.polynomial.legendre.leggauss(n)
        return 0.5 * (b - a) * t + 0.5 * (a + b), 0.5 * (b - a) * w

    # Pieces that end where the level may change, so that every integrand is smooth.
    edges = [-reach, down, up, reach]
    pieces = [panel(a, b, nodes) for a, b in zip(edges, edges[1:])]
    x = np.concatenate([p[0] for p in pieces])
    w = np.concatenate([p[1] for p in pieces])
    step = norm.pdf((x[:, None] - keep * x[None, :]) / fresh) / fresh * w[None, :]
    middle = (x > down) & (x < up)
    below = x < down
    # low(x') = INT step low on the middle; everything below is low; nothing above is.
    stationary = norm.pdf(x)
    low = np.where(below, stationary, 0.0)
    m = np.flatnonzero(middle)
    source = step[np.ix_(m, np.flatnonzero(below))] @ stationary[below]
    low[m] = np.linalg.solve(np.eye(m.size) - step[np.ix_(m, m)], source)
    return np.sum(w * low * norm.sf((up - keep * x) / fresh))


# --- slow crossing -------------------------------------------------------------------------------------------------


def ramp_edges(r):
    """Expected crossings of the threshold by a ramp with noise. Unit noise and slope g; r = slope rms/g. The rate at a
    distance s from the threshold is the mean of |slope| there; integrated over the slope and along the ramp."""
    value, _ = dblquad(
        lambda v, s: abs(1 + r * v) * norm.pdf(v) * norm.pdf(s), -9, 9, -9, 9, epsabs=1e-9, epsrel=1e-9
    )
    return value


def ramp_simulated(r, crossings=60_000, seed=31):
    """Ramps through low-pass noise; r = rms slope of the noise over the slope of the ramp."""
    rng_seed = seed + int(10 * r)
    band_hz, rate_hz = 1.0, 24.0
    slope = 2 * np.pi * band_hz / np.sqrt(3)  # rms slope of unit low-pass noise
    gradient = slope / r
    length = int(np.ceil(16 / gradient * rate_hz)) + 2
    s = (np.arange(length) - length / 2) / rate_hz * gradient
    edges = np.empty(crossings)
    x = band_noise(0, band_hz, rate_hz, 2 ** int(np.ceil(np.log2(length * crossings / 8))), rng_seed)
    starts = np.linspace(0, x.size - length - 1, crossings).astype(int)
    for i, start in enumerate(starts):
        above = x[start : start + length] + s > 0
        edges[i] = np.count_nonzero(above[1:] != above[:-1])
    # Overlapping stretches are not independent: about one in eight is new.
    return edges.mean(), edges.std() / np.sqrt(crossings / 8)


def make():
    write(
        __name__,
        "rice",
        """
Up-crossings per second of a level (in standard deviations) by Gaussian noise with a flat spectrum between two
frequencies. expected: integral over the slope of slope x joint density; simulated: counted in 2^25 samples of a record
made by inverse FFT (PCG64), counted: how many, so the relative standard error is about 1/sqrt(counted) or below.
""",
        ["what", "low_hz", "high_hz", "level", "expected_per_s", "simulated_per_s", "counted"],
        rice_rows(),
    )
    write(
        __name__,
        "toggles",
        """
Pairs of edges per second of a comparator with hysteresis on low-pass noise of unit deviation. half_band: half the
width of the switching band, mean: level the noise rides on, from the middle of the band, both in standard deviations.
Simulated, 2^25 samples at 16 times the band (PCG64); counted: pairs seen.
""",
        ["band_hz", "half_band", "mean", "pairs_per_s", "counted"],
        toggle_rows(),
    )
    write(
        __name__,
        "sampled_toggles",
        """
Pairs of edges per sample of a comparator with hysteresis on sampled one-pole noise of unit deviation, correlation
`keep` between neighbours. pairs: stationary solution of the chain by Gauss-Legendre quadrature; simulated: 2^24 samples.
""",
        ["keep", "half_band", "mean", "pairs_per_sample", "simulated_per_sample"],
        sampled_toggle_rows(),
    )
    rows = []
    for r in (0.3, 0.5, 1.0, 2.0, 3.0, 6.0):
        rows.append([r, ramp_edges(r), *ramp_simulated(r)])
    write(
        __name__,
        "slow_crossing",
        """
Edges per crossing of a threshold by a ramp in low-pass noise, no hysteresis. r: rms slope of the noise over the slope
of the ramp. expected: mean of |slope| integrated along the ramp (two-dimensional quadrature); simulated: 60 000
stretches of a record made by inverse FFT, 24 samples a period of the band edge; error: its standard error.
""",
        ["r", "expected", "simulated", "error"],
        rows,
    )
