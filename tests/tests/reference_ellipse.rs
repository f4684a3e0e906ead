//! The ellipse fit against linear least squares of a library and the least orthogonal distances.

use serde::Deserialize;
use sim_core::num::ellipse;
use system_tests::table::{Differences, read};

#[derive(Deserialize)]
struct Point {
    figure: String,
    a_v: f64,
    b_v: f64,
}

#[derive(Deserialize)]
struct Fit {
    figure: String,
    method: String,
    noise_v: f64,
    offset_a_v: f64,
    offset_b_v: f64,
    radius_a_v: f64,
    radius_b_v: f64,
    phase_rad: f64,
}

impl Fit {
    fn values(&self) -> [f64; 5] {
        [self.offset_a_v, self.offset_b_v, self.radius_a_v, self.radius_b_v, self.phase_rad]
    }
}

// Source: numpy.linalg.lstsq and scipy.optimize.least_squares on the same points (ellipse_points.csv, ellipse_fit.csv).
#[test]
fn ellipses_are_those_of_least_squares() {
    let points = read::<Point>("ellipse_points");
    let fits = read::<Fit>("ellipse_fit");
    let mut differences = Differences::default();
    for truth in fits.iter().filter(|f| f.method == "truth") {
        let name = &truth.figure;
        let figure: Vec<(f64, f64)> = points.iter().filter(|p| p.figure == *name).map(|p| (p.a_v, p.b_v)).collect();
        let fitted = ellipse::fit(figure.into_iter()).unwrap_or_else(|e| panic!("{name}: {e}"));
        let [oa, ob] = fitted.offset_v;
        let [ra, rb] = fitted.radius_v;
        let model = [oa, ob, ra, rb, fitted.phase_error_rad];
        let by = |method: &str| {
            let found = fits.iter().find(|f| f.figure == *name && f.method == method);
            found.unwrap_or_else(|| panic!("ellipse_fit.csv: no {method} fit of {name}")).values()
        };
        let (algebraic, geometric, deviation) = (by("algebraic"), by("geometric"), by("deviation"));
        for (i, what) in ["offset A", "offset B", "radius A", "radius B", "phase"].into_iter().enumerate() {
            // The same minimum by another road: ten digits of the points and of the result.
            differences.compare(format!("{name} {what}, algebraic"), model[i], algebraic[i], 2e-9);
            // Another measure of distance; as the noise is small both scatter alike. Half a standard error for that, and
            // the algebraic fit's bias, the square of noise over the smaller radius, of the radius: ten times.
            let small = truth.radius_a_v.min(truth.radius_b_v);
            let bias = 10.0 * (truth.noise_v / small).powi(2) * if i < 4 { small } else { 1.0 };
            differences.compare(
                format!("{name} {what}, geometric"),
                model[i],
                geometric[i],
                0.5 * deviation[i] + bias + 1e-9,
            );
            differences.compare(
                format!("{name} {what}, truth"),
                model[i],
                truth.values()[i],
                4.0 * deviation[i] + bias + 1e-9,
            );
        }
    }
    differences.none();
}
