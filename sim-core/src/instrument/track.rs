//! What a channel showed along the last few periods of travel.
//!
//! A meter of periodic signals needs points spread over whole periods, whatever the speed, and must not be filled by a
//! servo that trembles at one place. So points are taken by distance: the table pulls a follower with a play of half
//! a period, and a point is kept whenever the follower has gone a sixtieth of a period. The half period after a
//! reversal is passed over.

use crate::numbers::{FieldError, check_field};

/// Points kept per period of travel, at most.
pub const POINTS_PER_PERIOD: f64 = 60.0;
/// Longest window, periods.
pub const PERIODS_MAX: f64 = 16.0;
/// Periods a grating may have here, m: the model's own range, discs included.
pub const PERIOD_RANGE_M: (f64, f64) = (1e-6, 10e-3);
/// Places kept: the longest window with something to spare.
const CAPACITY: usize = 1024;

/// Checks the period of a grating, m.
///
/// # Errors
/// When it is not finite or outside [`PERIOD_RANGE_M`].
pub fn check_period(period_m: f64) -> Result<(), FieldError> {
    check_field("period_m", period_m, PERIOD_RANGE_M, "m")
}

/// Follows the table with play, so that trembling does not count as travel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Follower {
    half_play_m: f64,
    /// A step longer than this is not a movement but a new start, m.
    jump_m: f64,
    last_m: Option<f64>,
    followed_m: f64,
    travelled_m: f64,
    forward: bool,
}

/// What one step of the table was to a [`Follower`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pull {
    /// Within the play.
    Slack,
    /// The follower went along.
    Along,
    /// The follower went along and turned round.
    Reversed,
    /// First place seen, or a jump.
    Started,
}

impl Follower {
    /// A follower for a grating of this period, m.
    #[must_use]
    pub fn new(period_m: f64) -> Self {
        Self {
            half_play_m: period_m / 4.0,
            jump_m: (8.0 * period_m).max(0.2e-3),
            last_m: None,
            followed_m: 0.0,
            travelled_m: 0.0,
            forward: true,
        }
    }

    /// The table is now here, m. Places that are not finite are passed over.
    #[inline]
    pub fn go(&mut self, table_m: f64) -> Pull {
        if !table_m.is_finite() {
            return Pull::Slack;
        }
        let jumped = self.last_m.is_none_or(|last_m| (table_m - last_m).abs() > self.jump_m);
        self.last_m = Some(table_m);
        if jumped {
            self.followed_m = table_m;
            self.travelled_m = 0.0;
            return Pull::Started;
        }
        let pull_m = table_m - self.followed_m;
        let over_m = pull_m.abs() - self.half_play_m;
        if over_m <= 0.0 {
            return Pull::Slack;
        }
        self.followed_m += if pull_m > 0.0 { over_m } else { -over_m };
        self.travelled_m += over_m;
        let turned = self.forward != (pull_m > 0.0);
        self.forward = pull_m > 0.0;
        if turned { Pull::Reversed } else { Pull::Along }
    }

    /// Way gone since the start, m.
    #[must_use]
    pub fn travelled_m(&self) -> f64 {
        self.travelled_m
    }

    /// Whether the last way was toward rising positions.
    #[must_use]
    pub fn forward(&self) -> bool {
        self.forward
    }
}

/// One kept point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point<T> {
    /// Where the table was, m from machine zero.
    pub table_m: f64,
    /// Way gone up to here, m.
    pub travelled_m: f64,
    /// What was seen.
    pub seen: T,
}

/// The points of the last periods of travel. Memory is taken once, when it is made.
#[derive(Clone, Debug)]
pub struct Track<T> {
    period_m: f64,
    window_m: f64,
    follower: Follower,
    ring: Vec<Point<T>>,
    next: usize,
}

impl<T: Copy> Track<T> {
    /// A track over the last `periods` (1 to [`PERIODS_MAX`]) of a grating of period `period_m`, m.
    ///
    /// # Errors
    /// When either number is not finite or outside its range.
    pub fn new(period_m: f64, periods: f64) -> Result<Self, FieldError> {
        check_period(period_m)?;
        check_field("periods", periods, (1.0, PERIODS_MAX), "1")?;
        Ok(Self {
            period_m,
            window_m: periods * period_m,
            follower: Follower::new(period_m),
            ring: Vec::with_capacity(CAPACITY),
            next: 0,
        })
    }

    /// The table is at `table_m` and this is seen there.
    #[inline]
    pub fn see(&mut self, table_m: f64, seen: T) {
        match self.follower.go(table_m) {
            Pull::Slack => return,
            Pull::Started => self.ring.clear(),
            Pull::Along | Pull::Reversed => {}
        }
        let travelled_m = self.follower.travelled_m;
        let fresh = |newest: &Point<T>| travelled_m - newest.travelled_m >= self.period_m / POINTS_PER_PERIOD;
        if self.newest().is_none_or(fresh) {
            let point = Point { table_m, travelled_m, seen };
            if self.ring.len() < CAPACITY {
                self.ring.push(point);
                self.next = self.ring.len() % CAPACITY;
            } else {
                self.ring[self.next] = point;
                self.next = (self.next + 1) % CAPACITY;
            }
        }
    }

