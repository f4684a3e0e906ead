//! Events: what happened on the bench, with the chain of causes that only the model knows.

use crate::chain::loss::SignalFault;
use crate::chain::wiring::Pair;
use crate::monitor::{MonitorKind, Rank};
use serde::{Deserialize, Serialize};

mod care;
mod hands;
pub use care::Care;
pub use hands::Hands;

/// How much an event matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Weight {
    /// Worth knowing.
    Note,
    /// Something is going wrong, nothing has stopped.
    Warning,
    /// The axis was stopped.
    Alarm,
}

/// What happened.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum What {
    /// Dirt comes under the head; share of the light pattern that is left.
    DirtUnderHead {
        /// Contrast left, 0..1.
        contrast: f64,
    },
    /// The head is over clean scale again.
    DirtPassed,
    /// The signal is too weak to switch: the count stands while the table moves.
    CountStands {
        /// Amplitude of A, V.
        amplitude_v: f64,
        /// What the input needs, V.
        needed_v: f64,
    },
    /// Counting again, this much was not counted.
    CountResumes {
        /// Counts lost (signed, positive when the readout is too small).
        lost_counts: i64,
        /// The same as a distance, m.
        lost_m: f64,
    },
    /// Both channels changed at once, for the first time since it was last reported.
    IllegalTransition {
        /// How many so far.
        total: u64,
    },
    /// A monitor answered.
    Monitor {
        /// Which.
        kind: MonitorKind,
        /// The value that it judges (m, m/s), see the kind.
        value: f64,
        /// Its limit in the same unit.
        limit: f64,
        /// Whether it only warns.
        warning: bool,
        /// Where it stands among the faults since the last reset.
        #[serde(default)]
        rank: Rank,
        /// The axis at that instant.
        #[serde(default)]
        at: Circumstances,
    },
    /// A stop on the path took too long: torque off.
    StopOverdue,
    /// The axis stands after an alarm, the drive is off.
    Stopped,
    /// The alarm was acknowledged.
    Acknowledged,
    /// Acknowledging was refused; why, in words.
    Refused {
        /// Why.
        why: String,
    },
    /// Homing began.
    HomingStarted,
    /// Zero was taken from the reference mark; the readout had been off by this much, m.
    Homed {
        /// Correction of the readout, m.
        corrected_m: f64,
    },
    /// Homing failed; why, in words.
    HomingFailed {
        /// Why.
        why: String,
    },
    /// The table sits against an end stop.
    EndStop {
        /// True at the positive end.
        positive: bool,
    },
    /// The scale was wiped.
    Wiped,
    /// Dirt was smeared on the scale.
    Smeared {
        /// Start, m.
        from_m: f64,
        /// End, m.
        to_m: f64,
    },
    /// The signal at the control is bad.
    Signal {
        /// What is wrong.
        fault: SignalFault,
        /// What was seen, V: length of the vector, or difference of the pair.
        value_v: f64,
        /// The limit that it passed, V.
        limit_v: f64,
    },
    /// The signal at the control is good again.
    SignalGood,
    /// A fault was put in; its name.
    Broken {
        /// Name of the fault.
        name: String,
    },
    /// Faults were taken out.
    Mended {
        /// Name of the fault, or "everything".
        name: String,
    },
    /// Something was done to scale or window.
    Care(Care),
    /// Homing on distance-coded marks began.
    SearchStarted,
    /// A reference mark was met on the way to zero.
    MarkSeen {
        /// Count latched at it.
        count: i64,
        /// Way from the released home switch to it, m, where the switch chose it.
        switch_to_mark_m: Option<f64>,
    },
    /// The distance of two marks was read as a place.
    PairRead {
        /// Distance, m, positive upwards.
        distance_m: f64,
        /// Place of the second mark, m from machine zero.
        place_m: f64,
    },
    /// A third mark fits: the place is proven.
    PlaceProven {
        /// Its place, m from machine zero.
        place_m: f64,
    },
    /// A mark does not fit those before it; why, in words.
    MarkRefused {
        /// Why.
        why: String,
    },
    /// A word of the absolute scale was not believed; why, in words.
    CodeRefused {
        /// Why.
        why: String,
        /// How many so far.
        total: u64,
    },
    /// The cabinet was off for a while.
    PoweredUp {
        /// For how long, s.
        off_s: f64,
        /// Whether the axis knows its place.
        referenced: bool,
    },
    /// The place is not believed any more.
    ReferenceLost,
    /// The search for the one mark of a turn began.
    TurnStarted,
    /// Something was done by hand.
    Hands(Hands),
    /// A hanging table came to rest below where its torque went off.
    Dropped {
        /// How far, m.
        by_m: f64,
    },
}

