//! The meters on real runs of the bench: what is set or broken must be read at the other end of the whole chain.
//!
//! Source of the expected values: rows V55, V56 and V58 of the validation table (the model evaluated by an independent
//! program), closed forms named beside each test. Tolerances: that of the row, widened to what a run adds: the table
//! creeps at 5 mm/s, 250 Hz against 200 kHz bandwidth, so amplitude and phase of the amplifier are off by less than
//! 1e-6 and the same for both channels; the meters keep a point every 0.33 um, so an extreme of the second harmonic
//! is met to 1 - cos(2 pi/60) = 5e-3 in one period and better over four.

use sim_core::bench::Sim;
use sim_core::bench::command::{Break, Command, Direction, Jog};
use sim_core::fault::FaultId;
use sim_core::instrument::edges::Edges;
use sim_core::instrument::figure::Figure;
use sim_core::instrument::levels::Levels;
use sim_core::instrument::position::Sense;
use sim_core::instrument::scope::{Edge, Scope, ScopeSettings, Source, Sweep};
use sim_core::instrument::spectrum::Spectrum;
use sim_core::instrument::travel::Travel;
use sim_core::num::ellipse::metres_of_rad;
use sim_core::numbers::Within;
use sim_core::setup::{BenchId, Setup};
use sim_core::surface::Film;

const GLASS_M: f64 = 20e-6;
/// Peak of the sampled error against the true one, see above.
const SAMPLED: f64 = 5e-3;

#[track_caller]
fn near(value: f64, expected: f64, relative: f64) {
    let error = (value / expected - 1.0).abs();
    assert!(error <= relative, "{value} is not {expected}: off by {error:e}");
}

/// Figure, levels and spectrum on one bench.
type Bench = (Figure, (Levels, Spectrum));

fn meters(period_m: f64, zero_v: f64) -> Bench {
    let zero = [zero_v; 2];
    (
        Figure::new(period_m, 4.0, zero).unwrap(),
        (Levels::new(period_m, 4.0).unwrap(), Spectrum::new(period_m, 4.0, zero).unwrap()),
    )
}

/// The small mill with glass-20, without noise.
fn quiet_mill(change: impl FnOnce(&mut Setup)) -> Sim {
    let mut setup = Setup::healthy(BenchId::SmallMill);
    setup.head.noise_factor = 0.0;
    change(&mut setup);
    Sim::start(setup, 1, 0.1)
}

fn jog(sim: &mut Sim, speed_m_per_min: f64, forward: bool) {
    let direction = if forward { Direction::Forward } else { Direction::Back };
    let speed_m_per_min = Within::new(speed_m_per_min).unwrap();
    sim.command(&Command::Jog(Jog { direction, speed_m_per_min })).unwrap();
}

/// What driver, cable and terminals leave of the head's volts; the rows speak of the head.
fn left_by_the_cable(sim: &Sim) -> f64 {
    let left = sim.compiled().at_input([0.1, 0.0])[0] / 0.1;
    assert!((0.95..1.0).contains(&left), "15 m of cable take a few percent: {left}");
    left
}

/// Lets the table creep at 5 mm/s until it is steady, then measures; gives what the cable leaves of the head's volts.
fn creep(sim: &mut Sim, taps: &mut Bench) -> f64 {
    jog(sim, 0.3, true);
    sim.advance(10_000, &mut ());
    sim.advance(2_000, taps);
    left_by_the_cable(sim)
}

#[test]
fn a_healthy_head_reads_one_volt_and_no_error() {
    let mut taps = meters(GLASS_M, 0.0);
    let k = creep(&mut quiet_mill(|_| ()), &mut taps);
    let r = taps.0.reading().unwrap();
    near(r.ellipse.radius_v[0] / k, 0.5, 1e-4);
    near(r.ellipse.radius_v[1] / k, 0.5, 1e-4);
    assert!(r.before.unwrap().peak_to_peak_m < 1e-9, "{r:?}");
    assert_eq!(r.sense, Sense::ALeads);
    // Source: preset table: modulation C_1 0.7989 of glass-20 with d_m 1/3; the even harmonic lifts both extremes.
    let visibility = taps.1.0.visibility().unwrap();
    for field in visibility {
        assert!((0.7..0.9).contains(&field.unwrap()), "{visibility:?}");
    }
}

