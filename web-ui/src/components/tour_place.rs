//! Where the card of the tour stands: beside what it points at, never over it.

use web_sys::{Element, HtmlElement};

/// Room between card and target, px.
const ROOM: f64 = 30.0;
/// Room to the edge of the window, px.
const EDGE: f64 = 10.0;

/// Targets smaller than this are met at their edge, px.
const SMALL: f64 = 260.0;

/// A box on the screen: left, top, width, height, px.
type Frame = (f64, f64, f64, f64);

/// Where a card of a size stands so that it leaves a target free; `None` when there is no such place.
pub fn beside(target: Frame, card: (f64, f64), window: (f64, f64)) -> Option<(f64, f64)> {
    let (left, top, wide, high) = target;
    let (middle_x, middle_y) = (left + 0.5 * wide, top + 0.5 * high);
    let across = (middle_x - 0.5 * card.0).clamp(EDGE, (window.0 - card.0 - EDGE).max(EDGE));
    let down = (middle_y - 0.5 * card.1).clamp(EDGE, (window.1 - card.1 - EDGE).max(EDGE));
    let places = [
        (across, top + high + ROOM),
        (left + wide + ROOM, down),
        (left - ROOM - card.0, down),
        (across, top - ROOM - card.1),
    ];
    let fits = |(x, y): &(f64, f64)| {
        *x >= EDGE - 0.5
            && *y >= EDGE - 0.5
            && x + card.0 <= window.0 - EDGE + 0.5
            && y + card.1 <= window.1 - EDGE + 0.5
    };
    places.into_iter().find(fits)
}

/// The leader line from a card to its target: from the card's edge to the edge of a small target, or well into a large one.
pub fn leader(target: Frame, card: Frame) -> ((f64, f64), (f64, f64)) {
    let inset = |size: f64| (0.5 * size).min(14.0);
    let (ix, iy) = (inset(target.2), inset(target.3));
    let (mx, my) = (card.0 + 0.5 * card.2, card.1 + 0.5 * card.3);
    let small = target.2.max(target.3) < SMALL;
    let within = |v: f64, low: f64, size: f64, inset: f64| {
        // A small target is met at its edge, so that the dot covers nothing of it.
        let inset = if small && (v < low || v > low + size) { 0.0 } else { inset };
        v.clamp(low + inset, low + size - inset)
    };
    let to = (within(mx, target.0, target.2, ix), within(my, target.1, target.3, iy));
    let from = (to.0.clamp(card.0, card.0 + card.2), to.1.clamp(card.1, card.1 + card.3));
    (from, to)
}

/// Puts the card and its line in their places.
pub fn place(card: &HtmlElement, line: &Element, selector: &str) {
    let Some(window) = web_sys::window() else { return };
    let number = |v: Result<wasm_bindgen::JsValue, _>| v.ok().and_then(|v| v.as_f64()).unwrap_or(0.0);
    let mut size = (number(window.inner_width()), number(window.inner_height()));
    let document = window.document();
    let find = |css: &str| document.as_ref().and_then(|d| d.query_selector(css).ok().flatten());
    // The destinations of a phone stay free.
    if let Some(tabs) = find(".tabs").map(|tabs| tabs.get_bounding_client_rect()).filter(|r| r.height() > 0.0) {
        size.1 = size.1.min(tabs.top());
    }
    let own = card.get_bounding_client_rect();
    let (wide, high) = (own.width(), own.height());
    let seen = find(selector).map(|e| e.get_bounding_client_rect()).filter(|r| {
        r.width() > 0.0 && r.bottom() > 8.0 && r.top() < size.1 - 8.0 && r.right() > 0.0 && r.left() < size.0
    });
    let target = seen.map(|r| (r.left(), r.top(), r.width(), r.height()));
    let dock = (size.0 - wide - EDGE, size.1 - high - EDGE);
    let at = match target {
        None => dock,
        Some(target) => beside(target, (wide, high), size).unwrap_or_else(|| {
            // Too narrow for any side: the half of the window that the target is not in.
            let upper = target.1 + 0.5 * target.3 < 0.5 * size.1;
            (dock.0.min(EDGE.max(dock.0)), if upper { dock.1 } else { EDGE })
        }),
    };
    let style = card.style();
    let _ = style.set_property("left", &format!("{:.0}px", at.0));
    let _ = style.set_property("top", &format!("{:.0}px", at.1));
    let _ = card.set_attribute("data-target", if target.is_some() { "seen" } else { "away" });
    let _ = line.set_attribute("class", if target.is_some() { "leader" } else { "leader away" });
    let Some(target) = target else { return };
    let (from, to) = leader(target, (at.0, at.1, wide, high));
    let set = |css: &str, values: &[(&str, f64)]| {
        if let Ok(Some(part)) = line.query_selector(css) {
            for (name, value) in values {
                let _ = part.set_attribute(name, &format!("{value:.1}"));
            }
        }
    };
    set("line", &[("x1", from.0), ("y1", from.1), ("x2", to.0), ("y2", to.1)]);
    set("circle", &[("cx", to.0), ("cy", to.1)]);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_card_stands_beside_its_target_and_never_over_it() {
        let (window, card) = ((1440.0, 900.0), (320.0, 170.0));
        let targets = [
            (990.0, 25.0, 34.0, 28.0),
            (17.0, 372.0, 1130.0, 62.0),
            (240.0, 620.0, 28.0, 28.0),
            (896.0, 770.0, 230.0, 100.0),
            (20.0, 220.0, 1100.0, 150.0),
        ];
        for target in targets {
            let (x, y) = beside(target, card, window).unwrap_or_else(|| panic!("no place for {target:?}"));
            let apart = x + card.0 <= target.0
                || x >= target.0 + target.2
                || y + card.1 <= target.1
                || y >= target.1 + target.3;
            assert!(apart, "{target:?}: {x} {y}");
            let (from, to) = leader(target, (x, y, card.0, card.1));
            assert!((from.0 - to.0).hypot(from.1 - to.1) >= 0.9 * ROOM, "a line to be seen");
            assert!(to.0 >= target.0 && to.0 <= target.0 + target.2 && to.1 >= target.1 && to.1 <= target.1 + target.3);
        }
        assert_eq!(beside((0.0, 0.0, 390.0, 840.0), card, (390.0, 844.0)), None);
    }
}
