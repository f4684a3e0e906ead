//! Linear least squares of a few unknowns, without allocation.
//!
//! Rows are added to the normal equations one by one, so points never have to be kept for the fit; the equations are
//! solved by Cholesky's method (any text on numerical analysis). Squaring the condition number is harmless here:
//! every caller scales its columns to about one first.

/// A pivot that is smaller than this share of its diagonal means that the columns depend on each other.
const LEAST_PIVOT: f64 = 1e-12;

/// Normal equations of `N` unknowns for `M` right-hand sides over the same rows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Normal<const N: usize, const M: usize> {
    /// Lower triangle of the sum of `row^T row`.
    matrix: [[f64; N]; N],
    right: [[f64; N]; M],
    rows: u32,
}

impl<const N: usize, const M: usize> Default for Normal<N, M> {
    fn default() -> Self {
        Self { matrix: [[0.0; N]; N], right: [[0.0; N]; M], rows: 0 }
    }
}

impl<const N: usize, const M: usize> Normal<N, M> {
    /// Takes in one row of coefficients with what it should give for each right-hand side.
    #[inline]
    pub fn add(&mut self, row: &[f64; N], values: &[f64; M]) {
        for (i, x) in row.iter().enumerate() {
            for (sum, y) in self.matrix[i][..=i].iter_mut().zip(row) {
                *sum += x * y;
            }
            for (right, value) in self.right.iter_mut().zip(values) {
                right[i] += x * value;
            }
        }
        self.rows += 1;
    }

    /// Rows taken in so far.
    #[must_use]
    pub fn rows(&self) -> u32 {
        self.rows
    }

    /// The unknowns that fit best, one set per right-hand side; `None` when the rows do not settle them: fewer rows
    /// than unknowns, columns that depend on each other, or numbers that are not finite.
    #[must_use]
    pub fn solve(&self) -> Option<[[f64; N]; M]> {
        let factor = self.factor()?;
        let mut out = self.right;
        for x in &mut out {
            for i in 0..N {
                let done: f64 = (0..i).map(|k| factor[i][k] * x[k]).sum();
                x[i] = (x[i] - done) / factor[i][i];
            }
            for i in (0..N).rev() {
                let done: f64 = (i + 1..N).map(|k| factor[k][i] * x[k]).sum();
                x[i] = (x[i] - done) / factor[i][i];
            }
        }
        out.iter().flatten().all(|x| x.is_finite()).then_some(out)
    }

    /// Lower triangular Cholesky factor.
    fn factor(&self) -> Option<[[f64; N]; N]> {
        let mut l = [[0.0; N]; N];
        for i in 0..N {
            for j in 0..=i {
                let done: f64 = (0..j).map(|k| l[i][k] * l[j][k]).sum();
                let rest = self.matrix[i][j] - done;
                if i > j {
                    l[i][j] = rest / l[j][j];
                } else if rest > LEAST_PIVOT * self.matrix[i][i] {
                    l[i][i] = rest.sqrt();
                } else {
                    // Also the way out for NaN, which compares as false.
                    return None;
                }
            }
        }
        Some(l)
    }
}

#[cfg(test)]
mod tests {
    use super::Normal;
    use proptest::prelude::{prop_assert, proptest};

    // Source: textbook line fit, y = 2 x - 3 through its own points.
    #[test]
    fn a_line_is_found_through_its_points() {
        let mut normal = Normal::<2, 2>::default();
        for i in 0..10 {
            let x = f64::from(i);
            normal.add(&[1.0, x], &[2.0 * x - 3.0, 1.0]);
        }
        let [line, flat] = normal.solve().unwrap();
        assert!((line[0] + 3.0).abs() < 1e-12 && (line[1] - 2.0).abs() < 1e-12, "{line:?}");
        assert!((flat[0] - 1.0).abs() < 1e-12 && flat[1].abs() < 1e-12, "{flat:?}");
        assert_eq!(normal.rows(), 10);
    }

    // Source: hand calculation: points (0,0) (1,1) (2,0) have the mean 1/3 as their best line.
    #[test]
    fn what_no_line_meets_is_fitted_in_the_mean() {
        let mut normal = Normal::<2, 1>::default();
        for (x, y) in [(0.0, 0.0), (1.0, 1.0), (2.0, 0.0)] {
            normal.add(&[1.0, x], &[y]);
        }
        let [line] = normal.solve().unwrap();
        assert!((line[0] - 1.0 / 3.0).abs() < 1e-12 && line[1].abs() < 1e-12, "{line:?}");
    }

    #[test]
    fn rows_that_do_not_settle_the_unknowns_are_refused() {
        let mut normal = Normal::<2, 1>::default();
        assert!(normal.solve().is_none());
        normal.add(&[1.0, 2.0], &[1.0]);
        normal.add(&[2.0, 4.0], &[2.0]);
        assert!(normal.solve().is_none());
        normal.add(&[1.0, f64::NAN], &[2.0]);
        assert!(normal.solve().is_none());
        let mut normal = Normal::<1, 1>::default();
        normal.add(&[1.0], &[f64::INFINITY]);
        assert!(normal.solve().is_none());
    }

    proptest! {
        // Law: the residual of the best fit is at right angles to every column.
        #[test]
        fn the_residual_is_at_right_angles_to_the_columns(
            rows in proptest::collection::vec((proptest::array::uniform3(-1.0..1.0_f64), -1.0..1.0_f64), 12..40)
        ) {
            let mut normal = Normal::<3, 1>::default();
            for (row, value) in &rows {
                normal.add(row, &[*value]);
            }
            if let Some([x]) = normal.solve() {
                for column in 0..3 {
                    let dot: f64 = rows
                        .iter()
                        .map(|(r, y)| r[column] * (y - r[0] * x[0] - r[1] * x[1] - r[2] * x[2]))
                        .sum();
                    prop_assert!(dot.abs() < 1e-9, "{dot}");
                }
            }
        }
    }
}
