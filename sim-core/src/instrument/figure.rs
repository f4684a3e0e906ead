//! The figure of A against B over the last periods: its ellipse, and what position error it leaves before and after
//! the correction.
//!
//! At rest the figure of the last movement stays, with its age; the present point moves on.

use super::position::{Pair, ReadingError, Sense, Spread, spread};
use super::track::Track;
use crate::num::ellipse::{self, Ellipse};
use crate::num::math::atan2_turns;
use crate::numbers::{FieldError, check_field};
use crate::record::{Sample, Tap};

/// The figure recorder.
#[derive(Clone, Debug)]
pub struct Figure {
    track: Track<Pair>,
    zero_v: [f64; 2],
    now: Pair,
}

/// What the figure says.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FigureReading {
    /// Centre, radii and phase error.
    pub ellipse: Ellipse,
    /// Position error of the plain arctangent about the middle of the input; `None` when the figure does not go
    /// round that middle.
    pub before: Option<Spread>,
    /// Position error that is left after the correction of offset, amplitude and phase.
    pub after: Spread,
    /// Which channel leads on the way up.
    pub sense: Sense,
    /// Points that it rests on.
    pub points: u32,
    /// Periods that they cover.
    pub periods: f64,
    /// How long ago the axis last moved on, s.
    pub age_s: f64,
}

impl Figure {
    /// A figure over the last `periods` (1 to 16) of a grating of period `period_m`, m. `zero_v` are the voltages
    /// that the input takes as the middle of A and B: 0 for differential channels, the threshold for single-ended
    /// ones, within -10 to 10 V.
    ///
    /// # Errors
    /// When a number is not finite or outside its range.
    pub fn new(period_m: f64, periods: f64, zero_v: [f64; 2]) -> Result<Self, FieldError> {
        check_field("zero_a_v", zero_v[0], (-10.0, 10.0), "V")?;
        check_field("zero_b_v", zero_v[1], (-10.0, 10.0), "V")?;
        Ok(Self { track: Track::new(period_m, periods)?, zero_v, now: Pair::default() })
    }

    /// The present point.
    #[must_use]
    pub fn now(&self) -> Pair {
        self.now
    }

    /// Points of the window, oldest first, `(a, b)` in V: what to draw.
    pub fn points(&self) -> impl Iterator<Item = (f64, f64)> + Clone {
        self.track.points().map(|p| (p.seen.a_v, p.seen.b_v))
    }

    /// Works the figure out.
    ///
    /// # Errors
    /// Why there is no figure, in words that say what to do.
    pub fn reading(&self) -> Result<FigureReading, ReadingError> {
        let ellipse = ellipse::fit(self.points())?;
        let (period_m, zero_v) = (self.track.period_m(), self.zero_v);
        let correction = ellipse.correction();
        let (after, sense) = spread(self.track.points(), period_m, |a, b| correction.phase_turns(a, b))?;
        let before = spread(self.track.points(), period_m, |a, b| atan2_turns(b - zero_v[1], a - zero_v[0]));
        Ok(FigureReading {
            ellipse,
            before: before.ok().map(|(spread, _)| spread),
            after,
            sense,
            points: self.points().count() as u32,
            periods: self.track.periods(),
            age_s: self.track.newest().map_or(0.0, |p| self.now.time_s - p.seen.time_s),
        })
    }

    /// Forgets the points: what follows is measured afresh.
    pub fn clear(&mut self) {
        self.track.clear();
    }
}

impl Tap for Figure {
    fn sample(&mut self, sample: &Sample) {
        self.now = Pair { time_s: sample.time_s, a_v: sample.a_v, b_v: sample.b_v };
        self.track.see(sample.table_m, self.now);
    }
}

#[cfg(test)]
mod tests {
    use super::{Figure, ReadingError, Sense};
    use crate::instrument::fixture::{Rig, travel};
    use crate::num::ellipse::EllipseError;

