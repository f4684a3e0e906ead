//! Keys that work anywhere on the page. Keys of one character can be switched off (WCAG 2.2, 2.1.4), and none of them
//! acts while somebody types.

use crate::layout::Part;
use crate::store::calls::{CallDeed, CallLeaf};
use crate::store::lesson::{Leaf, LessonDeed};
use crate::store::pen::PenState;
use crate::store::poll::PollDeed;
use crate::store::present::{self, PresentDeed};
use crate::store::{Action, Store};
use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlInputElement, KeyboardEvent};

/// What a key does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Deed {
    /// Runs or pauses the clock.
    Run,
    /// One step on.
    StepOn,
    /// One step back, into the recording.
    StepBack,
    /// Slower.
    Slower,
    /// Faster.
    Faster,
    /// Takes the last change back.
    Undo,
    /// Makes it again.
    Redo,
    /// Enlarges the part under the pointer or with the focus, or puts it back.
    Enlarge,
    /// Shows or hides the healthy bench.
    Compare,
    /// Covers the cause, or shows it.
    Cover,
    /// Takes the pen, or puts it away.
    Pen,
    /// Enters or leaves the presenter view.
    Present,
    /// The next turn or scene of the presenter.
    Next,
    /// The one before.
    Back,
    /// Blanks the presenter's sheet.
    Blank,
    /// Opens the presenter's poll.
    Poll,
    /// Opens the lessons, or goes back to the bench.
    Lessons,
    /// Opens the call-outs, or goes back to the bench.
    Calls,
    /// Shows this list.
    Help,
    /// Puts an enlarged part back, leaves the past.
    Leave,
}

/// The keys: what is written on them for people, what they do, in words; those with `true` are of one character.
pub const KEYS: [(&str, Deed, &str, bool); 20] = [
    ("k", Deed::Run, "run or pause", true),
    (".", Deed::StepOn, "one step on", true),
    (",", Deed::StepBack, "one step back, into the recording", true),
    ("[", Deed::Slower, "slower", true),
    ("]", Deed::Faster, "faster", true),
    ("Ctrl Z", Deed::Undo, "undo", false),
    ("Ctrl Y", Deed::Redo, "redo", false),
    ("f", Deed::Enlarge, "enlarge the part under the pointer, or put it back", true),
    ("g", Deed::Compare, "show or hide the healthy bench", true),
    ("c", Deed::Cover, "cover the cause, or reveal it", true),
    ("w", Deed::Pen, "take the pen to draw over the sheet, or put it away", true),
    ("p", Deed::Present, "presenter view: large, for a room", true),
    ("Right, Page Down", Deed::Next, "presenter view: run, reveal, next scene", false),
    ("Left, Page Up", Deed::Back, "presenter view: back", false),
    ("b", Deed::Blank, "presenter view: blank sheet, also .", true),
    ("q", Deed::Poll, "presenter view: show of hands", true),
    ("l", Deed::Lessons, "the lessons, or back to the bench", true),
    ("o", Deed::Calls, "call-outs, or back to the bench", true),
    ("?", Deed::Help, "this list of keys", true),
    ("Esc", Deed::Leave, "put the pen away, an enlarged part back; leave the presenter view, the recording", false),
];

/// What a key with these modifiers does.
pub fn deed_of(key: &str, ctrl: bool, alt: bool, shift: bool, single: bool) -> Option<Deed> {
    let letter = key.to_lowercase();
    if ctrl && !alt {
        return match letter.as_str() {
            "z" if shift => Some(Deed::Redo),
            "z" => Some(Deed::Undo),
            "y" => Some(Deed::Redo),
            _ => None,
        };
    }
    if key == "Escape" {
        return Some(Deed::Leave);
    }
    let known = KEYS.iter().find(|(name, _, _, one)| *one && *name == letter);
    known.filter(|_| single && !alt && !ctrl).map(|(_, deed, _, _)| *deed)
}

/// A key went down somewhere on the page.
pub fn on_key(store: &Store, event: &KeyboardEvent) {
    let ctrl = event.ctrl_key() || event.meta_key();
    let plain = !ctrl && !event.alt_key();
    let known = if plain { presenter_deed(store, event) } else { None };
    let known = known.or_else(|| deed_of(&event.key(), ctrl, event.alt_key(), event.shift_key(), store.ui.single_keys));
    let counts = plain && store.ui.present.on && store.ui.poll.open && store.ui.single_keys;
    let poll = if counts { store.ui.poll.key(&event.key()) } else { None };
    if let Some(deed) = poll.filter(|_| !event.default_prevented() && !is_typing(event)) {
        event.prevent_default();
        store.ui.dispatch(Action::Poll(deed));
        return;
    }
    let Some(deed) = known else { return };
    if event.default_prevented() || (is_typing(event) && deed != Deed::Leave) {
        return;
    }
    // An open dialog closes itself with Escape and takes no other keys of ours.
    let document = web_sys::window().and_then(|w| w.document());
    if document.is_some_and(|d| d.query_selector("dialog[open]").ok().flatten().is_some()) {
        return;
    }
    // While a question is open the bench waits; under a leaf of the course nobody sees it.
    let learning = &store.ui.learning;
    let away = (learning.leaf.is_some() || store.ui.calls.leaf.is_some()) && !store.ui.present.on;
    if (learning.locks_bench() || away)
        && !matches!(deed, Deed::Help | Deed::Lessons | Deed::Calls | Deed::Leave | Deed::Present)
    {
        return;
    }
    if deed != Deed::Leave {
        event.prevent_default();
    }
    act(store, deed);
}

