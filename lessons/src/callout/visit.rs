//! A visit: what is done at the machine, minute by minute, and what comes of it.

use super::act::Act;
use super::case::Case;
pub use super::done::Done;
use super::done::{Log, ended};
use super::hazard::Hazard;
use super::remedy::Remedy;
use diagnosis::check::Power;
use diagnosis::{Baseline, Check, Reading, read};
use sim_core::bench::Sim;
use sim_core::bench::command::{Break, Command, DriveSwitch, SafetyAct, WipeAllWith};
use sim_core::bench::safety::{LABEL_WAIT_S, SHOP_S_PER_BENCH_S};
use sim_core::event::Event;
use sim_core::fault::{Active, FaultId};
use sim_core::inspect::drive::settle;
use sim_core::num::random::Stream;
use sim_core::numbers::Within;
use sim_core::record::{Doing, STEP_S};
use sim_core::surface::wiping::Method;
use std::rc::Rc;

/// Chance that a plug pulled under voltage takes the input of the control with it (own value).
const HARM: f64 = 0.5;
/// What a table breaks that comes down: the first that the machine has.
const FALLEN: [FaultId; 2] = [FaultId::NutWorn, FaultId::BearingPlay];
/// How often an alarm is acknowledged, every five seconds: the minutes of [`Act::Ready`].
const COOLING: usize = 36;
/// Time given to an axis to come to rest, s.
const REST_S: f64 = 5.0;
/// Longest time given to a homing, s.
const HOMING_S: f64 = 600.0;

/// A visit in progress.
pub struct Visit {
    case: Rc<Case>,
    baseline: Rc<Baseline>,
    hidden: Vec<Active>,
    sim: Sim,
    log: Log,
    chance: Stream,
    minutes: u32,
    break_out: bool,
    done: Vec<Done>,
    proof: Option<bool>,
}

impl Visit {
    /// Comes to the machine of a case as it was left; `baseline` is that of [`Case::setup`].
    #[must_use]
    pub fn arrive(case: &Rc<Case>, baseline: &Rc<Baseline>, seed: u32) -> Self {
        let setup = case.setup();
        let start_m = 0.25 * setup.machine().spec().travel;
        let hidden = case.draw(seed);
        let mut sim = Sim::start(setup, seed, start_m);
        sim.put_in(&hidden);
        let mut log = Log::default();
        let step_of = |seconds: f64| (seconds / STEP_S).round() as u64;
        let mut at = 0;
        for timed in &case.before {
            let due = step_of(timed.at_s.get());
            sim.advance(due.saturating_sub(at), &mut log);
            at = at.max(due);
            // Whatever the machine does not do for the operator is part of the complaint.
            let _ = sim.command(&timed.command);
        }
        sim.advance(step_of(case.before_s).saturating_sub(at), &mut log);
        let chance = Stream::named(u64::from(seed), "harm of a visit");
        Self {
            case: Rc::clone(case),
            baseline: Rc::clone(baseline),
            hidden,
            sim,
            log,
            chance,
            minutes: 0,
            break_out: false,
            done: Vec::new(),
            proof: None,
        }
    }

    /// The case.
    #[must_use]
    pub fn case(&self) -> &Case {
        &self.case
    }

    /// What was hidden; for the debrief.
    #[must_use]
    pub fn hidden(&self) -> &[Active] {
        &self.hidden
    }

    /// The machine.
    #[must_use]
    pub fn sim(&self) -> &Sim {
        &self.sim
    }

    /// Minutes since the arrival.
    #[must_use]
    pub fn minutes(&self) -> u32 {
        self.minutes
    }

    /// Everything that was done, in its order.
    #[must_use]
    pub fn done(&self) -> &[Done] {
        &self.done
    }

    /// Whether a break-out is fitted at the head's plug.
    #[must_use]
    pub fn break_out(&self) -> bool {
        self.break_out
    }

    /// What checks measure on the healthy machine.
    #[must_use]
    pub fn baseline(&self) -> &Baseline {
        &self.baseline
    }

    /// Whether the last proof run came out well; nothing when there was none since the last remedy.
    #[must_use]
    pub fn proof(&self) -> Option<bool> {
        self.proof
    }

