use super::{Film, Segment, SurfaceError, SurfaceIndex, SurfaceMap, WindowCursor};
use crate::scale::ScaleId;
use proptest::collection::vec;
use proptest::prelude::{Strategy, any, prop_assert, prop_assert_eq, proptest};

fn film(mu_t: f64, scatter: f64, kappa_s: f64) -> Film {
    Film { mu_t, scatter, kappa_s }
}

/// Gains over a window far inside one painted stretch.
fn inside(film: Film, passes: u8) -> super::SurfaceGains {
    let mut map = SurfaceMap::new();
    map.paint(0.0, 1.0, film);
    SurfaceIndex::new(&map, passes, 0.0).mean(0.4, 0.5, &mut WindowCursor::default())
}

// Source: Beer-Lambert law, exp(-mu t) per pass.
#[test]
fn signal_v23_film_absorbs_once_or_twice() {
    let oil = film(5e3 * 20e-6, 0.0, 0.0);
    assert!((inside(oil, 1).ac / 0.904_837_4 - 1.0).abs() < 1e-6);
    assert!((inside(oil, 2).ac / 0.818_730_8 - 1.0).abs() < 1e-6);
    assert_eq!(inside(oil, 2).ac, inside(oil, 2).dc);
}

// Source: Beer-Lambert and the unscattered share squared; scattered light adds to the mean only.
#[test]
fn signal_v25_smear_takes_more_signal_than_light() {
    let smear = film(2e3 * 25e-6, 0.2, 0.4);
    let gains = inside(smear, 2);
    assert!((gains.ac / 0.579_096 - 1.0).abs() < 1e-6, "{gains:?}");
    assert!((gains.dc / 0.709_393 - 1.0).abs() < 1e-6, "{gains:?}");
}

#[test]
fn strokes_combine_and_a_wipe_takes_films_but_not_scratches() {
    let mut map = SurfaceMap::new();
    map.paint(0.0, 0.3, film(0.1, 0.2, 0.4));
    map.paint(0.2, 0.5, film(0.2, 0.5, 0.4));
    let middle = map.segments()[1];
    assert_eq!((middle.from_m, middle.to_m), (0.2, 0.3));
    assert!((middle.mu_t - 0.3).abs() < 1e-15);
    assert!((middle.scatter - 0.6).abs() < 1e-15);
    assert!((middle.kappa_s - 0.4).abs() < 1e-15);
    map.scratch(0.25, 0.26, 0.0);
    map.wipe(-1.0, 1.0);
    assert_eq!(
        map.segments(),
        [Segment { from_m: 0.25, to_m: 0.26, mu_t: 0.0, scatter: 0.0, kappa_s: 0.0, lines: 0.0 }]
    );
    assert!(!map.is_clean());
}

#[test]
fn missing_lines_take_the_signal_and_show_the_bare_scale() {
    let mut map = SurfaceMap::new();
    map.scratch(0.0, 1.0, 0.0);
    let at = |bare| SurfaceIndex::new(&map, 2, bare).mean(0.2, 0.3, &mut WindowCursor::default());
    assert_eq!((at(0.0).ac, at(0.0).dc), (0.0, 0.0));
    assert_eq!((at(1.5).ac, at(1.5).dc), (0.0, 1.5));
}

#[test]
fn a_smear_has_a_core_and_feathered_edges() {
    let mut map = SurfaceMap::new();
    map.smear(1.0, 8e-3, 0.5);
    let s = map.segments();
    assert_eq!(s.len(), 21, "ten steps, a core, ten steps");
    assert!((s[0].from_m - 0.996).abs() < 1e-12 && (s[20].to_m - 1.004).abs() < 1e-12);
    assert!((s[10].mu_t - 0.5).abs() < 1e-15 && (s[10].scatter - 0.25).abs() < 1e-15);
    for i in 0..10 {
        assert!(s[i].mu_t < s[i + 1].mu_t, "rising edge, step {i}");
        assert!((s[i].mu_t - s[20 - i].mu_t).abs() < 1e-12, "symmetric, step {i}");
        assert_eq!(s[i].to_m, s[i + 1].from_m, "no slit at step {i}");
    }
}

