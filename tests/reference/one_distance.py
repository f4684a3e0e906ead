"""Source and detector side by side above a mirror tape: is one effective distance of half the gap right?

A point-like line source (cylindrical wave) lights the grating at the distance z, the light goes on by z to the detector
plane; nothing is paraxial and nothing is periodic here. The pattern near the axis, divided by the light a plain mirror
would give, is expanded in harmonics of twice the period.
"""

import numpy as np
from scipy.special import hankel1

from presets import BY_NAME
from propagation import coefficients, scale_field, spectrum
from table import write

ON_AXIS = (np.array([0.0]), np.array([1.0]))


def pattern(preset, gap_m, grating):
    """Intensity on the detector plane and its coordinates."""
    wavelength_m = preset.wavelength_m
    # The lines that matter lie within some periods and some Fresnel zones of the axis.
    half_m = 12 * preset.period_m + 1.2 * gap_m
    count = 2 ** int(np.ceil(np.log2(4 * half_m / (wavelength_m / 4))))
    x = (np.arange(count) - count / 2) * 4 * half_m / count
    k = 2 * np.pi / wavelength_m
    wave = hankel1(0, k * np.hypot(x, gap_m))
    # A soft edge keeps the window itself from diffracting.
    edge = np.clip((1.6 * half_m - np.abs(x)) / (0.8 * half_m), 0, 1)
    wave = wave * np.sin(0.5 * np.pi * edge) ** 2
    if grating:
        place = np.abs((x / preset.period_m + 0.5) % 1 - 0.5)
        wave = wave * np.where(place < preset.duty / 2, np.sqrt(preset.bright), np.sqrt(preset.dark))
    kx = 2 * np.pi * np.fft.fftfreq(count, x[1] - x[0])
    kz = np.sqrt((k**2 - kx**2).astype(complex))
    return x, np.abs(np.fft.ifft(np.fft.fft(wave) * np.exp(1j * kz * gap_m))) ** 2


def modulation(preset, gap_m, n_max=2):
    """Coefficients 1..n_max over coefficient 0, from two periods of the image about the axis."""
    x, lit = pattern(preset, gap_m, True)
    _, plain = pattern(preset, gap_m, False)
    image_m = 2 * preset.period_m
    ratio = lit / plain
    # Fit by least squares inside the window: its ends do not fall on samples.
    inside = np.abs(x) < image_m
    u = x[inside] / image_m
    columns = [np.ones(u.size)] + [2 * np.cos(2 * np.pi * n * u) for n in range(1, 40)]
    fit = np.linalg.lstsq(np.column_stack(columns), ratio[inside], rcond=None)[0]
    return fit[1 : n_max + 1] / fit[0]


def make():
    rows = []
    for name, gaps in (
        ("tape-1000", (0.5e-3, 1.5e-3, 3e-3)),
        ("tape-100", (0.4e-3, 0.8e-3, 1.6e-3)),
        ("tape-40", (0.4e-3, 0.8e-3, 1.6e-3, 2.1e-3)),
    ):
        preset = BY_NAME[name]
        for gap_m in gaps:
            direct = modulation(preset, gap_m)
            half = coefficients(
                scale_field(preset), preset.period_m, spectrum(preset.wavelength_m, 0), ON_AXIS, gap_m / 2, 2
            ).real
            rows.append([name, gap_m, *direct, *(half[1:3] / half[0])])
    write(
        __name__,
        "one_distance",
        """
Harmonics 1 and 2 over the mean of the light of one wavelength behind a mirror tape, source and detector in one plane.
direct: cylindrical wave from a line source at the gap, angular spectrum to the detector at the gap again, over the two
middle periods of the magnified image, divided by the pattern of a plain mirror; half: plane wave, half the gap.
""",
        ["scale", "gap_m", "direct1", "direct2", "half1", "half2"],
        rows,
    )
