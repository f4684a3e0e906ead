//! Shapes as an SVG picture: for keeping a picture, and for looking at drawings without a browser.

use super::shape::{Anchor, Fill, Hatch, Shape, Step, THIN_GAP, THIN_GAP_EM};
use super::tokens::{FONT_FAMILY, HatchStyle, Ink, Pen, Theme, glow_stops};
use std::fmt::Write;

/// The drawing as one SVG document of `width` x `height` px at pen scale `k`.
pub fn document(shapes: &[Shape], width: f64, height: f64, k: f64, theme: Theme) -> String {
    let mut out = String::new();
    let paper = Ink::Paper.hex(theme);
    let _ = write!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" viewBox=\"0 0 {width} {height}\" \
         font-family=\"{FONT_FAMILY}\" font-variant=\"tabular-nums\">{}<rect width=\"100%\" height=\"100%\" fill=\"{paper}\"/>",
        hatches(k, theme)
    );
    for (index, shape) in shapes.iter().enumerate() {
        write_shape(&mut out, shape, index, k, theme);
    }
    out.push_str("</svg>\n");
    out
}

fn write_shape(out: &mut String, shape: &Shape, index: usize, k: f64, theme: Theme) {
    match shape {
        Shape::Path { steps, fill, pen } => {
            let fill_text = match fill {
                None => "none".to_owned(),
                Some(Fill::Flat(ink, alpha)) => format!("{}\" fill-opacity=\"{alpha:.3}", ink.hex(theme)),
                Some(Fill::Hatch(hatch)) => format!("url(#{})", hatch_id(*hatch)),
                Some(Fill::Fade(ink, from, to)) => {
                    let colour = ink.hex(theme);
                    let _ = write!(
                        out,
                        "<linearGradient id=\"f{index}\" gradientUnits=\"userSpaceOnUse\" x1=\"0\" x2=\"0\" y1=\"{:.2}\" y2=\"{:.2}\">\
                         <stop offset=\"0\" stop-color=\"{colour}\" stop-opacity=\"{:.3}\"/>\
                         <stop offset=\"1\" stop-color=\"{colour}\" stop-opacity=\"{:.3}\"/></linearGradient>",
                        from.0, to.0, from.1, to.1
                    );
                    format!("url(#f{index})")
                }
                Some(Fill::Glow(ink, at, radius, alpha)) => {
                    let _ = write!(
                        out,
                        "<radialGradient id=\"f{index}\" gradientUnits=\"userSpaceOnUse\" cx=\"{:.2}\" cy=\"{:.2}\" r=\"{radius:.2}\">",
                        at.0, at.1
                    );
                    for (offset, ink, share) in glow_stops(*ink, theme) {
                        let (colour, alpha) = (ink.hex(theme), alpha * share);
                        let _ = write!(
                            out,
                            "<stop offset=\"{offset}\" stop-color=\"{colour}\" stop-opacity=\"{alpha:.3}\"/>"
                        );
                    }
                    out.push_str("</radialGradient>");
                    format!("url(#f{index})")
                }
            };
            let _ = write!(out, "<path d=\"{}\" fill=\"{fill_text}\"", path_data(steps));
            if matches!(fill, Some(Fill::Glow(..))) && theme == Theme::Dark {
                out.push_str(" style=\"mix-blend-mode:screen\"");
            }
            if let Some(pen) = pen {
                write_pen(out, pen, k, theme);
            }
            out.push_str("/>");
        }
        Shape::Text { at, text, lettering, ink, anchor, halo } => {
            let (size, weight) = lettering.size_weight();
            let anchor = match anchor {
                Anchor::Start => "start",
                Anchor::Middle => "middle",
                Anchor::End => "end",
            };
            let rim = if *halo {
                format!(
                    " paint-order=\"stroke\" stroke=\"{}\" stroke-width=\"{:.1}\" stroke-linejoin=\"round\"",
                    Ink::Paper.hex(theme),
                    4.0 * k
                )
            } else {
                String::new()
            };
            let _ = write!(
                out,
                "<text x=\"{:.2}\" y=\"{:.2}\" font-size=\"{:.2}\" font-weight=\"{weight}\" text-anchor=\"{anchor}\" fill=\"{}\"{rim}>{}</text>",
                at.0,
                at.1,
                size * k,
                ink.hex(theme),
                lettered(&crate::language::say(text))
            );
        }
        Shape::Clip(x, y, w, h) => {
            let _ = write!(
                out,
                "<clipPath id=\"c{index}\"><rect x=\"{x:.2}\" y=\"{y:.2}\" width=\"{w:.2}\" height=\"{h:.2}\"/></clipPath><g clip-path=\"url(#c{index})\">"
            );
        }
        Shape::Turn(at, angle) => {
            let _ = write!(out, "<g transform=\"rotate({:.4} {:.2} {:.2})\">", angle.to_degrees(), at.0, at.1);
        }
        Shape::Unclip | Shape::Unturn => out.push_str("</g>"),
    }
}

