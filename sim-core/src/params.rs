//! SI parameters of every block, made from set-up, faults and dirt in one place.

use crate::axis::machine::{FeedbackSource, MachineSpec};
use crate::axis::plant::PlantParams;
use crate::axis::train::TrainParams;
use crate::axis::two_mass::TwoMassParams;
use crate::chain::alignment::{AlignmentParams, Vibration};
use crate::chain::conductor::ConductorSize;
use crate::chain::counter::{CountMode, CounterParams, IllegalPolicy};
use crate::chain::interference::{InterferenceParams, Inverter, Mains, Reception, Shield};
use crate::chain::interpolate::InterpolateParams;
use crate::chain::lamp::LampParams;
use crate::chain::line::{OutputForm, ReceiverParams};
use crate::chain::loss::LossParams;
use crate::chain::mark::MarkParams;
use crate::chain::photo::{HeadPose, HeadWindow};
use crate::chain::square::SquareParams;
use crate::chain::square_line::SquareLineParams;
use crate::chain::squaring::SquaringParams;
use crate::chain::supply::{SupplyParams, SupplyPoint};
use crate::chain::wiring::WiringParams;
use crate::chain::wiring::harness::WireFault;
use crate::fault::{self, Active};
use crate::monitor::signal::SignalMonitor;
use crate::scale::housing::Housing;
use crate::scale::{OutputKind, ScaleSpec};
use crate::setup::{Counting, Feedback, HeadOutput, LampControl, Sensors, Setup, ShieldBond};
use crate::surface::SurfaceMap;
use crate::upkeep::Upkeep;

mod doors;
pub use doors::ParamError;

mod control;
pub use control::{ControlValues, INPUT_CLOCK_HZ, MonitorParams, samples_that_lose_above};
mod train;
pub use train::{Gearing, gearing};

mod zero;
pub use zero::{ZeroParams, coded_marks, turn_search};

/// Angle of the head that a setting of 1 mrad means, rad.
const MRAD: f64 = 1e-3;

/// Where the head of the other axis stands over its scale, m: within a count, off any mark (own).
const OTHER_HEAD_M: f64 = 0.100_003;

/// Amplitude of a differential channel, V: 1 V peak to peak.
const DIFFERENTIAL_V: f64 = 0.5;

/// Frequency of the vibration that a person can switch on, Hz: a spindle at 4600 turns a minute (own).
const VIBRATION_HZ: f64 = 77.0;

/// Everything that acts during a run until the next command.
#[derive(Clone, Debug, PartialEq)]
pub struct Params {
    /// The scale with its head.
    pub scale: ScaleSpec,
    /// The machine as it is (its control part holds the live gains).
    pub machine: MachineSpec,
    /// Position gain stored at commissioning, 1/s: what the monitors expect.
    pub stored_kv: f64,
    /// Feed-forward stored at commissioning, 0..1.
    pub stored_kff: f64,
    /// Moving parts and motor.
    pub plant: PlantParams,
    /// Dirt and damage on the scale.
    pub surface: SurfaceMap,
    /// Where the head is over the scale, along the travel and in time.
    pub alignment: AlignmentParams,
    /// Light source and its control.
    pub lamp: LampParams,
    /// What the head window lets through, 0..1.
    pub window: f64,
    /// Offset of channels A and B, V.
    pub offset_v: [f64; 2],
    /// Noise against natural noise.
    pub noise: f64,
    /// Whether sensor B is plugged in.
    pub two_sensors: bool,
    /// Supply of the head over its cable.
    pub supply: SupplyParams,
    /// Driver, cable, terminals and what is wrong with them.
    pub wiring: WiringParams,
    /// What the surroundings add.
    pub interference: InterferenceParams,
    /// Mean current per field from ambient light, A.
    pub ambient_a: f64,
    /// Reference mark.
    pub mark: MarkParams,
    /// Comparators; in the head where it sends square waves, else in the input.
    pub square: SquareParams,
    /// Interpolation, where the comparators are; `None` for plain comparators.
    pub interpolate: Option<InterpolateParams>,
    /// Counter.
    pub counter: CounterParams,
    /// Sign of the count, +1 or -1.
    pub sign: f64,
    /// Dirt on the head's window, by its substances; `window` acts on top of it.
    pub window_dirt: HeadWindow,
    /// What surrounds the scale: how dirt gets at it while time passes.
    pub housing: Housing,
    /// Whether the film that a failed housing let in before it was found still lies on the scale.
    pub film_as_found: bool,
    /// Place on the scale per place on the axis, 1 for a scale of the right length.
    pub read_scale: f64,
    /// Share of the light that is gone for some milliseconds now and then, 0..1.
    pub flicker: f64,
    /// Gain of channels A and B against the healthy head.
    pub channel_gain: [f64; 2],
    /// Outputs of a head that sends square waves.
    pub squaring: SquaringParams,
    /// Line receivers of the control.
    pub receiver: ReceiverParams,
    /// What is wrong with the inputs of A and B.
    pub input: InputDamage,
    /// Limits of the signal; `None` where no vector or level can be judged (a single-ended head).
    pub loss: Option<LossParams>,
    /// What a bad signal leads to.
    pub signal_monitor: SignalMonitor,
    /// What the zero of the axis depends on.
    pub zero: ZeroParams,
    /// What the monitors were commissioned with.
    pub monitors: MonitorParams,
    /// Values of the control that somebody enters.
    pub control: ControlValues,
    /// How far the head reads beside where it was when the zero was taught, m, -0.1 to 0.1: whole signal periods.
    pub head_offset_m: f64,
    /// The input reads the head of another axis, which stands still.
    pub other_head: bool,
    /// Common-mode bursts that the axis' own motor cable adds per ampere of its current, V/A, 0 to 100.
    pub motor_bursts_v_per_a: f64,
    /// Motor and table as two masses; their `body` is `plant`, which acts in its place.
    pub masses: TwoMassParams,
    /// What stands around the masses.
    pub train: TrainParams,
    /// What turns the motor's turns into travel.
    pub gearing: Gearing,
}

