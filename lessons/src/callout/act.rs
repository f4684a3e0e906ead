//! What a technician does, as scripts and files name it.

use super::remedy::{REMEDIES, Remedy};
use diagnosis::Check;
use diagnosis::check::CHECKS;
use sim_core::bench::command::SafetyAct;
use sim_core::bench::safety::{LABEL_WAIT_S, SHOP_S_PER_BENCH_S};
use sim_core::names::nearest_hint;
use std::fmt;

/// One thing that is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Act {
    /// A question to the operator, by its place in the case.
    Ask(usize),
    /// The log is read.
    Log,
    /// A step of making safe or ready.
    Safety(SafetyAct),
    /// Waiting, min of the shop.
    Wait(u16),
    /// A break-out is fitted at the head's plug, so that signals can be measured there.
    BreakOut,
    /// A check.
    Check(Check),
    /// A remedy.
    Remedy(Remedy),
    /// An alarm is acknowledged, the drive switched on, zero taken where the axis has none.
    Ready,
    /// The proof run of the case.
    Prove,
}

/// Steps of making safe and ready with their names in scripts.
const SAFETY: [(&str, SafetyAct); 9] = [
    ("switch-off", SafetyAct::SwitchOff),
    ("isolate", SafetyAct::Isolate),
    ("lock", SafetyAct::Lock),
    ("try-start", SafetyAct::TryStart),
    ("verify-dead", SafetyAct::VerifyDead),
    ("prop", SafetyAct::Prop),
    ("prop-out", SafetyAct::PropOut),
    ("unlock", SafetyAct::Unlock),
    ("switch-on", SafetyAct::SwitchOn),
];

/// Wait that the label of the drive asks for, min of the shop (common practice; the label decides).
pub const LABEL_WAIT_MIN: u16 = (LABEL_WAIT_S * SHOP_S_PER_BENCH_S / 60.0) as u16;

impl Act {
    /// How long it takes, min.
    #[must_use]
    pub fn minutes(self) -> u16 {
        match self {
            Self::Ask(_) => 4,
            Self::Log => 2,
            Self::Safety(SafetyAct::VerifyDead | SafetyAct::Prop) => 2,
            Self::Safety(_) => 1,
            Self::Wait(minutes) => minutes,
            Self::BreakOut => 4,
            Self::Check(check) => check.row().minutes,
            Self::Remedy(remedy) => remedy.row().minutes,
            Self::Ready => 3,
            Self::Prove => 8,
        }
    }

    /// What is done, in words; a question stands in the case.
    #[must_use]
    pub fn title(self) -> String {
        match self {
            Self::Ask(n) => format!("Question {}", n + 1),
            Self::Log => "Read the log".to_owned(),
            Self::Safety(act) => act.order().to_owned(),
            Self::Wait(minutes) => format!("Wait {minutes} min"),
            Self::BreakOut => "Fit the break-out at the head's plug".to_owned(),
            Self::Check(check) => check.row().title.to_owned(),
            Self::Remedy(remedy) => remedy.row().title.to_owned(),
            Self::Ready => "Drive on, take zero".to_owned(),
            Self::Prove => "Proof run".to_owned(),
        }
    }

    /// The acts that a line of a script stands for: `lockout` and `power-up` stand for several.
    ///
    /// # Errors
    /// What is wrong with the line, and how to mend it.
    pub fn read(line: &str, hangs: bool) -> Result<Vec<Self>, (String, String)> {
        let (verb, rest) = line.trim().split_once(' ').unwrap_or((line.trim(), ""));
        let rest = rest.trim();
        let number = || {
            rest.parse::<u16>().map_err(|_| {
                (format!("\"{verb}\" needs a number and has \"{rest}\""), format!("write for example \"{verb} 1\"."))
            })
        };
        let safety = |acts: &[SafetyAct]| acts.iter().map(|act| Self::Safety(*act)).collect::<Vec<_>>();
        let single = |act| Ok(vec![act]);
        if !rest.is_empty() && !matches!(verb, "ask" | "wait" | "check" | "remedy") {
            return Err((
                format!("\"{rest}\" stands behind \"{verb}\""),
                "take it out; one thing to a line.".to_owned(),
            ));
        }
        match verb {
            "ask" => single(Self::Ask(usize::from(number()?.max(1)) - 1)),
            "wait" => single(Self::Wait(number()?)),
            "log" => single(Self::Log),
            "break-out" => single(Self::BreakOut),
            "ready" => single(Self::Ready),
            "prove" => single(Self::Prove),
            "check" => match Check::by_name(rest) {
                Some(check) => single(Self::Check(check)),
                None => Err((format!("there is no check \"{rest}\""), nearest_hint(rest, checks()))),
            },
            "remedy" => match Remedy::by_name(rest) {
                Some(remedy) => single(Self::Remedy(remedy)),
                None => Err((format!("there is no remedy \"{rest}\""), nearest_hint(rest, remedies()))),
            },
            "lockout" => {
                let mut acts = safety(&[SafetyAct::SwitchOff]);
                if hangs {
                    acts.push(Self::Safety(SafetyAct::Prop));
                }
                acts.extend(safety(&[SafetyAct::Isolate, SafetyAct::Lock, SafetyAct::TryStart]));
                acts.extend([Self::Wait(LABEL_WAIT_MIN), Self::Safety(SafetyAct::VerifyDead)]);
                Ok(acts)
            }
            "power-up" => {
                let mut acts = safety(&[SafetyAct::Unlock]);
                if hangs {
                    acts.push(Self::Safety(SafetyAct::PropOut));
                }
                acts.extend([Self::Safety(SafetyAct::SwitchOn), Self::Ready]);
                Ok(acts)
            }
            _ => match SAFETY.iter().find(|(name, _)| *name == verb) {
                Some((_, act)) => single(Self::Safety(*act)),
                None => Err((
                    format!("\"{verb}\" is nothing that can be done"),
                    "write ask, log, check, lockout, power-up, break-out, wait, remedy, ready or prove.".to_owned(),
                )),
            },
        }
    }
}

fn checks() -> impl Iterator<Item = &'static str> + Clone {
    CHECKS.iter().map(|row| row.name)
}

fn remedies() -> impl Iterator<Item = &'static str> + Clone {
    REMEDIES.iter().map(|row| row.name)
}

impl fmt::Display for Act {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Ask(n) => write!(f, "ask {}", n + 1),
            Self::Log => f.write_str("log"),
            Self::Safety(act) => {
                f.write_str(SAFETY.iter().find(|(_, other)| other == act).map_or("", |(name, _)| *name))
            }
            Self::Wait(minutes) => write!(f, "wait {minutes}"),
            Self::BreakOut => f.write_str("break-out"),
            Self::Check(check) => write!(f, "check {}", check.row().name),
            Self::Remedy(remedy) => write!(f, "remedy {}", remedy.row().name),
            Self::Ready => f.write_str("ready"),
            Self::Prove => f.write_str("prove"),
        }
    }
}
