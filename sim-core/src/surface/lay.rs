//! Laying a substance on the scale by name: the table of presets.
//!
//! All values are our own, plausible for teaching and of no measured sample: films after the
//! usual look of such dirt, refractive indices as common handbook values.

use super::lanes::Lanes;
use super::segment::{Film, Liquid};
use super::substance::{Matter, Substance};
use super::{REACH_M, SurfaceMap};
use crate::numbers::{NumberError, check};
use thiserror::Error;

/// Period of the ridges of a fingerprint, m (own, usual order of size).
const RIDGE_M: f64 = 0.4e-3;
/// Cells along a dusty stretch in each lane.
const DUST_CELLS: u32 = 16;
/// Smallest and largest size of what can be laid, m.
const SIZE_M: (f64, f64) = (1e-6, 2.0 * REACH_M);

/// How a substance lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shape {
    /// The same all over.
    Even,
    /// Round, as high as the strip that the head reads: the outer lanes are shorter.
    Disc,
    /// Opaque grains, scattered evenly over a share of the stretch.
    Grains,
    /// A lump over a share of the height.
    Lump,
    /// Ridges with clean valleys between, running obliquely across the lanes.
    Ridges,
    /// Soft edges.
    Feathered,
}

/// One row of the table: what a substance is like.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Preset {
    /// Film at amount 1.
    pub film: Film,
    /// Liquid at amount 1, if it is one.
    pub liquid: Option<Liquid>,
    /// Brightness where it takes lines away: 0 dull, 1 polished; `None` when it takes none.
    pub strips: Option<f64>,
    /// How it lies.
    pub shape: Shape,
    /// Usual size along the travel, m, smallest and largest.
    pub size_m: (f64, f64),
}

/// Where something is laid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// Middle along the travel, scale coordinate, m.
    pub at_m: f64,
    /// Lanes across the track.
    pub lanes: Lanes,
}

impl From<f64> for Spot {
    fn from(at_m: f64) -> Self {
        Self { at_m, lanes: Lanes::ALL }
    }
}

/// Why something could not be laid.
#[derive(Clone, Debug, PartialEq, Error)]
#[error("{substance}: {field}: {error}")]
pub struct LayError {
    /// What was to be laid.
    pub substance: &'static str,
    /// Which number was wrong.
    pub field: &'static str,
    /// What was wrong with it.
    pub error: NumberError,
}

impl Substance {
    /// Its row of the table.
    #[must_use]
    pub fn preset(self) -> Preset {
        let row = |film, shape, size_m| Preset { film, liquid: None, strips: None, shape, size_m };
        match self {
            Self::OilFilm => Preset {
                liquid: Some(Liquid { thickness_m: 20e-6, index: Liquid::OIL_INDEX }),
                ..row(Film::THIN_OIL, Shape::Even, (0.05, 4.0))
            },
            Self::CoolantFlood => Preset {
                liquid: Some(Liquid { thickness_m: Liquid::FLOOD_M, index: Liquid::COOLANT_INDEX }),
                ..row(Film::THICK_LIQUID, Shape::Even, (0.05, 0.5))
            },
            Self::CoolantDrop => row(Film::DROPLET, Shape::Disc, (0.5e-3, 3e-3)),
            Self::Dust => row(Film::OPAQUE, Shape::Grains, (20e-6, 20e-3)),
            Self::Chip => row(Film::OPAQUE, Shape::Lump, (20e-6, 1e-3)),
            Self::Fingerprint => row(Film::FINGERPRINT, Shape::Ridges, (8e-3, 16e-3)),
            Self::Smear => row(Film::FINGERPRINT, Shape::Feathered, (4e-3, 30e-3)),
            Self::Residue => row(Film::RESIDUE, Shape::Even, (0.5e-3, 0.5)),
            Self::Scratch => Preset { strips: Some(0.0), ..row(Film::CLEAR, Shape::Even, (20e-6, 2e-3)) },
            Self::MissingLines => Preset { strips: Some(1.0), ..row(Film::CLEAR, Shape::Even, (20e-6, 2e-3)) },
        }
    }
}

