//! What the screen shows, changed only by a pure reducer.

use super::calls::{CallDeed, Calls};
use super::cover::Cover;
use super::lesson::{Learning, LessonDeed};
use super::pen::PenState;
use super::poll::{Poll, PollDeed};
use super::present::{Present, PresentDeed};
use crate::draw::tokens::Theme;
use crate::layout::{Layout, Part};
use crate::units::Units;
use sim_core::bench::command::{Command, Percent, PlaceMm, Smear, Wipe};
use sim_core::surface::Substance;
use sim_core::surface::wiping::Method;
use std::rc::Rc;
use yew::Reducible;

/// Destination on a phone, where one part is shown at a time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Page {
    /// Machine, section and channels.
    #[default]
    Machine,
    /// Everything electrical.
    Signals,
    /// Following error and the log.
    Loop,
    /// Faults, settings, scenes.
    Break,
    /// The lesson, while one is open.
    Lesson,
}

impl Page {
    /// All destinations with their names.
    pub const ALL: [(Page, &'static str, &'static str); 5] = [
        (Page::Machine, "machine", "Machine"),
        (Page::Signals, "signals", "Signals"),
        (Page::Loop, "loop", "Loop"),
        (Page::Break, "break", "Break"),
        (Page::Lesson, "lesson", "Lesson"),
    ];

    /// Its key in the style sheet.
    pub fn key(self) -> &'static str {
        Self::ALL[self as usize].1
    }
}

/// What the pointer does on the scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Tool {
    /// Smears dirt.
    #[default]
    Smear,
    /// Wipes it off.
    Wipe,
}

/// State of the screen.
#[derive(Clone, Debug, PartialEq)]
pub struct Ui {
    /// Light or dark sheet.
    pub theme: Theme,
    /// Destination on a phone.
    pub page: Page,
    /// Which instruments stand on the sheet.
    pub layout: Layout,
    /// The part that has the whole screen.
    pub enlarged: Option<Part>,
    /// The list of keys is open.
    pub help: bool,
    /// Keys of one character work.
    pub single_keys: bool,
    /// What the pointer does on the scale.
    pub tool: Tool,
    /// How much the next smear takes away, percent.
    pub smear_percent: f64,
    /// What is smeared: a substance by name, or a film of no particular kind.
    pub substance: Option<Substance>,
    /// How it is wiped; without a method everything comes off and nothing is harmed.
    pub method: Option<Method>,
    /// Speed of the jog buttons, m/min.
    pub jog_m_per_min: f64,
    /// Units of the sheet.
    pub units: Units,
    /// The plug of the head was pulled, and the supply was this, V.
    pub unplugged_v: Option<f64>,
    /// Where table and count stood when the dial indicator was set to zero, m.
    pub indicator: Option<(f64, f64)>,
    /// The leaf of the feeler gauge in hand, mm.
    pub leaf: Option<f64>,
    /// Message that waits to be read.
    pub notice: Option<String>,
    /// A file is being dragged over the page.
    pub dropping: bool,
    /// The presenter view.
    pub present: Present,
    /// The flap over the cause.
    pub cover: Cover,
    /// The show of hands.
    pub poll: Poll,
    /// The pen over the sheet.
    pub pen: PenState,
    /// The step of the tour that is being done.
    pub tour: Option<usize>,
    /// Lessons.
    pub learning: Learning,
    /// Call-outs.
    pub calls: Calls,
    /// Grows whenever the bench has something new to show.
    pub tick: u64,
}

impl Default for Ui {
    fn default() -> Self {
        Self {
            theme: Theme::Light,
            page: Page::default(),
            layout: Layout::default(),
            enlarged: None,
            help: false,
            single_keys: true,
            tool: Tool::default(),
            smear_percent: 90.0,
            substance: None,
            method: None,
            jog_m_per_min: 3.0,
            units: Units::default(),
            unplugged_v: None,
            indicator: None,
            leaf: None,
            notice: None,
            dropping: false,
            present: Present::default(),
            cover: Cover::default(),
            poll: Poll::default(),
            pen: PenState::default(),
            tour: None,
            learning: Learning::default(),
            calls: Calls::default(),
            tick: 0,
        }
    }
}

impl Ui {
    /// What the tool in hand does to a stretch of the scale.
    pub fn stroke(&self, from_mm: PlaceMm, to_mm: PlaceMm) -> Command {
        let strength = Percent::nearest(self.smear_percent);
        match self.tool {
            Tool::Smear => Command::Smear(match self.substance {
                None => Smear::blocking(from_mm, to_mm, strength),
                Some(substance) => Smear {
                    from_mm,
                    to_mm,
                    blocked_percent: None,
                    substance: Some(substance),
                    strength_percent: Some(strength),
                },
            }),
            Tool::Wipe => Command::Wipe(Wipe { from_mm, to_mm, method: self.method }),
        }
    }
}

