use super::{Method, Wiped, wipe};
use crate::surface::{Film, Spot, Substance, SurfaceGains, SurfaceIndex, SurfaceMap, WindowCursor};
use proptest::prelude::{Strategy, prop_assert, prop_assert_eq, proptest};
use proptest::sample::select;

fn laid(substance: Substance) -> SurfaceMap {
    let mut map = SurfaceMap::new();
    map.lay(substance, 0.1, 3e-3, 1.0).expect("in range");
    map
}

fn wiped(map: &SurfaceMap, method: Method, seed: u64) -> Wiped {
    wipe(map, method, 0.09, 0.11, true, seed).expect("on the scale")
}

fn mean(map: &SurfaceMap, x_m: f64) -> SurfaceGains {
    SurfaceIndex::new(map, 2, 0.0).mean(x_m - 0.5e-3, x_m + 0.5e-3, &mut WindowCursor::default())
}

#[test]
fn the_right_way_takes_every_film_and_harms_nothing() {
    for substance in Substance::ALL {
        let after = wiped(&laid(substance), Method::PermittedSolvent, 1);
        assert_eq!(after.map.is_clean(), !substance.is_damage(), "{substance:?}");
        assert_eq!((after.scratches, after.spread_m, after.lifted), (0, 0.0, None));
    }
}

#[test]
fn a_dry_cloth_over_a_chip_brings_the_light_back_but_not_the_lines() {
    let before = laid(Substance::Chip);
    let scratched: Vec<Wiped> =
        (0..20).map(|seed| wiped(&before, Method::DryCloth, seed)).filter(|w| w.scratches > 0).collect();
    assert!(scratched.len() >= 10, "nine in ten scratch: {}", scratched.len());
    for after in &scratched {
        assert!(mean(&after.map, 0.1).ac > mean(&before, 0.1).ac, "the chip is gone");
        // The scratch goes on where the chip never lay, and no later wipe takes it away.
        assert!(mean(&after.map, 0.1018).ac < 0.999);
        let again = wiped(&after.map, Method::PermittedSolvent, 1);
        assert!(mean(&again.map, 0.1018).ac < 0.999);
    }
}

#[test]
fn chips_lifted_off_first_leave_nothing_to_scratch_with() {
    let mut map = laid(Substance::Chip);
    map.lay(Substance::OilFilm, 0.2, 0.02, 1.0).expect("in range");
    map.pick_chips(0.1, 0.1).expect("on the scale");
    assert_eq!(mean(&map, 0.1), SurfaceGains::CLEAN);
    assert!(mean(&map, 0.2).ac < 1.0, "films stay");
    assert!((0..50).all(|seed| wiped(&map, Method::DryCloth, seed).scratches == 0));
}

#[test]
fn a_dry_cloth_drags_grease_along_the_way_it_moves() {
    let before = laid(Substance::Smear);
    let forwards = wipe(&before, Method::DryCloth, 0.09, 0.11, true, 3).expect("on the scale");
    let backwards = wipe(&before, Method::DryCloth, 0.11, 0.09, true, 3).expect("on the scale");
    assert!(forwards.spread_m > 0.0);
    assert!(mean(&forwards.map, 0.12).ac < 1.0 && mean(&forwards.map, 0.08).ac == 1.0);
    assert!(mean(&backwards.map, 0.08).ac < 1.0 && mean(&backwards.map, 0.12).ac == 1.0);
    let inside = mean(&forwards.map, 0.1).ac;
    assert!(mean(&before, 0.1).ac < inside && inside < 1.0, "better, not clean: {inside}");
}

#[test]
fn the_wrong_solvent_leaves_residue_and_lifts_glued_tape_only() {
    let before = laid(Substance::OilFilm);
    let lifts: Vec<_> = (0..40).filter_map(|seed| wiped(&before, Method::WrongSolvent, seed).lifted).collect();
    assert!((18..=36).contains(&lifts.len()), "seven in ten: {}", lifts.len());
    assert!(lifts.iter().all(|b| b.rise_m > 0.0 && (0.09..=0.11).contains(&b.at_m)));
    let glass = wipe(&before, Method::WrongSolvent, 0.09, 0.11, false, 1).expect("on the scale");
    assert_eq!(glass.lifted, None);
    assert!(glass.map.segments().iter().any(|s| s.matter.has(Substance::Residue)));
}

