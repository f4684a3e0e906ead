//! Prints how quick the page is in Chromium: `cargo run --release -p system-tests --example frames`.
//!
//! Everything that the page draws is on, the gantry shuttles in real time. Scripting is looked at twice: what the
//! frame's own callback takes, and what the browser counts as scripting and as work of the page's thread altogether,
//! which has the page's re-rendering in it. With a slowed processor (`Emulation.setCPUThrottlingRate`) the browser
//! sleeps between slices of work, so single callbacks scatter more than their mean.

use serde_json::{Value, json};
use system_tests::{Page, Result, serve, site};

/// Frames that are looked at.
const FRAMES: u32 = 600;
/// Inputs of each kind.
const INPUTS: usize = 15;
/// Loads.
const LOADS: usize = 3;
/// Slowing of the processor.
const SLOWER: [u32; 2] = [1, 4];

/// What is measured inside the page, from its first line on.
const WATCH: &str = "
    globalThis.frameMs = [];
    const ask = globalThis.requestAnimationFrame.bind(globalThis);
    globalThis.requestAnimationFrame = (act) => ask((now) => {
        const start = performance.now();
        act(now);
        frameMs.push(performance.now() - start);
    });
    globalThis.paintMs = (what, text) => new Promise((done) => {
        const before = text();
        let start;
        addEventListener(what, () => { start ??= performance.now(); }, { capture: true, once: true });
        const look = () => {
            if (start === undefined || text() === before) { ask(look); return; }
            // A task behind this frame's painting.
            const { port1, port2 } = new MessageChannel();
            port1.onmessage = () => done(performance.now() - start);
            port2.postMessage(0);
        };
        ask(look);
    });
    new MutationObserver((_, self) => {
        if (document.documentElement.dataset.ready !== '1') { return; }
        self.disconnect();
        globalThis.readyMs = performance.now();
        let before;
        const look = () => {
            const run = document.querySelector('#run');
            const says = run?.getAttribute('aria-label') ?? undefined;
            if (before === undefined && says !== undefined) { before = says; run.click(); }
            if (before === undefined || says === before) { ask(look); return; }
            globalThis.answersMs = performance.now();
        };
        ask(look);
    }).observe(document, { attributes: true, subtree: true, attributeFilter: ['data-ready'] });";

/// What was measured, what it should be, and both for each processor speed.
type Measured = (&'static str, &'static str, Vec<(f64, f64)>);

/// Middle and 95th percentile.
fn spread(mut values: Vec<f64>) -> (f64, f64) {
    values.sort_by(f64::total_cmp);
    let last = values.len().saturating_sub(1) as f64;
    let at = |share: f64| values.get((last * share).round() as usize).copied().unwrap_or(f64::NAN);
    (at(0.5), at(0.95))
}

fn line(what: &str, aim: &str, of: &[(f64, f64)]) {
    let number = |value: f64| if value.is_nan() { format!("{:>9}", "") } else { format!("{value:>9.2}") };
    let cells: Vec<String> = of.iter().map(|(mid, high)| number(*mid) + &number(*high)).collect();
    println!("{what:44}{}   {aim}", cells.join("   "));
}

async fn open(slower: u32) -> Result<(Page, system_tests::Served)> {
    let served = serve(site()?)?;
    let page = Page::blank(&[]).await?;
    page.cdp("Page.addScriptToEvaluateOnNewDocument", json!({ "source": WATCH })).await?;
    page.cdp("Emulation.setCPUThrottlingRate", json!({ "rate": slower })).await?;
    page.goto(served.url()).await?;
    page.ready().await?;
    page.until_js("the page answers", "return globalThis.answersMs !== undefined").await?;
    Ok((page, served))
}

/// Milliseconds that the browser counted, by name.
async fn counted(page: &Page) -> Result<impl Fn(&str) -> f64> {
    let found = page.cdp("Performance.getMetrics", json!({})).await?;
    let metrics: Vec<Value> = serde_json::from_value(found["metrics"].clone())?;
    Ok(move |name: &str| {
        metrics.iter().find(|m| m["name"] == name).and_then(|m| m["value"].as_f64()).unwrap_or(f64::NAN) * 1e3
    })
}

/// Time of one input from the event to the painted frame that shows it, ms.
async fn painted(page: &Page, event: &str, text: &str, act: impl AsyncFn() -> Result<()>) -> Result<f64> {
    let script = format!(
        "globalThis.took = undefined; paintMs('{event}', () => {text}).then((ms) => {{ took = ms; }}); return null"
    );
    page.js::<()>(&script).await?;
    act().await?;
    page.until_js("the input shows", "return globalThis.took !== undefined").await?;
    page.js("return took").await
}