impl SurfaceMap {
    /// Lays a substance around a spot over `size_m` along the travel.
    ///
    /// `amount`, 0 to 1, scales the film and the thickness of a layer; for grains it is the covered
    /// share, for a lump the share of the height (in whole lanes), for damage the share of the lines
    /// that is gone. A flood always fills the gap. `size_m` is free between 1e-6 m and the whole
    /// scale; [`Preset::size_m`] tells what is usual.
    ///
    /// # Errors
    /// When a number is not finite or out of its range; the map is then as before.
    pub fn lay(
        &mut self,
        substance: Substance,
        spot: impl Into<Spot>,
        size_m: f64,
        amount: f64,
    ) -> Result<(), LayError> {
        let spot = spot.into();
        let range = |field, value, (low, high)| {
            check(value, low, high).map_err(|error| LayError { substance: substance.name(), field, error })
        };
        range("at_m", spot.at_m, (-REACH_M, REACH_M))?;
        range("size_m", size_m, SIZE_M)?;
        range("amount", amount, (0.0, 1.0))?;
        if amount == 0.0 {
            return Ok(());
        }
        let preset = substance.preset();
        let (from_m, to_m) = (spot.at_m - size_m / 2.0, spot.at_m + size_m / 2.0);
        let (film, matter) = (preset.film.scaled(amount), Matter::of(substance));
        match preset.shape {
            Shape::Even => match preset.strips {
                Some(polish) => self.strip_lanes(from_m, to_m, spot.lanes, 1.0 - amount, polish),
                None => self.put(from_m, to_m, spot.lanes, film, matter),
            },
            Shape::Disc => self.lay_disc(spot, size_m, film, matter),
            Shape::Grains => self.lay_grains(spot, size_m, amount, matter),
            Shape::Lump => {
                let lanes = spot.lanes.first((f64::from(spot.lanes.count()) * amount).ceil() as u32);
                self.put(from_m, to_m, lanes, preset.film, matter);
            }
            Shape::Ridges => self.lay_ridges(spot, size_m, film, matter),
            Shape::Feathered => self.feathered(spot.at_m, size_m, spot.lanes, film, matter),
        }
        if let Some(liquid) = preset.liquid {
            let thickness_m = if liquid.floods() { liquid.thickness_m } else { liquid.thickness_m * amount };
            self.pour(from_m, to_m, spot.lanes, Liquid { thickness_m, ..liquid });
        }
        Ok(())
    }

    /// Chords of a circle at the middles of the lanes: `D sqrt(1 - (2y/D)^2)`, y = 3/8, 1/8 of D.
    fn lay_disc(&mut self, spot: Spot, size_m: f64, film: Film, matter: Matter) {
        for lane in spot.lanes.indices() {
            let height = 0.25 * lane as f64 - 0.375;
            let half_m = 0.5 * size_m * (1.0 - 4.0 * height * height).sqrt();
            self.put(spot.at_m - half_m, spot.at_m + half_m, Lanes::single(lane), film, matter);
        }
    }

    /// Covers the cells whose place in a golden-ratio sequence falls below the share: any share is
    /// spread evenly over stretch and lanes, and more dust only adds grains.
    fn lay_grains(&mut self, spot: Spot, size_m: f64, amount: f64, matter: Matter) {
        const GOLDEN: f64 = 0.618_033_988_749_894_8;
        let cell_m = size_m / f64::from(DUST_CELLS);
        let start_m = spot.at_m - size_m / 2.0;
        for cell in 0..DUST_CELLS {
            for lane in spot.lanes.indices() {
                let turns = GOLDEN * (f64::from(cell) + f64::from(DUST_CELLS) * lane as f64);
                if turns - turns.floor() < amount {
                    let from_m = start_m + f64::from(cell) * cell_m;
                    self.put(from_m, from_m + cell_m, Lanes::single(lane), Film::OPAQUE, matter);
                }
            }
        }
    }