    /// Forgets everything: what follows is measured afresh.
    pub fn clear(&mut self) {
        self.follower = Follower::new(self.period_m);
        self.ring.clear();
        self.next = 0;
    }

    /// The newest point.
    #[must_use]
    pub fn newest(&self) -> Option<&Point<T>> {
        let have = self.ring.len();
        if have == 0 { None } else { self.ring.get((self.next + have - 1) % have) }
    }

    /// Points of the window, oldest first.
    pub fn points(&self) -> impl Iterator<Item = &Point<T>> + Clone {
        let have = self.ring.len();
        let oldest = if have < CAPACITY { 0 } else { self.next };
        let from_m = self.newest().map_or(0.0, |p| p.travelled_m - self.window_m);
        (0..have).map(move |i| &self.ring[(oldest + i) % have]).filter(move |p| p.travelled_m >= from_m)
    }

    /// Period of the grating, m.
    #[must_use]
    pub fn period_m(&self) -> f64 {
        self.period_m
    }

    /// How many periods the points of the window cover.
    #[must_use]
    pub fn periods(&self) -> f64 {
        let first = self.points().next();
        first.zip(self.newest()).map_or(0.0, |(first, last)| (last.travelled_m - first.travelled_m) / self.period_m)
    }

    /// Which way the table went last: true toward rising positions.
    #[must_use]
    pub fn forward(&self) -> bool {
        self.follower.forward
    }
}

#[cfg(test)]
mod tests {
    use super::{CAPACITY, Follower, Pull, Track};

    #[test]
    fn a_window_holds_the_last_periods_evenly_whatever_the_speed() {
        for step in [0.001, 0.01, 0.06] {
            let mut t = Track::new(20e-6, 4.0).unwrap();
            let mut x = 0.5;
            while x < 0.501 {
                x += step * 20e-6;
                t.see(x, x);
            }
            assert!((t.periods() - 4.0).abs() < 0.1, "{step}: {}", t.periods());
            let n = t.points().count();
            let per_period = f64::min(60.0, 1.0 / step);
            assert!((n as f64 / (4.0 * per_period) - 1.0).abs() < 0.2, "{step}: {n}");
            assert!((t.newest().unwrap().table_m - x).abs() < 20e-6 / 15.0);
            assert!(t.points().zip(t.points().skip(1)).all(|(a, b)| a.travelled_m < b.travelled_m));
            assert_eq!(t.ring.capacity(), CAPACITY, "no memory is taken while running");
        }
    }

    #[test]
    fn trembling_in_place_adds_nothing() {
        let mut t = Track::new(20e-6, 4.0).unwrap();
        (0..400).for_each(|i| t.see(f64::from(i) * 0.5e-6, i));
        let before = t.points().count();
        // A swing of just under half a period.
        (0..10_000).for_each(|i| t.see(199.5e-6 - if i % 2 == 0 { 9.9e-6 } else { 0.0 }, 7777));
        assert_eq!(t.points().count(), before);
        assert!(t.points().all(|p| p.seen != 7777));
    }

    #[test]
    fn a_jump_starts_afresh() {
        let mut t = Track::new(20e-6, 4.0).unwrap();
        (0..400).for_each(|i| t.see(f64::from(i) * 0.5e-6, i));
        t.see(0.3, 400);
        assert_eq!(t.points().count(), 1);
        t.see(f64::NAN, 401);
        assert_eq!(t.newest().unwrap().seen, 400);
        t.clear();
        assert_eq!((t.points().count(), t.newest()), (0, None));
        assert_eq!(t.periods(), 0.0);
    }

    #[test]
    fn turning_round_is_told_after_the_play() {
        let mut f = Follower::new(20e-6);
        assert_eq!(f.go(0.0), Pull::Started);
        assert_eq!((f.go(4e-6), f.go(10e-6)), (Pull::Slack, Pull::Along));
        assert_eq!((f.go(1e-6), f.go(-1e-6)), (Pull::Slack, Pull::Reversed));
        assert!(!f.forward() && (f.travelled_m() - 6e-6).abs() < 1e-12);
    }

    #[test]
    fn impossible_windows_are_refused_with_name_value_and_range() {
        let told = |p, n| Track::<f64>::new(p, n).unwrap_err().to_string();
        assert_eq!(told(-2e-5, 1.0), "period_m: -0.00002 is outside the allowed range 0.000001 to 0.01 (unit: m)");
        assert!(told(f64::NAN, 1.0).starts_with("period_m: NaN is not a finite number"));
        assert_eq!(told(2e-5, 17.0), "periods: 17 is outside the allowed range 1 to 16 (unit: 1)");
    }
}