#[test]
fn ten_thousand_strokes_stay_bounded() {
    let mut same = SurfaceMap::new();
    let mut random = SurfaceMap::new();
    let mut stream = crate::num::random::Stream::named(1, "strokes");
    for _ in 0..10_000 {
        same.paint(0.1, 0.2, film(0.01, 0.01, 0.4));
        let from = 3.0 * stream.uniform();
        let mu_t = 0.1 * stream.uniform();
        random.paint(from, from + 0.01 * stream.uniform(), film(mu_t, 0.1, 0.4));
    }
    assert_eq!(same.segments().len(), 1);
    assert!(random.segments().len() <= 4096);
    let text = serde_json::to_string(&random).expect("a map is plain numbers");
    let back: SurfaceMap = serde_json::from_str(&text).expect("what was written reads");
    assert_eq!(back, random);
}

#[test]
fn a_bad_map_is_refused_with_the_place_and_the_cure() {
    let good = Segment { from_m: 0.0, to_m: 0.1, mu_t: 0.1, scatter: 0.0, kappa_s: 0.0, lines: 1.0 };
    let read = |list: &[Segment]| SurfaceMap::try_from(list.to_vec());
    assert!(read(&[good]).is_ok());
    let backwards = Segment { to_m: -0.1, ..good };
    assert!(matches!(read(&[backwards]), Err(SurfaceError::Extent { index: 0, .. })));
    assert!(matches!(read(&[good, good]), Err(SurfaceError::Overlap { index: 1, .. })));
    let bright = Segment { lines: 1.5, ..good };
    let error = read(&[bright]).expect_err("more lines than there are");
    assert_eq!(error.to_string(), "surface segment 0: lines is 1.5; it must lie between 0 and 1");
    let text = r#"[{"from_m":0.0,"to_m":0.1,"mu_t":-1.0,"scatter":0.0,"kappa_s":0.0,"lines":1.0}]"#;
    assert!(serde_json::from_str::<SurfaceMap>(text).is_err());
    let nan = Segment { scatter: f64::NAN, ..good };
    assert!(matches!(read(&[nan]), Err(SurfaceError::Range { name: "scatter", .. })));
}

#[test]
fn a_scale_brings_its_own_passes_and_bare_light() {
    let mut map = SurfaceMap::new();
    map.paint(0.0, 1.0, film(0.1, 0.0, 0.0));
    let gain = |id: ScaleId| SurfaceIndex::for_scale(&map, &id.spec()).mean(0.1, 0.2, &mut WindowCursor::default());
    assert!((gain(ScaleId::Glass20).ac - 0.904_837_4).abs() < 1e-7);
    assert!((gain(ScaleId::Tape40).ac - 0.818_730_8).abs() < 1e-7);
}

/// A stroke on a scale of half a metre.
#[derive(Clone, Debug)]
enum Stroke {
    Paint(f64, f64, Film),
    Smear(f64, f64, f64),
    Scratch(f64, f64),
    Wipe(f64, f64),
}

fn apply(map: &mut SurfaceMap, stroke: &Stroke) {
    match *stroke {
        Stroke::Paint(from, length, film) => map.paint(from, from + length, film),
        Stroke::Smear(centre, width, strength) => map.smear(centre, width, strength),
        Stroke::Scratch(from, length) => map.scratch(from, from + length, 0.0),
        Stroke::Wipe(from, length) => map.wipe(from, from + length),
    }
}

fn films() -> impl Strategy<Value = Film> {
    (0.0..3.0_f64, 0.0..1.0_f64, 0.0..1.0_f64).prop_map(|(m, s, k)| film(m, s, k))
}

fn strokes() -> impl Strategy<Value = Stroke> {
    (0_u8..4, 0.0..0.5_f64, 1e-4..0.1_f64, films(), 0.0..1.0_f64).prop_map(|(kind, x, l, f, s)| match kind {
        0 => Stroke::Paint(x, l, f),
        1 => Stroke::Smear(x, l, s),
        2 => Stroke::Scratch(x, l),
        _ => Stroke::Wipe(x, l),
    })
}