    /// Ridges half a period wide, a quarter period further in each lane.
    fn lay_ridges(&mut self, spot: Spot, size_m: f64, film: Film, matter: Matter) {
        // A print that is larger than a hand has wider ridges, not more of them.
        let ridges = (size_m / RIDGE_M).ceil().clamp(1.0, 100.0);
        let period_m = size_m / ridges;
        let (start_m, end_m) = (spot.at_m - size_m / 2.0, spot.at_m + size_m / 2.0);
        for lane in spot.lanes.indices() {
            let first_m = start_m + 0.25 * lane as f64 * period_m - period_m / 2.0;
            for ridge in 0..=ridges as u32 {
                let from_m = first_m + f64::from(ridge) * period_m;
                let (low_m, high_m) = (from_m.max(start_m), (from_m + period_m / 2.0).min(end_m));
                self.put(low_m, high_m, Lanes::single(lane), film, matter);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{LayError, Shape, Spot};
    use crate::scale::ScaleId;
    use crate::surface::{Lanes, Substance, SurfaceGains, SurfaceIndex, SurfaceMap, WindowCursor};

    fn laid(substance: Substance, size_m: f64, amount: f64) -> SurfaceMap {
        let mut map = SurfaceMap::new();
        map.lay(substance, 0.1, size_m, amount).expect("in range");
        map
    }

    fn mean(map: &SurfaceMap, from_m: f64, to_m: f64) -> SurfaceGains {
        SurfaceIndex::for_scale(map, &ScaleId::Tape40.spec()).mean(from_m, to_m, &mut WindowCursor::default())
    }

    // Source: Beer-Lambert and the unscattered share with the values of the preset table, 2 passes.
    #[test]
    fn even_films_have_the_gains_of_the_table() {
        for (substance, mu_t, s, kappa_s) in [
            (Substance::OilFilm, 0.02, 0.03, 0.5),
            (Substance::CoolantFlood, 0.1, 0.15, 0.5),
            (Substance::CoolantDrop, 0.05, 0.8, 0.3),
            (Substance::Smear, 0.1, 0.25, 0.4),
        ] {
            let gains = mean(&laid(substance, 0.02, 1.0), 0.0999, 0.1001);
            let (absorbed, direct) = (libm::exp(-2.0 * mu_t), (1.0 - s) * (1.0 - s));
            assert!((gains.ac - absorbed * direct).abs() < 1e-9, "{substance:?}: {gains:?}");
            let dc = absorbed * (direct + (1.0 - direct) * kappa_s);
            assert!((gains.dc - dc).abs() < 1e-9, "{substance:?}: {gains:?}");
        }
    }

    // Source: a fingerprint's ridges cover half of it in every lane.
    #[test]
    fn a_fingerprint_keeps_half_of_its_stretch_clean() {
        let map = laid(Substance::Fingerprint, 8e-3, 1.0);
        let gains = mean(&map, 0.098, 0.102);
        let ridge = libm::exp(-0.2) * 0.75 * 0.75;
        assert!((gains.ac - 0.5 * (1.0 + ridge)).abs() < 1e-6, "{gains:?}");
        assert!(gains.dc > gains.ac, "scattered light stays in the mean");
    }

    // Source: area of a circle of diameter D by the mid-chord rule of four lanes, 0.8143 of D x D.
    #[test]
    fn a_drop_is_round() {
        let map = laid(Substance::CoolantDrop, 3e-3, 1.0);
        let chord = |y: f64| libm::sqrt(1.0 - 4.0 * y * y);
        let covered = 0.5 * (chord(0.125) + chord(0.375));
        let inside = mean(&map, 0.0999, 0.1001).ac;
        let whole = mean(&map, 0.0985, 0.1015).ac;
        assert!((1.0 - whole - covered * (1.0 - inside)).abs() < 1e-6, "{whole}");
    }

    #[test]
    fn dust_covers_its_share_and_a_chip_its_lanes() {
        for share in [0.1, 0.3, 0.5, 0.9] {
            let gains = mean(&laid(Substance::Dust, 2e-3, share), 0.099, 0.101);
            assert!((1.0 - gains.ac - share).abs() < 0.05, "{share}: {gains:?}");
            // What gets past the grains carries the lines in full.
            assert!((gains.ac - gains.dc).abs() < 1e-9);
        }
        let mut map = SurfaceMap::new();
        let upper = Spot { at_m: 0.1, lanes: Lanes::UPPER_HALF };
        map.lay(Substance::Chip, upper, 0.5e-3, 0.5).expect("in range");
        assert_eq!(map.segments()[0].lanes, Lanes::of(&[3]).expect("it exists"));
        // One of four lanes of a single-field head, over the whole window.
        assert!((mean(&map, 0.0999, 0.1001).ac - 0.75).abs() < 1e-6);
    }

    // Source: rho_m is 0 in a dull scratch, R_b where lines are gone and the tape is bright; both over I_0.
    #[test]
    fn a_scratch_is_dull_and_missing_lines_are_bright() {
        let dull = mean(&laid(Substance::Scratch, 1e-3, 1.0), 0.0999, 0.1001);
        assert_eq!((dull.ac, dull.dc), (0.0, 0.0));
        let bright = mean(&laid(Substance::MissingLines, 1e-3, 1.0), 0.0999, 0.1001);
        assert_eq!(bright.ac, 0.0);
        assert!((bright.dc - 0.55 / 0.29).abs() < 1e-9, "{bright:?}");
        let half = mean(&laid(Substance::MissingLines, 1e-3, 0.5), 0.0999, 0.1001);
        assert!((half.ac - 0.5).abs() < 1e-12 && (half.dc - 0.5 * (1.0 + 0.55 / 0.29)).abs() < 1e-9);
    }

    #[test]
    fn every_substance_can_be_laid_wiped_and_read_back() {
        for substance in Substance::ALL {
            let (small_m, large_m) = substance.preset().size_m;
            for size_m in [small_m, large_m] {
                let mut map = laid(substance, size_m, 0.7);
                assert!(!map.is_clean(), "{substance:?}");
                let text = serde_json::to_string(&map).expect("plain numbers and words");
                assert_eq!(serde_json::from_str::<SurfaceMap>(&text).expect("what was written reads"), map);
                map.wipe(-10.0, 10.0);
                assert_eq!(map.is_clean(), !substance.is_damage(), "{substance:?}");
            }
            assert!(laid(substance, small_m, 0.0).is_clean(), "nothing of {substance:?}");
        }
        assert_eq!(Substance::Dust.preset().shape, Shape::Grains);
    }

    #[test]
    fn a_wrong_number_is_refused_by_name_and_range() {
        let mut map = SurfaceMap::new();
        let error = map.lay(Substance::Dust, 0.1, -1.0, 0.5).expect_err("a negative size");
        assert_eq!(error.to_string(), "dust: size_m: -1 is outside the allowed range 0.000001 to 2000");
        let field = |r: Result<(), LayError>| r.expect_err("refused").field;
        assert_eq!(field(map.lay(Substance::Chip, f64::NAN, 1e-3, 0.5)), "at_m");
        assert_eq!(field(map.lay(Substance::Chip, 0.1, 1e-3, 1.5)), "amount");
        assert!(map.is_clean());
    }
}
