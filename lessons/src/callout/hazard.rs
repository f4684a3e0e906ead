//! What was unsafe.

use sim_core::bench::command::SafetyAct;

/// Something that could have hurt somebody or the machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hazard {
    /// Hands went in, or a plug came off, while the machine had power.
    Entered {
        /// Whether a plug was pulled.
        unplugged: bool,
    },
    /// Hands went in before the DC link had time to discharge.
    StoredEnergy,
    /// A table that hangs came off its drive without a prop.
    Unsupported,
    /// A step of making safe was left out or done out of order.
    Missed(SafetyAct),
}

impl Hazard {
    /// Whether it is serious: nothing else in a visit makes up for it.
    #[must_use]
    pub fn serious(self) -> bool {
        !matches!(self, Self::Missed(_))
    }

    /// What happened, in words.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Self::Entered { unplugged: true } => {
                "A plug was pulled while the machine had power. Encoder inputs and heads die of that, and hands were in an \
                 energised cabinet or machine."
                    .to_owned()
            }
            Self::Entered { unplugged: false } => {
                "Hands went in while the machine had power. Lock out, try to start, prove it dead first.".to_owned()
            }
            Self::StoredEnergy => {
                "The disconnector was open, but the DC link was still charged. Wait as long as the drive's label says, \
                 then measure."
                    .to_owned()
            }
            Self::Unsupported => {
                "The table hung on nothing but its drive, and the drive came off. A prop carries it first.".to_owned()
            }
            Self::Missed(act) => format!("Left out or out of order: {}.", act.title()),
        }
    }
}