/// The axis at the instant at which a monitor spoke.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Circumstances {
    /// Commanded place, m.
    pub x_ref_m: f64,
    /// Place by the feedback in the loop, m.
    pub x_fb_m: f64,
    /// Place by the motor encoder, m.
    pub x_motor_m: f64,
    /// Commanded speed, m/s.
    pub v_cmd_mps: f64,
    /// Motor current, A.
    pub current_a: f64,
}

/// One entry of the log.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Event {
    /// Model time, s.
    pub time_s: f64,
    /// Where the table was, m.
    pub place_m: f64,
    /// What happened.
    pub what: What,
}

impl Event {
    /// How much it matters.
    pub fn weight(&self) -> Weight {
        match &self.what {
            // As long as the position can be told, a wrong amplitude is worth knowing and no trouble yet.
            What::Signal { fault, .. } if !fault.is_loss() => Weight::Note,
            What::Monitor { warning: false, .. } | What::HomingFailed { .. } => Weight::Alarm,
            // What the axis is asked and cannot do, and what somebody changed, is no trouble.
            What::Monitor { kind: MonitorKind::NotReferenced | MonitorKind::LimitEdited, .. } => Weight::Note,
            What::Monitor { .. }
            | What::StopOverdue
            | What::Signal { .. }
            | What::CountStands { .. }
            | What::CountResumes { .. }
            | What::IllegalTransition { .. }
            | What::Refused { .. }
            | What::MarkRefused { .. }
            | What::CodeRefused { .. }
            | What::ReferenceLost
            | What::Dropped { .. }
            | What::EndStop { .. } => Weight::Warning,
            What::Care(care) if care.harmful() => Weight::Warning,
            What::Hands(hands) if hands.worrying() => Weight::Warning,
            _ => Weight::Note,
        }
    }

    /// Whether it followed at once from the fault before it: shown indented below that.
    #[must_use]
    pub fn follows(&self) -> bool {
        matches!(self.what, What::Monitor { rank: Rank::Secondary, .. })
    }

    /// Whether it tells a cause that no instrument of the bench could know: left out while the cause is covered.
    #[must_use]
    pub fn tells_cause(&self) -> bool {
        use What::{Broken, Care, DirtPassed, DirtUnderHead, Mended, Smeared};
        matches!(
            self.what,
            DirtUnderHead { .. } | DirtPassed | Smeared { .. } | Broken { .. } | Mended { .. } | Care(_)
        )
    }

