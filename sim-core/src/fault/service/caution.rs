//! What service work can hurt, and what is done about it.
//!
//! The sentences are our own words for common practice. What stands behind them, from memory: isolation and stored
//! energy 29 CFR 1910.147 and EN ISO 14118; hanging axes ISO 12100 and ISO 16090-1; live work EN 50110-1; static
//! IEC 61340-5-1; light sources IEC 62471 and IEC 60825-1; compressed air 29 CFR 1910.242(b).

/// A caution. The order is that of the work: first make it safe, then open it, then put it right.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Caution {
    /// Isolate, prove dead, wait for stored energy.
    LockOut,
    /// A hanging axis stands on a support.
    HangingAxis,
    /// No plug moves under voltage.
    LivePlug,
    /// Live measuring is for authorised persons.
    LiveMeasuring,
    /// The axis moves during the check.
    MovingAxis,
    /// Optical radiation.
    LightSource,
    /// Sharp edges, and prints on the lines.
    Glass,
    /// Cleaning agents.
    Solvent,
    /// Air, coolant and gas under pressure.
    Pressure,
    /// Static discharge.
    Static,
    /// Parameters are changed.
    SaveParameters,
}

/// What stands below any list of cautions.
pub const DEFER: &str = "Local rules, the machine maker's manual and licensed practice come before anything written \
    here; if you are not authorised for a step, the step is to call the person who is.";

impl Caution {
    /// All cautions in their order.
    pub const ALL: [Self; 11] = [
        Self::LockOut,
        Self::HangingAxis,
        Self::LivePlug,
        Self::LiveMeasuring,
        Self::MovingAxis,
        Self::LightSource,
        Self::Glass,
        Self::Solvent,
        Self::Pressure,
        Self::Static,
        Self::SaveParameters,
    ];

    /// Stable name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::LockOut => "lockout",
            Self::HangingAxis => "hanging-axis",
            Self::LivePlug => "live-plug",
            Self::LiveMeasuring => "live-measuring",
            Self::MovingAxis => "moving-axis",
            Self::LightSource => "light-source",
            Self::Glass => "glass",
            Self::Solvent => "solvent",
            Self::Pressure => "pressure",
            Self::Static => "static",
            Self::SaveParameters => "save-parameters",
        }
    }

    /// The whole caution.
    #[must_use]
    pub fn text(self) -> &'static str {
        match self {
            Self::LockOut => {
                "Before hands go in, lock out and tag the machine, try to start it, prove it dead, and wait until the \
                 drive has discharged, as long as its label says; an emergency stop or safe torque off is no isolation."
            }
            Self::HangingAxis => {
                "If the axis hangs, prop or pin it before brake, counterbalance, motor, coupling or feedback is \
                 touched, and let neither brake nor drive carry it over anybody's hands."
            }
            Self::LivePlug => {
                "Never plug or unplug an encoder, a motor or a drive under voltage, and mark every plug before it \
                 comes off."
            }
            Self::LiveMeasuring => {
                "Measuring under voltage is for authorised persons only, at finger-safe points and with a meter rated \
                 for it."
            }
            Self::MovingAxis => {
                "The axis moves: guard shut, slow, hands and other people clear of everything that can pinch, and a \
                 stop within reach."
            }
            Self::LightSource => {
                "Do not look into the light source, not even when it seems dark, for it may be infrared; switch it off \
                 first and read the class on its label."
            }
            Self::Glass => {
                "Wear gloves: edges of glass and steel tape cut, glass splinters, and a bare finger leaves its print \
                 on the lines."
            }
            Self::Solvent => {
                "Use only the cleaning agent that the maker of the scale permits, with gloves, away from sparks and \
                 hot parts, and air the room."
            }
            Self::Pressure => {
                "Shut off and release air, coolant and gas pressure before anything is opened, and never blow \
                 compressed air at open optics or at people."
            }
            Self::Static => {
                "Static can damage a card or a head without a sign: wear an earthed wrist strap and leave the part in \
                 its bag until it goes in."
            }
            Self::SaveParameters => {
                "Save all parameters first, change one at a time, write the old value down, and never widen a limit to \
                 silence an alarm."
            }
        }
    }
}
