//! Dirt, wiping and alignment through the whole chain, from the map to the channel's volts.
//!
//! Laws that must hold for any dirt on any scale; sources beside each.

use proptest::collection::vec;
use proptest::prelude::{Strategy, any, prop_assert, proptest};
use proptest::sample::select;
use sim_core::chain::alignment::{AlignmentParams, AlignmentState, Vibration};
use sim_core::chain::analog::{AnalogForm, AnalogParams, AnalogState, SampleTable, step};
use sim_core::chain::light::GapTable;
use sim_core::chain::photo::{HEALTHY_HEAD, HeadOptics, HeadPose, Illumination, WindowFilm};
use sim_core::scale::{ScaleId, ScaleSpec};
use sim_core::surface::wiping::{Method, wipe};
use sim_core::surface::{Bump, Film, Lanes, Spot, Substance, SurfaceCursor, SurfaceIndex, SurfaceMap};
use std::f64::consts::TAU;
use std::sync::LazyLock;

/// Every scale with its gap table, built once.
static HEADS: LazyLock<Vec<(ScaleSpec, GapTable)>> =
    LazyLock::new(|| ScaleId::ALL.map(|id| (id.spec(), GapTable::build(&id.spec()))).into_iter().collect());

fn nominal(spec: &ScaleSpec, table: &GapTable) -> HeadOptics {
    HeadOptics::new(spec, table, &HeadPose::nominal(spec), Illumination::NOMINAL, &HEALTHY_HEAD)
}

/// Amplitude of A and B at a place, V, with the head standing there.
fn amplitudes_v(spec: &ScaleSpec, optics: &HeadOptics, map: &SurfaceMap, x_m: f64) -> [f64; 2] {
    let surface = SurfaceIndex::for_scale(map, spec);
    let gains = optics.surface_gains(x_m, &surface, &mut SurfaceCursor::default());
    let analog = AnalogParams::nominal(spec);
    match analog.form {
        AnalogForm::Differential => {
            [(0, 2), (1, 3)].map(|(k, l)| analog.gain_ohm[0] * optics.pair_amplitude_a(k, l, &gains))
        }
        AnalogForm::SingleEnded { .. } => [0, 1].map(|k| analog.gain_ohm[0] * optics.field_swing_a(k, &gains).0),
    }
}

/// Fundamental of A and B over one period of slow travel, V, sampled behind the amplifier.
fn sampled_v(spec: &ScaleSpec, optics: &HeadOptics, map: &SurfaceMap, x_m: f64) -> [f64; 2] {
    let surface = SurfaceIndex::for_scale(map, spec);
    let mut params = AnalogParams::nominal(spec);
    params.noise_scale = 0.0;
    let sample = SampleTable::new(params.bandwidth_hz).of(1);
    let (mut state, mut cursor) = (AnalogState::new(1), SurfaceCursor::default());
    let n = 64;
    let mut sums = [(0.0, 0.0); 2];
    for i in 0..n {
        let theta = f64::from(i) / f64::from(n);
        let light = optics.currents(x_m + theta * spec.period_m, &surface, &mut cursor);
        state.settle(&params, &light);
        let volts = step(&params, &mut state, &light, &sample);
        for (sum, v) in sums.iter_mut().zip([volts.a_v, volts.b_v]) {
            sum.0 += v * libm::cos(TAU * theta) * 2.0 / f64::from(n);
            sum.1 += v * libm::sin(TAU * theta) * 2.0 / f64::from(n);
        }
    }
    sums.map(|(re, im)| libm::hypot(re, im))
}

fn some_lanes() -> impl Strategy<Value = Lanes> {
    (1_u8..16).prop_map(|bits| {
        let numbers: Vec<u8> = (1..=4).filter(|lane| bits >> (lane - 1) & 1 == 1).collect();
        Lanes::of(&numbers).expect("one to four of four")
    })
}

/// Anything that can lie on 20 mm of scale. The heads here do not follow the liquids: the focus is held.
fn patches(substances: Vec<Substance>) -> impl Strategy<Value = SurfaceMap> {
    let patch = (select(substances), 0.0..20e-3_f64, 20e-6..8e-3_f64, 0.0..1.0_f64, some_lanes());
    vec(patch, 0..5).prop_map(|list| {
        let mut map = SurfaceMap::new();
        for (substance, at_m, size_m, amount, lanes) in list {
            map.lay(substance, Spot { at_m, lanes }, size_m, amount).expect("in range");
        }
        map
    })
}

