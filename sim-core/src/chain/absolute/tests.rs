use super::{
    CodeLight, CodeReadError, CodeSequence, CodeTrack, CodeTrackParams, CodeWatch, CodeWatchParams, Frame, GrayDisc,
    GrayDiscParams, combine, receive,
};
use crate::num::random::Stream;
use crate::scale::{CodeSpec, ScaleId};
use crate::surface::{Film, SurfaceIndex, SurfaceMap, WindowCursor};
use proptest::prelude::{prop_assert, prop_assert_eq, proptest};

fn index(map: &SurfaceMap) -> SurfaceIndex {
    SurfaceIndex::for_scale(map, &ScaleId::CodeTape11.spec())
}

fn params() -> CodeTrackParams {
    CodeTrackParams::nominal(&ScaleId::CodeTape11.spec(), 200e-6, 0.0)
}

fn tape(p: &CodeTrackParams) -> CodeTrack {
    let Some(CodeSpec::Sequence { bits, check_bits, .. }) = ScaleId::CodeTape11.spec().code else {
        panic!("a code track")
    };
    CodeTrack::new(CodeSequence::maximal(bits, check_bits).expect("in range"), p).expect("in range")
}

fn read(track: &CodeTrack, x_m: f64, surface: &SurfaceIndex) -> super::TrackRead {
    track.read(x_m, surface, &mut WindowCursor::default(), &mut Stream::named(1, "code"))
}

#[test]
fn a_clean_tape_reads_every_place() {
    let (track, clean) = (tape(&params()), index(&SurfaceMap::new()));
    assert!((track.unique_m() - 0.4094).abs() < 1e-12);
    for cell in 0..2047 {
        let x = (f64::from(cell) + 0.3) * 200e-6;
        let found = read(&track, x, &clean);
        assert!((found.coarse_m.expect("clean") - x).abs() < 1e-12);
        // Blur over 20 um leaves a lone cell 1 - b/(2 w) of its step: 0.45 above the threshold.
        assert!(found.reserve > 0.44 && found.reserve <= 0.5, "{}", found.reserve);
    }
    // Beyond the unique length it begins again.
    let again = read(&track, 0.4094 + 0.01, &clean).coarse_m.expect("clean");
    assert!((again - 0.01).abs() < 1e-9);
}

#[test]
fn dirt_over_the_code_is_an_error_at_that_place_alone() {
    let track = tape(&params());
    // A chip over three bright cells; on dark ones it would change nothing.
    let bright = |k: &i64| (0..3).all(|i| track.sequence().bit(k + i));
    let chip_m = (500..600).find(bright).expect("three ones somewhere") as f64 * 200e-6;
    let mut map = SurfaceMap::new();
    map.paint(chip_m, chip_m + 0.6e-3, Film::OPAQUE);
    let dirty = index(&map);
    let (mut bad, mut wrong) = (0, 0);
    for i in 0..2000 {
        let x = chip_m - 0.01 + f64::from(i) * 10e-6;
        let found = read(&track, x, &dirty).coarse_m;
        match found {
            Ok(place) => wrong += u32::from((place - x).abs() > 1e-9),
            Err(_) => {
                bad += 1;
                assert!(x > chip_m - 20.0 * 200e-6 && x < chip_m + 0.6e-3, "at {x}");
            }
        }
    }
    assert!(bad > 100, "{bad} bad readings");
    assert_eq!(wrong, 0, "nine check bits let none of these pass");
}

// Section 6.10: a place without lines reads as the bare scale: dark when dull, bright when polished.
#[test]
fn a_scratch_reads_as_the_bare_scale() {
    let track = tape(&params());
    let mut map = SurfaceMap::new();
    map.scratch(0.0, 0.1, 0.0);
    let dull = SurfaceIndex::new(&map, 2, 0.0);
    assert_eq!(read(&track, 0.02, &dull).coarse_m, Err(CodeReadError::Dark));
    // Polished: all cells as bright as R_b, twice the mean and a little more.
    let polished = SurfaceIndex::new(&map, 2, 0.55 / 0.29);
    let found = read(&track, 0.02, &polished);
    assert_eq!(found.word, (1 << 20) - 1);
    assert_eq!(found.coarse_m, Err(CodeReadError::CheckBits));
}

