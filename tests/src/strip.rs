//! The scale in the picture of the machine: found by trying, as a person finds it, so that the tests know nothing of
//! the picture's layout.

use crate::{Page, Result};

/// Canvas with the axis from the side.
const PICTURE: &str = ".side-view canvas";
/// Distance between two tries, px.
const TRY_PX: f64 = 6.0;
/// Where two tries along the scale are made, share of the picture's width.
const TRIES: (f64, f64) = (0.3, 0.7);

/// Where the scale is on the screen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strip {
    /// Height of its middle, px of the viewport.
    pub y: f64,
    /// Place of machine zero, px of the viewport.
    pub zero_x: f64,
    /// Pixels for one mm of travel.
    pub px_per_mm: f64,
}

impl Strip {
    /// Place on the screen of a place on the axis, px of the viewport.
    pub fn at(&self, mm: f64) -> (f64, f64) {
        (self.zero_x + mm * self.px_per_mm, self.y)
    }

    /// A stroke from one place to another, in several moves.
    pub fn between(&self, from_mm: f64, to_mm: f64) -> Vec<(f64, f64)> {
        (0..=6).map(|i| self.at(from_mm + (to_mm - from_mm) * f64::from(i) / 6.0)).collect()
    }
}

impl Page {
    /// Finds the scale by smearing here and there with the clock stopped; then wipes it and starts the scene again, with
    /// the clock still stopped.
    pub async fn find_strip(&self) -> Result<Strip> {
        self.pause().await?;
        let picture = self.css(PICTURE).await?;
        let frame = self.frame_of(&picture).await?;
        let x = |share: f64| (frame.x + share * frame.width).round();
        let (mut lower, mut upper) = (None, None);
        let mut y = (frame.y + frame.height - 2.0).round();
        while y > frame.y && upper.is_none() {
            self.stroke(&[(x(TRIES.0), y)]).await?;
            match (self.dirt().await?.is_empty(), lower) {
                (false, _) => {
                    lower = lower.or(Some(y));
                    self.click("Wipe the scale").await?;
                }
                (true, Some(_)) => upper = Some(y),
                (true, None) => {}
            }
            y -= TRY_PX;
        }
        let (Some(lower), Some(upper)) = (lower, upper) else {
            return Err(format!("nowhere in the picture {frame:?} the pointer smears the scale").into());
        };
        let y = (0.5 * (lower + upper)).round();
        let mut places = Vec::new();
        for share in [TRIES.0, TRIES.1] {
            self.stroke(&[(x(share), y)]).await?;
            let dirt = self.dirt().await?;
            let [one] = dirt.as_slice() else { return Err(format!("one click gave {dirt:?}").into()) };
            places.push((x(share), 500.0 * (one.from_m + one.to_m)));
            self.click("Wipe the scale").await?;
        }
        let px_per_mm = (places[1].0 - places[0].0) / (places[1].1 - places[0].1);
        self.click("Start the scene again").await?;
        Ok(Strip { y, zero_x: places[0].0 - places[0].1 * px_per_mm, px_per_mm })
    }
}
