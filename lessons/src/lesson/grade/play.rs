//! Backlash as an indicator finds it: the same commanded place, come to from both sides.

use super::span::Span;

/// How far apart two commanded places may be and still be the same, m.
const SAME_M: f64 = 20e-6;

/// Moves that are remembered: enough to come back to a place from the other side after some others.
const MOST: usize = 16;

/// A move that ended.
#[derive(Clone, Copy, Debug)]
struct Stand {
    /// Commanded place, m.
    command_m: f64,
    /// Place of the table, m.
    table_m: f64,
    /// It was come to from below.
    from_below: bool,
}

/// Where the table came to rest, the last move at the end.
#[derive(Clone, Debug, Default)]
pub struct Play(Vec<Stand>);

impl Play {
    /// A move was finished.
    pub fn moved(&mut self, span: &Span) {
        if self.0.len() == MOST {
            self.0.remove(0);
        }
        let (command_m, table_m) = (span.last.command_m, span.last.table_m);
        self.0.push(Stand { command_m, table_m, from_below: span.way_m() > 0.0 });
    }

    /// Lost motion, m, positive when the table stays behind: of the place at which the last move ended.
    ///
    /// # Errors
    /// What has still to be done.
    pub fn backlash_m(&self) -> Result<f64, String> {
        let pair = self.0.split_last().and_then(|(last, before)| {
            let same = |s: &&Stand| s.from_below != last.from_below && (s.command_m - last.command_m).abs() < SAME_M;
            Some((last, before.iter().rev().find(same)?))
        });
        match pair {
            Some((last, other)) if last.from_below => Ok(other.table_m - last.table_m),
            Some((last, other)) => Ok(last.table_m - other.table_m),
            None => Err("come to the same place once from below and once from above".to_owned()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use sim_core::record::Record;

    #[test]
    fn the_same_place_from_both_sides_gives_the_play_and_two_places_give_none() {
        let mut play = Play::default();
        let span = |from: f64, to: f64, command_m: f64| Span {
            start: Record { table_m: from, ..Record::default() },
            last: Record { table_m: to, command_m, ..Record::default() },
            ..Span::default()
        };
        play.moved(&span(0.095, 0.099_97, 0.1));
        assert!(play.backlash_m().is_err());
        play.moved(&span(0.105, 0.100_03, 0.1));
        assert!((play.backlash_m().unwrap() - 60e-6).abs() < 1e-12);
        // Another place on the way, and back: the side that was come from before is still known.
        play.moved(&span(0.105, 0.102_03, 0.102));
        assert!(play.backlash_m().unwrap_err().contains("once from below"));
        play.moved(&span(0.095, 0.099_98, 0.1));
        assert!((play.backlash_m().unwrap() - 50e-6).abs() < 1e-12);
    }
}
