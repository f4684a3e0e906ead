//! Drawings while the cause is covered: as the maker meant the bench, without dirt. What the sensors see stays as it is.

use super::view::{HeadView, MachineView};

impl MachineView {
    /// The axis without what would give the cause away.
    #[must_use]
    pub fn covered(mut self, covered: bool) -> Self {
        if covered {
            self.dirt.clear();
            self.gap_ends = (1.0, 1.0);
        }
        self
    }
}

impl HeadView {
    /// The head as it should stand, over a clean scale.
    #[must_use]
    pub fn covered(mut self, covered: bool) -> Self {
        if covered {
            self.dirt.clear();
            self.gap_m = self.gap_nominal_m;
            (self.tilt_rad, self.yaw_rad) = (0.0, 0.0);
        }
        self
    }
}

#[cfg(test)]
mod tests {
    use crate::lab::Lab;

    #[test]
    fn the_covered_drawing_of_a_broken_bench_is_that_of_a_clean_and_set_one() {
        for id in ["wide-smear", "close-here-far-there", "head-yaw"] {
            let shipped = lessons::shipped_by_name(id).unwrap();
            let mut lab = Lab::new(id, lessons::read(id, shipped.text).unwrap());
            lab.advance(14_000);
            let (machine, head) = (lab.machine_view(), lab.head_view());
            let differs = !machine.dirt.is_empty() || machine.gap_ends != (1.0, 1.0) || head.yaw_rad != 0.0;
            assert!(differs, "{id} has nothing to cover");
            let (machine, head) = (machine.covered(true), head.covered(true));
            assert!(machine.dirt.is_empty() && head.dirt.is_empty());
            assert_eq!((machine.gap_ends, head.gap_m, head.yaw_rad), ((1.0, 1.0), head.gap_nominal_m, 0.0));
        }
    }
}
