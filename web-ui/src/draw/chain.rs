//! The chain from light to alarm: one mark for each link, its name and what it says.

use super::kit::Sheet;
use super::machine::PAPER;
use super::room::{Area, text_width};
use super::shape::{Anchor, Fill, Lettering, Point, Shape};
use super::tokens::{Ink, Pen};
use super::view::{LinkState, LinkView};

/// How the words of a link stand to its name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ChainForm {
    /// Beside the name, cut at a comma where they are too long.
    Beside,
    /// Under the name, over as many lines as needed (at most two).
    Stacked,
    /// Names only.
    Names,
}

/// Places in the chain, px.
#[derive(Clone, Debug, PartialEq)]
pub struct ChainLayout {
    /// The form that was drawn.
    pub form: ChainForm,
    /// Middle of each link's mark.
    pub marks: Vec<Point>,
    /// Face of each link, mark and words: room for a button.
    pub links: Vec<Area>,
}

/// Half the width of a mark, px at scale 1.
const MARK: f64 = 9.0;

impl ChainForm {
    /// The fullest form that fits a width and height at scale `k`.
    pub fn fitting(links: &[LinkView], area: &Area, k: f64) -> ChainForm {
        let step = area.w / links.len().max(1) as f64;
        let room = step - 14.0 * k;
        let beside = |link: &LinkView| {
            link.words.is_empty() || shortened(&link.words, beside_room(link.name, room, k), k).is_some()
        };
        if links.iter().all(beside) {
            return ChainForm::Beside;
        }
        let stacked = |link: &LinkView| {
            text_width(link.name, Lettering::Strong, k) <= room && broken_lines(&link.words, room, k).is_some()
        };
        let lines = links.iter().filter_map(|l| broken_lines(&l.words, room, k)).map(|l| l.len()).max().unwrap_or(1);
        if links.iter().all(stacked) && area.h >= (38.0 + 15.0 * lines as f64) * k {
            ChainForm::Stacked
        } else {
            ChainForm::Names
        }
    }
}

/// What is left of a link's width beside its name.
fn beside_room(name: &str, room: f64, k: f64) -> f64 {
    room - text_width(name, Lettering::Strong, k) - 7.0 * k
}

/// The words, or what stands before the last comma that leaves them short enough; `None` if neither fits.
fn shortened(words: &str, room: f64, k: f64) -> Option<&str> {
    let ends = std::iter::once(words.len()).chain(words.rmatch_indices(", ").map(|(i, _)| i));
    ends.map(|end| &words[..end]).find(|text| text_width(text, Lettering::Note, k) <= room)
}

/// The words in one or two lines that fit a width; `None` if they do not.
fn broken_lines(words: &str, room: f64, k: f64) -> Option<Vec<String>> {
    let fits = |text: &str| text_width(text, Lettering::Note, k) <= room;
    if fits(words) {
        return Some(vec![words.to_owned()]);
    }
    words
        .char_indices()
        .filter(|(_, c)| *c == ' ')
        .map(|(i, _)| (&words[..i], &words[i + 1..]))
        .filter(|(a, b)| fits(a) && fits(b))
        .min_by_key(|(a, b)| a.len().abs_diff(b.len()))
        .map(|(a, b)| vec![a.to_owned(), b.to_owned()])
}

/// Draws the chain; `form` `None` takes the fullest one that fits.
pub fn chain(links: &[LinkView], area: Area, k: f64, form: Option<ChainForm>) -> (Vec<Shape>, ChainLayout) {
    let form = form.unwrap_or_else(|| ChainForm::fitting(links, &area, k));
    let mut sheet = Sheet::new(k);
    let step = area.w / links.len().max(1) as f64;
    let centred = form == ChainForm::Names;
    let y = area.y + 14.0 * k;
    let x_of = |i: usize| area.x + step * i as f64 + if centred { step / 2.0 } else { MARK * k };
    let marks: Vec<Point> = (0..links.len()).map(|i| (x_of(i), y)).collect();
    for (i, pair) in links.windows(2).enumerate() {
        let (from, to) = (marks[i].0 + 11.0 * k, marks[i + 1].0 - 11.0 * k);
        let pen = match pair[0].state {
            LinkState::Broken => Pen::FAULT_CHAIN,
            LinkState::Behind => Pen::DEAD_CHAIN,
            _ => Pen::MID,
        };
        sheet.line((from, y), ((to - 5.0 * k).max(from), y), pen);
        sheet.arrow((to, y), 0.0, 7.0, pen.ink);
    }
    for (i, link) in links.iter().enumerate() {
        mark(&mut sheet, marks[i], link.state);
        words(&mut sheet, link, form, marks[i].0, y, step - 14.0 * k);
    }
    let faces = (0..links.len()).map(|i| Area::new(area.x + step * i as f64, area.y, step, area.h)).collect();
    (sheet.finish(), ChainLayout { form, marks, links: faces })
}