/// What is wrong with the inputs of A and B; all zero when healthy.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct InputDamage {
    /// Added behind the terminals, V, -10 to 10.
    pub offset_v: [f64; 2],
    /// Added to the full width of the switching band, V, 0 to 2.
    pub hysteresis_v: [f64; 2],
}

impl Params {
    /// Way per count, m.
    pub fn metres_per_count(&self) -> f64 {
        self.scale.period_m / f64::from(self.factor()) / f64::from(self.counter.mode.per_period())
    }

    /// Whether the head sends square waves.
    pub fn squared(&self) -> bool {
        self.wiring.driver.form == OutputForm::Squared
    }

    /// The comparator of channel A (0) or B (1) in the input, damage included.
    pub fn comparator(&self, channel: usize) -> SquareParams {
        let more_v = self.input.hysteresis_v[channel];
        SquareParams { hysteresis_v: self.square.hysteresis_v + more_v, ..self.square }
    }

    /// Driver, receivers and squaring stage of a head that sends square waves.
    pub fn square_line(&self, ground_v: f64) -> SquareLineParams {
        let [a_v, b_v] = self.input.hysteresis_v;
        let receivers = [a_v, b_v, 0.0]
            .map(|more_v| ReceiverParams { threshold_v: self.receiver.threshold_v + 0.5 * more_v, ..self.receiver });
        let [a_v, b_v] = self.input.offset_v;
        SquareLineParams { squaring: self.squaring, receivers, offset_v: [a_v, b_v, 0.0], ground_v }
    }

    /// Where the head reads on the scale with the axis at a place and its bracket off by `shift_m`, m.
    pub fn read_m(&self, place_m: f64, shift_m: f64) -> f64 {
        if self.other_head { OTHER_HEAD_M } else { place_m * self.read_scale + (shift_m + self.head_offset_m) }
    }

    /// Squared periods per signal period.
    pub fn factor(&self) -> u32 {
        self.interpolate.as_ref().map_or(1, |i| i.factor)
    }

    /// Length of a squared period at the counter, m.
    pub fn square_m(&self) -> f64 {
        self.scale.period_m / f64::from(self.interpolate.as_ref().map_or(1, |i| i.factor))
    }

    /// Gap under the head at rest at a place on the axis, m, kept inside the range that the optics cover.
    pub fn gap_at(&self, place_m: f64) -> f64 {
        self.alignment.at(place_m, 0.0).pose.gap_m
    }