    /// What happened, in plain words.
    pub fn words(&self) -> String {
        let place = mm(self.place_m, 1);
        match &self.what {
            What::DirtUnderHead { contrast } => {
                format!("Dirt comes under the head at {place} mm: {:.0} % of the pattern is left.", contrast * 100.0)
            }
            What::DirtPassed => format!("The head is over clean scale again at {place} mm."),
            What::CountStands { amplitude_v, needed_v } if *amplitude_v > 1.5 * needed_v => format!(
                "The count stands at {place} mm, the table moves. A is strong enough with {amplitude_v:.2} V: a channel sits off its middle or its wires are not right."
            ),
            What::CountStands { amplitude_v, needed_v } => format!(
                "Signal too weak to switch at {place} mm: {amplitude_v:.2} V, needs {needed_v:.2} V. The count stands, the table moves."
            ),
            What::CountResumes { lost_counts: 0, lost_m } if *lost_m == 0.0 => {
                format!("Counting again at {place} mm. No count was lost.")
            }
            What::CountResumes { lost_counts, lost_m } => format!(
                "Counting again at {place} mm. {} counts were lost: the readout is off by {} mm until the axis is homed.",
                lost_counts.abs(),
                mm(*lost_m, 3)
            ),
            What::IllegalTransition { total } => {
                format!("A and B changed at the same time: illegal transition, {total} so far.")
            }
            What::Monitor { kind, value, limit, warning, .. } => kind.words(*value, *limit, *warning),
            What::StopOverdue => "The axis did not stand in time: torque off.".to_owned(),
            What::Stopped => format!("The axis stands at {place} mm, drive off."),
            What::Acknowledged => "Alarm acknowledged, drive on. The place is held as the count says.".to_owned(),
            What::Refused { why } => format!("Refused: {why}"),
            What::HomingStarted => "Homing: back to the home switch, then forward to the reference mark.".to_owned(),
            What::Homed { corrected_m } if corrected_m.abs() < 5e-7 => {
                "Homed: zero taken from the reference mark, the readout was right.".to_owned()
            }
            What::Homed { corrected_m } => {
                format!("Homed: zero taken from the reference mark, the readout was off by {} mm.", mm(*corrected_m, 3))
            }
            What::HomingFailed { why } => format!("Homing failed: {why}"),
            What::EndStop { positive } => {
                format!("The table sits against the {} end stop.", if *positive { "positive" } else { "negative" })
            }
            What::Wiped => "The scale was wiped.".to_owned(),
            What::Smeared { from_m, to_m } => {
                format!("Dirt was smeared on the scale from {} to {} mm.", mm(*from_m, 1), mm(*to_m, 1))
            }
            What::Signal { fault, value_v, limit_v } => signal_words(*fault, *value_v, *limit_v, &place),
            What::SignalGood => format!("The signal is good again at {place} mm."),
            What::Broken { name } => format!("Put in: {name}."),
            What::Mended { name } => format!("Taken out: {name}."),
            What::Care(care) => care.words(),
            What::Hands(hands) => hands.words(),
            What::SearchStarted => "Homing: along the scale until three distance-coded marks agree.".to_owned(),
            What::MarkSeen { count, switch_to_mark_m: Some(way_m) } => {
                format!("Mark seen at count {count}, {} mm after the home switch was released.", mm(*way_m, 3))
            }
            What::MarkSeen { count, switch_to_mark_m: None } => format!("First mark seen at count {count}."),
            What::PairRead { distance_m, place_m } => format!(
                "Two marks {} mm apart: only one pair is, so this is {} mm. The next mark must prove it.",
                mm(distance_m.abs(), 3),
                mm(*place_m, 3)
            ),
            What::PlaceProven { place_m } => format!("Third mark fits: the place is proven, {} mm.", mm(*place_m, 3)),
            What::MarkRefused { why } => format!("This mark does not fit: {why}. The search begins again here."),
            What::CodeRefused { why, total } => {
                format!("Code word refused at {place} mm, {total} so far: {why}. The place is extrapolated.")
            }
            What::PoweredUp { off_s, referenced: true } => {
                format!(
                    "Cabinet on again after {off_s:.0} s, drive off. The encoder knows its place, no homing needed."
                )
            }
            What::PoweredUp { off_s, referenced: false } => {
                format!("Cabinet on again after {off_s:.0} s, drive off. The axis has lost its zero: home it.")
            }
            What::TurnStarted => "Homing: round until the reference mark of the ring comes.".to_owned(),
            What::Dropped { by_m } => format!(
                "The hanging table came to rest {} mm below where its torque went off. Never stand or reach under it: \
                 prop it before anybody works there, and have the brake tested when the way has grown.",
                mm(*by_m, 2)
            ),
            What::ReferenceLost => "The zero is not believed any more: home the axis.".to_owned(),
        }
    }
}