    // Source: Heydemann 1981: the error of a known ellipse is known, and nothing of it is left after the correction.
    #[test]
    fn a_known_figure_reads_as_made_and_corrects_to_nothing() {
        let rig = Rig { offset_v: [0.02, -0.03], radius_v: [0.48, 0.55], phase_error_rad: 0.07, ..Rig::default() };
        let mut figure = Figure::new(20e-6, 4.0, [0.0; 2]).unwrap();
        travel(&rig, 6.0, 0.013, &mut figure);
        let r = figure.reading().unwrap();
        for k in 0..2 {
            assert!((r.ellipse.offset_v[k] - rig.offset_v[k]).abs() < 1e-10, "{r:?}");
            assert!((r.ellipse.radius_v[k] - rig.radius_v[k]).abs() < 1e-10, "{r:?}");
        }
        assert!((r.ellipse.phase_error_rad - 0.07).abs() < 1e-10, "{r:?}");
        assert!(r.after.peak_to_peak_m < 1e-14, "{r:?}");
        let before = r.before.unwrap();
        assert!(before.peak_to_peak_m > 1e-7 && before.rms_m > 1e-8, "{r:?}");
        assert_eq!(r.sense, Sense::ALeads);
        // The newest point is at most two samples old: a point is kept every sixtieth of a period.
        assert!(r.age_s < 2.5e-6, "{r:?}");
        assert!((r.periods - 4.0).abs() < 0.05);
    }

    // Source: closed form: offset of 10 % alone, peak asin(0.1) rad either way, rms 0.1/sqrt 2 (and the square of it).
    #[test]
    fn an_offset_alone_costs_what_the_closed_form_says() {
        let rig = Rig { offset_v: [0.05, 0.0], ..Rig::default() };
        let mut figure = Figure::new(20e-6, 16.0, [0.0; 2]).unwrap();
        travel(&rig, 18.0, 0.0131, &mut figure);
        let before = figure.reading().unwrap().before.unwrap();
        assert!((before.peak_to_peak_m / (2.0 * 0.318_843e-6) - 1.0).abs() < 1e-3, "{before:?}");
        let first_two = 0.318_310e-6 * (0.5 + 0.05 * 0.05 * 0.5_f64).sqrt();
        assert!((before.rms_m / first_two - 1.0).abs() < 1e-2, "{before:?}");
    }

    #[test]
    fn exchanged_channels_and_the_way_back_are_told_apart() {
        let mut figure = Figure::new(20e-6, 2.0, [0.0; 2]).unwrap();
        travel(&Rig { exchanged: true, ..Rig::default() }, 4.0, 0.02, &mut figure);
        assert_eq!(figure.reading().unwrap().sense, Sense::BLeads);
        figure.clear();
        travel(&Rig::default(), -4.0, 0.02, &mut figure);
        let r = figure.reading().unwrap();
        assert_eq!(r.sense, Sense::ALeads);
        assert!(r.before.unwrap().peak_to_peak_m < 1e-14);
    }

    #[test]
    fn a_figure_beside_the_middle_has_no_error_before_but_one_after() {
        let rig = Rig { offset_v: [0.8, 0.0], ..Rig::default() };
        let mut figure = Figure::new(20e-6, 2.0, [0.0; 2]).unwrap();
        travel(&rig, 4.0, 0.02, &mut figure);
        let r = figure.reading().unwrap();
        assert_eq!(r.before, None);
        assert!(r.after.peak_to_peak_m < 1e-14);
        // The same figure for an input whose middle is there.
        let mut figure = Figure::new(20e-6, 2.0, [0.8, 0.0]).unwrap();
        travel(&rig, 4.0, 0.02, &mut figure);
        assert!(figure.reading().unwrap().before.unwrap().peak_to_peak_m < 1e-14);
    }

    #[test]
    fn too_short_a_way_and_a_dead_channel_are_refused_by_name() {
        let mut figure = Figure::new(20e-6, 2.0, [0.0; 2]).unwrap();
        assert_eq!(figure.reading(), Err(ReadingError::Ellipse(EllipseError::TooFewPoints { points: 0 })));
        travel(&Rig::default(), 0.9, 0.02, &mut figure);
        assert!(matches!(
            figure.reading(),
            Err(ReadingError::TooLittleTravel { .. } | ReadingError::Ellipse(EllipseError::TooFewSectors { .. }))
        ));
        let mut figure = Figure::new(20e-6, 2.0, [0.0; 2]).unwrap();
        travel(&Rig { radius_v: [0.0, 0.5], ..Rig::default() }, 4.0, 0.02, &mut figure);
        assert_eq!(figure.reading(), Err(ReadingError::Ellipse(EllipseError::Flat { channel: 'A' })));
        assert!(Figure::new(20e-6, 2.0, [f64::NAN, 0.0]).is_err());
    }
}
