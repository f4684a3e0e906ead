//! Jobs in the browser: one helper beside the page (a Web Worker with the same module) does them one after the other.
//! A job that is cancelled or breaks off ends its helper; the next job gets a new one. A browser that gives us no
//! helper has the page do the job itself.

use super::worker::{Said, Worker, later};
use super::{Job, run_later};
use std::cell::RefCell;
use std::collections::VecDeque;
use std::rc::Rc;
use yew::Callback;

/// How a job ended well.
#[derive(Clone, Debug, PartialEq)]
pub struct Done {
    /// What came of it, as JSON, see [`super::read_outcome`].
    pub outcome: String,
    /// The page itself had to do it and stood still meanwhile.
    pub on_page: bool,
}

/// A job with those who wait for it.
struct Ask {
    id: u32,
    job: String,
    on_progress: Callback<f64>,
    on_done: Callback<Result<Done, String>>,
}

#[derive(Default)]
struct Inner {
    last: u32,
    waiting: VecDeque<Ask>,
    running: Option<Ask>,
    worker: Option<Worker>,
    /// The browser gives us no helper.
    alone: bool,
}

/// The jobs of the page.
#[derive(Clone, Default)]
pub struct Jobs(Rc<RefCell<Inner>>);

impl PartialEq for Jobs {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.0, &other.0)
    }
}

impl Jobs {
    /// Starts a job, or lets it wait its turn. `on_progress` is told shares from 0 to 1, `on_done` the end: what came of
    /// it, or why nothing did. The number cancels it.
    pub fn start(&self, job: &Job, on_progress: Callback<f64>, on_done: Callback<Result<Done, String>>) -> u32 {
        // What cannot be written is no job, and is refused as one.
        self.start_text(serde_json::to_string(job).unwrap_or_default(), on_progress, on_done)
    }

    /// [`Jobs::start`] for a job as JSON.
    pub fn start_text(&self, job: String, on_progress: Callback<f64>, on_done: Callback<Result<Done, String>>) -> u32 {
        let id = {
            let mut inner = self.0.borrow_mut();
            inner.last += 1;
            let id = inner.last;
            inner.waiting.push_back(Ask { id, job, on_progress, on_done });
            id
        };
        self.next();
        id
    }

    /// Gives a job up; those who wait for it are told nothing more. A number that is no longer there changes nothing.
    pub fn cancel(&self, id: u32) {
        {
            let mut inner = self.0.borrow_mut();
            inner.waiting.retain(|ask| ask.id != id);
            if inner.running.as_ref().is_some_and(|ask| ask.id == id) {
                inner.running = None;
                // Nothing else stops a helper that is at work.
                inner.worker = None;
            }
        }
        self.next();
    }

    fn next(&self) {
        let mut inner = self.0.borrow_mut();
        if inner.running.is_some() {
            return;
        }
        let Some(ask) = inner.waiting.pop_front() else { return };
        if inner.worker.is_none() && !inner.alone {
            let jobs = self.clone();
            inner.worker = Worker::start(move |said| jobs.hear(said));
        }
        if let Some(worker) = &inner.worker {
            worker.send(&ask.job);
            inner.running = Some(ask);
        } else {
            (inner.alone, inner.running) = (true, Some(ask));
            drop(inner);
            self.on_page();
        }
    }

    fn hear(&self, said: Said) {
        match said {
            Said::Share(share) => {
                let told = self.0.borrow().running.as_ref().map(|ask| ask.on_progress.clone());
                if let Some(told) = told {
                    told.emit(share);
                }
            }
            Said::Outcome(outcome) => self.end(Ok(Done { outcome, on_page: false })),
            Said::Refused(why) => self.end(Err(why)),
            Said::Broke(why) => {
                self.0.borrow_mut().worker = None;
                self.end(Err(format!(
                    "The job broke off through a mistake of the program: {why}\nThe bench is untouched; you can go on, or start the job again."
                )));
            }
            Said::NoStart => {
                {
                    let mut inner = self.0.borrow_mut();
                    (inner.worker, inner.alone) = (None, true);
                }
                self.on_page();
            }
        }
    }

    /// Does the running job here, once the page has had time to show that it runs.
    fn on_page(&self) {
        let jobs = self.clone();
        later(move || {
            let job = jobs.0.borrow().running.as_ref().map(|ask| ask.job.clone());
            // It may have been cancelled since.
            if let Some(job) = job {
                wasm_bindgen_futures::spawn_local(async move {
                    let done = run_later().await.map_err(|missing| missing.to_string());
                    let outcome = done.and_then(|run| run(&job, &mut |_| {}));
                    jobs.end(outcome.map(|outcome| Done { outcome, on_page: true }));
                });
            }
        });
    }

    fn end(&self, result: Result<Done, String>) {
        let ended = self.0.borrow_mut().running.take();
        if let Some(ask) = ended {
            ask.on_done.emit(result);
        }
        self.next();
    }
}