fn signal_words(fault: SignalFault, value_v: f64, limit_v: f64, place: &str) -> String {
    let pair = |pair: Pair| match pair {
        Pair::A => "A",
        Pair::B => "B",
        Pair::Reference => "the reference mark",
    };
    match fault {
        SignalFault::AmplitudeFalling => {
            format!("The signal is getting weak: from {place} mm on A and B together stay below {limit_v:.2} V.")
        }
        SignalFault::AmplitudeRising => {
            format!("The signal is getting strong: from {place} mm on A and B together go beyond {limit_v:.2} V.")
        }
        SignalFault::AmplitudeLow => {
            format!("The signal is too weak at {place} mm: A and B together stay below the limit of {limit_v:.2} V.")
        }
        SignalFault::AmplitudeHigh => {
            format!("The signal is too strong at {place} mm: A and B together go beyond the limit of {limit_v:.2} V.")
        }
        SignalFault::SignalLost => {
            format!("A and B no longer reach {limit_v:.2} V at {place} mm: signal lost.")
        }
        SignalFault::PairMissing(lost) => format!(
            "The pair of {} shows no level at {place} mm: {value_v:.2} V between its wires, {limit_v:.1} V make a level. A wire is open or shorted, or the head has no supply.",
            pair(lost)
        ),
        SignalFault::CommonMode(lost) => format!(
            "The pair of {} sits more than {limit_v:.0} V off the control's 0 V at {place} mm: the grounds of machine and control differ.",
            pair(lost)
        ),
        SignalFault::ChannelStands(lost) => {
            let other = if lost == Pair::A { "B" } else { "A" };
            format!(
                "{other} switches and {} stands while the motor turns, at {place} mm: a wire is stuck on one level.",
                pair(lost)
            )
        }
    }
}

/// A length as millimetres with a fixed number of decimals, without a minus before zero.
pub fn mm(metres: f64, decimals: usize) -> String {
    fixed(metres * 1e3, decimals)
}

/// A number with a fixed number of decimals, without a minus before zero.
pub fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(digits) if digits.chars().all(|c| matches!(c, '0' | '.')) => digits.to_owned(),
        _ => text,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_name_place_value_and_remedy() {
        let event = |what| Event { time_s: 1.0, place_m: 0.1502, what };
        assert_eq!(
            event(What::CountResumes { lost_counts: 20, lost_m: 0.005 }).words(),
            "Counting again at 150.2 mm. 20 counts were lost: the readout is off by 5.000 mm until the axis is homed."
        );
        let stands = |amplitude_v| event(What::CountStands { amplitude_v, needed_v: 0.1 }).words();
        assert!(stands(0.08).starts_with("Signal too weak"), "{}", stands(0.08));
        assert!(stands(0.49).contains("strong enough with 0.49 V"), "{}", stands(0.49));
        let signal = |fault, value_v, limit_v| event(What::Signal { fault, value_v, limit_v });
        let lost = signal(SignalFault::SignalLost, 0.09, 0.1);
        assert_eq!(lost.words(), "A and B no longer reach 0.10 V at 150.2 mm: signal lost.");
        let missing = signal(SignalFault::PairMissing(Pair::A), 0.02, 0.2);
        assert!(missing.words().contains("0.02 V between its wires, 0.2 V make a level. A wire is open"));
        assert_eq!((lost.weight(), missing.weight()), (Weight::Warning, Weight::Warning));
        assert_eq!(signal(SignalFault::AmplitudeLow, 0.19, 0.2).weight(), Weight::Note);
        assert_eq!(mm(-0.000_000_1, 2), "0.00");
        assert_eq!(mm(-0.0015, 1), "-1.5");
    }
}