proptest! {
    // Source: Beer-Lambert: opaque dirt takes light away and adds none, so no channel swings wider.
    #[test]
    fn amplitude_never_rises_with_added_opaque_dirt(
        before in patches(Substance::ALL.to_vec()),
        from in 0.0..20e-3_f64, width in 20e-6..5e-3_f64, lanes in some_lanes(), mu_t in 0.0..20.0_f64,
    ) {
        let mut after = before.clone();
        after.paint_lanes(from, from + width, lanes, Film { mu_t, ..Film::OPAQUE });
        for (spec, table) in HEADS.iter() {
            let optics = nominal(spec, table);
            for i in 0..40 {
                let x_m = 0.5e-3 * f64::from(i);
                let (clean, dirty) = (amplitudes_v(spec, &optics, &before, x_m), amplitudes_v(spec, &optics, &after, x_m));
                for (c, d) in clean.iter().zip(dirty) {
                    prop_assert!(d <= c + 1e-12, "{:?} at {x_m}: {d} after {c}", spec.id);
                }
            }
        }
    }

    // The same behind the amplifier, with the waveform as it is sampled. The stripe runs along the
    // travel further than the windows, so that no edge of it passes under them within the period.
    #[test]
    fn a_stripe_of_opaque_dirt_never_raises_the_waveform(
        first in some_lanes(), second in some_lanes(), depth in proptest::array::uniform2(0.0..20.0_f64),
    ) {
        let mut before = SurfaceMap::new();
        before.paint_lanes(0.0, 0.1, first, Film { mu_t: depth[0], ..Film::OPAQUE });
        let mut after = before.clone();
        after.paint_lanes(0.0, 0.1, second, Film { mu_t: depth[1], ..Film::OPAQUE });
        for (spec, table) in HEADS.iter() {
            let optics = nominal(spec, table);
            let volts = |map: &SurfaceMap| sampled_v(spec, &optics, map, 0.05);
            let (clean, less, more) = (volts(&SurfaceMap::new()), volts(&before), volts(&after));
            for channel in 0..2 {
                prop_assert!(less[channel] <= clean[channel] + 1e-9);
                prop_assert!(more[channel] <= less[channel] + 1e-9, "{:?}: {more:?} after {less:?}", spec.id);
            }
        }
    }

    // At a held focus: a liquid that goes takes its shift of the gap along, for better or worse.
    #[test]
    fn wiping_right_never_lowers_the_amplitude(
        map in patches(Substance::ALL.to_vec()), from in 0.0..20e-3_f64, to in 0.0..20e-3_f64,
    ) {
        let after = wipe(&map, Method::PermittedSolvent, from, to, true, 1).expect("on the scale").map;
        for (spec, table) in HEADS.iter() {
            let optics = nominal(spec, table);
            for i in 0..40 {
                let x_m = 0.5e-3 * f64::from(i);
                let (was, is) = (amplitudes_v(spec, &optics, &map, x_m), amplitudes_v(spec, &optics, &after, x_m));
                prop_assert!(is[0] >= was[0] - 1e-12 && is[1] >= was[1] - 1e-12, "{:?}: {is:?} {was:?}", spec.id);
            }
        }
    }

    #[test]
    fn any_finite_state_gives_finite_light(
        map in patches(Substance::ALL.to_vec()), x in -1.0..3.0_f64, t in 0.0..1e5_f64,
        tilt in proptest::array::uniform3(-0.2..0.2_f64), lateral_m in -20e-3..20e-3_f64, detune in -0.1..0.1_f64,
        bends in proptest::array::uniform3(-1.0..1.0_f64), play in 0.0..1e-3_f64, shake in 0.0..1e-3_f64,
        window in (0.0..2.0_f64, 0.0..1.0_f64, proptest::array::uniform4(0.0..1.0_f64)),
    ) {
        for (spec, table) in HEADS.iter() {
            let pose = HeadPose {
                pitch_rad: tilt[0], roll_rad: tilt[1], yaw_rad: tilt[2], lateral_m, detune,
                ..HeadPose::nominal(spec)
            };
            let mut p = AlignmentParams::rigid(pose, spec, 2.0);
            (p.wedge, p.sag_m, p.track_angle_rad) = (0.01 * bends[0], 2e-3 * bends[1], 0.02 * bends[2]);
            p.bumps.push(Bump { at_m: x, width_m: 5e-3, rise_m: 3e-3 * bends[0] });
            p.lost_motion_m = play;
            p.gap_vibration.push(Vibration { amplitude_m: shake, frequency_hz: 100.0, phase_turns: 0.0 });
            p.check().expect("in range");
            let film = WindowFilm {
                film: Film { mu_t: window.0, scatter: window.1, kappa_s: 0.4 },
                weights: window.2,
            };
            film.check().expect("in range");
            let condition = film.over(HEALTHY_HEAD, spec.grating_type.passes());
            let surface = SurfaceIndex::for_head(&map, spec, p.track_offset());
            let (mut cursor, mut state) = (SurfaceCursor::default(), AlignmentState::default());
            let mut optics = HeadOptics::new(spec, table, &p.pose, Illumination::NOMINAL, &condition);
            for place_m in [x, 0.01, 0.0] {
                let placed = p.step(&mut state, place_m, place_m + 1e-5, t);
                optics.follow(spec, table, &placed.pose, place_m, &surface, &mut cursor);
                let light = optics.currents(place_m + placed.shift_at_m(0.5), &surface, &mut cursor);
                for k in 0..spec.fields.len() {
                    prop_assert!(light.field[k].is_finite(), "{:?}: {light:?}", spec.id);
                    prop_assert!((0.0..=1.0).contains(&light.lit[k]), "{:?}: {light:?}", spec.id);
                }
            }
        }
    }

    #[test]
    fn no_number_whatever_makes_the_light_other_than_finite(
        wild in proptest::array::uniform6(any::<f64>()), x in 0.0..1.0_f64,
    ) {
        let mut map = SurfaceMap::new();
        let spot = Spot { at_m: wild[0], lanes: Lanes::UPPER_HALF };
        for substance in Substance::ALL {
            let laid = map.lay(substance, spot, wild[1], wild[2]);
            let fits = wild[0].abs() <= 1e3 && (1e-6..=2e3).contains(&wild[1]) && (0.0..=1.0).contains(&wild[2]);
            prop_assert!(laid.is_ok() == fits, "{laid:?}");
        }
        map.paint_lanes(wild[3], wild[4], Lanes::LOWER_HALF, Film { mu_t: wild[5], scatter: wild[0], kappa_s: wild[1] });
        for (spec, table) in HEADS.iter() {
            let surface = SurfaceIndex::for_scale(&map, spec);
            let light = nominal(spec, table).currents(x, &surface, &mut SurfaceCursor::default());
            prop_assert!(light.field.iter().all(|i| i.is_finite()));
        }
    }
}

