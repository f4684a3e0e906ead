//! Shapes on a canvas: with the files below it the only place that touches a 2D context.
//!
//! The context keeps its styles between shapes, so a [`Painter`] remembers what it set last and tells the browser
//! only what changed. A context has no setting for tabular figures, but takes them from the style of its element
//! (tried in Chromium: "1111" and "0000" are then equally wide), so the painter sets that.

mod hatching;
mod lettering;

use super::shape::{Anchor, Fill, Hatch, Lettering, Point, Shape, Step};
use super::tokens::{FONT_FAMILY, Ink, Pen, Theme, glow_stops};
use js_sys::{Array, Object};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{CanvasPattern, CanvasRenderingContext2d as Context, HtmlCanvasElement};

/// What a picture depends on besides its shapes.
#[derive(Clone, Copy, PartialEq)]
struct Look {
    k: f64,
    theme: Theme,
    pixel_ratio: f64,
}

/// The styles that the context has now.
#[derive(Clone, Copy, PartialEq)]
struct Style {
    stroke: Option<Ink>,
    fill: Option<Ink>,
    alpha: f64,
    width: f64,
    dash: &'static [f64],
    lettering: Option<Lettering>,
    anchor: Option<Anchor>,
    /// User space to device pixels: a, b, c, d, e, f of the canvas transform.
    matrix: [f64; 6],
}

impl Style {
    /// What a context has after its canvas was sized, and our transform.
    fn fresh(pixel_ratio: f64) -> Self {
        Self {
            stroke: None,
            fill: None,
            alpha: 1.0,
            width: 1.0,
            dash: &[],
            lettering: None,
            anchor: None,
            matrix: [pixel_ratio, 0.0, 0.0, pixel_ratio, 0.0, 0.0],
        }
    }
}

/// Puts drawings on one canvas.
pub struct Painter {
    canvas: HtmlCanvasElement,
    context: Context,
    look: Option<Look>,
    style: Style,
    saved: Vec<Style>,
    patterns: [Option<CanvasPattern>; 4],
    fonts: [String; Lettering::ALL.len()],
    dashes: Vec<(&'static [f64], Array)>,
}

impl Painter {
    /// Takes the 2D context of a canvas.
    ///
    /// # Errors
    /// Where the browser gives no 2D context (too many canvases, or one of another kind was taken before).
    pub fn new(canvas: HtmlCanvasElement) -> Result<Self, JsValue> {
        let context = canvas
            .get_context("2d")?
            .and_then(|c: Object| c.dyn_into::<Context>().ok())
            .ok_or_else(|| JsValue::from_str("this canvas has no 2D context"))?;
        canvas.style().set_property("font-feature-settings", "'tnum' 1")?;
        Ok(Self {
            canvas,
            context,
            look: None,
            style: Style::fresh(1.0),
            saved: Vec::new(),
            patterns: [const { None }; 4],
            fonts: Default::default(),
            dashes: Vec::new(),
        })
    }

    /// Draws on fresh paper. The canvas gets as many pixels as the screen has for `width` x `height` CSS px; its
    /// size on the page is the style sheet's business.
    ///
    /// # Errors
    /// What the browser throws, such as a canvas without area as a pattern.
    pub fn paint(
        &mut self,
        shapes: &[Shape],
        (width, height): (f64, f64),
        k: f64,
        theme: Theme,
    ) -> Result<(), JsValue> {
        let pixel_ratio = web_sys::window().map_or(1.0, |w| w.device_pixel_ratio()).clamp(0.5, 8.0);
        self.paint_at(shapes, (width, height), k, theme, pixel_ratio)
    }

    /// Like [`Painter::paint`], with so many pixels to a px of the drawing, whatever the screen has.
    ///
    /// # Errors
    /// See [`Painter::paint`].
    pub fn paint_at(
        &mut self,
        shapes: &[Shape],
        (width, height): (f64, f64),
        k: f64,
        theme: Theme,
        pixel_ratio: f64,
    ) -> Result<(), JsValue> {
        self.prepare(Look { k, theme, pixel_ratio }, (width, height))?;
        for shape in shapes {
            self.shape(shape, k, theme)?;
        }
        while !self.saved.is_empty() {
            self.restore();
        }
        Ok(())
    }