#[test]
fn less_light_and_more_gap_use_the_reserve_up() {
    let clean = index(&SurfaceMap::new());
    let with = |light: f64, blur_m: f64| {
        let p = params();
        let p = CodeTrackParams { light: CodeLight { light, blur_m, ..p.light }, ..p };
        read(&tape(&p), 0.1, &clean)
    };
    assert!(with(0.8, 20e-6).reserve < with(1.0, 20e-6).reserve);
    assert!(with(1.0, 60e-6).reserve < with(1.0, 20e-6).reserve);
    assert!(with(0.8, 20e-6).coarse_m.is_ok());
    assert_eq!(with(0.4, 20e-6).coarse_m, Err(CodeReadError::Dark));
}

// Register of the code to the lines: harmless to a quarter period, refused beyond.
#[test]
fn code_and_lines_are_joined_within_a_quarter_period() {
    let clean = index(&SurfaceMap::new());
    let period_m = 100e-6;
    for (register_m, good) in [(0.0, true), (24e-6, true), (-24e-6, true), (26e-6, false), (-40e-6, false)] {
        let track = tape(&CodeTrackParams { register_m, ..params() });
        for i in 0..500 {
            let x = 0.05 + f64::from(i) * 7.3e-6;
            let turns = x / period_m;
            let coarse_m = read(&track, x, &clean).coarse_m.expect("clean");
            match combine(coarse_m, turns - turns.floor(), period_m) {
                Ok(place) => assert!(good && (place - x).abs() < 1e-9, "{register_m} at {x}: {place}"),
                Err(error) => {
                    assert!(!good && matches!(error, CodeReadError::Disagree { .. }), "{register_m}: {error}")
                }
            }
        }
    }
}

#[test]
fn noise_turns_bits_at_its_rate_and_shifts_no_draws() {
    let clean = index(&SurfaceMap::new());
    let noisy = |bit_error_rate: f64| {
        let p = params();
        tape(&CodeTrackParams { light: CodeLight { bit_error_rate, ..p.light }, ..p })
    };
    let (quiet, loud) = (noisy(0.0), noisy(0.01));
    let (mut a, mut b) = (Stream::named(1, "code"), Stream::named(1, "code"));
    let mut turned = 0;
    for i in 0..5000 {
        let x = f64::from(i) * 50e-6;
        let silent = quiet.read(x, &clean, &mut WindowCursor::default(), &mut a).word;
        turned += (silent ^ loud.read(x, &clean, &mut WindowCursor::default(), &mut b).word).count_ones();
    }
    assert_eq!(a, b);
    // Binomial, four standard errors of 100 000 bits.
    assert!((f64::from(turned) / 1e5 - 0.01).abs() < 4.0 * (0.01 * 0.99 / 1e5_f64).sqrt(), "{turned}");
}

fn disc(change: impl Fn(&mut GrayDiscParams)) -> GrayDisc {
    let spec = ScaleId::CodeDisc10.spec();
    let Some(CodeSpec::Gray { tracks, inner_m, outer_m }) = spec.code else { panic!("Gray tracks") };
    let mut p = GrayDiscParams { tracks, inner_m, outer_m, skew_steps: 0.0, light: CodeLight::nominal(&spec) };
    change(&mut p);
    GrayDisc::new(&p).expect("in range")
}

fn step(disc: &GrayDisc, turns: f64, surface: &SurfaceIndex) -> u32 {
    disc.read(turns, surface, &mut WindowCursor::default(), &mut Stream::named(1, "code"))
}