    /// Does something. What is refused costs nothing and is not noted.
    ///
    /// # Errors
    /// Why it cannot be done now, and what has to be done before.
    pub fn act(&mut self, act: Act) -> Result<&Done, String> {
        // What is refused halfway leaves the machine as it was: a visit is what was done, and nothing else.
        let before = (self.sim.clone(), self.log.clone(), self.chance.clone(), self.proof);
        match self.try_act(act) {
            Ok(done) => {
                self.minutes += u32::from(act.minutes());
                self.done.push(done);
                self.done.last().ok_or_else(String::new)
            }
            Err(why) => {
                (self.sim, self.log, self.chance, self.proof) = before;
                Err(why)
            }
        }
    }

    fn try_act(&mut self, act: Act) -> Result<Done, String> {
        let mut done =
            Done { act, from_min: self.minutes, told: String::new(), reading: None, hazards: vec![], cured: vec![] };
        match act {
            Act::Ask(n) => {
                let statement = self.case.statements.get(n).ok_or("the operator has nothing to say to that")?;
                done.told = statement.answer.clone();
            }
            Act::Log => {
                self.powered("the log")?;
                done.told = self.log.0.iter().map(Event::words).collect::<Vec<_>>().join("\n");
            }
            Act::Safety(step) => self.step(step, &mut done)?,
            Act::Wait(minutes) => {
                // While the machine is isolated the bench runs on the time of the shop.
                let per_minute_s = if self.isolated() { 60.0 / SHOP_S_PER_BENCH_S } else { 60.0 };
                self.advance(f64::from(minutes) * per_minute_s);
            }
            Act::BreakOut => {
                done.hazards = self.entry(true, false);
                self.break_out = true;
                self.harm(&mut done);
            }
            Act::Check(check) => self.check(check, &mut done)?,
            Act::Remedy(remedy) => self.remedy(remedy, &mut done)?,
            Act::Ready => self.ready(&mut done)?,
            Act::Prove => {
                self.powered("the proof run")?;
                let readings: Vec<Reading> =
                    self.case.proof.iter().map(|check| read(*check, &mut self.sim, &self.baseline)).collect();
                let told: Vec<String> = readings
                    .iter()
                    .map(|reading| format!("{}: {}", reading.check.row().title, reading.words()))
                    .collect();
                done.told = format!("{}.", told.join(". "));
                self.proof = Some(readings.iter().all(|reading| reading.outcome == 0));
            }
        }
        Ok(done)
    }

    fn isolated(&self) -> bool {
        self.sim.bench().state.safety.isolated()
    }

    fn hangs(&self) -> bool {
        self.sim.params().machine.mechanics.incline > 0.0
    }

    fn advance(&mut self, seconds: f64) {
        self.sim.advance((seconds / STEP_S).round() as u64, &mut self.log);
    }

    fn powered(&self, what: &str) -> Result<(), String> {
        if self.isolated() {
            return Err(format!(
                "{what} needs the machine with power: take the lock off and close the disconnector first"
            ));
        }
        Ok(())
    }

    fn step(&mut self, step: SafetyAct, done: &mut Done) -> Result<(), String> {
        let before = self.log.0.len();
        if step == SafetyAct::SwitchOff {
            // Stopped first; an axis that does not come to rest loses its drive.
            self.come_to_rest();
            let _ = self.sim.command(&Command::Drive(DriveSwitch::Off));
            self.advance(1.0);
        }
        self.sim.command(&Command::Safety(step))?;
        self.advance(0.3);
        done.told = self.log.0[before..].iter().map(Event::words).collect::<Vec<_>>().join("\n");
        Ok(())
    }

    /// Stops the axis and gives it time; one that hunts goes on.
    fn come_to_rest(&mut self) {
        let _ = self.sim.command(&Command::Stop);
        let _ = settle(&mut self.sim, REST_S, &mut self.log);
    }

    /// What is unsafe about hands in the machine now.
    fn entry(&self, unplugs: bool, frees_weight: bool) -> Vec<Hazard> {
        let state = &self.sim.bench().state;
        let mut hazards = Vec::new();
        if state.safety.isolated() {
            let missed = SafetyAct::IN_ORDER.into_iter().filter(|act| !state.safety.stands(*act));
            hazards.extend(missed.map(Hazard::Missed));
            if hazards.is_empty() && !state.safety.locked_out(false) {
                hazards.push(Hazard::Missed(SafetyAct::VerifyDead));
            }
            if state.safety.open_s(state.axis.step) < LABEL_WAIT_S && !state.safety.stands(SafetyAct::VerifyDead) {
                hazards.push(Hazard::StoredEnergy);
            }
        } else {
            hazards.push(Hazard::Entered { unplugged: unplugs });
        }
        if frees_weight && self.hangs() && !state.safety.propped() {
            hazards.push(Hazard::Unsupported);
        }
        hazards
    }

