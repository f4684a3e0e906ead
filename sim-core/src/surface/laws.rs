//! What must hold for any strokes.

use super::tests::film;
use super::{Film, LANES, Lanes, Liquid, Segment, SurfaceIndex, SurfaceMap, TrackOffset, WindowCursor};
use crate::scale::ScaleId;
use proptest::collection::vec;
use proptest::prelude::{Strategy, any, prop_assert, prop_assert_eq, proptest};

/// A stroke on a scale of half a metre.
#[derive(Clone, Debug)]
enum Stroke {
    Paint(f64, f64, Lanes, Film),
    Smear(f64, f64, f64),
    Scratch(f64, f64, Lanes, f64),
    Pour(f64, f64, Lanes, Liquid),
    Wipe(f64, f64),
}

fn apply(map: &mut SurfaceMap, stroke: &Stroke) {
    match *stroke {
        Stroke::Paint(from, length, lanes, film) => map.paint_lanes(from, from + length, lanes, film),
        Stroke::Smear(centre, width, strength) => map.smear(centre, width, strength),
        Stroke::Scratch(from, length, lanes, polish) => map.strip_lanes(from, from + length, lanes, 0.0, polish),
        Stroke::Pour(from, length, lanes, liquid) => map.pour(from, from + length, lanes, liquid),
        Stroke::Wipe(from, length) => map.wipe(from, from + length),
    }
}

fn films() -> impl Strategy<Value = Film> {
    (0.0..3.0_f64, 0.0..1.0_f64, 0.0..1.0_f64).prop_map(|(m, s, k)| film(m, s, k))
}

fn some_lanes() -> impl Strategy<Value = Lanes> {
    (1_u8..16).prop_map(|bits| {
        let numbers: Vec<u8> = (1..=4).filter(|lane| bits >> (lane - 1) & 1 == 1).collect();
        Lanes::of(&numbers).expect("one to four of four")
    })
}

fn strokes() -> impl Strategy<Value = Stroke> {
    let liquids = (1e-6..200e-6_f64, 1.0..1.6_f64).prop_map(|(thickness_m, index)| Liquid { thickness_m, index });
    let place = (0.0..0.5_f64, 1e-4..0.1_f64);
    (0_u8..5, place, some_lanes(), films(), 0.0..1.0_f64, liquids).prop_map(|(kind, (x, l), lanes, f, s, liquid)| {
        match kind {
            0 => Stroke::Paint(x, l, lanes, f),
            1 => Stroke::Smear(x, l, s),
            2 => Stroke::Scratch(x, l, lanes, s),
            3 => Stroke::Pour(x, l, lanes, liquid),
            _ => Stroke::Wipe(x, l),
        }
    })
}

/// The same map as dull as the bare scale wherever lines are missing.
fn dull(map: &SurfaceMap) -> Vec<Segment> {
    map.segments().iter().map(|s| Segment { polish: 0.0, ..*s }).collect()
}

