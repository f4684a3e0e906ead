//! What disturbs, how the cable is screened, and how the input takes it.

use crate::numbers::{FieldError, check_field};
use serde::{Deserialize, Serialize};

/// Mains frequency picked up as hum and as lamp light.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Mains {
    /// Mains frequency, Hz, 40 to 70; 50 or 60 as a rule.
    pub hz: f64,
    /// Phase of the hum at time zero, turns, -1 to 1.
    pub phase_turns: f64,
    /// Amplitude of the hum's fundamental that the cable picks up in common mode, V, 0 to 20.
    pub hum_v: f64,
    /// Amplitude of the mains-frequency voltage between the earths of machine and cabinet, V,
    /// 0 to 20; it needs a loop, see [`Shield::loop_share`].
    pub earth_difference_v: f64,
    /// Ripple of ambient lamps at twice the mains frequency against their mean light, 0 to 1;
    /// 0.3 for lamps of the usual kind (own), 0 for daylight.
    pub lamp_ripple: f64,
}

/// An inverter in the neighbourhood, as seen on its motor cable.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Inverter {
    /// Height of the ringing at one switching edge on the motor cable, V, 0 (off) to 100;
    /// 0.5 to 20 is usual.
    pub edge_v: f64,
    /// Switching frequency, Hz, 1e3 to 20e3; 4e3 to 16e3 is usual.
    pub pwm_hz: f64,
    /// Electrical frequency of its motor, Hz, 0 to 1000.
    pub electrical_hz: f64,
    /// Modulation depth, 0 standing to 1 full voltage.
    pub modulation: f64,
    /// Frequency of the ringing, Hz, 0.1e6 to 30e6; 1e6 to 10e6 is usual.
    pub ring_hz: f64,
    /// Time constant of its decay, s, 0.05e-6 to 20e-6; 0.3e-6 to 3e-6 is usual.
    pub decay_s: f64,
}

/// Where the encoder cable's shield is bonded.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Shield {
    /// At the head and at the cabinet.
    BothEnds,
    /// At the cabinet alone.
    OneEnd,
    /// Nowhere: cut, or forgotten in the plug.
    Open,
}

impl Shield {
    /// Share of the motor cable's bursts that reaches the encoder cable, common mode (own; the
    /// order is common practice).
    #[must_use]
    pub const fn burst_share(self) -> f64 {
        match self {
            Self::BothEnds => 0.002,
            Self::OneEnd => 0.02,
            Self::Open => 0.2,
        }
    }

    /// Share of the voltage between both earths that reaches the conductors: a shield bonded at
    /// both ends closes the loop (own; the order is common practice). This is why rules of thumb
    /// about the second end contradict each other.
    #[must_use]
    pub const fn loop_share(self) -> f64 {
        match self {
            Self::BothEnds => 0.3,
            Self::OneEnd | Self::Open => 0.02,
        }
    }
}

/// A ground conductor that the head's supply shares with something else: `R_gnd I_return` is
/// added to both conductors of every pair, whatever the shield.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct GroundReturn {
    /// Resistance of the shared stretch, ohm, 0 (not shared) to 10.
    pub ohm: f64,
    /// Amplitude of the mains-frequency return current in it, A, 0 to 100.
    pub mains_a: f64,
    /// Height of the inverter's switching pulses in it, A, 0 to 100.
    pub burst_a: f64,
}

/// How the input takes common mode.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Reception {
    /// Pairs with a common-mode rejection for A and B, dB, 0 to 120; 40 to 60 is usual.
    Differential {
        /// Rejection of channels A and B, dB.
        cmrr_db: [f64; 2],
    },
    /// One conductor per channel: common mode is signal.
    SingleEnded,
}

/// Everything that the surroundings do to the signals. SI units.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct InterferenceParams {
    /// Hum and lamps.
    pub mains: Mains,
    /// Neighbouring inverter.
    pub inverter: Inverter,
    /// Shield of the encoder cable.
    pub shield: Shield,
    /// Whether encoder and motor cable lie together in one duct: three times the bursts (own).
    pub beside_motor_cable: bool,
    /// Shared ground return.
    pub ground: GroundReturn,
    /// How the input takes it.
    pub reception: Reception,
}