    /// A plug that is pulled under voltage may take the input with it.
    fn harm(&mut self, done: &mut Done) {
        if !done.hazards.contains(&Hazard::Entered { unplugged: true }) || self.chance.uniform() >= HARM {
            return;
        }
        if self.broken(FaultId::InputDamaged) {
            done.told.push_str(" A crack, and the input of the control has taken harm.");
        }
    }

    /// A table without its drive and without a prop comes down on its end stop; what carries it takes the blow.
    fn fall(&mut self, done: &mut Done) {
        if done.hazards.contains(&Hazard::Unsupported) && FALLEN.into_iter().any(|fault| self.broken(fault)) {
            done.told.push_str(" The table came down and hit its end stop. Nobody stood under it this time.");
        }
    }

    /// Breaks something for good; whether the machine has it.
    fn broken(&mut self, fault: FaultId) -> bool {
        let broken = Break { fault, severity_percent: Within::nearest(100.0), at_mm: None };
        fault.fits(&self.sim.bench().setup) && self.sim.command(&Command::Break(broken)).is_ok()
    }

    fn check(&mut self, check: Check, done: &mut Done) -> Result<(), String> {
        let row = check.row();
        match row.power {
            Power::Dead => done.hazards = self.entry(matches!(check, Check::Ohms | Check::ScreenPath), false),
            Power::Moves | Power::On => self.powered(row.title)?,
        }
        if check == Check::ScopeHead && !self.break_out {
            // Nothing to measure at without pulling the plug.
            done.hazards.push(Hazard::Entered { unplugged: true });
        }
        let reading = read(check, &mut self.sim, &self.baseline);
        done.told = format!("{}: {}.", row.title, reading.words());
        if let Some(stopped) = &reading.measured.stopped {
            done.told.push_str(&ended(stopped));
        }
        done.reading = Some(reading);
        self.harm(done);
        Ok(())
    }

    fn remedy(&mut self, remedy: Remedy, done: &mut Done) -> Result<(), String> {
        let row = remedy.row();
        if row.dead {
            done.hazards = self.entry(row.unplugs, row.frees_weight);
        } else {
            self.powered(row.title)?;
        }
        self.proof = None;
        done.cured = self.sim.faults().iter().map(|fault| fault.id).filter(|id| remedy.cures(*id)).collect();
        let wipe = |sim: &mut Sim, method| sim.command(&Command::WipeAllWith(WipeAllWith { method }));
        let cleaned = match remedy {
            _ if remedy.cleans() => wipe(&mut self.sim, Method::PermittedSolvent),
            Remedy::CleanDry => wipe(&mut self.sim, Method::DryCloth),
            _ => Ok(()),
        };
        cleaned?;
        if let Some(part) = row.part {
            // Where the bench refuses it, the machine was not dead: that is noted as a hazard, and the part goes in.
            let _ = self.sim.command(&Command::Replace(part));
        }
        for cause in done.cured.clone() {
            let _ = self.sim.command(&Command::Mend(cause));
        }
        done.told = format!("Done: {}.", row.title);
        self.fall(done);
        self.harm(done);
        Ok(())
    }

    fn ready(&mut self, done: &mut Done) -> Result<(), String> {
        self.powered("the drive")?;
        self.come_to_rest();
        if self.sim.record().doing == Doing::Tripped {
            // Refused while its cause lasts: a motor that is hot has to cool.
            for _ in 0..COOLING {
                if self.sim.command(&Command::Acknowledge).is_ok() {
                    break;
                }
                self.advance(5.0);
            }
            self.advance(0.2);
        }
        if self.sim.record().doing == Doing::Off {
            let _ = self.sim.command(&Command::Drive(DriveSwitch::On));
            self.advance(0.3);
        }
        done.told = match self.sim.command(&Command::Home) {
            Err(why) => why,
            Ok(()) => match settle(&mut self.sim, HOMING_S, &mut self.log) {
                Ok(()) if self.sim.record().referenced => "Drive on, zero taken.".to_owned(),
                Ok(()) => "Drive on, zero not found.".to_owned(),
                Err(stopped) => ended(&stopped).trim().to_owned(),
            },
        };
        Ok(())
    }
}
