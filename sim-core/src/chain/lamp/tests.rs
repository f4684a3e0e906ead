use super::{Control, LampParams, LampState, ageing, reference_current_a, step, thermal};
use crate::chain::analog::STEP_S;
use crate::chain::light::GapTable;
use crate::chain::photo::{HEALTHY_HEAD, HeadCondition, HeadOptics, HeadPose, Illumination};
use crate::scale::{ScaleId, ScaleSpec};
use crate::surface::{Film, SurfaceCursor, SurfaceGains, SurfaceIndex, SurfaceMap};
use proptest::prelude::{prop_assert, proptest};

#[track_caller]
fn near(value: f64, expected: f64, relative: f64) {
    let error = (value / expected - 1.0).abs();
    assert!(error <= relative, "{value} is not {expected}: off by {error:e}");
}

/// A tape head whose window lets `through` of the light pass, run for 50 ms under the loop over a
/// surface; gives amplitude against the clean nominal head, and the lamp's state.
fn run(params: &LampParams, through: f64, map: &SurfaceMap) -> (f64, LampState) {
    let spec = ScaleId::Tape40.spec();
    let table = GapTable::build(&spec);
    let pose = HeadPose::nominal(&spec);
    let mut condition: HeadCondition = HEALTHY_HEAD;
    for field in &mut condition {
        field.signal = through;
        field.mean = through;
    }
    let clean = HeadOptics::new(&spec, &table, &pose, Illumination::NOMINAL, &HEALTHY_HEAD);
    let mut optics = HeadOptics::new(&spec, &table, &pose, Illumination::NOMINAL, &condition);
    let surface = SurfaceIndex::for_scale(map, &spec);
    let mut cursor = SurfaceCursor::default();
    let mut state = LampState::new(params);
    for _ in 0..1000 {
        optics.set_illumination(params.illumination(&state));
        step(params, &mut state, optics.mean_current_a(&optics.surface_gains(0.1, &surface, &mut cursor)), STEP_S);
    }
    optics.set_illumination(params.illumination(&state));
    let gains = optics.surface_gains(0.1, &surface, &mut cursor);
    let amplitude = optics.pair_amplitude_a(0, 2, &gains) / clean.pair_amplitude_a(0, 2, &[SurfaceGains::CLEAN; 4]);
    (amplitude, state)
}

fn tape() -> ScaleSpec {
    ScaleId::Tape40.spec()
}

// Source: steady state of the loop, section 4.4: u = 1/(q g) below its limit, amplitude u q g.
#[test]
fn signal_v26_the_loop_hides_dirt_until_it_saturates() {
    let lamp = LampParams::with_loop(&tape());
    let clean = SurfaceMap::new();
    let (amplitude, state) = run(&lamp, 0.5, &clean);
    near(amplitude, 0.80, 1e-3);
    near(state.drive, 1.6, 1e-3);
    assert!(lamp.reading(&state).saturated && lamp.reading(&state).reserve == 0.0);
    let (amplitude, state) = run(&lamp, 0.7, &clean);
    near(amplitude, 1.00, 1e-3);
    near(state.drive, 1.428_571, 1e-3);
    near(lamp.reading(&state).reserve, 1.0 - 1.428_571 / 1.6, 1e-2);
    assert!(!lamp.reading(&state).saturated);
}

// Source: IES TM-21 equation 1; -0.5 %/K is common practice.
#[test]
fn signal_v27_source_ages_and_dims_when_hot() {
    let hour = 3600.0;
    near(ageing(20_000.0 * hour, 50_000.0 * hour), 0.867_040, 1e-6);
    near(ageing(50_000.0 * hour, 50_000.0 * hour), 0.7, 1e-12);
    near(thermal(298.15 + 30.0, -0.005), 0.85, 1e-6);
    let lamp = LampParams { age_s: 20_000.0 * hour, temperature_k: 328.15, ..LampParams::NOMINAL };
    near(lamp.output(), 0.867_040 * 0.85, 1e-6);
    // The rate that the text of section 4.3 gives: 7.13e-6 per hour.
    near(-libm::log(ageing(hour, 50_000.0 * hour)), 7.13e-6, 1e-3);
}

// Source: section 4.4: the mean is held, the lines' share of it is not. Film of row V25.
#[test]
fn scatter_shows_through_the_loop_and_absorption_does_not() {
    let lamp = LampParams::with_loop(&tape());
    let film = |mu_t, scatter| {
        let mut map = SurfaceMap::new();
        map.paint(0.0, 0.2, Film { mu_t, scatter, kappa_s: 0.4 });
        run(&lamp, 1.0, &map).0
    };
    near(film(0.05, 0.2), 0.579_096 / 0.709_393, 1e-4);
    near(film(0.05, 0.0), 1.0, 1e-4);
}

