//! Which steps were done: told by the commands, the bench after them, and the run.

use crate::lesson::goal::step;
use sim_core::bench::Sim;
use sim_core::bench::command::Command;
use sim_core::event::{Event, Hands, What};
use sim_core::names::{Setting, Value};
use sim_core::record::{Record, STEP_S};
use sim_core::surface::wiping::Method;

/// Share of the travel that a scan covers at least, and of it at the steady speed.
const SCANNED: (f64, f64) = (0.9, 0.8);
/// How far from steady a speed may be.
const STEADY: f64 = 0.02;

/// Recognises steps.
#[derive(Clone, Debug)]
pub struct Steps {
    done: Vec<&'static str>,
    scan: Scan,
    /// Whether the neighbour's inverter was seen off, and on.
    neighbour: [bool; 2],
}

/// The way that is being driven in one go.
#[derive(Clone, Copy, Debug)]
struct Scan {
    travel_m: f64,
    from_m: f64,
    command_mps: f64,
    steady_m: f64,
}

impl Scan {
    /// The end of a step; whether a scan is complete now.
    fn see(&mut self, r: &Record) -> bool {
        let command = r.command_mps;
        if command.abs() < 1e-6 || command * self.command_mps < 0.0 {
            (self.from_m, self.command_mps, self.steady_m) = (r.table_m, command, 0.0);
            return false;
        }
        if command.abs() > self.command_mps.abs() * (1.0 + STEADY) {
            // Still speeding up, or told to go faster: what went before was another speed.
            (self.command_mps, self.steady_m) = (command, 0.0);
        } else if command.abs() > self.command_mps.abs() * (1.0 - STEADY) {
            self.steady_m += r.speed_mps.abs() * STEP_S;
        }
        (r.table_m - self.from_m).abs() >= SCANNED.0 * self.travel_m && self.steady_m >= SCANNED.1 * self.travel_m
    }
}

impl Steps {
    pub fn new(sim: &Sim) -> Self {
        let r = sim.record();
        let travel_m = sim.params().machine.travel;
        let scan = Scan { travel_m, from_m: r.table_m, command_mps: r.command_mps, steady_m: 0.0 };
        Self { done: Vec::new(), scan, neighbour: [false; 2] }
    }

    /// Whether a step was done.
    pub fn has(&self, step: &str) -> bool {
        self.done.contains(&step)
    }

    fn note(&mut self, step: &'static str) {
        if !self.has(step) {
            self.done.push(step);
        }
    }

    /// A command was accepted; `sim` is the bench after it.
    pub fn did(&mut self, command: &Command, sim: &Sim) {
        // Bending is done when its end is told, not when it begins.
        if !matches!(command, Command::Flex(_)) {
            self.note(command.name());
        }
        let method = match command {
            Command::Wipe(w) => w.method,
            Command::WipeAllWith(w) => Some(w.method),
            Command::WipeWindow(w) => w.method,
            _ => None,
        };
        match method {
            Some(Method::PermittedSolvent) => self.note(step::CLEAN_RIGHT),
            Some(Method::DryCloth) => self.note(step::CLEAN_DRY),
            Some(Method::WrongSolvent | Method::AirBlast) | None => {}
        }
        match command {
            Command::Safety(_) if sim.locked_out() => self.note(step::LOCKOUT),
            Command::Look(look) => self.note(look.name()),
            Command::Replace(part) => self.note(step::of_part(*part)),
            Command::Set(list) => {
                for (setting, value) in &list.0 {
                    if let (Setting::CableInverter, Value::Number(volts)) = (setting, value) {
                        self.neighbour[usize::from(*volts > 0.0)] = true;
                    }
                }
                if self.neighbour == [true; 2] {
                    self.note(step::NEIGHBOUR);
                }
            }
            _ => {}
        }
    }

    /// The end of a step of the model; whether something was recognised in it.
    pub fn see(&mut self, r: &Record) -> bool {
        let scanned = self.scan.see(r) && !self.has(step::AMP_SCAN);
        if scanned {
            self.note(step::AMP_SCAN);
        }
        scanned
    }

    pub fn event(&mut self, event: &Event) {
        if matches!(event.what, What::Hands(Hands::Flexed { .. })) {
            self.note(step::FLEX);
        }
    }
}