/// Means over a window straight from the segments: signal, mean light, gap shift.
fn brute_force(map: &SurfaceMap, from_m: f64, to_m: f64, passes: i32, bare: f64, shares: [f64; LANES]) -> [f64; 3] {
    let mut covered = [0.0; 3];
    let mut dirty_m = 0.0;
    for s in map.segments() {
        let share: f64 = s.lanes.indices().map(|lane| shares[lane]).sum();
        let overlap = (s.to_m.min(to_m) - s.from_m.max(from_m)).max(0.0) * share;
        let absorbed = libm::exp(-f64::from(passes) * s.mu_t);
        let direct = libm::pow(1.0 - s.scatter, f64::from(passes));
        covered[0] += overlap * absorbed * direct * s.lines;
        covered[1] += overlap * absorbed * direct * (s.lines + (1.0 - s.lines) * bare);
        covered[1] += overlap * absorbed * (1.0 - direct) * s.kappa_s;
        covered[2] += overlap * s.liquid.map_or(0.0, |l| l.thickness_m * (1.0 - 1.0 / l.index));
        dirty_m += overlap;
    }
    let width = to_m - from_m;
    [(covered[0] + width - dirty_m) / width, (covered[1] + width - dirty_m) / width, covered[2] / width]
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
            let [ac, dc, shift] = brute_force(&map, from, from + width, i32::from(passes), bare, [0.25; LANES]);
            let liquid = index.field_liquid(0, from, from + width, &mut WindowCursor::default());
            prop_assert!((liquid.film_m - shift).abs() < 1e-13, "{liquid:?} {shift}");
            prop_assert!((gains.ac - ac).abs() < 1e-10, "{gains:?} {ac}");
            prop_assert!((gains.dc - dc).abs() < 1e-10, "{gains:?} {dc}");
            // A fresh cursor finds the same.
            prop_assert_eq!(gains, index.mean(from, from + width, &mut WindowCursor::default()));
        }
    }

    // Source: the field's overlap with each lane by hand: glass fields are three lanes high.
    #[test]
    fn each_field_averages_its_own_lanes(
        list in vec(strokes(), 0..12), from in -0.1..0.6_f64, width in 1e-4..5e-3_f64,
    ) {
        let mut map = SurfaceMap::new();
        list.iter().for_each(|stroke| apply(&mut map, stroke));
        let spec = ScaleId::Glass20.spec();
        let third = 1.0 / 3.0;
        let index = SurfaceIndex::for_scale(&SurfaceMap::try_from(dull(&map)).expect("as sorted"), &spec);
        for (k, shares) in [(0, [0.0, third, third, third]), (1, [third, third, third, 0.0])] {
            let gains = index.field_mean(k, from, from + width, &mut WindowCursor::default());
            let [ac, dc, _] = brute_force(&map, from, from + width, 1, 0.0, shares);
            prop_assert!((gains.ac - ac).abs() < 1e-10, "{gains:?} {ac}");
            prop_assert!((gains.dc - dc).abs() < 1e-10, "{gains:?} {dc}");
        }
    }

    // A guide that is not parallel carries the head across the lanes; over a window of a millimetre
    // its drift is a small part of a lane.
    #[test]
    fn a_drifting_head_sees_what_one_standing_there_sees(
        list in vec(strokes(), 0..12), x in 0.0..0.5_f64, slope in -5e-3..5e-3_f64,
    ) {
        let mut map = SurfaceMap::new();
        list.iter().for_each(|stroke| apply(&mut map, stroke));
        let spec = ScaleId::Tape40.spec();
        let along = TrackOffset { at_zero_m: 0.2e-3, slope };
        let there = TrackOffset { at_zero_m: along.at_m(x), slope: 0.0 };
        let ac = |offset| SurfaceIndex::for_head(&map, &spec, offset)
            .mean(x - 0.5e-3, x + 0.5e-3, &mut WindowCursor::default()).ac;
        // A sixteenth of a lane of 0.375 mm either way, of a field of four lanes; twice, as two edges can pass.
        prop_assert!((ac(along) - ac(there)).abs() < 2.0 / 64.0);
    }

    #[test]
    fn added_film_never_brings_signal_back(
        list in vec(strokes(), 0..12), from in 0.0..0.5_f64, length in 1e-4..0.1_f64, more in films(),
        lanes in some_lanes(),
    ) {
        let mut map = SurfaceMap::new();
        list.iter().for_each(|stroke| apply(&mut map, stroke));
        let before = SurfaceIndex::new(&map, 2, 0.0);
        map.paint_lanes(from, from + length, lanes, more);
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
        map.strip_lanes(from, to, Lanes::UPPER_HALF, scatter, kappa_s);
        map.pour(to, width, Lanes::LOWER_HALF, Liquid { thickness_m: mu_t, index: scatter });
        let index = SurfaceIndex::new(&map, 2, 1.0);
        let gains = index.mean(0.1, 0.2, &mut WindowCursor::default());
        let shift = index.field_liquid(0, 0.1, 0.2, &mut WindowCursor::default());
        prop_assert!(shift.optical_gap_m(1e-3, index.densest()).is_finite());
        prop_assert!(gains.ac.is_finite() && gains.dc.is_finite() && gains.ac >= 0.0);
    }

    // Patchwork over every lane: whatever is joined, no place gets cleaner and the map stays small.
    #[test]
    fn a_full_map_only_gets_dirtier(seed in 0_u64..1000) {
        let mut stream = crate::num::random::Stream::named(seed, "patchwork");
        let mut list: Vec<Segment> = Vec::new();
        for lane in 0..LANES {
            let mut at_m = 1e-6 * lane as f64;
            for _ in 0..2000 {
                let to_m = at_m + 1e-5 + 1e-4 * stream.uniform();
                let clean = Segment::clean(at_m, to_m);
                list.push(Segment { mu_t: stream.uniform(), lanes: Lanes::single(lane), ..clean });
                at_m = to_m + 1e-5 * stream.uniform();
            }
        }
        let fine = super::coarsen::arrange(list);
        let coarse = super::coarsen::coarsen(fine.clone());
        prop_assert!(coarse.len() <= 4096);
        let depth = |map: &[Segment], lane: usize, x: f64| {
            map.iter().filter(|s| s.lanes.has(lane) && s.from_m <= x && x < s.to_m).map(|s| s.mu_t).fold(0.0, f64::max)
        };
        for i in 0..50 {
            let x = 2.7e-3 * f64::from(i);
            for lane in 0..LANES {
                prop_assert!(depth(&coarse, lane, x) >= depth(&fine, lane, x));
            }
        }
        prop_assert!(SurfaceMap::try_from(coarse).is_ok());
    }
}