#[test]
fn the_loop_hides_age_until_its_reserve_is_gone() {
    let mut lamp = LampParams::with_loop(&tape());
    let mut last = 1.0;
    for thousand_hours in [0.0, 20.0, 40.0, 60.0] {
        lamp.age_s = thousand_hours * 3.6e6;
        let (amplitude, state) = run(&lamp, 1.0, &SurfaceMap::new());
        near(amplitude, 1.0, 1e-3);
        assert!(lamp.reading(&state).reserve < last);
        last = lamp.reading(&state).reserve;
    }
    // 0.7^2.4 = 0.425 of the light is left, 1.6 times that is what the loop can do.
    lamp.age_s = 120.0 * 3.6e6;
    near(run(&lamp, 1.0, &SurfaceMap::new()).0, 1.6 * libm::pow(0.7, 2.4), 1e-3);
}

#[test]
fn low_supply_starves_the_source_and_lets_it_come_back() {
    let mut lamp = LampParams::with_loop(&tape());
    for (supply_v, share) in [(5.0, 1.0), (4.5, 1.0), (3.5, 0.5), (2.5, 0.0), (0.0, 0.0)] {
        lamp.supply_v = supply_v;
        assert!((lamp.supply_share() - share).abs() < 1e-12);
        let fixed = LampParams { supply_v, ..LampParams::NOMINAL };
        assert!((LampState::new(&fixed).drive - share).abs() < 1e-12);
    }
    let mut state = LampState { drive: 1.0 };
    step(&lamp, &mut state, 0.0, STEP_S);
    assert_eq!((state.drive, lamp.reading(&state).used), (0.0, 1.0));
    lamp.supply_v = 5.0;
    // From 0.1 upwards by e every 2 ms at first, darkness lasts some milliseconds.
    for _ in 0..600 {
        let mean_a = state.drive * reference_current_a(&tape());
        step(&lamp, &mut state, mean_a, STEP_S);
    }
    near(state.drive, 1.0, 1e-3);
}

// Source: definition of the mean current at brightness 1.
#[test]
fn the_reference_is_the_mean_of_the_healthy_head() {
    for id in ScaleId::ALL {
        let spec = id.spec();
        let pose = HeadPose::nominal(&spec);
        let optics = HeadOptics::new(&spec, &GapTable::build(&spec), &pose, Illumination::NOMINAL, &HEALTHY_HEAD);
        let clean = SurfaceIndex::for_scale(&SurfaceMap::new(), &spec);
        near(
            optics.mean_current_a(&optics.surface_gains(0.0, &clean, &mut SurfaceCursor::default())),
            reference_current_a(&spec),
            1e-4,
        );
    }
}

#[test]
fn settling_is_where_the_loop_ends() {
    let lamp = LampParams::with_loop(&tape());
    let Control::Loop { reference_a, .. } = lamp.control else { unreachable!("made with a loop") };
    let dark_a = 1e-9;
    for through in [0.0, 0.3, 0.7, 1.0, 3.0, 50.0] {
        let mean_a = |drive: f64| through * drive * (reference_a - dark_a) + dark_a;
        let mut slow = LampState::new(&lamp);
        for _ in 0..5000 {
            let now_a = mean_a(slow.drive);
            step(&lamp, &mut slow, now_a, STEP_S);
        }
        let mut quick = LampState::new(&lamp);
        quick.settle(&lamp, mean_a(1.0), dark_a);
        near(quick.drive, slow.drive, 1e-9);
    }
    let mut fixed = LampState { drive: 0.3 };
    fixed.settle(&LampParams::NOMINAL, 0.0, 0.0);
    assert_eq!(fixed.drive, 1.0);
}

