//! The wires between head and control, and everything that can be wrong with them.
//!
//! ```text
//!  legs of the driver --R_o + R' l--> terminals of the receiver --R_t across, R_b to the bias--> difference, mean
//! ```
//!
//! Faults are data ([`harness::WireFault`]); with them the resistor network of the six conductors is solved once per
//! change ([`network::Network`]) and costs a few multiply-adds per sample. A contact that comes and goes while the
//! cable bends ([`flex`]) chooses between two networks solved beforehand. Receiver differences pass one pole per pair,
//! made by the resistance that the network shows at the terminals and the capacitance of the pair.
//!
//! Left out: where along the cable a fault sits (it sits at the receiver's terminals), crosstalk and reflections, the
//! time constant of the common mode.

pub mod flex;
pub mod harness;
pub mod network;
pub mod ohms;

use crate::chain::analog::{SampleCoefficients, SampleTable};
use crate::chain::conductor::CableParams;
use crate::chain::line::{DRIVER_OFF_V, DriverParams, Legs, OutputForm, TERMINATION_OHM};
use crate::limits::{FieldError, within};
use flex::{FlexParams, FlexState};
use harness::{Harness, WireFault};
use network::{Network, NetworkParams, PairLevels};
use serde::{Deserialize, Serialize};

pub use harness::{Pair, Wire};

/// The receiving end: what hangs on the terminals of a pair.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TerminalParams {
    /// Whether the pairs are terminated at all; single-ended inputs never are.
    pub terminated: bool,
    /// Termination across a pair, ohm, 10 to 1e5.
    pub termination_ohm: f64,
    /// Resistance from each terminal to the bias, ohm, 4e3 (the least that TIA-422 allows) to 1e9.
    pub bias_ohm: f64,
    /// Voltage of the bias, V, -30 to 30.
    pub bias_v: f64,
    /// Potential of the shield against the control's 0 V, V, -30 to 30.
    pub shield_v: f64,
    /// Supply at the control, V, -30 to 30: where a conductor shorted to the supply goes.
    pub supply_v: f64,
}

impl TerminalParams {
    /// Inputs of the usual kind: pairs across 120 ohm with 10 kohm to half the supply; single-ended wires with
    /// 1 Mohm to 0 V (own).
    #[must_use]
    pub fn usual(form: OutputForm) -> Self {
        let single = form == OutputForm::SingleEnded;
        Self {
            terminated: !single,
            termination_ohm: TERMINATION_OHM,
            bias_ohm: if single { 1e6 } else { 10e3 },
            bias_v: if single { 0.0 } else { 2.5 },
            shield_v: 0.0,
            supply_v: 5.0,
        }
    }

    /// Refuses numbers that no input has.
    ///
    /// # Errors
    /// The first field that is not finite or outside its range.
    pub fn check(&self) -> Result<(), FieldError> {
        within("terminals.termination_ohm", self.termination_ohm, 10.0, 1e5)?;
        within("terminals.bias_ohm", self.bias_ohm, 4e3, 1e9)?;
        within("terminals.bias_v", self.bias_v, -30.0, 30.0)?;
        within("terminals.shield_v", self.shield_v, -30.0, 30.0)?;
        within("terminals.supply_v", self.supply_v, -30.0, 30.0)
    }
}

/// A contact that opens now and then where the cable bends.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FlexContact {
    /// What is wrong while the contact is open.
    pub fault: WireFault,
    /// When and where it opens.
    pub flex: FlexParams,
}

/// Everything that the wiring is made of.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WiringParams {
    /// Driver in the head.
    pub driver: DriverParams,
    /// Cable.
    pub cable: CableParams,
    /// Receiving end.
    pub terminals: TerminalParams,
    /// Faults that are there all the time, in any order.
    pub faults: Vec<WireFault>,
    /// A fault that comes and goes.
    pub contact: Option<FlexContact>,
}

impl WiringParams {
    /// A healthy cable of a length, m.
    #[must_use]
    pub fn healthy(form: OutputForm, length_m: f64) -> Self {
        Self {
            driver: DriverParams::usual(form),
            cable: CableParams::usual(length_m),
            terminals: TerminalParams::usual(form),
            faults: Vec::new(),
            contact: None,
        }
    }

    /// Refuses numbers that no wiring has.
    ///
    /// # Errors
    /// The first field that is not finite or outside its range.
    pub fn check(&self) -> Result<(), FieldError> {
        self.driver.check()?;
        self.cable.check()?;
        self.terminals.check()?;
        for fault in &self.faults {
            fault.check()?;
        }
        self.contact.map_or(Ok(()), |contact| contact.fault.check().and_then(|()| contact.flex.check()))
    }

    fn network(&self) -> NetworkParams {
        let single_ended = self.driver.form == OutputForm::SingleEnded;
        NetworkParams {
            leg_ohm: self.driver.source_ohm + self.cable.signal_ohm(),
            termination_ohm: (self.terminals.terminated && !single_ended).then_some(self.terminals.termination_ohm),
            bias_ohm: self.terminals.bias_ohm,
            bias_v: self.terminals.bias_v,
            shield_v: self.terminals.shield_v,
            supply_v: self.terminals.supply_v,
            pair_f: self.cable.pair_f(),
            single_ended,
            driver_on: self.driver.supply_v >= DRIVER_OFF_V,
        }
    }
}