// Source: 4.2: opaque over the share f of one of four fields takes f/2 of one channel's amplitude and
// leaves the other; over the share f of the one field of a head it takes f of both. Here f is a part of
// the height: one lane of three, and one of four.
#[test]
fn a_chip_over_part_of_the_height_tells_four_fields_from_one() {
    let chip = |at_m: f64| {
        let mut map = SurfaceMap::new();
        let lane = Spot { at_m, lanes: Lanes::of(&[4]).expect("it exists") };
        map.lay(Substance::Chip, lane, 0.9e-3, 1.0).expect("in range");
        map
    };
    let ratio = |id: ScaleId, at_m: f64| {
        let (spec, table) = HEADS.iter().find(|(spec, _)| spec.id == id).expect("it is in the list");
        let optics = nominal(spec, table);
        let volts = |map: &SurfaceMap| amplitudes_v(spec, &optics, map, 0.0);
        let (dirty, clean) = (volts(&chip(at_m)), volts(&SurfaceMap::new()));
        [dirty[0] / clean[0], dirty[1] / clean[1]]
    };
    // Field 0 spans 0.6 to 1.4 mm and lanes 2 to 4; the pair of B does not reach lane 4.
    let glass = ratio(ScaleId::Glass20, 1.0e-3);
    assert!((glass[0] - (1.0 - 1.0 / 6.0)).abs() < 1e-6 && (glass[1] - 1.0).abs() < 1e-12, "{glass:?}");
    let below = ratio(ScaleId::Glass20, -1.0e-3);
    assert!((below[0] - 1.0).abs() < 1e-12 && (below[1] - 1.0).abs() < 1e-12, "{below:?}");
    // 0.9 mm of a field of 1.6 mm, one lane of four.
    let tape = ratio(ScaleId::Tape40, 0.0);
    let left = 1.0 - 0.25 * 0.9 / 1.6;
    assert!((tape[0] - left).abs() < 1e-6 && (tape[1] - left).abs() < 1e-6, "{tape:?}");
}
