//! What an instrument shows beside its figures: lines over an axis.

use serde::{Deserialize, Serialize};

/// Most points of a line; more are thinned so that the least and the greatest of each stretch stay.
const MOST: usize = 240;

/// What is drawn, which says how the axes are called.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum View {
    /// Amplitude, V, over the place, mm.
    Amplitude,
    /// B, V, over A, V.
    Figure,
    /// A and B, V, over time, ms.
    Traces,
    /// Motor current, A, over the place, mm: out and back.
    Current,
    /// Scale less motor encoder, mm, over the place, mm: out and back.
    Mismatch,
}

/// A picture: lines of points.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Picture {
    /// What is drawn.
    pub view: View,
    /// Its lines; each a row of points, across and up.
    pub lines: Vec<Vec<[f32; 2]>>,
}

impl Picture {
    /// A picture of lines, thinned; nothing where there is nothing to draw.
    #[must_use]
    pub fn of(view: View, lines: impl IntoIterator<Item = Vec<[f64; 2]>>) -> Option<Self> {
        let thin: fn(&[[f64; 2]]) -> Vec<[f32; 2]> = if view == View::Figure { every } else { extremes };
        let lines: Vec<_> = lines.into_iter().filter(|line| line.len() > 1).map(|line| thin(&line)).collect();
        (!lines.is_empty()).then_some(Self { view, lines })
    }
}

fn small(point: [f64; 2]) -> [f32; 2] {
    point.map(|value| value as f32)
}

/// Every so manieth point.
fn every(line: &[[f64; 2]]) -> Vec<[f32; 2]> {
    let step = line.len().div_ceil(2 * MOST);
    line.iter().step_by(step).copied().map(small).collect()
}

/// The least and the greatest of each stretch, in their order.
fn extremes(line: &[[f64; 2]]) -> Vec<[f32; 2]> {
    if line.len() <= MOST {
        return line.iter().copied().map(small).collect();
    }
    let length = line.len().div_ceil(MOST / 2);
    let mut kept = Vec::with_capacity(MOST);
    for stretch in line.chunks(length) {
        let by = |(_, a): &(usize, &[f64; 2]), (_, b): &(usize, &[f64; 2])| a[1].total_cmp(&b[1]);
        let least = stretch.iter().enumerate().min_by(by).map_or(0, |(i, _)| i);
        let most = stretch.iter().enumerate().max_by(by).map_or(0, |(i, _)| i);
        kept.push(small(stretch[least.min(most)]));
        if least != most {
            kept.push(small(stretch[least.max(most)]));
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_dip_of_one_point_survives_and_the_line_is_short() {
        let line: Vec<[f64; 2]> = (0..5000).map(|i| [f64::from(i), if i == 3210 { 0.1 } else { 1.0 }]).collect();
        let picture = Picture::of(View::Amplitude, [line]).unwrap();
        assert!(picture.lines[0].len() <= MOST + 2);
        assert!(picture.lines[0].iter().any(|[x, y]| *x == 3210.0 && *y < 0.2));
        let rising = picture.lines[0].windows(2).all(|pair| pair[0][0] < pair[1][0]);
        assert!(rising, "points stay in their order");
        assert_eq!(Picture::of(View::Traces, [vec![[0.0, 1.0]]]), None);
    }
}