    fn prepare(&mut self, look: Look, (width, height): (f64, f64)) -> Result<(), JsValue> {
        let pixels = |css: f64| (css * look.pixel_ratio).round().clamp(1.0, 16384.0) as u32;
        let size = (pixels(width), pixels(height));
        let resized = (self.canvas.width(), self.canvas.height()) != size;
        if resized {
            self.canvas.set_width(size.0);
            self.canvas.set_height(size.1);
        }
        if resized || self.look != Some(look) {
            self.style = Style::fresh(look.pixel_ratio);
            // Values that the remembered style does not start from must be set at first use.
            (self.style.width, self.style.alpha) = (f64::NAN, f64::NAN);
            self.context.set_line_join("round");
            self.context.set_line_dash(&Array::new())?;
        }
        if self.look != Some(look) {
            for (font, lettering) in self.fonts.iter_mut().zip(Lettering::ALL) {
                let (px, weight) = lettering.size_weight();
                *font = format!("{weight} {:.2}px {FONT_FAMILY}", px * look.k);
            }
            for hatch in Hatch::ALL {
                self.patterns[hatch as usize] = hatching::pattern(&self.context, hatch, look)?;
            }
            self.dashes.clear();
            self.look = Some(look);
        }
        self.set_matrix(self.style.matrix)?;
        self.flat(Ink::Paper, look.theme);
        self.alpha(1.0);
        self.context.fill_rect(0.0, 0.0, width.max(1.0) + 1.0, height.max(1.0) + 1.0);
        Ok(())
    }

    fn shape(&mut self, shape: &Shape, k: f64, theme: Theme) -> Result<(), JsValue> {
        match shape {
            Shape::Path { steps, fill, pen } => {
                self.trace(steps)?;
                if let Some(fill) = fill {
                    self.fill(*fill, theme)?;
                }
                if let Some(pen) = pen {
                    self.pen(pen, k, theme)?;
                    self.context.stroke();
                }
            }
            Shape::Text { at, text, lettering, ink, anchor, halo } => {
                self.text(*at, text, (*lettering, *ink, *anchor), *halo, k, theme)?;
            }
            Shape::Clip(x, y, w, h) => {
                self.save();
                self.context.begin_path();
                self.context.rect(*x, *y, *w, *h);
                self.context.clip();
            }
            Shape::Turn(at, angle) => {
                self.save();
                self.set_matrix(turned(self.style.matrix, *at, *angle))?;
            }
            Shape::Unclip | Shape::Unturn => self.restore(),
        }
        Ok(())
    }

    fn trace(&self, steps: &[Step]) -> Result<(), JsValue> {
        let c = &self.context;
        c.begin_path();
        for step in steps {
            match *step {
                Step::Move(p) => c.move_to(p.0, p.1),
                Step::Line(p) => c.line_to(p.0, p.1),
                Step::Curve(a, b, p) => c.bezier_curve_to(a.0, a.1, b.0, b.1, p.0, p.1),
                Step::Arc(p, r, from, to) => c.arc_with_anticlockwise(p.0, p.1, r.max(0.0), from, to, to < from)?,
                Step::Close => c.close_path(),
            }
        }
        Ok(())
    }

    /// Fills the path that was traced last.
    fn fill(&mut self, fill: Fill, theme: Theme) -> Result<(), JsValue> {
        match fill {
            Fill::Flat(ink, alpha) => {
                self.flat(ink, theme);
                self.alpha(alpha);
                self.context.fill();
            }
            Fill::Hatch(hatch) => {
                let Some(pattern) = &self.patterns[hatch as usize] else { return Ok(()) };
                self.context.set_fill_style_canvas_pattern(pattern);
                self.style.fill = None;
                self.alpha(1.0);
                // The path stays where it was traced; the tile is laid in device pixels, so that it is crisp.
                let ratio = self.look.map_or(1.0, |l| l.pixel_ratio);
                let [a, b, c, d, e, f] = self.style.matrix;
                self.context.set_transform(a / ratio, b / ratio, c / ratio, d / ratio, e, f)?;
                self.context.fill();
                self.set_matrix(self.style.matrix)?;
            }
            Fill::Fade(ink, from, to) => {
                let gradient = self.context.create_linear_gradient(0.0, from.0, 0.0, to.0);
                gradient.add_color_stop(0.0, &with_alpha(ink.hex(theme), from.1))?;
                gradient.add_color_stop(1.0, &with_alpha(ink.hex(theme), to.1))?;
                self.gradient(&gradient);
            }
            Fill::Glow(ink, at, radius, alpha) => {
                let gradient = self.context.create_radial_gradient(at.0, at.1, 0.0, at.0, at.1, radius.max(0.0))?;
                for (offset, ink, share) in glow_stops(ink, theme) {
                    gradient.add_color_stop(offset as f32, &with_alpha(ink.hex(theme), alpha * share))?;
                }
                if theme == Theme::Dark {
                    self.context.set_global_composite_operation("screen")?;
                }
                self.gradient(&gradient);
                if theme == Theme::Dark {
                    self.context.set_global_composite_operation("source-over")?;
                }
            }
        }
        Ok(())
    }

