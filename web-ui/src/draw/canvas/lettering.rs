//! Texts on a canvas: gaps between numbers and units, rims over lines.

use super::Painter;
use crate::draw::shape::{Anchor, Lettering, Point, THIN_GAP, THIN_GAP_EM};
use crate::draw::tokens::{Ink, Pen, Theme};
use wasm_bindgen::JsValue;

/// Width of the rim around a text that stands over lines, px at scale 1.
const RIM: f64 = 4.0;

impl Painter {
    /// Puts a text on the canvas, in the language of the page.
    pub(super) fn text(
        &mut self,
        at: Point,
        text: &str,
        (lettering, ink, anchor): (Lettering, Ink, Anchor),
        halo: bool,
        k: f64,
        theme: Theme,
    ) -> Result<(), JsValue> {
        if self.style.lettering != Some(lettering) {
            self.context.set_font(&self.fonts[lettering as usize]);
            self.style.lettering = Some(lettering);
        }
        self.alpha(1.0);
        let text = &*crate::language::say(text);
        if !text.contains(THIN_GAP) {
            return self.letters(at, text, (ink, anchor), halo, k, theme);
        }
        let gap = THIN_GAP_EM * lettering.size_weight().0 * k;
        let mut widths = Vec::with_capacity(4);
        for part in text.split(THIN_GAP) {
            widths.push(self.context.measure_text(part)?.width());
        }
        let whole: f64 = widths.iter().sum::<f64>() + gap * (widths.len() - 1) as f64;
        let start = match anchor {
            Anchor::Start => at.0,
            Anchor::Middle => at.0 - 0.5 * whole,
            Anchor::End => at.0 - whole,
        };
        // All rims first: the rim of one part must not cover the part before it.
        for rim in [true, false] {
            let mut x = start;
            for (part, width) in text.split(THIN_GAP).zip(&widths) {
                if !rim {
                    self.letters((x, at.1), part, (ink, Anchor::Start), false, k, theme)?;
                } else if halo {
                    self.rim((x, at.1), part, Anchor::Start, k, theme)?;
                }
                x += width + gap;
            }
        }
        Ok(())
    }

    fn letters(
        &mut self,
        at: Point,
        text: &str,
        (ink, anchor): (Ink, Anchor),
        halo: bool,
        k: f64,
        theme: Theme,
    ) -> Result<(), JsValue> {
        if halo {
            self.rim(at, text, anchor, k, theme)?;
        }
        self.anchor(anchor);
        self.flat(ink, theme);
        self.context.fill_text(text, at.0, at.1)
    }

    fn rim(&mut self, at: Point, text: &str, anchor: Anchor, k: f64, theme: Theme) -> Result<(), JsValue> {
        self.anchor(anchor);
        self.pen(&Pen { ink: Ink::Paper, width: RIM, dash: &[], alpha: 1.0 }, k, theme)?;
        self.context.stroke_text(text, at.0, at.1)
    }

    fn anchor(&mut self, anchor: Anchor) {
        if self.style.anchor != Some(anchor) {
            self.context.set_text_align(match anchor {
                Anchor::Start => "left",
                Anchor::Middle => "center",
                Anchor::End => "right",
            });
            self.style.anchor = Some(anchor);
        }
    }
}
