//! One map on top of another, and films of a kind with values of their own.

use super::substance::{Matter, Substance};
use super::{Film, Lanes, SurfaceMap};

impl SurfaceMap {
    /// Puts everything of another map on top of this one: depths add, unscattered shares multiply, layers of liquid
    /// lie on each other, and of missing lines the worse decides.
    pub fn add(&mut self, other: &Self) {
        for top in other.segments() {
            self.edit(top.from_m, top.to_m, top.lanes, |segment| {
                segment.add(&top.film());
                if let Some(liquid) = top.liquid {
                    segment.pour(liquid);
                }
                segment.strip(top.lines, top.polish);
                segment.matter = segment.matter.with(top.matter);
            });
        }
    }

    /// Covers `from_m..to_m` with a film of a substance whose strength is not that of its preset, such as dew, which
    /// is a coolant drop's water all over. Numbers that are not finite leave the map as it is.
    pub fn cover(&mut self, from_m: f64, to_m: f64, substance: Substance, film: Film) {
        self.put(from_m, to_m, Lanes::ALL, film, Matter::of(substance));
    }
}

#[cfg(test)]
mod tests {
    use crate::surface::{Film, Substance, SurfaceMap};

    fn film(map: &SurfaceMap, x_m: f64) -> Option<Film> {
        map.segments().iter().find(|s| s.from_m <= x_m && x_m < s.to_m).map(|s| s.film())
    }

    // Source: Beer-Lambert, depths add; unscattered shares multiply.
    #[test]
    fn a_map_on_a_map_is_both_films_one_after_the_other() {
        let (mut below, mut above, mut both) = (SurfaceMap::new(), SurfaceMap::new(), SurfaceMap::new());
        let (a, b) = (Film { mu_t: 0.5, scatter: 0.2, kappa_s: 0.4 }, Film { mu_t: 0.25, scatter: 0.5, kappa_s: 0.4 });
        below.paint(0.0, 0.2, a);
        above.paint(0.1, 0.3, b);
        above.scratch(0.15, 0.16, 0.25);
        both.paint(0.0, 0.2, a);
        both.paint(0.1, 0.3, b);
        both.scratch(0.15, 0.16, 0.25);
        below.add(&above);
        assert_eq!(below, both);
        let middle = film(&below, 0.12).expect("something lies there");
        assert!((middle.mu_t - 0.75).abs() < 1e-12 && (middle.scatter - 0.6).abs() < 1e-12, "{middle:?}");
    }

    #[test]
    fn what_is_added_is_still_known_by_its_kind() {
        let (mut dirt, mut chip) = (SurfaceMap::new(), SurfaceMap::new());
        chip.lay(Substance::Chip, 0.1, 1e-3, 1.0).expect("in range");
        dirt.add(&chip);
        assert_eq!(dirt, chip);
        dirt.cover(0.2, 0.3, Substance::CoolantDrop, Film::DROPLET);
        assert!(dirt.segments().iter().any(|s| s.matter.has(Substance::CoolantDrop)));
        let before = dirt.clone();
        dirt.cover(f64::NAN, 0.3, Substance::Dust, Film::OPAQUE);
        assert_eq!(dirt, before);
    }
}