/// Does what a key, or a button with the same meaning, says.
pub fn act(store: &Store, deed: Deed) {
    match deed {
        Deed::Run => store.change(|lab| lab.run_or_pause()),
        Deed::StepOn => store.change(|lab| lab.step_on()),
        Deed::StepBack => store.change(|lab| lab.step_back()),
        Deed::Slower => store.change(|lab| lab.clock.set_pace(lab.clock.pace() + 1)),
        Deed::Faster => store.change(|lab| lab.clock.set_pace(lab.clock.pace().saturating_sub(1))),
        Deed::Undo => store.undo(true),
        Deed::Redo => store.undo(false),
        Deed::Enlarge => {
            let part = if store.ui.enlarged.is_some() { None } else { part_here() };
            store.ui.dispatch(Action::Enlarge(part));
        }
        Deed::Compare => store.change(|lab| lab.instruments_mut().settings.compare ^= true),
        Deed::Cover => {
            let hidden = store.lab.0.borrow().hides() && !store.ui.cover.on;
            // A hidden fault is given up by its own button, not by a key that slips.
            if !hidden {
                present::cover(store, !store.ui.cover.on);
            }
        }
        Deed::Pen => store.ui.dispatch(Action::Pen(PenState { on: !store.ui.pen.on, ..store.ui.pen })),
        Deed::Present => store.ui.dispatch(Action::Present(PresentDeed::On(!store.ui.present.on))),
        // These belong to the presenter view and do nothing outside it.
        Deed::Next | Deed::Back | Deed::Blank | Deed::Poll if !store.ui.present.on => {}
        Deed::Next => present::step(store, true),
        Deed::Back => present::step(store, false),
        Deed::Blank => store.ui.dispatch(Action::Present(PresentDeed::Blank(!store.ui.present.blank))),
        Deed::Poll => store.ui.dispatch(Action::Poll(PollDeed::Open(!store.ui.poll.open))),
        Deed::Calls => {
            let calls = &store.ui.calls;
            let to = if calls.visit.is_some() { CallLeaf::Site } else { CallLeaf::Orders };
            store.ui.dispatch(Action::Call(CallDeed::Leaf(calls.leaf.is_none().then_some(to))));
        }
        Deed::Lessons if store.ui.learning.leaf.is_some() => {
            store.ui.dispatch(Action::Lesson(LessonDeed::Leaf(None)));
        }
        Deed::Lessons => crate::components::course::open(store, Leaf::Lessons),
        Deed::Help => store.ui.dispatch(Action::Help(true)),
        Deed::Leave if store.ui.pen.on => act(store, Deed::Pen),
        Deed::Leave if store.ui.present.on && store.ui.present.blank => act(store, Deed::Blank),
        Deed::Leave if store.ui.enlarged.is_some() => store.ui.dispatch(Action::Enlarge(None)),
        Deed::Leave if store.ui.present.on => act(store, Deed::Present),
        Deed::Leave if store.ui.calls.leaf.is_some() => store.ui.dispatch(Action::Call(CallDeed::Leaf(None))),
        Deed::Leave if store.ui.learning.leaf.is_some() => act(store, Deed::Lessons),
        Deed::Leave => store.change(|lab| lab.leave_past()),
    }
}

/// Keys of a presenter's clicker. A control with the focus that has a use for arrows and pages keeps them, and so does the
/// pen for its marker.
fn presenter_deed(store: &Store, event: &KeyboardEvent) -> Option<Deed> {
    if !store.ui.present.on {
        return None;
    }
    let deed = match event.key().as_str() {
        "." => return store.ui.single_keys.then_some(Deed::Blank),
        "ArrowRight" | "PageDown" => Deed::Next,
        "ArrowLeft" | "PageUp" => Deed::Back,
        _ => return None,
    };
    let target = event.target().and_then(|t| t.dyn_into::<Element>().ok());
    let uses =
        |e: Element| e.closest("input, select, textarea, [role=slider], [role=radio], .log").ok().flatten().is_some();
    (!store.ui.pen.on && !target.is_some_and(uses)).then_some(deed)
}

/// Whether the key is text for a field.
fn is_typing(event: &KeyboardEvent) -> bool {
    let Some(target) = event.target().and_then(|t| t.dyn_into::<Element>().ok()) else { return false };
    match target.tag_name().as_str() {
        "TEXTAREA" | "SELECT" => true,
        "INPUT" => {
            let kind = target.dyn_into::<HtmlInputElement>().map_or(String::new(), |input| input.type_());
            !matches!(kind.as_str(), "range" | "checkbox" | "radio" | "button")
        }
        _ => target.has_attribute("contenteditable"),
    }
}

/// The part with the focus, or under the pointer.
fn part_here() -> Option<Part> {
    let document = web_sys::window()?.document()?;
    let focused = document.active_element().and_then(|e| e.closest("[data-part]").ok().flatten());
    let under = || document.query_selector("[data-part]:hover").ok().flatten();
    let part = under().or(focused)?;
    Part::by_key(&part.get_attribute("data-part")?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_do_what_their_list_says() {
        for (name, deed, _, single) in KEYS {
            if single {
                assert_eq!(deed_of(name, false, false, false, true), Some(deed), "{name}");
                assert_eq!(deed_of(name, false, false, false, false), None, "{name} can be switched off");
                assert_eq!(deed_of(name, false, true, false, true), None);
            }
        }
        assert_eq!(deed_of("z", true, false, false, false), Some(Deed::Undo));
        assert_eq!(deed_of("Z", true, false, true, false), Some(Deed::Redo));
        assert_eq!(deed_of("y", true, false, false, true), Some(Deed::Redo));
        assert_eq!(deed_of("Escape", false, false, false, false), Some(Deed::Leave));
        assert_eq!(deed_of("f", true, false, false, true), None, "the browser's own search stays");
    }
}