// Source: row V55 through motion, sampling, amplifier, meters.
#[test]
fn signal_v55_yaw_is_read_through_the_whole_chain() {
    let mut taps = meters(GLASS_M, 0.0);
    let k = creep(&mut quiet_mill(|s| s.head.yaw_mrad = 1.0), &mut taps);
    let (figure, (levels, spectrum)) = taps;
    let (f, l, s) = (figure.reading().unwrap(), levels.reading().unwrap(), spectrum.reading(None).unwrap());
    for radius_v in f.ellipse.radius_v.into_iter().chain([l.a.amplitude_v, l.b.amplitude_v]) {
        near(radius_v / k, 0.497_044, 1e-4);
    }
    near(f.ellipse.phase_error_rad.to_degrees(), 7.227, 1e-4);
    near(l.phase_error_rad.unwrap().to_degrees(), 7.227, 1e-4);
    near(f.before.unwrap().peak_to_peak_m, 402.31e-9, SAMPLED);
    near(s.error.peak_to_peak_m, 402.31e-9, SAMPLED);
    // Source: Kuntz et al. 2022: the second harmonic of a phase error is tan(delta/2).
    near(s.harmonics[1].amplitude_m, metres_of_rad(sim_core::num::math::tan(3.6135_f64.to_radians()), GLASS_M), 2e-4);
    // The correction takes it away: yaw leaves an ellipse.
    assert!(f.after.peak_to_peak_m < 0.005 * 402.31e-9, "{f:?}");
    let corrected = spectrum.reading(Some(&f.ellipse.correction())).unwrap();
    assert!(corrected.harmonics[1].amplitude_m < 0.005 * s.harmonics[1].amplitude_m, "{corrected:?}");
}

// Source: row V56.
#[test]
fn signal_v56_pitch_is_read_through_the_whole_chain() {
    let mut taps = meters(GLASS_M, 0.0);
    let k = creep(&mut quiet_mill(|s| s.head.tilt_mrad = 5.0), &mut taps);
    let (figure, (levels, _)) = taps;
    let (f, l) = (figure.reading().unwrap(), levels.reading().unwrap());
    near(f.ellipse.radius_v[0] / k, 0.476_895, 1e-3);
    near(f.ellipse.radius_v[1] / k, 0.521_699, 1e-3);
    near(l.ratio.unwrap(), 0.476_895 / 0.521_699, 1e-3);
    near(f.before.unwrap().peak_to_peak_m, 310.28e-9, 1e-3 + SAMPLED);
    // Pitch and yaw are told apart by which of ratio and phase moves.
    assert!(f.ellipse.phase_error_rad.abs() < 1e-3, "{f:?}");
}

// Source: row V58: the chip lies under field 0 alone, so the table may move by a tenth of a millimetre only.
#[test]
fn signal_v58_chip_under_one_field_is_read_through_the_whole_chain() {
    let mut bench = quiet_mill(|_| ()).bench().clone();
    // Field 0 spans 0.6 to 1.4 mm ahead of the head's middle; the head stands at 100 mm and goes to 100.14 mm.
    bench.state.dirt.paint(0.100_95, 0.101_19, Film::OPAQUE);
    let mut sim = Sim::resume(bench).unwrap();
    let mut taps = meters(GLASS_M, 0.0);
    jog(&mut sim, 0.06, true);
    sim.advance(2_800, &mut taps);
    let k = left_by_the_cable(&sim);
    let place_m = sim.record().table_m;
    assert!(place_m > 0.100_09 && place_m < 0.100_3, "{place_m}");
    let (figure, (levels, spectrum)) = taps;
    let (f, l, s) = (figure.reading().unwrap(), levels.reading().unwrap(), spectrum.reading(None).unwrap());
    near(l.a.offset_v / k, -0.093_878_3, 1e-3);
    near(l.a.amplitude_v / k, 0.425, 1e-3);
    // The row speaks of the fundamental. The chip also leaves the second harmonic of field 0 in A, an amplitude of
    // 0.5 V x 0.15 J_2/J_1 = 9.3 mV (J_n of row V54), and half of that looks like offset to an ellipse.
    near(f.ellipse.offset_v[0] / k, -0.093_878_3 - 0.5 * 0.5 * 0.15 * 0.008_309_5 / 0.066_575_6, 2e-3);
    near(f.ellipse.radius_v[0] / k, 0.425, 1e-2);
    assert!(l.b.offset_v.abs() < 1e-5, "{l:?}");
    near(f.before.unwrap().peak_to_peak_m, 1637.4e-9, 1e-3 + SAMPLED);
    // Source: Kuntz et al. 2022: first harmonic o/R, to first order in an error of a fifth: 10 %.
    near(s.harmonics[0].amplitude_m, metres_of_rad(0.093_878_3 / 0.4625, GLASS_M), 0.1);
    assert!(s.harmonics[0].amplitude_m > 1.5 * s.harmonics[1].amplitude_m, "{s:?}");
}

