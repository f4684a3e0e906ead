use super::{Film, Lanes, Liquid, Segment, SurfaceError, SurfaceIndex, SurfaceMap, WindowCursor};
use crate::scale::ScaleId;

pub(super) fn film(mu_t: f64, scatter: f64, kappa_s: f64) -> Film {
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
    assert_eq!(map.segments(), [Segment { lines: 0.0, ..Segment::clean(0.25, 0.26) }]);
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
    let good = Segment { mu_t: 0.1, ..Segment::clean(0.0, 0.1) };
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

// Source: reduced distance (Born and Wolf): a layer t of index n shortens the gap by t (1 - 1/n).
#[test]
fn signal_v15_liquid_on_the_map_shortens_the_gap() {
    let gap_m = |thickness_m: f64, gap_m: f64| {
        let mut map = SurfaceMap::new();
        map.pour(0.0, 1.0, Lanes::ALL, Liquid { thickness_m, index: 1.47 });
        let index = SurfaceIndex::new(&map, 2, 0.0);
        index.field_liquid(0, 0.4, 0.5, &mut WindowCursor::default()).optical_gap_m(gap_m, index.densest())
    };
    assert!((gap_m(Liquid::FLOOD_M, 100e-6) / 68.0272e-6 - 1.0).abs() < 1e-5);
    assert!(((gap_m(30e-6, 100e-6) - 100e-6) / -9.59184e-6 - 1.0).abs() < 1e-5);
    // A layer thicker than the gap fills it.
    assert!((gap_m(1e-3, 100e-6) / 68.0272e-6 - 1.0).abs() < 1e-5);
}

#[test]
fn a_half_wetted_window_is_shortened_by_half() {
    let mut map = SurfaceMap::new();
    map.pour(0.0, 1.0, Lanes::UPPER_HALF, Liquid { thickness_m: 20e-6, index: 1.5 });
    map.pour(0.0, 1.0, Lanes::UPPER_HALF, Liquid { thickness_m: 10e-6, index: 1.25 });
    let index = SurfaceIndex::for_scale(&map, &ScaleId::Tape40.spec());
    let shift = index.field_liquid(0, 0.5, 0.6, &mut WindowCursor::default());
    let expected = 0.5 * (20e-6 / 3.0 + 10e-6 / 5.0);
    assert!((shift.film_m - expected).abs() < 1e-15, "{shift:?}");
    assert!(index.has_liquid() && !SurfaceIndex::new(&SurfaceMap::new(), 2, 0.0).has_liquid());
}

#[test]
fn strokes_over_lanes_split_and_join_again() {
    let mut map = SurfaceMap::new();
    map.paint_lanes(0.0, 0.3, Lanes::LOWER_HALF, film(0.1, 0.0, 0.0));
    map.paint_lanes(0.1, 0.2, Lanes::of(&[1]).expect("it exists"), film(0.1, 0.0, 0.0));
    let lanes = |map: &SurfaceMap| map.segments().iter().map(|s| (s.lanes, s.mu_t)).collect::<Vec<_>>();
    let (one, two) = (Lanes::of(&[1]).expect("exists"), Lanes::of(&[2]).expect("exists"));
    let half = Lanes::LOWER_HALF;
    assert_eq!(lanes(&map), [(half, 0.1), (one, 0.2), (two, 0.1), (half, 0.1)]);
    map.paint_lanes(0.1, 0.2, two, film(0.1, 0.0, 0.0));
    assert_eq!(lanes(&map), [(half, 0.1), (half, 0.2), (half, 0.1)]);
    map.paint_lanes(0.0, 0.1, half, film(0.1, 0.0, 0.0));
    map.paint_lanes(0.2, 0.3, half, film(0.1, 0.0, 0.0));
    assert_eq!(lanes(&map), [(half, 0.2)]);
}

#[test]
fn old_maps_still_read_and_plain_maps_are_written_as_before() {
    let text = r#"[{"from_m":0.0,"to_m":0.1,"mu_t":0.5,"scatter":0.25,"kappa_s":0.5,"lines":1.0}]"#;
    let map: SurfaceMap = serde_json::from_str(text).expect("the form of before");
    assert!(map.segments()[0].lanes.is_all() && map.segments()[0].liquid.is_none());
    assert_eq!(serde_json::to_string(&map).expect("plain numbers"), text);
    let thick = r#"[{"from_m":0.0,"to_m":0.1,"mu_t":0.0,"scatter":0.0,"kappa_s":0.0,"lines":1.0,
        "liquid":{"thickness_m":0.001,"index":0.5}}]"#;
    let error = serde_json::from_str::<SurfaceMap>(thick).expect_err("thinner than air");
    assert!(error.to_string().contains("liquid.index is 0.5; it must lie between 1 and 1.6"), "{error}");
}