/// A change of the screen.
#[derive(Clone, Debug, PartialEq)]
pub enum Action {
    /// The bench has something new to show.
    Tick,
    /// Chooses the theme.
    Theme(Theme),
    /// Goes to a destination.
    Go(Page),
    /// Chooses a view.
    Layout(Layout),
    /// Gives a part the whole screen, or puts it back.
    Enlarge(Option<Part>),
    /// Opens or closes the list of keys.
    Help(bool),
    /// Switches keys of one character on or off.
    SingleKeys(bool),
    /// Takes a tool.
    Take(Tool),
    /// Sets how much the next smear takes away, percent.
    SmearPercent(f64),
    /// Chooses what is smeared.
    Substance(Option<Substance>),
    /// Chooses how it is wiped.
    Method(Option<Method>),
    /// Sets the jog speed, m/min.
    JogSpeed(f64),
    /// Chooses units.
    Units(Units),
    /// The plug was pulled at this supply, V, or put in.
    Unplugged(Option<f64>),
    /// Sets the indicator, or takes it away.
    Indicator(Option<(f64, f64)>),
    /// Takes a leaf of the feeler gauge, or puts it down.
    Leaf(Option<f64>),
    /// Shows a message.
    Notice(String),
    /// The message was read.
    NoticeRead,
    /// A file is dragged over the page, or not any more.
    Dropping(bool),
    /// Something about the presenter view.
    Present(PresentDeed),
    /// Lays the flap over the cause, or takes it off.
    CoverCause(bool),
    /// Covers the words of broken links as well.
    CoverChain(bool),
    /// Something about the poll.
    Poll(PollDeed),
    /// Takes the pen, changes it, or puts it away.
    Pen(PenState),
    /// Goes to a step of the tour, or ends it.
    Tour(Option<usize>),
    /// Something about lessons.
    Lesson(LessonDeed),
    /// Something about call-outs.
    Call(CallDeed),
}

impl Reducible for Ui {
    type Action = Action;

    fn reduce(self: Rc<Self>, action: Action) -> Rc<Self> {
        let mut next = (*self).clone();
        match action {
            Action::Tick => next.tick += 1,
            Action::Theme(theme) => next.theme = theme,
            // A phone's destinations are parts of the first view.
            Action::Go(page) => {
                (next.page, next.layout) = (page, Layout::Whole);
                next.learning.drawer = page == Page::Break;
            }
            Action::Layout(layout) => (next.layout, next.enlarged, next.page) = (layout, None, Page::Machine),
            Action::Enlarge(part) => next.enlarged = part,
            Action::Help(open) => next.help = open,
            Action::SingleKeys(on) => next.single_keys = on,
            Action::Take(tool) => next.tool = tool,
            Action::SmearPercent(percent) => next.smear_percent = percent.clamp(0.0, 100.0),
            Action::Substance(substance) => next.substance = substance,
            Action::Method(method) => next.method = method,
            Action::JogSpeed(speed) => next.jog_m_per_min = speed.clamp(0.01, 60.0),
            Action::Units(units) => next.units = units,
            Action::Unplugged(volts) => next.unplugged_v = volts,
            Action::Indicator(zero) => next.indicator = zero,
            Action::Leaf(leaf) => next.leaf = leaf,
            Action::Notice(text) => next.notice = Some(text),
            Action::NoticeRead => next.notice = None,
            Action::Dropping(dropping) => next.dropping = dropping,
            Action::Present(deed) => next.present = next.present.after(deed),
            Action::CoverCause(on) => next.cover.on = on,
            Action::CoverChain(on) => next.cover.chain = on,
            Action::Poll(deed) => next.poll = next.poll.after(deed),
            Action::Pen(pen) => next.pen = pen,
            Action::Tour(step) => next.tour = step,
            Action::Call(deed) => next.calls = next.calls.after(deed),
            Action::Lesson(deed) => {
                match deed {
                    LessonDeed::Begin(..) => next.page = Page::Lesson,
                    LessonDeed::Close if next.page == Page::Lesson => next.page = Page::Machine,
                    _ => {}
                }
                next.learning = next.learning.after(deed);
            }
        }
        Rc::new(next)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_reducer_keeps_what_it_is_not_told_to_change() {
        let ui = Rc::new(Ui::default());
        let next =
            ui.clone().reduce(Action::Notice("x".into())).reduce(Action::Go(Page::Loop)).reduce(Action::NoticeRead);
        assert_eq!(*next, Ui { page: Page::Loop, ..Ui::default() });
        assert_eq!(ui.clone().reduce(Action::SmearPercent(400.0)).smear_percent, 100.0);
    }
}
