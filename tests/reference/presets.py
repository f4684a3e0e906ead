"""The scales with their heads, as the signal model lists them; the project's own numbers, of no maker's product.

Written down here a second time on purpose: the comparison with the model also finds a wrong digit on either side.
"""

from dataclasses import dataclass

from table import write


@dataclass(frozen=True)
class Preset:
    """One scale with its head. SI units."""

    name: str
    period_m: float
    kappa: float
    wavelength_m: float
    fwhm_m: float
    source_half_angle: float  # half-width of the source over its distance: a tangent
    duty: float
    bright: float
    dark: float
    mask_duty: float
    gap_nominal_m: float
    gap_min_m: float
    gap_max_m: float
    harmonics: int
    uncollimated: bool

    def effective_m(self, gap_m):
        return self.kappa * gap_m


MM, UM, NM = 1e-3, 1e-6, 1e-9
# pi 18 mm x 2 / 2500 lines
DISC_2500_M = 45.2389 * UM

PRESETS = [
    Preset("tape-1000", 1e-3, 0.5, 940 * NM, 45 * NM, 0.15, 0.5, 0.70, 0.04, 0.4, 1.5 * MM, 0, 4 * MM, 5, True),
    Preset("tape-100", 100 * UM, 0.5, 850 * NM, 40 * NM, 0.05, 0.5, 0.55, 0.03, 1 / 3, 0.8 * MM, 0, 2 * MM, 3, True),
    Preset("tape-40", 40 * UM, 0.5, 850 * NM, 40 * NM, 0.02, 0.5, 0.55, 0.03, 1 / 3, 0.8 * MM, 0, 2.2 * MM, 3, True),
    Preset("disc-2500", DISC_2500_M, 1.0, 880 * NM, 40 * NM, 0.025, 0.5, 1, 0, 1 / 3, 0.2 * MM, 0, 1.2 * MM, 3, False),
    Preset("glass-20", 20 * UM, 1.0, 860 * NM, 35 * NM, 0.015, 0.5, 1, 0, 1 / 3, 0.1 * MM, 0, 0.4 * MM, 3, False),
    Preset("glass-4", 4 * UM, 1.0, 650 * NM, 18 * NM, 0.002, 0.5, 1, 0, 1 / 3, 97.8 * UM, 70 * UM, 130 * UM, 3, False),
]

BY_NAME = {preset.name: preset for preset in PRESETS}

COLUMNS = [
    "scale", "period_m", "kappa", "wavelength_m", "fwhm_m", "source_half_angle", "duty", "bright", "dark",
    "mask_duty", "gap_nominal_m", "gap_min_m", "gap_max_m", "harmonics", "uncollimated",
]  # fmt: skip


def make():
    write(
        __name__,
        "presets",
        """
Scales with their heads, typed in a second time from the signal model's list: what the other tables were made for.
duty: bright width / period; bright, dark: reflectance or transmittance; uncollimated: power falls with the gap.
""",
        COLUMNS,
        [list(vars(preset).values()) for preset in PRESETS],
    )