#[test]
fn a_disc_reads_every_step_right_up_to_its_edges() {
    let (d, clean) = (disc(|_| {}), SurfaceIndex::new(&SurfaceMap::new(), 1, 0.0));
    assert_eq!((d.steps(), d.track_radius_m(0), d.track_radius_m(9)), (1024, 12.5e-3, 21.5e-3));
    for i in 0..1024 {
        for part in [0.01, 0.5, 0.99] {
            assert_eq!(step(&d, (f64::from(i) + part) / 1024.0, &clean), i, "step {i} part {part}");
        }
    }
    assert_eq!(step(&d, 3.0 + 100.5 / 1024.0, &clean), 100);
    assert_eq!(step(&d, -0.5 / 1024.0, &clean), 1023);
}

#[test]
fn a_dark_disc_reads_zero_without_a_word() {
    let mut map = SurfaceMap::new();
    map.paint(0.0, 0.2, Film::OPAQUE);
    assert_eq!(step(&disc(|_| {}), 0.7, &SurfaceIndex::new(&map, 1, 0.0)), 0);
}

const WATCH: CodeWatchParams = CodeWatchParams { speed_max_m_per_s: 1.0, period_s: 1e-3, resolution_m: 1e-6 };

#[test]
fn one_bad_reading_is_bridged_and_two_stop_the_axis() {
    let mut w = CodeWatch::default();
    for k in 0..5 {
        let s = w.step(&WATCH, Ok(f64::from(k) * 0.5e-3));
        assert!(s.refused.is_none() && !s.alarm);
    }
    // At 0.5 m/s; the place is moved on at that speed.
    let s = w.step(&WATCH, Err(CodeReadError::CheckBits));
    assert!((s.place_m.expect("known") - 2.5e-3).abs() < 1e-12);
    assert!(!s.alarm && s.refused.is_some());
    let s = w.step(&WATCH, Ok(3.0e-3));
    assert!(s.refused.is_none() && s.place_m == Some(3.0e-3));
    w.step(&WATCH, Err(CodeReadError::Dark));
    assert!(w.step(&WATCH, Err(CodeReadError::Dark)).alarm);
    let text = serde_json::to_string(&w).expect("plain numbers");
    assert_eq!(serde_json::from_str::<CodeWatch>(&text).expect("reads back"), w);
    w.reset();
    assert_eq!(w.step(&WATCH, Ok(9.0)).place_m, Some(9.0));
}

#[test]
fn a_wrong_place_that_passes_its_checks_is_caught_by_its_jump() {
    let mut w = CodeWatch::default();
    w.step(&WATCH, Ok(0.1));
    let s = w.step(&WATCH, Ok(0.3));
    assert!(matches!(s.refused, Some(CodeReadError::Jump { .. })) && s.place_m == Some(0.1));
    assert!(s.refused.expect("refused").to_string().contains("at most 0.00101 m"));
    assert!(w.step(&WATCH, Ok(0.1005)).refused.is_none());
}

#[test]
fn the_heads_own_error_bit_counts_as_a_bad_reading() {
    let good = Frame { place: 5, turns: 1, error: false, warning: true };
    assert_eq!(receive(&good.encode()), Ok(good));
    assert_eq!(receive(&Frame { error: true, ..good }.encode()), Err(CodeReadError::HeadError));
    let mut bytes = good.encode();
    bytes[2] ^= 4;
    assert!(matches!(receive(&bytes), Err(CodeReadError::Frame(_))));
}

