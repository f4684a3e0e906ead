//! Pictures of the instruments: the same shapes that are on the page, as SVG text or as pixels.

use crate::draw::shape::Shape;
use crate::draw::svg;
use crate::draw::tokens::Theme;
use crate::lab::Lab;
use crate::pictures::{FrameViews, PictureKind};
use crate::stage::Stage;
use crate::store::cover::Cover;

/// Pixels of a picture to one of the drawing: sharp on paper and on a projector.
pub const PIXELS: f64 = 2.0;

/// Pictures that can be kept: which, key in file names, name on the sheet, size in px.
pub const PICTURES: [(PictureKind, &str, &str, (f64, f64)); 13] = [
    (PictureKind::Channels, "channels", "Channels A and B", (960.0, 320.0)),
    (PictureKind::Squares, "counts", "Squared channels and counts", (960.0, 200.0)),
    (PictureKind::Error, "following-error", "Following error", (960.0, 260.0)),
    (PictureKind::Figure, "a-against-b", "A against B", (420.0, 420.0)),
    (PictureKind::Traces, "traces", "Traces", (960.0, 420.0)),
    (PictureKind::CountStrip, "count-strip", "Count strip", (960.0, 260.0)),
    (PictureKind::Ellipse, "ellipse", "A against B with its ellipse", (420.0, 420.0)),
    (PictureKind::Loop, "loop", "Position loop", (960.0, 420.0)),
    (PictureKind::Travel, "travel", "Amplitude over the travel", (960.0, 320.0)),
    (PictureKind::Machine, "machine", "Axis from the side", (1100.0, 300.0)),
    (PictureKind::Section, "section", "Section through head and scale", (560.0, 420.0)),
    (PictureKind::Plan, "plan", "Fields from above", (560.0, 220.0)),
    (PictureKind::Chain, "chain", "From light to alarm", (1100.0, 80.0)),
];

/// A drawing with its size and the scale that its pens and letters are meant at.
pub struct Drawing {
    /// What is drawn.
    pub shapes: Vec<Shape>,
    /// Width and height, px.
    pub size: (f64, f64),
    /// Scale of pens and letters.
    pub k: f64,
}

/// The picture of an instrument now; what is covered on the page is covered here.
pub fn drawing(lab: &Lab, kind: PictureKind, size: (f64, f64), cover: Cover) -> Drawing {
    let (shapes, k) = FrameViews::new(lab, cover).draw(kind, size, 1.0, &Stage::default());
    Drawing { shapes, size, k }
}

impl Drawing {
    /// As the text of an SVG file.
    pub fn svg(&self, theme: Theme) -> String {
        svg::document(&self.shapes, self.size.0, self.size.1, self.k, theme)
    }

    /// As SVG to stand inside a page beside others: names of its own for hatches and clips, no style that the page's
    /// policy forbids, light.
    pub fn inside(&self, name: &str) -> String {
        let text = self.svg(Theme::Light);
        text.replace("id=\"", &format!("id=\"{name}-")).replace("url(#", &format!("url(#{name}-"))
    }
}

/// A name for a file: bench, instrument, model time.
pub fn file_name(lab: &Lab, what: &str, ending: &str) -> String {
    let bench = lab.sim().bench().setup.bench.name();
    let what = if what.is_empty() { String::new() } else { format!("-{what}") };
    format!("{bench}{what}-{:.4}s.{ending}", lab.sim().time_s())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_picture_can_be_kept_and_stands_beside_the_others() {
        let shipped = lessons::shipped_by_name("wide-smear").expect("it is shipped");
        let mut lab = Lab::new("wide-smear", lessons::read("wide-smear", shipped.text).expect("a scene"));
        lab.clock.pause_at_alarm = false;
        lab.advance(19_000);
        for (kind, key, _, size) in PICTURES {
            let drawing = drawing(&lab, kind, size, Cover::default());
            assert!(drawing.shapes.len() > 5, "{key}");
            let text = drawing.svg(Theme::Dark);
            assert!(
                text.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"") && text.ends_with("</svg>\n")
            );
            let inside = drawing.inside(key);
            assert!(!inside.contains("style="), "{key}");
            for id in inside.split("id=\"").skip(1) {
                assert!(id.starts_with(&format!("{key}-")), "{key}: {}", &id[..20]);
            }
        }
        assert_eq!(file_name(&lab, "channels", "png"), "router-gantry-channels-0.9500s.png");
    }
}