async fn inputs(page: &Page) -> Result<[(f64, f64); 2]> {
    let (mut keys, mut presses) = (Vec::new(), Vec::new());
    page.js::<()>("document.querySelector('.pace input').focus(); return null").await?;
    for round in 0..INPUTS {
        let key = if round % 2 == 0 { "ArrowLeft" } else { "ArrowRight" };
        let code = if round % 2 == 0 { 37 } else { 39 };
        let strike = async || {
            for kind in ["rawKeyDown", "keyUp"] {
                let params = json!({ "type": kind, "key": key, "code": key, "windowsVirtualKeyCode": code });
                page.cdp("Input.dispatchKeyEvent", params).await?;
            }
            Ok(())
        };
        keys.push(painted(page, "keydown", "document.querySelector('.pace output').textContent", strike).await?);
    }
    let place: [f64; 2] = page
        .js("const box = document.querySelector('#run').getBoundingClientRect(); \
            return [box.x + box.width / 2, box.y + box.height / 2]")
        .await?;
    for _ in 0..INPUTS + INPUTS % 2 {
        let press = async || {
            for kind in ["mousePressed", "mouseReleased"] {
                let params = json!({ "type": kind, "x": place[0], "y": place[1], "button": "left", "clickCount": 1 });
                page.cdp("Input.dispatchMouseEvent", params).await?;
            }
            Ok(())
        };
        let shown = "document.querySelector('#run').getAttribute('aria-label')";
        presses.push(painted(page, "pointerdown", shown, press).await?);
    }
    Ok([spread(keys), spread(presses)])
}

#[tokio::main(flavor = "current_thread")]
async fn main() -> Result<()> {
    let mut rows: Vec<Measured> = vec![
        ("frame's own callback, ms", "aim: 5 median, 10 p95; slowed 4 times 16 p95", Vec::new()),
        ("scripting a frame by the browser, mean, ms", "", Vec::new()),
        ("work of the page's thread a frame, mean, ms", "", Vec::new()),
        ("style and layout a frame, mean, ms", "", Vec::new()),
        ("frames a second", "", Vec::new()),
        ("key to painted, ms", "aim: 100", Vec::new()),
        ("press to painted, ms", "aim: 100", Vec::new()),
        ("keeping the bench, ms", "", Vec::new()),
        ("started, ms after navigation", "", Vec::new()),
        ("Run answers, ms after navigation", "aim: 2000 slowed 4 times", Vec::new()),
    ];
    for slower in SLOWER {
        let (mut ready, mut answers) = (Vec::new(), Vec::new());
        for _ in 0..LOADS {
            let (page, _served) = open(slower).await?;
            let (one, other): (f64, f64) = page.js("return [readyMs, answersMs]").await?;
            ready.push(one);
            answers.push(other);
        }
        let (page, _served) = open(slower).await?;
        page.choose_scene("clean-shuttle").await?;
        page.set_slower(1).await?;
        if page.figures().await?.running {
            page.pause().await?;
        }
        page.click("Shuttle").await?;
        page.until_figures("the gantry shuttles", |f| f.running && f.doing == "Moving").await?;
        page.cdp("Performance.enable", json!({})).await?;
        page.frames(60).await?;
        page.js::<()>("frameMs.length = 0; globalThis.begun = performance.now(); return null").await?;
        let before = counted(&page).await?;
        page.frames(FRAMES).await?;
        let after = counted(&page).await?;
        let (own, took_ms): (Vec<f64>, f64) = page.js("return [frameMs, performance.now() - begun]").await?;
        // Half of the callbacks are the counting of `frames`.
        let own: Vec<f64> = own.chunks_exact(2).map(|pair| pair[0].max(pair[1])).collect();
        let a_frame = |name: &str| (after(name) - before(name)) / f64::from(FRAMES);
        let twice = |value: f64| (value, f64::NAN);
        rows[0].2.push(spread(own));
        rows[1].2.push(twice(a_frame("ScriptDuration")));
        rows[2].2.push(twice(a_frame("TaskDuration")));
        rows[3].2.push(twice(a_frame("LayoutDuration") + a_frame("RecalcStyleDuration")));
        rows[4].2.push(twice(f64::from(FRAMES) * 1e3 / took_ms));
        let [keys, presses] = inputs(&page).await?;
        rows[5].2.push(keys);
        rows[6].2.push(presses);
        let cost: Vec<f64> = page.js("return [...countlight.keeping_cost(200)]").await?;
        rows[7].2.push(twice(cost.get(1).copied().unwrap_or(f64::NAN)));
        rows[8].2.push(spread(ready));
        rows[9].2.push(spread(answers));
    }
    println!("{:44}{:>18}   {:>18}", "", "full speed", "slowed 4 times");
    println!("{:44}{:>9}{:>9}   {:>9}{:>9}", "", "median", "p95", "median", "p95");
    for (what, aim, of) in &rows {
        line(what, aim, of);
    }
    Ok(())
}