// Source: row V48's closed form: first harmonic o/R. The fault shifts A by 0.3 of its amplitude at full severity.
#[test]
fn a_channel_off_centre_is_read_as_offset_and_first_harmonic() {
    let mut sim = quiet_mill(|_| ());
    let severity_percent = Within::new(40.0).unwrap();
    sim.command(&Command::Break(Break { fault: FaultId::ChannelOffset, severity_percent, at_mm: None })).unwrap();
    let mut taps = meters(GLASS_M, 0.0);
    let k = creep(&mut sim, &mut taps);
    let (figure, (levels, spectrum)) = taps;
    near(figure.reading().unwrap().ellipse.offset_v[0] / k, 0.06, 1e-4);
    near(levels.reading().unwrap().a.offset_v / k, 0.06, 1e-4);
    near(spectrum.reading(None).unwrap().harmonics[0].amplitude_m, metres_of_rad(0.12, GLASS_M), 2e-4);
}

// Source: section 5: the noise of the amplifier; 240 points: standard error 1/sqrt(480) = 4.6 %, four of them.
#[test]
fn noise_is_read_as_the_amplifier_makes_it() {
    for factor in [1.0, 20.0] {
        let mut sim = quiet_mill(|s| s.head.noise_factor = factor);
        let mut taps = meters(GLASS_M, 0.0);
        creep(&mut sim, &mut taps);
        let light = sim_core::chain::photo::Photocurrents { field: [0.3e-6; 4], lit: [0.0; 4] };
        let sigma_v = sim.compiled().analog.noise_v(&light);
        let r = taps.1.0.reading().unwrap();
        near(r.a.noise_v, sigma_v[0], 4.0 * 0.046);
        near(r.b.noise_v, sigma_v[1], 4.0 * 0.046);
        near(r.position_jitter_m.unwrap(), GLASS_M / std::f64::consts::TAU * sigma_v[0] / 0.5, 4.0 * 0.033);
    }
}

// Source: plain geometry (row V42): duty arccos((thr - mean)/amplitude)/pi; hysteresis moves both edges.
#[test]
fn squares_of_the_teaching_rail_have_the_duty_of_their_threshold() {
    let mut setup = Setup::healthy(BenchId::TeachingRail);
    setup.head.noise_factor = 0.0;
    let mut sim = Sim::start(setup, 1, 0.1);
    let mut taps = (Edges::new(1e-3).unwrap(), meters(1e-3, 1.0));
    jog(&mut sim, 3.0, true);
    sim.advance(2_000, &mut ());
    sim.advance(14_000, &mut taps);
    let (edges, (_, (levels, _))) = taps;
    let (e, l) = (edges.reading().unwrap(), levels.reading().unwrap());
    // The supply current lifts the head's 0 V, and a single-ended signal with it.
    near(l.a.offset_v - sim.compiled().ground_v, 1.2, 5e-3);
    near(l.a.amplitude_v, 0.97, 5e-3);
    near(e.square_m, 1e-3, 1e-3);
    let square = sim_core::chain::square::SquareParams { threshold_v: 1.0, hysteresis_v: 0.1 };
    let duty = sim_core::chain::square::duty_of_sine(&square, l.a.offset_v, l.a.amplitude_v).unwrap();
    // The coarse tape's third and fifth harmonics move each edge a little: their share of the slope at the threshold.
    assert!((e.duty_a - duty).abs() < 0.01, "{e:?} against {duty}");
    assert!((e.duty_b.unwrap() - duty).abs() < 0.01, "{e:?} against {duty}");
    let sum: f64 = e.separation_turns.unwrap().iter().sum();
    near(sum, 1.0, 2e-3);
}

