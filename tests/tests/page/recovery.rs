//! When the program breaks off, nothing is lost: the bench is kept, can be saved, and opens again where it stood.

use sim_core::bench::Bench;
use system_tests::{Page, Result};

/// The kept bench, as its text.
const KEPT: &str = "return globalThis.countlightBench";

/// Breaks the frame and waits for the recovery page; the bench as it was kept.
async fn break_off(page: &Page) -> Result<Bench> {
    page.js::<()>("countlight.break_next_frame(); return null").await?;
    page.until_js("the recovery page is there", "return document.documentElement.dataset.stopped === '1'").await?;
    let mut kept: serde_json::Value = serde_json::from_str(&page.js::<String>(KEPT).await?)?;
    Ok(serde_json::from_value(kept["bench"].take())?)
}

fn time_s(bench: &Bench) -> f64 {
    bench.state.axis.step as f64 * sim_core::record::STEP_S
}

#[tokio::test]
async fn a_break_in_the_frame_shows_the_recovery_page_and_the_bench_opens_again_as_it_was() -> Result<()> {
    let page = Page::open().await?;
    page.write("#brush-from", "300").await?;
    page.write("#brush-to", "312.5").await?;
    page.css("#brush-apply").await?.click().await?;
    page.set_slower(50).await?;
    page.pause().await?;
    page.write("#brush-from", "320").await?;
    page.write("#brush-to", "321").await?;
    // The last change is made by a command on a standing clock: kept at once.
    page.css("#brush-apply").await?.click().await?;
    let before = page.exact_bench().await?;
    let kept = break_off(&page).await?;
    assert!(kept == before, "what is kept is not the bench before the break");
    kept.check()?;
    assert_eq!(kept.state.dirt.segments().len(), 2);

    assert!(page.text("main h1").await?.contains("broken off"));
    let words = page.text("main").await?;
    assert!(words.contains("nothing is lost") && words.contains(&format!("{:.2} s", time_s(&kept))), "{words}");
    let why = page.text("details pre").await?;
    assert!(why.contains("broken on purpose"), "{why}");
    for name in ["Open it again", "Save the bench", "Start afresh"] {
        page.by_role("button", name).await?;
    }
    page.click("Open it again").await?;
    page.until_js("the page is loaded anew", "return document.documentElement.dataset.stopped === undefined").await?;
    page.ready().await?;
    assert!(page.exact_bench().await? == before, "the bench is not the one that was kept");
    let notice = page.read_notice().await?;
    assert!(notice.contains("open again"), "{notice}");
    page.click("Run").await?;
    page.until_figures("it goes on", |f| f.time_s > time_s(&kept)).await?;
    // Another load is an ordinary one.
    page.client().refresh().await?;
    page.ready().await?;
    assert_eq!(page.all(".notice").await?.len(), 0);
    assert!(page.dirt().await?.is_empty());
    Ok(())
}

#[tokio::test]
async fn a_running_bench_is_kept_less_than_a_tenth_of_a_second_back() -> Result<()> {
    let page = Page::open().await?;
    page.set_slower(1).await?;
    let start = page.figures().await?;
    page.until_figures("the clock runs", |f| f.time_s > start.time_s + 0.5).await?;
    // Looked at in one go, so that the bench does not run on in between.
    let script = "const now = JSON.parse(countlight.bench_state()).state.axis.step; \
        return [now, JSON.parse(countlightBench).bench.state.axis.step]";
    for _ in 0..20 {
        let (now, kept): (u64, u64) = page.js(script).await?;
        let back_s = (now - kept) as f64 * sim_core::record::STEP_S;
        assert!((0.0..0.1).contains(&back_s), "the kept bench is {back_s} s old");
    }
    let stored: bool = page.js("return sessionStorage.getItem('countlight.bench') === countlightBench").await?;
    assert!(stored, "the browser holds the same bench over a reload");
    Ok(())
}

#[tokio::test]
async fn the_saved_file_is_the_bench_and_can_be_dropped_on_a_fresh_page() -> Result<()> {
    let page = Page::open().await?;
    page.choose_scene("wide-smear").await?;
    page.until_figures("the scene runs", |f| f.time_s > 0.05).await?;
    page.pause().await?;
    let kept = break_off(&page).await?;
    // What the download holds, taken where the page hands it over.
    let script = "
        URL.createObjectURL = (blob) => { globalThis.saved = blob.text(); return 'blob:none'; };
        HTMLAnchorElement.prototype.click = function () { globalThis.name = this.download; };
        return null";
    page.js::<()>(script).await?;
    page.click("Save the bench").await?;
    let saved = page.client().execute_async("saved.then(arguments[0])", vec![]).await?;
    let saved = saved.as_str().ok_or("no text was saved")?.to_owned();
    assert_eq!(page.js::<String>("return globalThis.name").await?, "countlight-bench.json");
    let mut file: serde_json::Value = serde_json::from_str(&saved)?;
    assert!(serde_json::from_value::<Bench>(file["bench"].take())? == kept, "another bench was saved");

    page.click("Start afresh").await?;
    page.until_js("the page is loaded anew", "return document.documentElement.dataset.stopped === undefined").await?;
    page.ready().await?;
    assert_eq!(page.figures().await?.scene, "first-look");
    page.drop_file("mine.json", saved.as_bytes()).await?;
    page.until_figures("the saved bench is open", |f| f.scene == "wide-smear" && !f.running).await?;
    assert!(page.exact_bench().await? == kept, "another bench was opened");
    page.drop_file("other.json", b"{ \"a\": 1 }").await?;
    let notice = page.read_notice().await?;
    assert!(notice.starts_with("other.json: ") && notice.contains("To mend it"), "{notice}");
    assert!(page.exact_bench().await? == kept, "a refused file changed the bench");
    Ok(())
}