fn write_pen(out: &mut String, pen: &Pen, k: f64, theme: Theme) {
    let _ = write!(
        out,
        " stroke=\"{}\" stroke-width=\"{:.2}\" stroke-linejoin=\"round\"",
        pen.ink.hex(theme),
        pen.width * k
    );
    if pen.alpha < 1.0 {
        let _ = write!(out, " stroke-opacity=\"{:.3}\"", pen.alpha);
    }
    if !pen.dash.is_empty() {
        let dash: Vec<String> = pen.dash.iter().map(|d| format!("{:.1}", d * k)).collect();
        let _ = write!(out, " stroke-dasharray=\"{}\"", dash.join(" "));
    }
}

fn path_data(steps: &[Step]) -> String {
    let mut d = String::new();
    for step in steps {
        let _ = match step {
            Step::Move(p) => write!(d, "M{:.2} {:.2}", p.0, p.1),
            Step::Line(p) => write!(d, "L{:.2} {:.2}", p.0, p.1),
            Step::Curve(a, b, p) => write!(d, "C{:.2} {:.2} {:.2} {:.2} {:.2} {:.2}", a.0, a.1, b.0, b.1, p.0, p.1),
            Step::Arc(c, r, from, to) => write_arc(&mut d, *c, *r, *from, *to),
            Step::Close => write!(d, "Z"),
        };
    }
    d
}

/// An arc in at most half-turn pieces, since SVG cannot draw a whole turn in one.
fn write_arc(d: &mut String, c: (f64, f64), r: f64, from: f64, to: f64) -> std::fmt::Result {
    let pieces = ((to - from).abs() / std::f64::consts::PI).ceil().max(1.0);
    let sweep = i32::from(to >= from);
    let mut i = 1.0;
    while i <= pieces {
        let a = from + (to - from) * i / pieces;
        write!(d, "A{r:.2} {r:.2} 0 0 {sweep} {:.2} {:.2}", c.0 + r * a.cos(), c.1 + r * a.sin())?;
        i += 1.0;
    }
    Ok(())
}

fn hatch_id(hatch: Hatch) -> &'static str {
    match hatch {
        Hatch::Steel => "steel",
        Hatch::Housing => "housing",
        Hatch::Glass => "glass",
        Hatch::Over => "over",
    }
}

fn hatches(k: f64, theme: Theme) -> String {
    let mut out = String::from("<defs>");
    for hatch in Hatch::ALL {
        let HatchStyle { pitch, turn_deg, ink, width, alpha, short } = HatchStyle::of(hatch);
        let (id, colour) = (hatch_id(hatch), ink.hex(theme));
        let short = short.map_or(String::new(), |(x, from, to)| format!("M{x} {from}V{to}"));
        // Upright lines stand on the edge of their tile, half of each in the next one.
        let _ = write!(
            out,
            "<pattern id=\"{id}\" width=\"{pitch}\" height=\"{pitch}\" patternUnits=\"userSpaceOnUse\" \
             patternTransform=\"rotate({turn_deg}) scale({k})\"><path d=\"M0 0V{pitch}M{pitch} 0V{pitch}{short}\" \
             stroke=\"{colour}\" stroke-width=\"{width}\" stroke-opacity=\"{alpha}\"/></pattern>"
        );
    }
    out.push_str("</defs>");
    out
}

/// The text with its thin gaps as empty paper.
fn lettered(text: &str) -> String {
    let mut parts = text.split(THIN_GAP).map(escape);
    let first = parts.next().unwrap_or_default();
    parts.fold(first, |all, part| format!("{all}<tspan dx=\"{THIN_GAP_EM}em\">{part}</tspan>"))
}

fn escape(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}
