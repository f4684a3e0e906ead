//! Which pictures there are, and what each is drawn from.

use crate::draw::axes::TimeAxis;
use crate::draw::chain::chain;
use crate::draw::head_scale::HeadScale;
use crate::draw::instrument_view::TracesView;
use crate::draw::kit::Sheet;
use crate::draw::machine::machine;
use crate::draw::machine_layout::MachineLayout;
use crate::draw::plan::{PlanLayout, plan};
use crate::draw::positions::positions;
use crate::draw::room::Area;
use crate::draw::scene_words::SceneWords;
use crate::draw::section::section;
use crate::draw::section_layout::SectionLayout;
use crate::draw::shape::Shape;
use crate::draw::traces::TracesLayout;
use crate::draw::view::HeadView;
use crate::draw::view::{LinkState, LinkView};
use crate::draw::words::{ChartWords, InstrumentWords, TraceNotes};
use crate::draw::{channels, count_strip, error, figure, loop_strip, ruler, squares, traces, travel, xy};
use crate::lab::{Charts, Lab};
use crate::stage::Stage;
use crate::store::cover::Cover;
use std::cell::OnceCell;

/// A picture of the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PictureKind {
    /// Axis from the side.
    Machine,
    /// Three positions.
    Positions,
    /// Chain from light to alarm.
    Chain,
    /// Section through head and scale.
    Section,
    /// Fields from above.
    Plan,
    /// Channels A and B.
    Channels,
    /// Squared channels and counts.
    Squares,
    /// Following error.
    Error,
    /// Time ruler.
    Ruler,
    /// A against B.
    Figure,
    /// Traces with trigger and cursors.
    Traces,
    /// Edges and counts.
    CountStrip,
    /// A against B with the ellipse through it.
    Ellipse,
    /// Position loop.
    Loop,
    /// Amplitude over the travel.
    Travel,
}

/// The views of one frame; the charts are worked out once for all of them.
pub struct FrameViews<'a> {
    lab: &'a Lab,
    cover: Cover,
    charts: OnceCell<Charts>,
}

/// The whole of a canvas.
pub fn whole((w, h): (f64, f64)) -> Area {
    Area::new(0.0, 0.0, w, h)
}

/// Layout of the section for a canvas of a size.
pub fn section_layout(view: &HeadView, size: (f64, f64), k: f64) -> SectionLayout {
    SectionLayout::new(view, whole(size), HeadScale::fit(view, 0.0, size.0, k))
}

/// Layout of the plan for a canvas of a size.
pub fn plan_layout(view: &HeadView, size: (f64, f64), k: f64) -> PlanLayout {
    PlanLayout::new(view, whole(size), HeadScale::fit(view, 0.0, size.0, k))
}

/// The links of the chain; covered, those that are not in order say no more than that.
pub fn chain_links(lab: &Lab, covered: bool) -> Vec<LinkView> {
    let mut links = lab.links();
    for link in links.iter_mut().filter(|link| covered && link.state != LinkState::Good) {
        link.words = "covered".to_owned();
    }
    links
}

impl<'a> FrameViews<'a> {
    /// Views of the lab as it stands, with what is covered left out.
    pub fn new(lab: &'a Lab, cover: Cover) -> Self {
        Self { lab, cover, charts: OnceCell::new() }
    }

    /// The charts stand under each other and are equally wide: the first one that is drawn decides.
    fn charts(&self, width: f64) -> &Charts {
        self.charts.get_or_init(|| self.lab.charts(width as usize))
    }

    fn time_axis(&self, width: f64, k: f64) -> TimeAxis {
        let charts = self.charts(width);
        TimeAxis::of(&charts.trace, 0.0, width, k, charts.columns)
    }