#[test]
fn wrong_codes_are_refused_by_name() {
    let p = params();
    let field = |p: CodeTrackParams| p.check().unwrap_err().field;
    assert_eq!(field(CodeTrackParams { cell_m: f64::NAN, ..p }), "cell_m");
    assert_eq!(field(CodeTrackParams { origin_m: f64::INFINITY, ..p }), "origin_m");
    assert_eq!(field(CodeTrackParams { register_m: 1.0, ..p }), "register_m");
    let light = |change: fn(&mut CodeLight)| {
        let mut q = p;
        change(&mut q.light);
        field(q)
    };
    assert_eq!(light(|l| l.bright = 2.0), "bright");
    assert_eq!(light(|l| l.dark = 0.6), "dark");
    assert_eq!(light(|l| l.light = -1.0), "light");
    assert_eq!(light(|l| l.threshold = 1.0), "threshold");
    assert_eq!(light(|l| l.blur_m = f64::NAN), "blur_m");
    assert_eq!(light(|l| l.bit_error_rate = 0.9), "bit_error_rate");
    let g = GrayDiscParams { tracks: 10, inner_m: 12e-3, outer_m: 22e-3, skew_steps: 0.0, light: p.light };
    let field = |g: GrayDiscParams| GrayDisc::new(&g).unwrap_err().field;
    assert_eq!(field(GrayDiscParams { tracks: 20, ..g }), "tracks");
    assert_eq!(field(GrayDiscParams { inner_m: 0.0, ..g }), "inner_m");
    assert_eq!(field(GrayDiscParams { outer_m: 10e-3, ..g }), "outer_m");
    assert_eq!(field(GrayDiscParams { skew_steps: f64::NAN, ..g }), "skew_steps");
    let field = |w: CodeWatchParams| w.check().unwrap_err().field;
    assert_eq!(field(CodeWatchParams { speed_max_m_per_s: 0.0, ..WATCH }), "speed_max_m_per_s");
    assert_eq!(field(CodeWatchParams { period_s: 1.0, ..WATCH }), "period_s");
    assert_eq!(field(CodeWatchParams { resolution_m: -1.0, ..WATCH }), "resolution_m");
}

proptest! {
    // The reason for Gray's code: a row of slits a little out of line is wrong by one step.
    #[test]
    fn a_skewed_row_of_slits_is_off_by_one_step_at_most(turns in 0.0..1.0_f64, skew in -0.9..0.9_f64) {
        let (d, clean) = (disc(|p| p.skew_steps = skew), SurfaceIndex::new(&SurfaceMap::new(), 1, 0.0));
        let found = i64::from(step(&d, turns, &clean));
        let truth = (turns * 1024.0) as i64;
        let off = (found - truth).rem_euclid(1024);
        prop_assert!(off <= 1 || off == 1023, "{found} {truth}");
    }

    // One film over one cell turns at most that bit, and every single bit is caught.
    #[test]
    fn dirt_on_one_cell_is_never_a_wrong_place(cell in 0_i32..2047, mu_t in 0.0..20.0_f64, x in 0.0..0.4_f64) {
        let track = tape(&params());
        let from = f64::from(cell) * 200e-6;
        let mut map = SurfaceMap::new();
        map.paint(from + 1e-9, from + 200e-6 - 1e-9, Film { mu_t, scatter: 0.0, kappa_s: 0.0 });
        if let Ok(place) = read(&track, x, &index(&map)).coarse_m {
            prop_assert!((place - x).abs() < 1e-9);
        }
    }

    #[test]
    fn any_place_gives_a_reading(x in proptest::num::f64::ANY, turns in proptest::num::f64::ANY) {
        let clean = index(&SurfaceMap::new());
        prop_assert!(read(&tape(&params()), x, &clean).reserve.is_finite());
        let found = step(&disc(|_| {}), turns, &clean);
        prop_assert!(found < 1024);
    }

    #[test]
    fn the_joined_place_has_the_phase_of_the_lines(coarse in -1.0..1.0_f64, phase in -0.5..0.5_f64) {
        if let Ok(place) = combine(coarse, phase, 100e-6) {
            let turns = place / 100e-6 - phase;
            prop_assert!((turns - libm::rint(turns)).abs() < 1e-6);
            prop_assert!((place - coarse).abs() <= 25.001e-6);
        }
        prop_assert_eq!(combine(f64::NAN, phase, 100e-6).is_ok(), false);
    }
}
