//! Moves and strokes: what the table did, whoever moved it.

use super::span::Span;
use sim_core::record::{Record, STEP_S, Sample};

/// Slower than this the table stands, m/s.
const STANDING_MPS: f64 = 2e-4;
/// So long it must have been that slow, s.
const STANDING_S: f64 = 0.03;

/// Follows the table from standing to standing.
#[derive(Clone, Debug)]
pub struct Moves {
    /// Shortest way that is a move, m.
    least_m: f64,
    slow_s: f64,
    under_way: Span,
    /// The last finished move.
    pub last: Option<Span>,
    /// The last finished move up and the last one down.
    pub last_each: [Option<Span>; 2],
    /// How many were finished.
    pub finished: u32,
    /// Ways out and back, each one way.
    legs: u32,
    way: f64,
    counted_way: f64,
    turn_m: f64,
    from_m: f64,
}

impl Moves {
    /// Begins with the table as it is; a move is at least half a period.
    pub fn new(start: &Record, period_m: f64) -> Self {
        Self {
            least_m: 0.5 * period_m,
            slow_s: 0.0,
            under_way: Span::from(start),
            last: None,
            last_each: [None; 2],
            finished: 0,
            legs: 0,
            way: 0.0,
            counted_way: 0.0,
            turn_m: start.table_m,
            from_m: start.table_m,
        }
    }

    /// Strokes out and back.
    pub fn strokes(&self) -> u32 {
        self.legs / 2
    }

    /// Whether the last way that was finished led out.
    pub fn is_out(&self) -> bool {
        self.legs % 2 == 1
    }

    /// Edges within a step.
    pub fn edges(&mut self, before: &Sample, now: &Sample) {
        self.under_way.edges(before, now);
    }

    /// The end of a step; whether something was finished.
    pub fn see(&mut self, r: &Record) -> bool {
        let before = self.legs;
        self.under_way.see(r);
        self.turn(r.table_m);
        if r.speed_mps.abs() >= STANDING_MPS {
            self.slow_s = 0.0;
            return self.legs > before;
        }
        self.slow_s += STEP_S;
        if self.slow_s < STANDING_S {
            return self.legs > before;
        }
        let moved = self.under_way.way_m().abs() >= self.least_m;
        if moved {
            self.last = Some(self.under_way);
            self.last_each[usize::from(self.under_way.way_m() < 0.0)] = Some(self.under_way);
            self.finished += 1;
        }
        self.end_leg();
        self.under_way = Span::from(r);
        (self.from_m, self.turn_m, self.way) = (r.table_m, r.table_m, 0.0);
        moved || self.legs > before
    }

    /// Looks for a reversal on the way.
    fn turn(&mut self, table_m: f64) {
        if self.way == 0.0 && (table_m - self.from_m).abs() > self.least_m {
            self.way = (table_m - self.from_m).signum();
            self.turn_m = table_m;
        }
        if (table_m - self.turn_m) * self.way > 0.0 {
            self.turn_m = table_m;
        } else if (table_m - self.turn_m).abs() > self.least_m {
            self.end_leg();
            (self.from_m, self.way) = (self.turn_m, -self.way);
            self.turn_m = table_m;
        }
    }

    /// A way ends; one that goes on where the last one went is part of that.
    fn end_leg(&mut self) {
        if self.way != 0.0 && self.way != self.counted_way {
            self.legs += 1;
            self.counted_way = self.way;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drive(moves: &mut Moves, at: &mut f64, to: f64, speed: f64) {
        while (to - *at).abs() > speed * STEP_S {
            let v = speed * (to - *at).signum();
            *at += v * STEP_S;
            moves.see(&Record { table_m: *at, speed_mps: v, ..Record::default() });
        }
    }

    fn stand(moves: &mut Moves, at: f64) {
        for _ in 0..1000 {
            moves.see(&Record { table_m: at, ..Record::default() });
        }
    }

    #[test]
    fn moves_and_strokes_are_found_with_and_without_a_rest() {
        let mut moves = Moves::new(&Record::default(), 1e-3);
        let mut at = 0.0;
        stand(&mut moves, at);
        assert_eq!((moves.finished, moves.strokes()), (0, 0));
        drive(&mut moves, &mut at, 0.02, 0.05);
        stand(&mut moves, at);
        assert!((moves.last.unwrap().way_m() - 0.02).abs() < 1e-5);
        // On in the same direction: part of the way out.
        drive(&mut moves, &mut at, 0.03, 0.05);
        stand(&mut moves, at);
        assert_eq!((moves.finished, moves.strokes()), (2, 0));
        drive(&mut moves, &mut at, 0.0, 0.05);
        stand(&mut moves, at);
        assert_eq!((moves.finished, moves.strokes()), (3, 1));
        for _ in 0..3 {
            drive(&mut moves, &mut at, 0.02, 0.05);
            drive(&mut moves, &mut at, 0.0, 0.05);
        }
        stand(&mut moves, at);
        assert_eq!((moves.finished, moves.strokes()), (3, 4), "a way that ends where it began is no move");
    }

    #[test]
    fn trembling_is_no_move() {
        let mut moves = Moves::new(&Record::default(), 1e-3);
        for i in 0..20_000 {
            let table_m = 5e-5 * f64::from(i % 7);
            moves.see(&Record { table_m, speed_mps: 0.01, ..Record::default() });
        }
        stand(&mut moves, 0.0);
        assert_eq!((moves.finished, moves.strokes()), (0, 0));
    }
}
