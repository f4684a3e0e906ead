//! Long work is done beside the page: with the same outcome to the bit as natively, while the page goes on painting; it
//! can be given up, and a job that breaks off harms nothing.

use serde_json::{Value, json};
use sim_core::bench::Bench;
use system_tests::{Page, Result};
use web_ui::jobs::{Job, run};

/// Starts a job through the page's own hook; what it says is gathered in `globalThis.job`.
async fn start(page: &Page, job: &Job) -> Result<u32> {
    let script = "
        const job = globalThis.job = { shares: [], frames: 0, ended: false };
        const count = () => { job.frames += job.ended ? 0 : 1; job.ended || requestAnimationFrame(count); };
        requestAnimationFrame(count);
        job.id = countlight.start_job(arguments[0], (share) => job.shares.push(share), (outcome, why) => {
            Object.assign(job, { ended: true, outcome, why });
        });
        return job.id";
    page.js_with(script, vec![json!(serde_json::to_string(job)?)]).await
}

async fn ended(page: &Page) -> Result<Value> {
    page.until_js("the job has ended", "return job.ended").await?;
    page.js("return job").await
}

/// The page's bench as it stands.
async fn bench(page: &Page) -> Result<Box<Bench>> {
    Ok(Box::new(page.exact_bench().await?))
}

#[tokio::test]
async fn the_outcome_is_the_native_one_to_the_bit_and_the_page_paints_on() -> Result<()> {
    let page = Page::open().await?;
    page.choose_scene("clean-shuttle").await?;
    page.set_slower(10).await?;
    let at_rest = bench(&page).await?;
    let commands = vec![serde_json::from_value(json!({ "at_s": 0.05, "do": "home" }))?];
    for job in [
        Job::TravelScan { bench: at_rest.clone() },
        Job::Survey { bench: at_rest.clone() },
        Job::Recording { bench: at_rest, commands, seconds: 20.0, every_s: 0.01 },
    ] {
        let before = page.figures().await?;
        start(&page, &job).await?;
        let found = ended(&page).await?;
        assert_eq!(found["why"], Value::Null, "{found}");
        let native = run(job.clone(), &mut |_| {}).map(|outcome| serde_json::to_string(&outcome))??;
        assert!(found["outcome"] == json!(native), "{}: the outcomes differ", job.name());
        let shares: Vec<f64> = serde_json::from_value(found["shares"].clone())?;
        assert!(shares.is_sorted() && shares.iter().all(|share| (0.0..=1.0).contains(share)), "{shares:?}");
        assert!(!shares.is_empty(), "{}: no progress was told", job.name());
        assert!(found["frames"].as_u64() >= Some(3), "{}: only {} frames", job.name(), found["frames"]);
        assert!(page.figures().await?.time_s > before.time_s, "the bench on the page stood still");
    }
    page.expect_quiet_console().await
}

#[tokio::test]
async fn a_job_that_is_given_up_says_no_more_and_the_next_one_runs() -> Result<()> {
    let page = Page::open().await?;
    page.pause().await?;
    let bench = bench(&page).await?;
    let long = Job::Recording { bench: bench.clone(), commands: Vec::new(), seconds: 3600.0, every_s: 1.0 };
    let id = start(&page, &long).await?;
    page.until_js("the job tells of its progress", "return job.shares.length > 0").await?;
    page.js_with::<()>("countlight.cancel_job(arguments[0]); globalThis.given_up = job; return null", vec![json!(id)])
        .await?;
    let short = Job::Recording { bench, commands: Vec::new(), seconds: 0.5, every_s: 0.1 };
    start(&page, &short).await?;
    let found = ended(&page).await?;
    let native = run(short, &mut |_| {}).map(|outcome| serde_json::to_string(&outcome))??;
    assert_eq!(found["outcome"], json!(native));
    assert!(page.js::<bool>("return !given_up.ended").await?, "the job that was given up told an end");
    page.expect_quiet_console().await
}

#[tokio::test]
async fn a_job_that_breaks_off_is_told_and_the_page_and_the_next_job_live() -> Result<()> {
    let page = Page::open().await?;
    start(&page, &Job::BreakOnPurpose).await?;
    let found = ended(&page).await?;
    let why = found["why"].as_str().unwrap_or_default();
    assert!(why.contains("broken on purpose") && why.contains("bench is untouched"), "{found}");
    assert!(page.js::<bool>("return document.documentElement.dataset.stopped === undefined").await?);
    let before = page.figures().await?;
    page.until_figures("the bench goes on", |f| f.time_s > before.time_s).await?;
    let job = Job::Recording { bench: bench(&page).await?, commands: Vec::new(), seconds: 0.5, every_s: 0.1 };
    start(&page, &job).await?;
    assert_eq!(ended(&page).await?["why"], Value::Null);
    // A refusal is no break: the words come from the job.
    let job = Job::Recording { bench: bench(&page).await?, commands: Vec::new(), seconds: -1.0, every_s: 0.1 };
    start(&page, &job).await?;
    let found = ended(&page).await?;
    assert!(found["why"].as_str().is_some_and(|why| why.starts_with("A recording lasts from")), "{found}");
    Ok(())
}

#[tokio::test]
async fn the_card_shows_name_progress_and_a_table_and_can_be_cancelled() -> Result<()> {
    let page = Page::open().await?;
    page.choose_scene("clean-shuttle").await?;
    page.pause().await?;
    page.click("Scan the travel").await?;
    page.by_role("table", "Scan of the travel").await?;
    let rows: Vec<(String, String)> = page
        .js("return [...document.querySelectorAll('.jobs tr')].map((row) => [row.cells[0].innerText, row.cells[1].innerText])")
        .await?;
    let of = |what: &str| rows.iter().find(|(name, _)| name == what).map(|(_, value)| value.as_str());
    assert!(of("weakest signal").is_some_and(|words| words.contains(" V at ")), "{rows:?}");
    assert_eq!(of("ended"), Some("as planned"), "{rows:?}");

    page.choose_scene("first-look").await?;
    page.click("Survey").await?;
    page.by_role("progressbar", "Survey").await?;
    page.click("Cancel").await?;
    page.until_js("it is cancelled", "return document.querySelector('.jobs').innerText.includes('cancelled')").await?;
    page.click("Survey").await?;
    page.by_role("table", "Survey").await?;
    page.expect_quiet_console().await
}

#[tokio::test]
async fn a_browser_without_helpers_does_it_on_the_page_and_says_so() -> Result<()> {
    let page = Page::open().await?;
    page.pause().await?;
    page.js::<()>("globalThis.Worker = class { constructor() { throw new Error('refused'); } }; return null").await?;
    page.click("Scan the travel").await?;
    page.by_role("table", "Scan of the travel").await?;
    assert!(page.text(".jobs").await?.contains("page stood still"), "{}", page.text(".jobs").await?);
    page.expect_quiet_console().await
}
