//! Keeps where the person is, by itself: every two seconds while something changes, and when the page is left.

use super::browser;
use super::kept::kept_of;
use super::names;
use crate::store::LabHandle;
use std::cell::Cell;
use std::rc::Rc;

/// Time between two looks, ms.
const EVERY_MS: i32 = 2000;

/// Begins. Nothing is kept before the person has done something, so that a visit that only looks leaves the last one
/// as it was.
pub fn run(lab: LabHandle) {
    let kept: Rc<Cell<Option<(u64, u64)>>> = Rc::default();
    let look = move || {
        let (Some(shelf), Ok(lab)) = (browser::shelf(), lab.0.try_borrow()) else { return };
        let now = (lab.acts(), lab.sim_now().bench().state.axis.step);
        if now.0 == 0 || kept.get() == Some(now) {
            return;
        }
        if kept.get().is_none() {
            names::set_aside(&shelf);
        }
        kept.set(Some(now));
        names::keep_last(&shelf, &kept_of(&lab, browser::now_ms()).text());
    };
    browser::every(EVERY_MS, look.clone());
    browser::listen("pagehide", look.clone());
    browser::listen("visibilitychange", look);
}
