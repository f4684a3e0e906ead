//! What the model in the page computed, beside what the page shows of it.

use std::time::{Duration, Instant};

use serde::Deserialize;
use serde_json::Value;
use sim_core::bench::Bench;

use crate::{Page, Result};

/// How long a state of the bench may take to come; scenes run in real time, the longest wait here is half a minute.
const PATIENCE: Duration = Duration::from_secs(120);
/// Time between two looks.
const INTERVAL: Duration = Duration::from_millis(40);

/// Figures of the running bench at one moment.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct Figures {
    /// Model time, s.
    pub time_s: f64,
    /// Where the table is, mm.
    pub table_mm: f64,
    /// What the readout shows, mm.
    pub readout_mm: f64,
    /// Where the count says the table is, mm.
    pub counted_mm: f64,
    /// How far the count is behind the table, mm; 0 while it is right to within a count.
    pub uncounted_mm: f64,
    /// Count of the scale.
    pub count: i64,
    /// Amplitude of channel A, V.
    pub amplitude_a_v: f64,
    /// Amplitude that the input needs, V.
    pub needed_v: f64,
    /// Following error, mm.
    pub error_mm: f64,
    /// Gap under the head, mm.
    pub gap_mm: f64,
    /// Whether an alarm is latched.
    pub alarm: bool,
    /// Whether zero has been taken.
    pub referenced: bool,
    /// What the axis is doing.
    pub doing: String,
    /// Whether the clock runs.
    pub running: bool,
    /// Id or file name of the scene.
    pub scene: String,
}

/// The bench at one moment, and what the page showed at the same moment.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct Seen {
    /// What the model computed.
    pub figures: Figures,
    /// The number of the readout, as shown.
    pub readout: String,
    /// The words under the second number ("readout is right", ...).
    pub verdict: String,
}

/// A dirty stretch of the scale.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
pub struct Dirt {
    /// Start, m.
    pub from_m: f64,
    /// End, m.
    pub to_m: f64,
}

impl Page {
    /// Figures of the bench now.
    pub async fn figures(&self) -> Result<Figures> {
        self.js("return JSON.parse(countlight.bench_figures())").await
    }

    /// The whole bench now, as an exact save holds it.
    pub async fn bench(&self) -> Result<Value> {
        self.js("return JSON.parse(countlight.bench_state())").await
    }

    /// The same to the last bit: a number of JavaScript does not hold the seeds.
    pub async fn exact_bench(&self) -> Result<Bench> {
        Ok(serde_json::from_str(&self.js::<String>("return countlight.bench_state()").await?)?)
    }

    /// The dirty stretches of the scale now.
    pub async fn dirt(&self) -> Result<Vec<Dirt>> {
        Ok(serde_json::from_value(self.bench().await?["state"]["dirt"].take())?)
    }

    /// A number of the bench's setup, such as `head` / `gap_um`.
    pub async fn setup(&self, group: &str, key: &str) -> Result<f64> {
        let bench = self.bench().await?;
        bench["setup"][group][key].as_f64().ok_or_else(|| format!("no number {group}.{key} in {bench}").into())
    }

    /// Waits until the figures are as wanted, and returns them.
    pub async fn until_figures(&self, what: &str, wanted: impl Fn(&Figures) -> bool) -> Result<Figures> {
        let deadline = Instant::now() + PATIENCE;
        loop {
            let figures = self.figures().await?;
            if wanted(&figures) {
                return Ok(figures);
            }
            if Instant::now() > deadline {
                return Err(format!("waited {} s in vain until {what}: {figures:?}", PATIENCE.as_secs()).into());
            }
            tokio::time::sleep(INTERVAL).await;
        }
    }

    /// From now on the page notes at every frame what the bench does and what it shows.
    pub async fn watch(&self) -> Result<()> {
        let script = "
            globalThis.seen = [];
            const text = (css) => document.querySelector(css)?.textContent ?? '';
            const look = () => {
                const figures = JSON.parse(countlight.bench_figures());
                if (figures.time_s !== seen.at(-1)?.figures.time_s) {
                    const [readout, verdict] = [text('#readout .number'), text('#uncounted .says')];
                    seen.push({ figures, readout, verdict });
                }
                if (globalThis.seen !== undefined) { requestAnimationFrame(look); }
            };
            look();";
        self.js(script).await
    }

    /// What was noted since [`Page::watch`]; the notes go on.
    pub async fn seen(&self) -> Result<Vec<Seen>> {
        self.js("return seen").await
    }

    /// Lets a number of frames of the screen pass.
    pub async fn frames(&self, count: u32) -> Result<()> {
        let script = "let [left, done] = [arguments[0], arguments[1]]; \
            const frame = () => left-- > 0 ? requestAnimationFrame(frame) : done(true); frame()";
        self.client().execute_async(script, vec![count.into()]).await?;
        Ok(())
    }
}