    fn gradient(&mut self, gradient: &web_sys::CanvasGradient) {
        self.context.set_fill_style_canvas_gradient(gradient);
        self.style.fill = None;
        self.alpha(1.0);
        self.context.fill();
    }

    fn pen(&mut self, pen: &Pen, k: f64, theme: Theme) -> Result<(), JsValue> {
        if self.style.stroke != Some(pen.ink) {
            self.context.set_stroke_style_str(pen.ink.hex(theme));
            self.style.stroke = Some(pen.ink);
        }
        self.alpha(pen.alpha);
        let width = pen.width * k;
        if self.style.width != width {
            self.context.set_line_width(width);
            self.style.width = width;
        }
        if self.style.dash != pen.dash {
            let known = self.dashes.iter().position(|(dash, _)| *dash == pen.dash);
            let i = known.unwrap_or_else(|| {
                let lengths: Array = pen.dash.iter().map(|d| JsValue::from_f64(d * k)).collect();
                self.dashes.push((pen.dash, lengths));
                self.dashes.len() - 1
            });
            self.context.set_line_dash(&self.dashes[i].1)?;
            self.style.dash = pen.dash;
        }
        Ok(())
    }

    fn flat(&mut self, ink: Ink, theme: Theme) {
        if self.style.fill != Some(ink) {
            self.context.set_fill_style_str(ink.hex(theme));
            self.style.fill = Some(ink);
        }
    }

    fn alpha(&mut self, alpha: f64) {
        if self.style.alpha != alpha {
            self.context.set_global_alpha(alpha);
            self.style.alpha = alpha;
        }
    }

    fn set_matrix(&mut self, matrix: [f64; 6]) -> Result<(), JsValue> {
        let [a, b, c, d, e, f] = matrix;
        self.style.matrix = matrix;
        self.context.set_transform(a, b, c, d, e, f)
    }

    fn save(&mut self) {
        self.context.save();
        self.saved.push(self.style);
    }

    fn restore(&mut self) {
        if let Some(style) = self.saved.pop() {
            self.context.restore();
            self.style = style;
        }
    }
}

/// A transform followed by a turn about a point.
fn turned([a, b, c, d, e, f]: [f64; 6], (x, y): Point, angle: f64) -> [f64; 6] {
    let (sin, cos) = angle.sin_cos();
    let (dx, dy) = (x - cos * x + sin * y, y - sin * x - cos * y);
    [
        a * cos + c * sin,
        b * cos + d * sin,
        c * cos - a * sin,
        d * cos - b * sin,
        a * dx + c * dy + e,
        b * dx + d * dy + f,
    ]
}

/// `#RRGGBB` with an opacity.
fn with_alpha(hex: &str, alpha: f64) -> String {
    format!("{hex}{:02x}", (alpha.clamp(0.0, 1.0) * 255.0).round() as u8)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_turn_leaves_its_point_and_turns_clockwise_on_the_screen() {
        let base = [2.0, 0.0, 0.0, 2.0, 5.0, 7.0];
        let m = turned(base, (10.0, 20.0), std::f64::consts::FRAC_PI_2);
        let at = |x: f64, y: f64| (m[0] * x + m[2] * y + m[4], m[1] * x + m[3] * y + m[5]);
        let near = |p: Point, q: Point| (p.0 - q.0).hypot(p.1 - q.1) < 1e-9;
        assert!(near(at(10.0, 20.0), (25.0, 47.0)));
        // A point to the right of it comes to stand below it (y down).
        assert!(near(at(11.0, 20.0), (25.0, 49.0)));
    }

    #[test]
    fn opacity_is_two_hex_digits() {
        assert_eq!(with_alpha("#102030", 0.5), "#10203080");
        assert_eq!(with_alpha("#102030", 7.0), "#102030ff");
        assert_eq!(with_alpha("#102030", f64::NAN), "#10203000");
    }
}
