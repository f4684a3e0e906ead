//! The stage: runs the model once a frame and paints every picture that is on the page. Pictures take the newest state
//! straight from the lab at frame rate; the rest of the page is told about ten times a second.

use crate::draw::canvas::Painter;
use crate::draw::tokens::Theme;
use crate::pictures::{FrameViews, PictureKind};
use crate::store::cover::Cover;
use crate::store::{Action, LabHandle, Ui};
use std::cell::{Cell, RefCell};
use std::rc::Rc;
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use web_sys::{HtmlCanvasElement, Window};
use yew::UseReducerDispatcher;

/// Time that the model may take of a frame, ms.
const MODEL_MS: f64 = 8.0;
/// How often the page is told, ms.
const TELL_MS: f64 = 100.0;

struct Entry {
    id: u32,
    kind: PictureKind,
    canvas: HtmlCanvasElement,
    painter: Painter,
    /// Size at which it was painted last, px.
    painted: Cell<(f64, f64)>,
}

impl Entry {
    fn size(&self) -> (f64, f64) {
        (f64::from(self.canvas.client_width()), f64::from(self.canvas.client_height()))
    }
}

/// The pictures on the page and how they are drawn.
pub struct Stage {
    entries: RefCell<Vec<Entry>>,
    next: Cell<u32>,
    /// Light or dark.
    pub theme: Cell<Theme>,
    /// Scale of pens and letters: the root letter size over 16 px.
    pub k: Cell<f64>,
    /// Exaggeration of the lag in the last picture of the machine, so that it does not jump.
    pub held: Cell<Option<f64>>,
    /// What the instructor has covered.
    pub cover: Cell<Cover>,
    /// The root letter size changed: pens and letters must be measured again.
    rescale: Cell<bool>,
    /// Something changed that must be painted although the model stands.
    stale: Cell<bool>,
}

/// A shared handle on the stage.
#[derive(Clone)]
pub struct StageHandle(pub Rc<Stage>);

impl PartialEq for StageHandle {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.0, &other.0)
    }
}

impl Default for Stage {
    fn default() -> Self {
        Self {
            entries: RefCell::default(),
            next: Cell::new(0),
            theme: Cell::new(Theme::Light),
            k: Cell::new(1.0),
            held: Cell::new(None),
            cover: Cell::default(),
            rescale: Cell::new(false),
            stale: Cell::new(true),
        }
    }
}

impl Stage {
    /// Puts a canvas on the stage; the number takes it off again.
    pub fn enter(&self, kind: PictureKind, canvas: HtmlCanvasElement) -> u32 {
        let id = self.next.get();
        self.next.set(id + 1);
        if let Ok(painter) = Painter::new(canvas.clone()) {
            self.entries.borrow_mut().push(Entry { id, kind, canvas, painter, painted: Cell::default() });
        }
        self.stale.set(true);
        id
    }

    /// Takes a canvas off the stage.
    pub fn leave(&self, id: u32) {
        self.entries.borrow_mut().retain(|entry| entry.id != id);
    }

    /// Paints at the next frame even if the model stands.
    pub fn touch(&self) {
        self.stale.set(true);
    }

    /// Measures the letters of the page again at the next frame.
    pub fn measure_again(&self) {
        self.rescale.set(true);
        self.stale.set(true);
    }

    /// Whether a canvas has another size than it was painted at, whatever moved it.
    fn is_outgrown(&self) -> bool {
        self.entries.borrow().iter().any(|entry| entry.size() != entry.painted.get())
    }

    fn paint(&self, views: &FrameViews<'_>) {
        let (k, theme) = (self.k.get(), self.theme.get());
        for entry in self.entries.borrow_mut().iter_mut() {
            let size = entry.size();
            entry.painted.set(size);
            if size.0 < 8.0 || size.1 < 8.0 {
                continue;
            }
            let (shapes, k) = views.draw(entry.kind, size, k, self);
            if let Err(error) = entry.painter.paint(&shapes, size, k, theme) {
                web_sys::console::error_1(&error);
            }
        }
    }
}

/// What is done at each frame; it asks for itself again.
type EachFrame = RefCell<Option<Closure<dyn FnMut(f64)>>>;

/// Starts the frames; they go on as long as the page lives.
pub fn run(stage: Rc<Stage>, lab: LabHandle, tell: UseReducerDispatcher<Ui>) {
    let Some(window) = web_sys::window() else { return };
    let again: Rc<EachFrame> = Rc::default();
    let first = again.clone();
    let (mut last_ms, mut told_ms, mut shown_s, mut untold) = (None, 0.0, f64::NAN, false);
    let clock_of = window.clone();
    *first.borrow_mut() = Some(Closure::new(move |now_ms: f64| {
        let wall_s = (now_ms - last_ms.unwrap_or(now_ms)) / 1e3;
        last_ms = Some(now_ms);
        let started = performance_ms(&clock_of);
        lab.0.borrow_mut().frame(wall_s, || performance_ms(&clock_of) - started < MODEL_MS);
        let lab_now = lab.0.borrow();
        crate::recovery::frame(now_ms, &lab_now);
        let moved = lab_now.shown_s() != shown_s;
        let size_changed = refresh_scale(&stage, &clock_of);
        if moved || stage.stale.get() || size_changed || stage.is_outgrown() {
            shown_s = lab_now.shown_s();
            stage.stale.set(false);
            let cover = stage.cover.get();
            stage.paint(&FrameViews::new(&lab_now, Cover { on: cover.on || lab_now.hides(), ..cover }));
        }
        drop(lab_now);
        // The last state before the clock stopped is told too, although nothing moves any more when its turn comes.
        untold |= moved;
        if (untold && now_ms - told_ms >= TELL_MS) || size_changed {
            (told_ms, untold) = (now_ms, false);
            tell.dispatch(Action::Tick);
        }
        request(&clock_of, &again);
    }));
    request(&window, &first);
}

fn performance_ms(window: &Window) -> f64 {
    window.performance().map_or(0.0, |p| p.now())
}

/// Follows the root letter size and the window's size; true when one of them changed.
fn refresh_scale(stage: &Stage, window: &Window) -> bool {
    thread_local! {
        static SIZE: Cell<(f64, f64, f64)> = const { Cell::new((0.0, 0.0, 0.0)) };
    }
    let number = |v: Result<wasm_bindgen::JsValue, _>| v.ok().and_then(|v| v.as_f64()).unwrap_or(0.0);
    let size = (number(window.inner_width()), number(window.inner_height()), window.device_pixel_ratio());
    if !stage.rescale.take() && SIZE.get() == size {
        return false;
    }
    SIZE.set(size);
    let root = window.document().and_then(|d| d.document_element());
    let style = root.and_then(|root| window.get_computed_style(&root).ok().flatten());
    let letter = style.and_then(|s| s.get_property_value("font-size").ok());
    let px = letter.and_then(|text| text.trim_end_matches("px").parse::<f64>().ok()).unwrap_or(16.0);
    stage.k.set((px / 16.0).clamp(0.5, 4.0));
    true
}

fn request(window: &Window, frame: &Rc<EachFrame>) {
    if let Some(closure) = frame.borrow().as_ref() {
        let _ = window.request_animation_frame(closure.as_ref().unchecked_ref());
    }
}