    /// The same as a set of feeler gauges finds it, in steps of 10 um, m.
    pub fn feeler_m(&self, place_m: f64) -> f64 {
        const FEELER_M: f64 = 10e-6;
        libm::round(self.gap_at(place_m) / FEELER_M) * FEELER_M
    }

    /// Length of the whole turns before a place on a ring, m; 0 on a straight scale.
    pub fn whole_turns_m(&self, place_m: f64) -> f64 {
        if !self.machine.endless {
            return 0.0;
        }
        self.machine.travel * libm::floor(place_m / self.machine.travel)
    }

    /// How far one place is ahead of another, m; on a ring a whole turn more is the same place.
    pub fn ahead_m(&self, place_m: f64, of_m: f64) -> f64 {
        let ahead_m = place_m - of_m;
        let turn_m = self.machine.travel;
        if self.machine.endless { ahead_m - libm::round(ahead_m / turn_m) * turn_m } else { ahead_m }
    }

    /// Share of the mean light that the head's window lets through, 0..1.
    pub fn window_light(&self) -> f64 {
        self.window * self.window_dirt.light(&self.scale)
    }

    /// The cable's conductors decide the supply at the head, and that decides driver and lamp.
    fn link_supply(&mut self) {
        self.supply.conductor_ohm = self.wiring.cable.supply_ohm();
        self.supply.open |= self.wiring.faults.contains(&WireFault::SupplyOpen);
        let head_v = self.supply.solve().head_v;
        self.wiring.driver.supply_v = head_v;
        self.lamp.supply_v = head_v;
    }

    /// Supply at the head and what the cable takes, once the wiring is as it is.
    pub fn supply_point(&self) -> SupplyPoint {
        self.supply.solve()
    }

    /// Mean level of a channel on the healthy bench, V.
    pub fn mean_v(&self) -> f64 {
        match self.scale.output {
            OutputKind::Differential1Vpp => 0.0,
            OutputKind::SingleEnded { mean_v, .. } => mean_v,
        }
    }

    /// Amplitude of a channel on the healthy bench, V.
    pub fn nominal_v(&self) -> f64 {
        match self.scale.output {
            OutputKind::Differential1Vpp => DIFFERENTIAL_V,
            OutputKind::SingleEnded { amplitude_v, .. } => amplitude_v,
        }
    }
}

/// The parameters of a bench that nobody has cleaned yet: set-up, then dirt, then faults in the order of the catalogue.
pub fn params_of(setup: &Setup, faults: &[Active], dirt: &SurfaceMap) -> Params {
    params_after(setup, faults, dirt, &Upkeep::default())
}

