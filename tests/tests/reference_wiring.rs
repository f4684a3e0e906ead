//! The wiring network against a nodal analysis of drivers, conductors, terminators and faults.

use serde::Deserialize;
use sim_core::chain::line::Legs;
use sim_core::chain::wiring::harness::{Harness, Wire, WireFault};
use sim_core::chain::wiring::network::{Network, NetworkParams};
use system_tests::table::{Differences, read};

#[derive(Deserialize)]
struct Row {
    fault: String,
    wire: Option<Wire>,
    other: Option<Wire>,
    wire_ohm: f64,
    terminated: bool,
    emf: usize,
    v1: f64,
    v2: f64,
    v3: f64,
    v4: f64,
    v5: f64,
    v6: f64,
}

impl Row {
    fn faults(&self) -> Vec<WireFault> {
        let wires = || [self.wire, self.other].into_iter().flatten();
        match (self.fault.as_str(), self.wire, self.other) {
            ("healthy", None, None) => vec![],
            ("open", Some(_), _) => wires().map(WireFault::Open).collect(),
            ("shield", Some(wire), None) => vec![WireFault::ShortToShield { wire, ohm: 0.1 }],
            ("poor", Some(wire), None) => vec![WireFault::HighResistance { wire, ohm: 1e3 }],
            ("short", Some(one), Some(two)) => vec![WireFault::ShortBetween { wires: [one, two], ohm: 0.1 }],
            (fault, ..) => panic!("wiring.csv: unknown fault {fault}"),
        }
    }
}

/// Potentials of the six legs, as the table's heading lists them.
const EMF_V: [[f64; 6]; 3] =
    [[2.75, 2.25, 2.5, 2.5, 2.3, 2.7], [2.25, 2.75, 2.9, 2.1, 2.6, 2.2], [4.2, 0.8, 0.8, 4.2, 4.2, 0.8]];

// Source: Kirchhoff's law at twelve nodes, numpy.linalg.solve (wiring.csv). Ten digits in the table.
#[test]
fn every_conductor_fault_gives_the_voltages_of_the_whole_network() {
    let mut differences = Differences::default();
    for row in read::<Row>("wiring") {
        let params = NetworkParams {
            leg_ohm: 10.0 + row.wire_ohm,
            termination_ohm: row.terminated.then_some(120.0),
            bias_ohm: 10e3,
            bias_v: 2.5,
            shield_v: 0.0,
            supply_v: 5.0,
            pair_f: 0.0,
            single_ended: false,
            driver_on: true,
        };
        let network = Network::new(&params, &Harness::with_all(&row.faults()));
        let levels = network.apply(&Legs(EMF_V[row.emf]));
        let pins = [[row.v1, row.v2], [row.v3, row.v4], [row.v5, row.v6]];
        for (pair, [plus, minus]) in pins.into_iter().enumerate() {
            let what =
                format!("{} {:?} {:?}, pair {pair}, terminated {}", row.fault, row.wire, row.other, row.terminated);
            differences.compare(format!("{what}: difference"), levels.difference_v[pair], plus - minus, 2e-9);
            differences.compare(format!("{what}: common"), levels.common_v[pair], 0.5 * (plus + minus), 2e-9);
        }
    }
    differences.none();
}
