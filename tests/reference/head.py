"""A badly mounted four-field head, end to end: light propagated to every point of every field, summed over its area.

Nothing is averaged before it is summed: each point of a field has its own gap and its own place along the scale.
"""

import numpy as np
from scipy.interpolate import CubicSpline

from presets import BY_NAME
from propagation import behind_grating, mask
from quadrature import error_harmonics, position_error
from table import write

PRESET = BY_NAME["glass-20"]
LENGTH_M, HEIGHT_M, TRACK_M = 0.8e-3, 1.2e-3, 5e-3
# Fields in the order of their phases 0, 1/4, 1/2, 3/4: pairs of A ahead and above, of B behind and below.
CENTRES = [(1.0e-3, 0.2e-3), (-2.0e-3, -0.2e-3), (2.0e-3, 0.2e-3), (-1.0e-3, -0.2e-3)]
N_MAX = 7
CHIP = (0.9e-3, 1.14e-3)

POSES = [
    # name, yaw, pitch angle, roll (rad), lateral offset (m), chip under the head
    ("nominal", 0, 0, 0, 0, False),
    ("yaw", 1e-3, 0, 0, 0, False),
    ("yaw", 3e-3, 0, 0, 0, False),
    ("pitch", 0, 5e-3, 0, 0, False),
    ("pitch", 0, -10e-3, 0, 0, False),
    ("roll", 0, 0, 10e-3, 0, False),
    ("lateral", 0, 0, 0, 2e-3, False),
    ("lateral and yaw", 1e-3, 0, 0, -2.1e-3, False),
    ("chip", 0, 0, 0, 0, True),
    ("chip, yaw, pitch", 0.5e-3, 5e-3, 0, 0, True),
    ("all", -0.8e-3, 4e-3, -6e-3, 1.9e-3, True),
]


def light():
    """Coefficients behind the mask against the gap, a spline through propagated values."""
    gaps_m = np.linspace(66e-6, 134e-6, 35)
    window = mask(PRESET.mask_duty, N_MAX)
    values = [behind_grating(PRESET, gap_m, N_MAX, angles=21, wavelengths=25).real * window for gap_m in gaps_m]
    return CubicSpline(gaps_m, np.array(values))


def panel(low, high, count):
    t, w = np.polynomial.legendre.leggauss(count)
    return 0.5 * (high - low) * t + 0.5 * (low + high), 0.5 * (high - low) * w


def field_signal(k, pose, coefficient, n_max):
    """Mean current of field k and its complex harmonics in the phase of the scale, in units of the power on a field."""
    _, yaw, pitch, roll, lateral_m, chip = pose
    x0, y0 = CENTRES[k]
    low_m = max(y0 - HEIGHT_M / 2, -TRACK_M / 2 - lateral_m)
    high_m = min(y0 + HEIGHT_M / 2, TRACK_M / 2 - lateral_m)
    total = np.zeros(n_max + 1, complex)
    if high_m <= low_m:
        return total
    for y, wy in zip(*panel(low_m, high_m, 32)):
        ends = [x0 - LENGTH_M / 2, x0 + LENGTH_M / 2]
        if chip:
            # The chip lies in scale coordinates, the field in those of the turned head.
            cut = [(c + y * np.sin(yaw)) / np.cos(yaw) for c in CHIP]
            ends = sorted([*ends, *(c for c in cut if ends[0] < c < ends[1])])
        for a, b in zip(ends, ends[1:]):
            along_m = 0.5 * (a + b) * np.cos(yaw) - y * np.sin(yaw)
            if chip and CHIP[0] < along_m < CHIP[1]:
                continue
            x, wx = panel(a, b, 16)
            gap_m = PRESET.gap_nominal_m + x * np.tan(pitch) + y * np.tan(roll)
            turns = (x * (np.cos(yaw) - 1) - y * np.sin(yaw)) / PRESET.period_m - k / 4
            n = np.arange(n_max + 1)
            waves = coefficient(gap_m)[:, : n_max + 1] * np.exp(2j * np.pi * turns[:, None] * n)
            total += wy * (wx @ waves)
    return total / (LENGTH_M * HEIGHT_M)


def channels(pose, coefficient, n_max, theta):
    fields = [field_signal(k, pose, coefficient, n_max) for k in range(4)]
    n = np.arange(1, n_max + 1)
    basis = 2 * np.exp(1j * theta[:, None] * n)
    current = [f[0].real + (basis @ f[1:]).real for f in fields]
    return current[0] - current[2], current[1] - current[3]


def figure(va, vb, theta):
    def fundamental(v):
        return 2 * np.mean(v * np.exp(-1j * theta))

    a, b = fundamental(va), fundamental(vb)
    phase = np.angle(1j * b / a)
    error = position_error(va, vb, theta)
    return [va.mean(), vb.mean(), abs(a), abs(b), phase, *error_harmonics(error, 4)[1:], np.ptp(error)]


def make():
    coefficient = light()
    theta = 2 * np.pi * np.arange(4096) / 4096
    rows = []
    for n_max in (3, N_MAX):
        clean, _ = channels(POSES[0], coefficient, n_max, theta)
        gain = 0.5 / abs(2 * np.mean(clean * np.exp(-1j * theta)))
        for pose in POSES:
            va, vb = channels(pose, coefficient, n_max, theta)
            rows.append([*pose, n_max, *figure(gain * va, gain * vb, theta)])
    write(
        __name__,
        "head",
        f"""
glass-20 in a bad pose: light behind the mask propagated by angular spectrum (as propagation.csv) for the gap of each
point, phase of each point by turning the head about its centre, summed over the area of each field (Gauss-Legendre);
gain for 0.5 V in the nominal pose. chip: opaque from {CHIP[0] * 1e3} to {CHIP[1] * 1e3} mm ahead of the head centre.
harmonics: how many the light was cut to (the model keeps 3). Voltages in V; phase_rad: arg B + quarter turn - arg A;
e1..e4, pp: harmonics and peak to peak of the error of atan2(B, A) over one period, rad.
""",
        ["pose", "yaw_rad", "pitch_rad", "roll_rad", "lateral_m", "chip", "harmonics", "offset_a_v", "offset_b_v",
         "radius_a_v", "radius_b_v", "phase_rad", "e1", "e2", "e3", "e4", "pp"],
        [[r[0].replace(",", ""), *r[1:]] for r in rows],
    )  # fmt: skip