/// One solved network with the poles of its pairs.
#[derive(Clone, Debug, PartialEq)]
struct Line {
    network: Network,
    poles: [SampleTable; 3],
}

impl Line {
    fn new(params: &NetworkParams, harness: &Harness) -> Self {
        let network = Network::new(params, harness);
        let poles = network.corner_hz().map(SampleTable::new);
        Self { network, poles }
    }

    fn follow(&self, samples: u32) -> [f64; 3] {
        [0, 1, 2].map(|p: usize| 1.0 - self.poles[p].of(samples).keep)
    }

    fn follow_for(&self, dt_s: f64) -> [f64; 3] {
        [0, 1, 2].map(|p: usize| 1.0 - SampleCoefficients::new(self.poles[p].corner_hz(), dt_s).keep)
    }
}

/// The wiring made ready: worked out once per change of parameters.
#[derive(Clone, Debug, PartialEq)]
pub struct Wiring {
    closed: Line,
    contact: Option<(FlexParams, Line)>,
}

/// Shares of the way that the pairs go in one sample, with the contact closed and open.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Follow {
    closed: [f64; 3],
    open: [f64; 3],
}

/// What the wiring carries from sample to sample.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WiringState {
    /// Differences at the receiver behind the pole of the cable, V.
    difference_v: [f64; 3],
    /// The contact that comes and goes.
    contact: FlexState,
}

impl WiringState {
    /// Wires without charge and a closed contact; the contact's chance is the stream `wiring.contact` of this seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self { difference_v: [0.0; 3], contact: FlexState::new(seed, "wiring.contact") }
    }

    /// Whether the contact that comes and goes is open.
    #[must_use]
    pub fn contact_open(&self) -> bool {
        self.contact.open()
    }

    /// Charges the cable to where it ends under steady legs.
    pub fn settle(&mut self, wiring: &Wiring, legs: &Legs) {
        self.difference_v = wiring.line(self.contact.open()).network.apply(legs).difference_v;
    }
}

impl Wiring {
    /// Solves the networks.
    #[must_use]
    pub fn new(params: &WiringParams) -> Self {
        let network = params.network();
        let harness = Harness::with_all(&params.faults);
        let contact = params.contact.map(|c| (c.flex, Line::new(&network, &harness.with(&c.fault))));
        Self { closed: Line::new(&network, &harness), contact }
    }

    fn line(&self, open: bool) -> &Line {
        match &self.contact {
            Some((_, line)) if open => line,
            _ => &self.closed,
        }
    }

    /// The network while no contact is open.
    #[must_use]
    pub fn network(&self) -> &Network {
        &self.closed.network
    }

    /// Coefficients of the poles with `samples` samples per model step; looked up once per step.
    #[must_use]
    pub fn follow(&self, samples: u32) -> Follow {
        let closed = self.closed.follow(samples);
        Follow { closed, open: self.contact.as_ref().map_or(closed, |(_, line)| line.follow(samples)) }
    }

    /// Coefficients of the poles for a sample of any length, s, above 0: where edges follow each other faster than the
    /// samples of a step can.
    #[must_use]
    pub fn follow_for(&self, dt_s: f64) -> Follow {
        let closed = self.closed.follow_for(dt_s);
        Follow { closed, open: self.contact.as_ref().map_or(closed, |(_, line)| line.follow_for(dt_s)) }
    }

    /// The network of this moment and the shares of its poles.
    #[inline]
    fn now<'a>(
        &'a self,
        contact: &mut FlexState,
        place_m: f64,
        dt_s: f64,
        follow: &'a Follow,
    ) -> (&'a Network, &'a [f64; 3]) {
        match &self.contact {
            Some((flex, line)) if contact.step(flex, place_m, dt_s) => (&line.network, &follow.open),
            _ => (&self.closed.network, &follow.closed),
        }
    }

    /// One sample of length `dt_s` with the axis at `place_m`: legs at the head to levels at the receiver.
    #[inline]
    pub fn step(&self, state: &mut WiringState, legs: &Legs, place_m: f64, dt_s: f64, follow: &Follow) -> PairLevels {
        let (network, follow) = self.now(&mut state.contact, place_m, dt_s, follow);
        // Pair by pair and number by number: going over whole arrays twice cost three times as much, because the
        // second pass loads in one piece what the first stored in several.
        let mut levels = PairLevels::default();
        for (pair, (held_v, share)) in state.difference_v.iter_mut().zip(follow).enumerate() {
            let (difference_v, common_v) = network.pair(pair, legs);
            *held_v += share * (difference_v - *held_v);
            levels.difference_v[pair] = *held_v;
            levels.common_v[pair] = common_v;
        }
        levels
    }

    /// As [`Self::step`], but only what an input reads of A and B: their differences, V. The reference pair keeps its
    /// charge.
    #[inline]
    pub fn step_channels(
        &self,
        state: &mut WiringState,
        legs: &Legs,
        place_m: f64,
        dt_s: f64,
        follow: &Follow,
    ) -> [f64; 2] {
        let (network, follow) = self.now(&mut state.contact, place_m, dt_s, follow);
        let mut difference_v = [0.0; 2];
        for (pair, seen_v) in difference_v.iter_mut().enumerate() {
            let held_v = &mut state.difference_v[pair];
            *held_v += follow[pair] * (network.difference_v(pair, legs) - *held_v);
            *seen_v = *held_v;
        }
        difference_v
    }
}

#[cfg(test)]
mod tests;
