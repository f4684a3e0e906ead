"""Light behind a grating by brute force: every plane wave, every direction of the source, every wavelength.

Nothing here knows of Talbot lengths, visibility or blur factors. The grating's field is sampled and transformed, each
order gets the exact phase of its plane wave over the distance (angular spectrum, evanescent orders decay), the field
is transformed back and squared, and the intensities of all directions and wavelengths are added.
"""

import numpy as np

from presets import PRESETS
from table import write

SAMPLES = 1920  # per period: 2^7 x 15, so that duties 1/2, 1/3 and 0.4 are whole numbers of samples
ANGLES = 41
WAVELENGTHS = 49
N_MAX = 5


def train(duty, bright, dark, samples=SAMPLES):
    """One period of a rectangle train, symmetric about a bright line, sampled at the middle of each cell."""
    x = (np.arange(samples) + 0.5) / samples - 0.5
    return np.where(np.abs(x) < duty / 2, bright, dark)


def disc_directions(half_angle, count=ANGLES):
    """Tangents of the directions of a uniform disc projected on the plane of travel, and their weights.

    Gauss-Chebyshev nodes of the second kind: the weight sqrt(1 - u^2) is the disc's chord.
    """
    j = np.arange(1, count + 1) * np.pi / (count + 1)
    return half_angle * np.cos(j), 2 / (count + 1) * np.sin(j) ** 2


def spectrum(wavelength_m, fwhm_m, count=WAVELENGTHS):
    """Wavelengths and weights of a Gaussian spectrum, Gauss-Hermite."""
    if fwhm_m == 0:
        return np.array([wavelength_m]), np.array([1.0])
    nodes, weights = np.polynomial.hermite_e.hermegauss(count)
    sigma_m = fwhm_m / (2 * np.sqrt(2 * np.log(2)))
    return wavelength_m + sigma_m * nodes, weights / weights.sum()


def propagate(field, period_m, wavelength_m, distance_m, tangents):
    """Field over one period at a distance behind it, one row per direction of the illuminating plane wave.

    The common phase of the illuminating wave along x is left out; it does not show in the intensity.
    """
    k = 2 * np.pi / wavelength_m
    orders = np.fft.fftfreq(field.size, 1 / field.size)
    sines = tangents / np.sqrt(1 + tangents**2)
    kx = k * sines[:, None] + 2 * np.pi / period_m * orders[None, :]
    kz = np.sqrt((k**2 - kx**2).astype(complex))
    return np.fft.ifft(np.fft.fft(field)[None, :] * np.exp(1j * kz * distance_m), axis=1)


def coefficients(field, period_m, wavelengths, directions, distance_m, n_max=N_MAX):
    """Fourier coefficients 0..n_max of the intensity behind a periodic field, relative to its own axis."""
    x_shift = np.exp(-2j * np.pi * np.arange(n_max + 1) * (0.5 / field.size - 0.5))
    total = np.zeros(n_max + 1, complex)
    for wavelength_m, weight in zip(*wavelengths):
        waves = propagate(field, period_m, wavelength_m, distance_m, directions[0])
        intensity = directions[1] @ np.abs(waves) ** 2
        total += weight * np.fft.fft(intensity)[: n_max + 1] / field.size * x_shift
    return total


def scale_field(preset, samples=SAMPLES):
    return train(preset.duty, np.sqrt(preset.bright), np.sqrt(preset.dark), samples)


def behind_grating(preset, gap_m, n_max=N_MAX, samples=SAMPLES, angles=ANGLES, wavelengths=WAVELENGTHS):
    """Coefficients of the intensity at the mask of a preset's head at a gap."""
    return coefficients(
        scale_field(preset, samples),
        preset.period_m,
        spectrum(preset.wavelength_m, preset.fwhm_m, wavelengths),
        disc_directions(preset.source_half_angle, angles),
        preset.effective_m(gap_m),
        n_max,
    )


def mask(duty, n_max=N_MAX, samples=SAMPLES):
    """Coefficients 0..n_max of a slit mask, by transforming the sampled mask."""
    x_shift = np.exp(-2j * np.pi * np.arange(n_max + 1) * (0.5 / samples - 0.5))
    return (np.fft.fft(train(duty, 1.0, 0.0, samples))[: n_max + 1] / samples * x_shift).real


def gaps(preset):
    """Twelve gaps: eleven evenly over the range, and the nominal one, or one a tenth beyond it if it is among them."""
    even = np.linspace(preset.gap_min_m, preset.gap_max_m, 11)
    nominal_m = preset.gap_nominal_m
    return sorted([*even, 1.1 * nominal_m if np.isclose(even, nominal_m).any() else nominal_m])


def make():
    rows, worst, refined = [], 0.0, 0.0
    for preset in PRESETS:
        for gap_m in gaps(preset):
            values = behind_grating(preset, gap_m) * mask(preset.mask_duty)
            worst = max(worst, np.abs(values.imag).max())
            rows.append([preset.name, gap_m, *values.real])
        for gap_m in (preset.gap_nominal_m, preset.gap_max_m):
            coarse = behind_grating(preset, gap_m)
            fine = behind_grating(preset, gap_m, samples=2 * SAMPLES, angles=81, wavelengths=97)
            refined = max(refined, np.abs(coarse - fine).max() / fine[0].real)
    write(
        __name__,
        "propagation",
        f"""
Coefficients 0..{N_MAX} of the light behind the scanning mask, in units of the power on a perfect mirror without a mask.
Angular spectrum of the grating ({SAMPLES} samples a period) behind {ANGLES} directions of a disc-shaped source and
{WAVELENGTHS} wavelengths of a Gaussian spectrum, at the effective distance kappa x gap; collected power taken as 1.
Largest imaginary part, which symmetry makes zero: {worst:.1e}. Change with twice the samples, directions and
wavelengths, relative to the mean light: {refined:.1e}.
""",
        ["scale", "gap_m", *(f"j{n}" for n in range(N_MAX + 1))],
        rows,
    )