/// Mean over a window straight from the segments.
fn brute_force(map: &SurfaceMap, from_m: f64, to_m: f64, passes: i32, bare: f64) -> [f64; 2] {
    let mut covered = [0.0; 2];
    let mut dirty_m = 0.0;
    for s in map.segments() {
        let overlap = (s.to_m.min(to_m) - s.from_m.max(from_m)).max(0.0);
        let absorbed = libm::exp(-f64::from(passes) * s.mu_t);
        let direct = libm::pow(1.0 - s.scatter, f64::from(passes));
        covered[0] += overlap * absorbed * direct * s.lines;
        covered[1] += overlap * absorbed * direct * (s.lines + (1.0 - s.lines) * bare);
        covered[1] += overlap * absorbed * (1.0 - direct) * s.kappa_s;
        dirty_m += overlap;
    }
    let width = to_m - from_m;
    covered.map(|sum| (sum + width - dirty_m) / width)
}

proptest! {
    #[test]
    fn window_means_equal_brute_force(
        list in vec(strokes(), 0..20),
        windows in vec((-0.1..0.7_f64, 1e-4..5e-3_f64), 1..20),
        passes in 1_u8..3,
        bare in 0.0..2.0_f64,
    ) {
        let mut map = SurfaceMap::new();
        list.iter().for_each(|stroke| apply(&mut map, stroke));
        let index = SurfaceIndex::new(&map, passes, bare);
        let mut cursor = WindowCursor::default();
        for (from, width) in windows {
            let gains = index.mean(from, from + width, &mut cursor);
            let [ac, dc] = brute_force(&map, from, from + width, i32::from(passes), bare);
            prop_assert!((gains.ac - ac).abs() < 1e-10, "{gains:?} {ac}");
            prop_assert!((gains.dc - dc).abs() < 1e-10, "{gains:?} {dc}");
            // A fresh cursor finds the same.
            prop_assert_eq!(gains, index.mean(from, from + width, &mut WindowCursor::default()));
        }
    }

    #[test]
    fn added_film_never_brings_signal_back(
        list in vec(strokes(), 0..12), from in 0.0..0.5_f64, length in 1e-4..0.1_f64, more in films(),
    ) {
        let mut map = SurfaceMap::new();
        list.iter().for_each(|stroke| apply(&mut map, stroke));
        let before = SurfaceIndex::new(&map, 2, 0.0);
        map.paint(from, from + length, more);
        let after = SurfaceIndex::new(&map, 2, 0.0);
        for i in 0..200 {
            let x = f64::from(i) * 3e-3;
            let mean = |index: &SurfaceIndex| index.mean(x, x + 2e-3, &mut WindowCursor::default());
            prop_assert!(mean(&after).ac <= mean(&before).ac + 1e-12);
        }
    }

    #[test]
    fn a_wipe_of_everything_restores_the_clean_scale(list in vec(strokes(), 0..20)) {
        let mut map = SurfaceMap::new();
        list.iter().filter(|s| !matches!(s, Stroke::Scratch(..))).for_each(|s| apply(&mut map, s));
        map.wipe(-1.0, 2.0);
        prop_assert!(map.is_clean());
    }

    #[test]
    fn segments_stay_sorted_apart_and_readable(list in vec(strokes(), 0..40)) {
        let mut map = SurfaceMap::new();
        list.iter().for_each(|stroke| apply(&mut map, stroke));
        prop_assert_eq!(SurfaceMap::try_from(map.segments().to_vec()), Ok(map));
    }

    #[test]
    fn any_number_gives_finite_light(numbers in proptest::array::uniform7(any::<f64>())) {
        let [from, to, mu_t, scatter, kappa_s, width, strength] = numbers;
        let mut map = SurfaceMap::new();
        map.paint(from, to, film(mu_t, scatter, kappa_s));
        map.smear(from, width, strength);
        map.scratch(to, from, strength);
        map.wipe(mu_t, width);
        let index = SurfaceIndex::new(&map, 2, 1.0);
        let gains = index.mean(0.1, 0.2, &mut WindowCursor::default());
        prop_assert!(gains.ac.is_finite() && gains.dc.is_finite() && gains.ac >= 0.0);
    }
}
