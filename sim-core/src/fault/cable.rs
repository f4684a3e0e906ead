//! Faults of cable, plugs, screen and supply.

use super::{FaultId, Group, Row};
use crate::chain::interference::{Reception, Shield};
use crate::chain::wiring::flex::FlexParams;
use crate::chain::wiring::harness::WireFault;
use crate::chain::wiring::{FlexContact, Pair, Wire};
use crate::params::Params;

const fn row(id: FaultId, name: &'static str, title: &'static str, apply: fn(&mut Params, f64, f64)) -> Row {
    Row { id, name, title, group: Group::Cable, has_place: false, wipes_off: false, apply }
}

/// A conductor of pair A with a bad contact, from a kilohm up to open at full severity.
pub(super) const CONDUCTOR_OPEN: Row =
    row(FaultId::ConductorOpen, "conductor-open", "Conductor of A open", |params, s, _| {
        let fault = if s >= 0.95 {
            WireFault::Open(Wire::APlus)
        } else {
            WireFault::HighResistance { wire: Wire::APlus, ohm: 1e3 * s }
        };
        params.wiring.faults.push(fault);
    });

/// A conductor of pair B that touches the screen, better the worse it is.
pub(super) const CONDUCTOR_SHORT: Row =
    row(FaultId::ConductorShort, "conductor-short", "Conductor of B on screen", |params, s, _| {
        params.wiring.faults.push(WireFault::ShortToShield { wire: Wire::BPlus, ohm: 0.1 + 200.0 * (1.0 - s) });
    });

/// Pairs A and B exchanged in a plug, from half severity on.
pub(super) const PAIRS_SWAPPED: Row =
    row(FaultId::PairsSwapped, "pairs-swapped", "A and B exchanged", |params, s, _| {
        if s >= 0.5 {
            params.wiring.faults.push(WireFault::PairsSwapped([Pair::A, Pair::B]));
        } else {
            // Half plugged: the contacts of both pairs are poor.
            params.wiring.faults.push(WireFault::HighResistance { wire: Wire::APlus, ohm: 40.0 * s });
        }
    });

/// A conductor that opens now and then where the cable bends.
pub(super) const FLEX_BREAK: Row = Row {
    has_place: true,
    ..row(FaultId::FlexBreak, "flex-break", "Cable breaks when bent", |params, s, at_m| {
        params.wiring.contact = Some(FlexContact {
            fault: WireFault::Open(Wire::APlus),
            flex: FlexParams {
                from_m: at_m - 0.03,
                to_m: at_m + 0.03,
                open_rate_per_s: 1.0 + 19.0 * s,
                mean_open_s: 2e-3 + 48e-3 * s,
            },
        });
    })
};

/// Supply conductors with up to 10 ohm more on their way.
pub(super) const SUPPLY_THIN: Row =
    row(FaultId::SupplyThin, "supply-thin", "Supply low at the head", |params, s, _| {
        params.supply.contact_ohm += 10.0 * s;
    });

/// Screen lifted while an inverter switches next to it.
pub(super) const SCREEN_OPEN: Row =
    row(FaultId::ScreenOpen, "screen-open", "Screen lifted, inverter on", |params, s, _| {
        params.interference.shield = Shield::Open;
        params.interference.inverter.edge_v += 60.0 * s;
    });

/// Termination forgotten, from half severity on; before, a termination of the wrong value.
pub(super) const TERMINATION_MISSING: Row =
    row(FaultId::TerminationMissing, "termination-missing", "Termination missing", |params, s, _| {
        params.wiring.terminals.termination_ohm *= 1.0 + 50.0 * s;
        params.wiring.terminals.bias_ohm *= 1.0 + s;
    });

/// A conductor of pair A that touches the supply, better the worse it is.
pub(super) const CONDUCTOR_SUPPLY: Row =
    row(FaultId::ConductorSupply, "conductor-supply", "Conductor of A on supply", |params, s, _| {
        params.wiring.faults.push(WireFault::ShortToSupply { wire: Wire::APlus, ohm: 0.1 + 200.0 * (1.0 - s) });
    });

/// A poor contact of up to 600 ohm in pair B. It takes 80 % of a sine channel; a square channel still switches.
pub(super) const CONTACT_POOR: Row = row(FaultId::ContactPoor, "contact-poor", "Poor contact in B", |params, s, _| {
    params.wiring.faults.push(WireFault::HighResistance { wire: Wire::BPlus, ohm: 600.0 * s });
});

/// The conductors of pair A exchanged in a plug, from half severity on; before, half plugged.
pub(super) const CHANNEL_INVERTED: Row =
    row(FaultId::ChannelInverted, "channel-inverted", "Conductors of A exchanged", |params, s, _| {
        params.wiring.faults.push(if s >= 0.5 {
            WireFault::Swapped(Pair::A.wires())
        } else {
            WireFault::HighResistance { wire: Wire::APlus, ohm: 40.0 * s }
        });
    });

/// A mains voltage of up to 20 V between the grounds of machine and control, which drives a current through a screen
/// bonded at both ends. Pairs reject it until their receivers' window is left; a single wire carries it as signal.
pub(super) const GROUND_LIFT: Row =
    row(FaultId::GroundLift, "ground-lift", "Grounds apart, mains between", |params, s, _| {
        params.interference.mains.earth_difference_v += 20.0 * s;
    });

/// The head of another axis is plugged in, from half severity on: it stands still whatever this axis does. Before, half
/// plugged.
pub(super) const AXIS_PLUGS_SWAPPED: Row =
    row(FaultId::AxisPlugsSwapped, "axis-plugs-swapped", "Head of another axis plugged in", |params, s, _| {
        if s >= 0.5 {
            params.other_head = true;
        } else {
            params.wiring.faults.push(WireFault::HighResistance { wire: Wire::APlus, ohm: 40.0 * s });
        }
    });

/// Water in a plug: a leak from the supply to a conductor of B, some series resistance of green contacts, noise.
pub(super) const PLUG_WET: Row = row(FaultId::PlugWet, "plug-wet", "Water in a plug", |params, s, _| {
    params.wiring.faults.push(WireFault::ShortToSupply { wire: Wire::BPlus, ohm: (500.0 / s).min(1e6) });
    params.wiring.faults.push(WireFault::HighResistance { wire: Wire::APlus, ohm: 20.0 * s });
    params.noise *= 1.0 + 5.0 * s;
});

/// The axis' own motor cable lies beside its encoder cable: bursts that go with the motor current, in common mode up to
/// 100 V at the continuous current; a fiftieth of that on a single wire, which takes all of it as signal (own values).
pub(super) const POWER_CABLE_NEAR: Row =
    row(FaultId::PowerCableNear, "power-cable-near", "Motor cable beside it", |params, s, _| {
        let single = params.interference.reception == Reception::SingleEnded;
        let at_continuous_v = if single { 2.0 } else { 100.0 };
        params.motor_bursts_v_per_a += s * at_continuous_v / params.machine.motor.continuous_current;
    });