// Source: the wedge itself; amplitude against gap as the optics say at both ends.
#[test]
fn a_wedge_is_read_as_a_slope_of_gap_and_signal() {
    let mut sim = quiet_mill(|s| s.head.wedge_um_per_m = 80.0);
    let mut travel = Travel::new(GLASS_M, 0.0, 0.5).unwrap();
    jog(&mut sim, 15.0, true);
    sim.advance(16_000, &mut travel);
    let slope = travel.slope().unwrap();
    assert!(slope.places > 100, "{slope:?}");
    near(slope.gap_m_per_m, 80e-6, 1e-3);
    near(slope.gap_at_start_m, 100e-6, 1e-3);
    assert!(slope.vector_v_per_m < -0.05, "{slope:?}");
    let worst = travel.worst().unwrap();
    let last = travel.places().iter().flatten().last().unwrap();
    assert_eq!(&worst, last, "the far end is the worst");
    // At 0.25 m/s the amplifier takes 1 - 1/sqrt(1 + (12.5/200)^2) = 0.2 %.
    let first = travel.places().iter().flatten().next().unwrap();
    assert!((first.vector_v - last.vector_v) > 0.01 && first.phase_error_rad.abs() < 2e-3, "{first:?} {last:?}");
}

// A scope on the running bench: the trigger is on the level and the screen holds the period of the signal.
#[test]
fn the_scope_stands_still_on_a_moving_axis() {
    let mut sim = quiet_mill(|_| ());
    jog(&mut sim, 1.2, true);
    sim.advance(10_000, &mut ());
    let settings = ScopeSettings {
        source: Source::B,
        level_v: 0.1,
        edge: Edge::Rising,
        sweep: Sweep::OnTrigger,
        window_s: 5e-3,
        pre_share: 0.2,
        ..ScopeSettings::default()
    };
    let mut scope = Scope::new(settings).unwrap();
    for number in 1..=3 {
        while scope.screen().is_none_or(|s| s.number < number) {
            sim.step(&mut scope);
        }
        let screen = scope.screen().unwrap();
        // Lines between about 20 samples a period: 0.5 (2 pi/20)^2/8 = 6 mV.
        assert!(screen.triggered && (screen.dots[200].b_v - 0.1).abs() < 6e-3, "{:?}", screen.dots[200]);
        assert!(screen.dots[190].b_v < screen.dots[200].b_v && screen.dots[210].b_v > screen.dots[200].b_v);
        // 20 mm/s over 20 um is 1 kHz: five periods on the screen.
        let rising = screen.dots.windows(2).filter(|w| w[0].a_v < 0.0 && w[1].a_v >= 0.0).count();
        assert!((4..=6).contains(&rising), "{rising}");
    }
}

// Law: looking changes nothing, whatever is looked with.
#[test]
fn looking_with_every_meter_changes_no_bit() {
    use sim_core::instrument::digest::Digest;
    let run = |look: bool| {
        let mut sim = Sim::start(Setup::healthy(BenchId::SmallMill), 7, 0.1);
        let mut digest = Digest::default();
        let mut taps = (meters(GLASS_M, 0.0), Travel::new(GLASS_M, 0.0, 0.5).unwrap());
        let mut scope = (Edges::new(GLASS_M).unwrap(), Scope::new(ScopeSettings::default()).unwrap());
        for forward in [true, false] {
            jog(&mut sim, 6.0, forward);
            for _ in 0..4_000 {
                if look {
                    sim.step(&mut (&mut digest, (&mut taps, &mut scope)));
                    let _ = (taps.0.0.reading(), taps.0.1.0.reading(), taps.1.slope());
                } else {
                    sim.step(&mut digest);
                }
            }
        }
        (digest.hex(), serde_json::to_string(sim.bench()).unwrap())
    };
    assert_eq!(run(true), run(false));
}