#[test]
fn air_moves_dust_and_leaves_grease() {
    let dusty = laid(Substance::Dust);
    let after = wiped(&dusty, Method::AirBlast, 1);
    assert!(mean(&after.map, 0.1).ac > 0.999 && after.spread_m > 0.0 && after.lifted.is_none());
    let greasy = laid(Substance::Fingerprint);
    assert_eq!(wiped(&greasy, Method::AirBlast, 1).map, greasy);
}

#[test]
fn dirt_of_unknown_kind_wipes_like_a_smear_and_bad_places_are_refused() {
    let mut old = SurfaceMap::new();
    old.paint(0.095, 0.105, Film::FINGERPRINT);
    let after = wiped(&old, Method::DryCloth, 1);
    assert!(mean(&old, 0.1).ac < mean(&after.map, 0.1).ac && mean(&after.map, 0.1).ac < 1.0);
    let error = wipe(&old, Method::DryCloth, f64::NAN, 0.1, true, 1).expect_err("not a place");
    assert!(error.to_string().contains("not a finite number"), "{error}");
    assert!(wipe(&old, Method::DryCloth, 0.0, 1e9, true, 1).is_err());
}

fn dirty_maps() -> impl Strategy<Value = SurfaceMap> {
    let patch = (select(Substance::ALL.to_vec()), 0.0..0.2_f64, 1e-4..20e-3_f64, 0.0..1.0_f64, 1_u32..5);
    proptest::collection::vec(patch, 0..6).prop_map(|list| {
        let mut map = SurfaceMap::new();
        for (substance, at_m, size_m, amount, lanes) in list {
            let lanes = crate::surface::Lanes::ALL.first(lanes);
            map.lay(substance, Spot { at_m, lanes }, size_m, amount).expect("in range");
        }
        map
    })
}

proptest! {
    // At a held focus: taking a liquid away also moves the gap, which can go either way.
    #[test]
    fn wiping_right_never_lowers_the_signal(map in dirty_maps(), from in 0.0..0.2_f64, to in 0.0..0.2_f64) {
        let after = wipe(&map, Method::PermittedSolvent, from, to, true, 5).expect("on the scale").map;
        for id in crate::scale::ScaleId::ALL {
            let spec = id.spec();
            let (was, is) = (SurfaceIndex::for_scale(&map, &spec), SurfaceIndex::for_scale(&after, &spec));
            for i in 0..100 {
                let x_m = 2e-3 * f64::from(i);
                for k in 0..spec.fields.len() {
                    let ac = |s: &SurfaceIndex| s.field_mean(k, x_m, x_m + 1e-3, &mut WindowCursor::default()).ac;
                    prop_assert!(ac(&is) >= ac(&was) - 1e-12, "{id:?} field {k} at {x_m}");
                }
            }
        }
    }

    #[test]
    fn a_wipe_is_decided_by_its_seed_and_leaves_a_readable_map(
        map in dirty_maps(), from in 0.0..0.2_f64, to in 0.0..0.2_f64, seed in 0_u64..1000,
        method in select(Method::ALL.to_vec()),
    ) {
        let after = wipe(&map, method, from, to, true, seed).expect("on the scale");
        prop_assert_eq!(&after, &wipe(&map, method, from, to, true, seed).expect("on the scale"));
        prop_assert_eq!(SurfaceMap::try_from(after.map.segments().to_vec()), Ok(after.map.clone()));
        // Lines never come back.
        let lines = |m: &SurfaceMap, x: f64| {
            m.segments().iter().filter(|s| s.from_m <= x && x < s.to_m).map(|s| s.lines).fold(1.0, f64::min)
        };
        for i in 0..100 {
            let x = 2.1e-3 * f64::from(i);
            prop_assert!(lines(&after.map, x) <= lines(&map, x));
        }
    }
}
