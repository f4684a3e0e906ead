"""Where the propagated field of a grating repeats and where its fundamental vanishes, by root finding."""

import numpy as np
from scipy.optimize import brentq

from presets import PRESETS
from propagation import coefficients, disc_directions, scale_field, propagate, spectrum
from table import write

ON_AXIS = (np.array([0.0]), np.array([1.0]))


def talbot_m(preset):
    """Distance after which the first order has turned by a whole turn against the undiffracted light."""
    # Twice the paraxial length is far beyond the root; the phase is followed in steps that cannot skip a turn.
    period_m, wavelength_m = preset.period_m, preset.wavelength_m
    field = scale_field(preset)

    def turn(distance_m):
        orders = np.fft.fft(propagate(field, period_m, wavelength_m, distance_m, np.array([0.0]))[0])
        start = np.fft.fft(field)
        return np.angle(orders[1] / start[1] * np.conj(orders[0] / start[0]))

    guess_m = 2 * period_m**2 / wavelength_m
    # The angle crosses zero downwards at the root; the jump by a turn is half a length away.
    return brentq(turn, 0.75 * guess_m, 1.25 * guess_m, xtol=1e-18, rtol=1e-14)


def nulls_m(preset, wavelengths, directions, count=3):
    """Effective distances of the first sign changes of the fundamental behind lines of half duty, up to z_T 5/4."""

    def fundamental(z_m):
        return coefficients(scale_field(preset), preset.period_m, wavelengths, directions, z_m, 1)[1].real

    length_m = talbot_m(preset)
    found = []
    grid = np.linspace(0.02, 1.35, 40) * length_m
    values = [fundamental(z) for z in grid]
    for low, high, a, b in zip(grid, grid[1:], values, values[1:]):
        if a * b < 0 and len(found) < count:
            found.append(brentq(fundamental, low, high, rtol=1e-12))
    return found


def make():
    rows = []
    for preset in PRESETS:
        point = spectrum(preset.wavelength_m, 0)
        rows.append([preset.name, "talbot-length", 1, talbot_m(preset)])
        if preset.dark == 0 or preset.name == "tape-40":
            for number, z_m in enumerate(nulls_m(preset, point, ON_AXIS), 1):
                rows.append([preset.name, "null-point-source", number, z_m])
        # Within the range of gaps, with the preset's own source and spectrum.
        if preset.name in ("tape-40", "glass-20", "disc-2500"):
            source = disc_directions(preset.source_half_angle)
            colours = spectrum(preset.wavelength_m, preset.fwhm_m, 25)

            def fundamental(z_m):
                return coefficients(scale_field(preset), preset.period_m, colours, source, z_m, 1)[1].real

            quarter_m = talbot_m(preset) / 4
            low_m, high_m = 0.9 * quarter_m, 1.06 * quarter_m
            if fundamental(low_m) * fundamental(high_m) < 0:
                rows.append([preset.name, "null-real-source", 1, brentq(fundamental, low_m, high_m, rtol=1e-10)])
    write(
        __name__,
        "talbot",
        """
Places on the propagated field (angular spectrum), by root finding (Brent). what:
talbot-length: effective distance at which the first order is back in phase with the undiffracted light, m;
null-point-source: effective distances at which the fundamental of the intensity changes sign, one wavelength;
null-real-source: the first of them with the preset's disc-shaped source and its spectrum.
""",
        ["scale", "what", "number", "effective_m"],
        rows,
    )
