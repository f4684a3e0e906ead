//! Hatchings as tiles that a canvas can repeat.

use super::Look;
use crate::draw::shape::Hatch;
use crate::draw::tokens::HatchStyle;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{CanvasPattern, CanvasRenderingContext2d as Context, HtmlCanvasElement};

/// A hatching as a square tile in device pixels. Lines at 45 degrees repeat in a square whose side is the pitch times
/// the root of two; the side is rounded to whole pixels so that tiles join without a seam.
pub(super) fn pattern(context: &Context, hatch: Hatch, look: Look) -> Result<Option<CanvasPattern>, JsValue> {
    let style = HatchStyle::of(hatch);
    let side = (style.pitch * std::f64::consts::SQRT_2 * look.k * look.pixel_ratio).round().max(2.0);
    let scale = side / (style.pitch * std::f64::consts::SQRT_2);
    let Some(document) = web_sys::window().and_then(|w| w.document()) else { return Ok(None) };
    let tile: HtmlCanvasElement = document.create_element("canvas")?.unchecked_into();
    tile.set_width(side as u32);
    tile.set_height(side as u32);
    let Some(c) = tile.get_context("2d")?.and_then(|c| c.dyn_into::<Context>().ok()) else { return Ok(None) };
    c.scale(scale, scale)?;
    c.rotate(style.turn_deg.to_radians())?;
    c.set_stroke_style_str(style.ink.hex(look.theme));
    c.set_global_alpha(style.alpha);
    c.set_line_width(style.width);
    c.begin_path();
    let p = style.pitch;
    for i in -3..=3 {
        let x = f64::from(i) * p;
        c.move_to(x, -3.0 * p);
        c.line_to(x, 3.0 * p);
        if let Some((across, from, to)) = style.short {
            for j in -3..=3 {
                let y = f64::from(j) * p;
                c.move_to(x + across, y + from);
                c.line_to(x + across, y + to);
            }
        }
    }
    c.stroke();
    context.create_pattern_with_html_canvas_element(&tile, "repeat")
}