/// The mark of a link: its shape alone tells the state.
fn mark(sheet: &mut Sheet, at: Point, state: LinkState) {
    let k = sheet.k;
    match state {
        LinkState::Good => sheet.circle(at, 5.0 * k, PAPER, Some(Pen::MID)),
        LinkState::Weak => {
            // Half full: near its limit.
            sheet.circle(at, 5.0 * k, PAPER, Some(Pen::MID));
            let half = vec![
                super::shape::Step::Move((at.0 + 5.0 * k, at.1)),
                super::shape::Step::Arc(at, 5.0 * k, 0.0, std::f64::consts::PI),
                super::shape::Step::Close,
            ];
            sheet.path(half, Some(Fill::Flat(Ink::Ink, 1.0)), None);
        }
        LinkState::Broken => sheet.cross(at, 6.0),
        LinkState::Behind => sheet.circle(at, 5.0 * k, PAPER, Some(Pen::DEAD_CHAIN)),
        LinkState::Alarm => {
            let corners = [(0.0, -8.5), (9.0, 7.5), (-9.0, 7.5)].map(|(u, v)| (at.0 + u * k, at.1 + v * k));
            sheet.polygon(corners, Some(Fill::Flat(Ink::Fault, 1.0)), Some(Pen::FAULT_THIN));
            let bar = |v0: f64, v1: f64| {
                let w = 0.9 * k;
                [
                    (at.0 - w, at.1 + v0 * k),
                    (at.0 + w, at.1 + v0 * k),
                    (at.0 + w, at.1 + v1 * k),
                    (at.0 - w, at.1 + v1 * k),
                ]
            };
            sheet.polygon(bar(-3.5, 2.2), PAPER, None);
            sheet.polygon(bar(3.8, 5.6), PAPER, None);
        }
    }
}

/// Name and words of a link.
fn words(sheet: &mut Sheet, link: &LinkView, form: ChainForm, x: f64, y: f64, room: f64) {
    let k = sheet.k;
    let (name_ink, word_ink) = match link.state {
        LinkState::Broken | LinkState::Alarm => (Ink::Fault, Ink::Fault),
        LinkState::Behind => (Ink::Ink2, Ink::Ink2),
        LinkState::Weak => (Ink::Ink, Ink::Ink),
        LinkState::Good => (Ink::Ink, Ink::Ink2),
    };
    let (left, base) = (x - 6.0 * k, y + 25.0 * k);
    if form == ChainForm::Names {
        let strong = matches!(link.state, LinkState::Broken | LinkState::Alarm);
        let lettering = if strong { Lettering::Strong } else { Lettering::Text };
        sheet.text((x, base), link.name, lettering, name_ink, Anchor::Middle);
        return;
    }
    sheet.text((left, base), link.name, Lettering::Strong, name_ink, Anchor::Start);
    if form == ChainForm::Beside {
        let at = left + text_width(link.name, Lettering::Strong, k) + 7.0 * k;
        let short = shortened(&link.words, beside_room(link.name, room, k), k).unwrap_or_default();
        sheet.text((at, base), short, Lettering::Note, word_ink, Anchor::Start);
        return;
    }
    let lines = broken_lines(&link.words, room, k).unwrap_or_else(|| vec![link.words.clone()]);
    for (i, line) in lines.into_iter().enumerate() {
        let at = (left, base + (15.0 + 14.0 * i as f64) * k);
        sheet.text(at, line, Lettering::Note, word_ink, Anchor::Start);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::check::{apart, inside, texts};
    use crate::draw::samples;

    #[test]
    fn chain_marks_the_first_broken_link_and_the_alarm() {
        let links = samples::broken_chain();
        let (shapes, at) = chain(&links, Area::new(0.0, 0.0, 1130.0, 48.0), 1.0, None);
        assert_eq!(at.form, ChainForm::Beside);
        let crosses =
            shapes.iter().filter(|s| matches!(s, Shape::Path { pen: Some(pen), .. } if *pen == Pen::FAULT)).count();
        assert_eq!(crosses, 2, "one cross of two strokes");
        let red: Vec<&str> = texts(&shapes).iter().filter(|t| t.2 == Ink::Fault).map(|t| t.0).collect();
        assert_eq!(red, ["Channel", "0.12 V, needs 0.20", "Alarm", "following error"]);
        let dead = shapes
            .iter()
            .filter(|s| matches!(s, Shape::Path { pen: Some(pen), .. } if *pen == Pen::DEAD_CHAIN))
            .count();
        let behind = links.iter().filter(|l| l.state == LinkState::Behind).count();
        assert_eq!(dead, 2 * behind, "mark and line of each link behind the break");
        let (good, _) = chain(&samples::good_chain(), Area::new(0.0, 0.0, 1130.0, 48.0), 1.0, None);
        assert!(texts(&good).iter().all(|t| t.2 != Ink::Fault));
    }

    #[test]
    fn chain_takes_the_form_that_fits() {
        for links in [samples::broken_chain(), samples::good_chain(), Vec::new()] {
            for w in [340.0, 420.0, 560.0, 700.0, 900.0, 1200.0] {
                for h in [44.0, 80.0] {
                    let area = Area::new(5.0, 5.0, w, h);
                    let (shapes, at) = chain(&links, area, 1.0, None);
                    assert_eq!(at.marks.len(), links.len());
                    apart(&shapes, 1.0, &format!("chain at {w} x {h}, {:?}", at.form));
                    if !links.is_empty() {
                        inside(&shapes, &area, 1.0, 1.0, &format!("chain at {w} x {h}, {:?}", at.form));
                    }
                }
            }
        }
        assert_eq!(
            ChainForm::fitting(&samples::broken_chain(), &Area::new(0.0, 0.0, 340.0, 44.0), 1.0),
            ChainForm::Names
        );
    }
}