/// The parameters of a bench with what time and cleaning have left on it.
pub fn params_after(setup: &Setup, faults: &[Active], dirt: &SurfaceMap, upkeep: &Upkeep) -> Params {
    let mut machine = setup.machine().spec();
    let monitors = MonitorParams::healthy(setup, &machine);
    train::load(&mut machine, &setup.machine);
    let (stored_kv, stored_kff) = (machine.control.kv, machine.control.kff);
    machine.control.kv = setup.servo.kv_per_s;
    machine.control.kff = setup.servo.feed_forward_percent / 100.0;
    machine.control.feedback = match setup.servo.feedback {
        Feedback::Motor => FeedbackSource::Motor,
        Feedback::Scale => FeedbackSource::Scale,
    };
    machine.following.moving_band = setup.monitor.moving_band_mm * 1e-3;
    machine.following.still_band = setup.monitor.standstill_band_mm * 1e-3;
    let two_sensors = setup.head.sensors == Sensors::TwoSensors;
    let factor = setup.input.interpolation as u32;
    let interpolate = (factor > 1 && two_sensors).then_some(InterpolateParams {
        factor,
        hold_v: setup.input.hold_mv * 1e-3,
        hysteresis_steps: 0.25,
    });
    let mode = match (two_sensors, setup.input.counting) {
        (false, _) => CountMode::OneChannel,
        (true, Counting::X1) => CountMode::X1,
        (true, Counting::X2) => CountMode::X2,
        (true, Counting::X4) => CountMode::X4,
        (true, Counting::X1Naive) => CountMode::NaiveX1,
    };
    let scale = setup.scale().spec();
    let pose = HeadPose {
        gap_m: setup.head.gap_um * 1e-6,
        pitch_rad: setup.head.tilt_mrad * MRAD,
        roll_rad: setup.head.roll_mrad * MRAD,
        yaw_rad: setup.head.yaw_mrad * MRAD,
        lateral_m: setup.head.lateral_um * 1e-6,
        ..HeadPose::nominal(&scale)
    };
    let mut alignment = AlignmentParams::rigid(pose, &scale, machine.travel);
    alignment.wedge = setup.head.wedge_um_per_m * 1e-6;
    alignment.sag_m = setup.head.sag_um * 1e-6;
    alignment.bumps.extend_from_slice(&upkeep.lifted);
    if setup.head.vibration_um > 0.0 {
        alignment.gap_vibration.push(Vibration {
            amplitude_m: setup.head.vibration_um * 1e-6,
            frequency_hz: VIBRATION_HZ,
            phase_turns: 0.0,
        });
    }
    let form = match scale.output {
        OutputKind::Differential1Vpp if setup.head.output == HeadOutput::Square => OutputForm::Squared,
        OutputKind::Differential1Vpp => OutputForm::Analog,
        OutputKind::SingleEnded { .. } => OutputForm::SingleEnded,
    };
    let mut lamp =
        if setup.lamp.control == LampControl::Regulated { LampParams::with_loop(&scale) } else { LampParams::NOMINAL };
    lamp.set_brightness(setup.head.lamp_percent / 100.0);
    lamp.age_s = setup.lamp.age_kilohours * 3.6e6;
    lamp.temperature_k = setup.lamp.temperature_c + 273.15;
    let mut wiring = WiringParams::healthy(form, setup.cable.length_m);
    wiring.cable.supply = ConductorSize::Awg(setup.cable.supply_awg as u8);
    let supply = SupplyParams { source_v: setup.cable.supply_v, ..SupplyParams::usual(0.0) };
    let interference = InterferenceParams {
        mains: Mains { hum_v: setup.cable.hum_mv * 1e-3, ..InterferenceParams::QUIET.mains },
        inverter: Inverter { edge_v: setup.cable.inverter_v, ..InterferenceParams::QUIET.inverter },
        shield: match setup.cable.shield {
            ShieldBond::BothEnds => Shield::BothEnds,
            ShieldBond::OneEnd => Shield::OneEnd,
            ShieldBond::Open => Shield::Open,
        },
        reception: if form == OutputForm::SingleEnded {
            Reception::SingleEnded
        } else {
            InterferenceParams::QUIET.reception
        },
        ..InterferenceParams::QUIET
    };
    let mark = MarkParams::nominal(&scale, zero::layout(setup, &scale, &machine));
    let (masses, train) = train::train(setup, &machine);
    let mut params = Params {
        read_scale: train::scale_in_room(&scale, setup.machine.ambient_c),
        scale,
        plant: masses.body,
        masses,
        train,
        gearing: gearing(setup.machine()),
        machine,
        stored_kv,
        stored_kff,
        surface: dirt.clone(),
        alignment,
        lamp,
        window: 1.0,
        offset_v: [0.0; 2],
        noise: setup.head.noise_factor,
        two_sensors,
        supply,
        wiring,
        interference,
        ambient_a: 0.0,
        mark,
        square: SquareParams {
            threshold_v: setup.input.threshold_mv * 1e-3,
            hysteresis_v: setup.input.hysteresis_mv * 1e-3,
        },
        interpolate,
        counter: CounterParams { mode, policy: IllegalPolicy::Hold, mark_state: 2 },
        sign: 1.0,
        window_dirt: upkeep.window.clone(),
        housing: setup.housing.housing(),
        film_as_found: upkeep.film_as_found,
        flicker: 0.0,
        channel_gain: [1.0; 2],
        squaring: SquaringParams::default(),
        receiver: ReceiverParams::default(),
        input: InputDamage::default(),
        // One sensor makes no vector, only pulses.
        loss: (form != OutputForm::SingleEnded && (two_sensors || form == OutputForm::Squared))
            .then(|| LossParams::of_nominal(DIFFERENTIAL_V)),
        signal_monitor: setup.monitor.signal,
        zero: ZeroParams::healthy(setup),
        monitors,
        control: ControlValues::healthy(setup),
        head_offset_m: 0.0,
        other_head: false,
        motor_bursts_v_per_a: 0.0,
    };
    fault::apply_all(faults, &mut params);
    params.bend_round();
    params.hold_in_range();
    params.link_supply();
    params
}