    /// Shapes of a picture and the scale at which they are meant.
    pub fn draw(&self, kind: PictureKind, size: (f64, f64), k: f64, stage: &Stage) -> (Vec<Shape>, f64) {
        let words = SceneWords::ENGLISH;
        match kind {
            PictureKind::Machine => {
                let view = self.lab.machine_view().covered(self.cover.on);
                let layout = MachineLayout::new(&view, whole(size), k, stage.held.get());
                stage.held.set(Some(layout.factor));
                (machine(&view, &layout, &words), k)
            }
            PictureKind::Positions => {
                let view = self.lab.machine_view().covered(self.cover.on);
                let decimals = if self.lab.sim().params().metres_per_count() < 10e-6 { 3 } else { 2 };
                let travel_px = size.0 / (view.stops_m.1 - view.stops_m.0).max(0.1);
                (positions(&view, whole(size), k, travel_px, decimals, &words).0, k)
            }
            PictureKind::Chain => {
                let links = chain_links(self.lab, self.cover.on && self.cover.chain);
                (chain(&links, whole(size), k, None).0, k)
            }
            PictureKind::Section => {
                let view = self.lab.head_view().covered(self.cover.on);
                let layout = section_layout(&view, size, k);
                (section(&view, &layout, &words), layout.scale.k)
            }
            PictureKind::Plan => {
                let view = self.lab.head_view().covered(self.cover.on);
                let layout = plan_layout(&view, size, k);
                (plan(&view, &layout, &words), layout.scale.k)
            }
            PictureKind::Figure => {
                let mut sheet = Sheet::new(k);
                xy::draw(&mut sheet, &self.lab.xy(), (0.0, 0.0), size.0, size.1, &ChartWords::ENGLISH);
                (sheet.finish(), k)
            }
            PictureKind::Traces => {
                let view = self.lab.traces_view(size.0 as usize);
                let layout = TracesLayout::new(&view, whole(size), k);
                (self.traces(&view, &layout), k)
            }
            PictureKind::CountStrip => {
                let view = self.lab.count_view(size.0 as usize);
                (count_strip::draw(&view, whole(size), k, &ChartWords::ENGLISH, &InstrumentWords::ENGLISH), k)
            }
            PictureKind::Ellipse => {
                let view = self.lab.figure_view();
                (figure::draw(&view, whole(size), k, &ChartWords::ENGLISH, &InstrumentWords::ENGLISH), k)
            }
            PictureKind::Loop => {
                let view = self.lab.loop_view(size.0 as usize);
                (loop_strip::draw(&view, whole(size), k, &ChartWords::ENGLISH, &InstrumentWords::ENGLISH), k)
            }
            PictureKind::Travel => {
                (travel::draw(&self.lab.travel_view(), whole(size), k, &InstrumentWords::ENGLISH), k)
            }
            PictureKind::Channels | PictureKind::Squares | PictureKind::Error | PictureKind::Ruler => {
                (self.chart(kind, size, k), k)
            }
        }
    }

    fn traces(&self, view: &TracesView, layout: &TracesLayout) -> Vec<Shape> {
        // What stands beside the letters is of now; beside what is held or swept it would be of another moment.
        let of_now = !view.held && view.trigger_s.is_none();
        let (a, b, now) = if of_now { self.notes() } else { Default::default() };
        let notes = TraceNotes { a: &a, b: &b, now: &now };
        traces::draw(view, layout, &ChartWords::ENGLISH, &InstrumentWords::ENGLISH, &notes)
    }

    /// What stands beside the channels: their sizes, and what is left of a lost signal.
    fn notes(&self) -> (String, String, String) {
        let record = self.lab.sim().record();
        let volts = |v: f64| format!("{v:.2} V");
        let now = if record.blind { volts(2.0 * record.amplitude_a_v) } else { String::new() };
        (volts(2.0 * record.amplitude_a_v), volts(2.0 * record.amplitude_b_v), now)
    }

    fn chart(&self, kind: PictureKind, (w, h): (f64, f64), k: f64) -> Vec<Shape> {
        let charts = self.charts(w);
        let axis = self.time_axis(w, k);
        let words = &ChartWords::ENGLISH;
        let mut sheet = Sheet::new(k);
        // Room for half a line above and below, so that nothing of the plot is cut off.
        let plot = (1.0, (h - 2.0).max(10.0));
        match kind {
            PictureKind::Channels => {
                let (a, b, now) = self.notes();
                let notes = TraceNotes { a: &a, b: &b, now: &now };
                channels::draw(&mut sheet, &charts.trace, &axis, plot, words, &notes);
            }
            PictureKind::Squares => squares::draw(&mut sheet, &charts.trace, &axis, plot, words),
            PictureKind::Error => error::draw(&mut sheet, &charts.error, &axis, plot, words, 1e3),
            _ => ruler::draw(&mut sheet, &axis, 1.0, words),
        }
        sheet.finish()
    }
}
