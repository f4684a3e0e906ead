//! The one time ruler under channels, counts and following error.

use super::axes::{TimeAxis, rough_width};
use super::kit::Sheet;
use super::numbers::{decimals_for, signed};
use super::shape::{Anchor, Lettering, Step};
use super::tokens::{Ink, Pen};
use super::words::ChartWords;

/// Height of the ruler with its numbers, px at scale 1.
pub const HEIGHT: f64 = 22.0;

/// The unit for a step of the ruler: its name and how many make a second.
pub fn unit(step_s: f64) -> (&'static str, f64) {
    if step_s >= 0.1 {
        ("s", 1.0)
    } else if step_s >= 0.1e-3 {
        ("ms", 1e3)
    } else {
        ("µs", 1e6)
    }
}

/// Draws the ruler with its line at `y`; numbers count from the alarm while it is in the window, else from now.
pub fn draw(sheet: &mut Sheet, axis: &TimeAxis, y: f64, words: &ChartWords) {
    let k = sheet.k;
    let (step, origin) = (axis.step_s(k), axis.origin_s());
    let (name, per_second) = unit(step);
    let decimals = decimals_for(step * per_second);
    // A trigger takes the alarm's place as what the numbers count from, unless it is the alarm.
    let trigger = axis.trigger_x().filter(|_| axis.trigger_s != axis.alarm_s);
    let alarm = axis.alarm_x().filter(|_| trigger.is_none());
    let mut steps = vec![Step::Move((axis.left, y)), Step::Line((axis.right(), y))];
    let size = Lettering::Note.size_weight().0 * k;
    for (i, mark) in axis.marks_s(k).into_iter().enumerate() {
        let at_origin = mark.abs() < 1e-6 * step;
        let x = if at_origin {
            alarm.or(trigger).unwrap_or(axis.right())
        } else {
            axis.x(origin) + mark / axis.window_s * axis.width
        };
        steps.push(Step::Move((x, y)));
        steps.push(Step::Line((x, y + 5.0 * k)));
        let number = signed(mark * per_second, decimals);
        let (text, ink, lettering) = match (at_origin, alarm.is_some()) {
            (true, true) => (words.alarm.to_owned(), Ink::Fault, Lettering::Strong),
            (true, false) if trigger.is_some() => (words.trigger.to_owned(), Ink::Ink, Lettering::Strong),
            (true, false) => (words.now.to_owned(), Ink::Ink, Lettering::Note),
            (false, _) if i == 0 => (format!("{number} {name}"), Ink::Ink2, Lettering::Note),
            (false, _) => (number, Ink::Ink2, Lettering::Note),
        };
        let half = 0.5 * rough_width(&text, size);
        let low = axis.left + half - 14.0 * k;
        let high = axis.right() - half + if axis.labels_outside { 40.0 * k } else { 0.0 };
        sheet.text((x.min(high).max(low), y + 18.0 * k), text, lettering, ink, Anchor::Middle);
    }
    sheet.path(steps, None, Some(Pen::MID));
    if let Some(x) = alarm {
        sheet.line((x, y), (x, y + 6.0 * k), Pen::FAULT);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::shape::Shape;

    fn labels(window_s: f64, alarm_ago_s: Option<f64>) -> Vec<String> {
        let axis = TimeAxis::in_box(0.0, 560.0, 1.0, (20.0, window_s), 400);
        let mut sheet = Sheet::new(1.0);
        draw(&mut sheet, &axis.with_alarm(alarm_ago_s.map(|s| 20.0 - s)), 100.0, &ChartWords::ENGLISH);
        let shapes = sheet.finish();
        shapes.into_iter().filter_map(|s| if let Shape::Text { text, .. } = s { Some(text) } else { None }).collect()
    }

    #[test]
    fn the_unit_follows_the_window() {
        assert_eq!(labels(0.04, Some(0.008)), ["−30 ms", "−20", "−10", "alarm"]);
        assert_eq!(labels(10.0, None), ["−10 s", "−8", "−6", "−4", "−2", "now"]);
        assert_eq!(labels(1.0, None), ["−1.0 s", "−0.8", "−0.6", "−0.4", "−0.2", "now"]);
        assert_eq!(labels(400e-6, None).last().map(String::as_str), Some("now"));
        assert_eq!(labels(400e-6, None)[0], "−0.4 ms");
        assert_eq!(labels(200e-6, None)[0], "−200 µs");
    }
}