/// Factor on the bursts where both cables lie together (own).
const BESIDE_MOTOR_CABLE: f64 = 3.0;

impl InterferenceParams {
    /// Quiet surroundings of a differential head: everything ready, nothing switched on. The
    /// rejections of A and B differ a little, as those of real pairs do.
    pub const QUIET: Self = Self {
        mains: Mains { hz: 50.0, phase_turns: 0.0, hum_v: 0.0, earth_difference_v: 0.0, lamp_ripple: 0.0 },
        inverter: Inverter {
            edge_v: 0.0,
            pwm_hz: 8e3,
            electrical_hz: 50.0,
            modulation: 0.8,
            ring_hz: 3e6,
            decay_s: 1e-6,
        },
        shield: Shield::BothEnds,
        beside_motor_cable: false,
        ground: GroundReturn { ohm: 0.0, mains_a: 0.0, burst_a: 0.0 },
        reception: Reception::Differential { cmrr_db: [52.0, 48.0] },
    };

    /// Amplitude of the hum's fundamental in common mode, V.
    #[must_use]
    pub fn hum_common_v(&self) -> f64 {
        self.mains.hum_v
            + self.shield.loop_share() * self.mains.earth_difference_v
            + self.ground.ohm * self.ground.mains_a
    }

    /// Height of one switching burst in common mode, V: `k_sh V_b`, three times that beside the
    /// motor cable, plus `R_gnd I`.
    #[must_use]
    pub fn burst_common_v(&self) -> f64 {
        let beside = if self.beside_motor_cable { BESIDE_MOTOR_CABLE } else { 1.0 };
        beside * self.shield.burst_share() * self.inverter.edge_v + self.ground.ohm * self.ground.burst_a
    }

    /// Refuses what is not finite or outside its range.
    ///
    /// # Errors
    /// The first field that is wrong, with value, range and unit.
    pub fn check(&self) -> Result<(), FieldError> {
        let (mains, inverter, ground) = (&self.mains, &self.inverter, &self.ground);
        check_field("mains.hz", mains.hz, (40.0, 70.0), "Hz")?;
        check_field("mains.phase_turns", mains.phase_turns, (-1.0, 1.0), "turns")?;
        check_field("mains.hum_v", mains.hum_v, (0.0, 20.0), "V")?;
        check_field("mains.earth_difference_v", mains.earth_difference_v, (0.0, 20.0), "V")?;
        check_field("mains.lamp_ripple", mains.lamp_ripple, (0.0, 1.0), "1")?;
        check_field("inverter.edge_v", inverter.edge_v, (0.0, 100.0), "V")?;
        check_field("inverter.pwm_hz", inverter.pwm_hz, (1e3, 20e3), "Hz")?;
        check_field("inverter.electrical_hz", inverter.electrical_hz, (0.0, 1e3), "Hz")?;
        check_field("inverter.modulation", inverter.modulation, (0.0, 1.0), "1")?;
        check_field("inverter.ring_hz", inverter.ring_hz, (0.1e6, 30e6), "Hz")?;
        check_field("inverter.decay_s", inverter.decay_s, (0.05e-6, 20e-6), "s")?;
        check_field("ground.ohm", ground.ohm, (0.0, 10.0), "ohm")?;
        check_field("ground.mains_a", ground.mains_a, (0.0, 100.0), "A")?;
        check_field("ground.burst_a", ground.burst_a, (0.0, 100.0), "A")?;
        if let Reception::Differential { cmrr_db } = self.reception {
            check_field("reception.cmrr_db.a", cmrr_db[0], (0.0, 120.0), "dB")?;
            check_field("reception.cmrr_db.b", cmrr_db[1], (0.0, 120.0), "dB")?;
        }
        Ok(())
    }
}
