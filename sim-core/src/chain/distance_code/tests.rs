use super::{DistancePlan, DistanceState, MarkError, MarkName, Sighting};
use proptest::prelude::{prop_assert, prop_assert_eq, proptest};

const PLANS: [(u32, u32); 3] = [(1000, 1), (1000, 2), (500, 1)];

/// Places of all marks, in order, straight from the definition.
fn places(plan: &DistancePlan) -> Vec<i64> {
    let (n, m) = (i64::from(plan.basic_periods), i64::from(plan.step_periods));
    let mut all = Vec::new();
    for j in 1..=i64::from(plan.coded_marks) {
        all.push(j * n);
        all.push(j * n + n / 2 + j * m);
    }
    all.push((i64::from(plan.coded_marks) + 1) * n);
    all
}

// Source: brute force over the definition (our own numbering): every pair of neighbours, both
// directions, and no two pairs with the same signed distance.
#[test]
fn signal_v46_two_marks_tell_the_place() {
    let plan = DistancePlan { basic_periods: 1000, step_periods: 2, coded_marks: 100 };
    let (f, c) = (plan.place_periods(MarkName::Fixed(37)), plan.place_periods(MarkName::Coded(37)));
    assert_eq!((f, c), (37_000, 37_574));
    let next = plan.place_periods(MarkName::Fixed(38));
    assert_eq!((c - f, next - c), (574, 426));
    assert_eq!(plan.pair(574.0).map(|p| (p.first_periods, p.second_periods)), Ok((37_000, 37_574)));
    assert_eq!(plan.pair(426.0).map(|p| (p.first_periods, p.second_periods)), Ok((37_574, 38_000)));
    for (basic, step) in PLANS {
        let plan = DistancePlan::longest(basic, step);
        plan.check().expect("the longest plan is a plan");
        let all = places(&plan);
        assert_eq!(all.len(), plan.count() as usize);
        let mut distances: Vec<i64> = all.windows(2).map(|w| w[1] - w[0]).collect();
        for (i, w) in all.windows(2).enumerate() {
            for (first, second) in [(w[0], w[1]), (w[1], w[0])] {
                let pair = plan.pair((second - first) as f64).expect("neighbours");
                assert_eq!((pair.first_periods, pair.second_periods), (first, second));
            }
            assert_eq!(plan.place_periods(plan.mark(i as u32)), w[0]);
        }
        distances.sort_unstable();
        distances.dedup();
        assert_eq!(distances.len() + 1, all.len(), "every distance once");
        let expected = f64::from(basic) * f64::from(basic) / (2.0 * f64::from(step));
        assert!((plan.length_periods() as f64 / expected - 1.0).abs() < 0.01);
    }
}

/// A gantry's tape: marks every 20 mm, 20 um coding step, 20 um periods, counts of 5 um.
fn gantry() -> (DistancePlan, impl Fn(i32) -> Result<f64, MarkError>) {
    let plan = DistancePlan::longest(1000, 1);
    let second_mm = move |counts: i32| Ok(plan.pair(f64::from(counts) / 4.0)?.second_periods as f64 * 20e-3);
    (plan, second_mm)
}

// Source: axis specification, computed there by its own scheme (n = round((u - G/2)/D)).
#[test]
fn axis_v21_place_of_the_last_mark() {
    let (_, second_mm) = gantry();
    for (counts, mm) in [(2068, 350.34), (1932, 360.00), (-1932, 350.34), (-2068, 340.00)] {
        let found = second_mm(counts).expect("neighbours");
        assert!((found / mm - 1.0).abs() < 1e-12, "{counts}: {found} mm");
    }
}

// Source: as axis_v21, one period lost between the two marks.
#[test]
fn axis_v22_one_lost_period_is_off_by_a_whole_spacing() {
    let (_, second_mm) = gantry();
    let found = second_mm(2064).expect("a neighbouring pair, which is the trouble");
    assert!((found / 330.32 - 1.0).abs() < 1e-12);
    assert!((second_mm(2068).expect("neighbours") - found - 20.02).abs() < 1e-9);
}

// Source: brute force over every pair, direction and sign of the loss.
#[test]
fn one_lost_period_is_silent_at_step_one_and_found_at_step_two() {
    for (basic, step) in PLANS {
        let plan = DistancePlan::longest(basic, step);
        let all = places(&plan);
        let (mut silent, mut found) = (0, 0);
        for w in all.windows(2) {
            for (d, lost) in [(1, 1), (1, -1), (-1, 1), (-1, -1)] {
                let truth = if d > 0 { w[1] } else { w[0] };
                match plan.pair((d * (w[1] - w[0]) + lost) as f64) {
                    Ok(pair) => {
                        // One neighbouring j of the same kind: a whole basic spacing off.
                        let off = (pair.second_periods - truth).abs();
                        let near_spacing = (i64::from(basic) - i64::from(step))..=(i64::from(basic) + i64::from(step));
                        assert!(near_spacing.contains(&off), "off by {off}");
                        silent += 1;
                    }
                    Err(MarkError::NoSuchPair { .. }) => found += 1,
                    Err(other) => panic!("{other}"),
                }
            }
        }
        if step == 1 {
            // All but the ends of the numbering, where there is no neighbour.
            assert_eq!(found, 8, "{basic} {step}");
        } else {
            assert_eq!(silent, 0, "{basic} {step}");
        }
    }
}