// Source: section 2.5: the table follows the wavelength in steps of 1e-9 m.
#[test]
fn gap_table_is_rebuilt_for_whole_nanometres_of_shift() {
    let at = |kelvin: f64| LampParams { temperature_k: 298.15 + kelvin, ..LampParams::NOMINAL };
    assert_eq!(at(0.0).table_shift_m(), 0.0);
    assert_eq!(at(1.6).table_shift_m(), 0.0);
    near(at(1.7).table_shift_m(), 1e-9, 1e-12);
    near(at(30.0).wavelength_shift_m(), 9e-9, 1e-12);
    near(at(-20.0).table_shift_m(), -6e-9, 1e-12);
    for i in -60..100 {
        let lamp = at(f64::from(i));
        assert!((lamp.table_shift_m() - lamp.wavelength_shift_m()).abs() <= 0.5e-9 * (1.0 + 1e-9));
    }
    // What half a step off costs at the nominal gap: less than a thousandth of the amplitude.
    for id in [ScaleId::Tape40, ScaleId::Glass20] {
        let mut spec = id.spec();
        let before = crate::chain::light::table_entry(&spec, 1, spec.gap_nominal_m);
        spec.wavelength_m += 0.5e-9;
        near(crate::chain::light::table_entry(&spec, 1, spec.gap_nominal_m), before, 1e-3);
    }
}

#[test]
fn wrong_parameters_are_refused_with_name_value_and_range() {
    assert_eq!(LampParams::NOMINAL.check(), Ok(()));
    for id in ScaleId::ALL {
        assert_eq!(LampParams::with_loop(&id.spec()).check(), Ok(()));
    }
    let told = |lamp: LampParams| lamp.check().unwrap_err().to_string();
    assert_eq!(
        told(LampParams { age_s: -1.0, ..LampParams::NOMINAL }),
        "lamp.age_s: -1 is outside the allowed range 0 to 10000000000 (unit: s)"
    );
    assert!(told(LampParams { l70_s: 0.0, ..LampParams::NOMINAL }).starts_with("lamp.l70_s: 0 is outside"));
    assert!(told(LampParams { supply_v: f64::NAN, ..LampParams::NOMINAL }).starts_with("lamp.supply_v: NaN is not"));
    assert!(
        told(LampParams { temperature_k: 25.0, ..LampParams::NOMINAL }).contains("range 233.15 to 398.15 (unit: K)")
    );
    let control = Control::Loop { tau_s: 2e-3, reference_a: 0.0, drive_min: 0.1, drive_max: 1.6 };
    assert!(told(LampParams { control, ..LampParams::NOMINAL }).starts_with("lamp.control.reference_a: 0 is outside"));
}

#[test]
fn a_saved_lamp_goes_on_bit_for_bit() {
    let lamp = LampParams::with_loop(&tape());
    let mut state = LampState::new(&lamp);
    for i in 0..37 {
        step(&lamp, &mut state, 1e-8 * f64::from(i), STEP_S);
    }
    let text = serde_json::to_string(&state).expect("the state is a number");
    let mut back: LampState = serde_json::from_str(&text).expect("what was written reads");
    for i in 0..37 {
        step(&lamp, &mut state, 1e-8 * f64::from(i), STEP_S);
        step(&lamp, &mut back, 1e-8 * f64::from(i), STEP_S);
        assert_eq!(back.drive.to_bits(), state.drive.to_bits());
    }
}

proptest! {
    #[test]
    fn the_loop_ends_where_its_formula_says(
        q in 0.3..1.1_f64, g in 0.0..1.0_f64, tau_s in 1e-3..10e-3_f64, top in 1.4..2.0_f64, supply_v in 0.0..6.0_f64,
    ) {
        let control = Control::Loop { tau_s, reference_a: 3e-7, drive_min: 0.1, drive_max: top };
        let lamp = LampParams { control, supply_v, ..LampParams::NOMINAL };
        let mut state = LampState::new(&lamp);
        for _ in 0..20_000 {
            let mean_a = state.drive * q * g * 3e-7;
            step(&lamp, &mut state, mean_a, STEP_S);
            prop_assert!(state.drive >= 0.0 && state.drive <= top);
        }
        let expected = (1.0 / (q * g)).max(0.1).min(lamp.drive_limit());
        prop_assert!((state.drive - expected).abs() <= 1e-3 * top, "{} {}", state.drive, expected);
    }

    #[test]
    fn any_current_gives_a_finite_drive(mean_a in -1.0..1.0_f64, drive in 0.0..2.0_f64, supply_v in 0.0..30.0_f64) {
        let lamp = LampParams { supply_v, ..LampParams::with_loop(&tape()) };
        let mut state = LampState { drive };
        step(&lamp, &mut state, mean_a, STEP_S);
        prop_assert!(state.drive.is_finite() && state.drive >= 0.0 && state.drive <= 1.6);
        let reading = lamp.reading(&state);
        prop_assert!((0.0..=1.0).contains(&reading.used) && (0.0..=1.0).contains(&reading.reserve));
    }
}