// The third mark: loss in the first gap or in the second, every place, both directions.
#[test]
fn the_third_mark_finds_a_lost_period() {
    // Room for the patterns themselves, as on a real scale.
    let plan = DistancePlan { basic_periods: 500, step_periods: 1, coded_marks: 200 };
    assert_eq!(plan.closest_periods(), 50);
    let all = places(&plan);
    for w in all.windows(3) {
        for reverse in [false, true] {
            let mut at: Vec<f64> = w.iter().map(|x| *x as f64).collect();
            if reverse {
                at.reverse();
            }
            for lost in [-1.0, 0.0, 1.0] {
                for gap in [1, 2] {
                    let mut state = DistanceState::default();
                    let count = |i: usize| at[i] - 777.0 + if i >= gap { lost } else { 0.0 };
                    assert_eq!(state.sight(&plan, count(0)), Sighting::First);
                    let second = state.sight(&plan, count(1));
                    let third = state.sight(&plan, count(2));
                    if lost == 0.0 {
                        assert!(matches!(second, Sighting::Located(_)) && matches!(third, Sighting::Confirmed(_)));
                        assert_eq!(state.absolute_periods(count(2)), Some(at[2]));
                        assert!(state.is_confirmed());
                    } else {
                        let refused = |s: &Sighting| matches!(s, Sighting::Refused(_));
                        assert!(refused(&second) || refused(&third), "{w:?} {lost} {gap}");
                        assert!(!state.is_confirmed());
                    }
                }
            }
        }
    }
}

#[test]
fn turning_round_on_a_mark_tells_nothing_and_breaks_nothing() {
    let plan = DistancePlan::longest(1000, 2);
    let mut state = DistanceState::default();
    assert_eq!(state.sight(&plan, 0.0), Sighting::First);
    assert_eq!(state.sight(&plan, 0.0), Sighting::SameAgain);
    assert!(matches!(state.sight(&plan, 574.0), Sighting::Located(_)));
    // Back over the first mark.
    assert!(matches!(state.sight(&plan, 0.0), Sighting::Confirmed(p) if p.second_periods == 37_000));
    let text = serde_json::to_string(&state).expect("plain numbers");
    assert_eq!(serde_json::from_str::<DistanceState>(&text).expect("reads back"), state);
}

#[test]
fn a_missed_or_false_mark_is_refused_in_words() {
    let plan = DistancePlan::longest(1000, 2);
    let error = plan.pair(1000.0).unwrap_err();
    assert!(error.to_string().starts_with("no two neighbouring marks are 1000 periods apart"), "{error}");
    assert!(matches!(plan.pair(574.4), Err(MarkError::Fraction { .. })));
    assert!(matches!(plan.pair(f64::NAN), Err(MarkError::Fraction { .. })));
    assert!(matches!(plan.pair(f64::INFINITY), Err(MarkError::Fraction { .. })));
    assert!(plan.pair(500.0).is_err() && plan.pair(0.0).is_err());
}

#[test]
fn plans_with_repeated_distances_are_refused_by_name() {
    let field = |basic_periods, step_periods, coded_marks| {
        DistancePlan { basic_periods, step_periods, coded_marks }.check().unwrap_err().field
    };
    assert_eq!(field(1001, 1, 10), "basic_periods");
    assert_eq!(field(2, 1, 1), "basic_periods");
    assert_eq!(field(1000, 0, 10), "step_periods");
    assert_eq!(field(1000, 2, 250), "coded_marks");
    assert_eq!(field(1000, 2, 0), "coded_marks");
    DistancePlan { basic_periods: 1000, step_periods: 2, coded_marks: 249 }.check().expect("just fits");
}

proptest! {
    // Whatever is latched, an answer is a pair of neighbours of the plan or a refusal.
    #[test]
    fn any_distance_gives_neighbours_or_a_refusal(
        half in 5_u32..10_000, step in 1_u32..1000, distance in -30_000.0..30_000.0_f64,
    ) {
        let plan = DistancePlan::longest(2 * half, step);
        if plan.check().is_ok() && let Ok(pair) = plan.pair(distance) {
            prop_assert!(((pair.second_periods - pair.first_periods) as f64 - distance).abs() <= 0.25);
            prop_assert_eq!(plan.place_periods(pair.first), pair.first_periods);
        }
    }
}
