//! The presenter view, driven by a clicker.

use system_tests::{Key, Page, Result, View};

async fn turn(page: &Page, words: &str) -> Result<()> {
    page.until(&format!("the sheet says `{words}`"), async || {
        Ok(page.text(".present-head .turn").await?.contains(words))
    })
    .await
}

#[tokio::test]
async fn a_clicker_goes_through_question_run_and_reveal_to_the_next_scene() -> Result<()> {
    let page = Page::open_at("#present").await?;
    page.view(View::PROJECTOR).await?;
    page.css(".present-head").await?;
    assert!(page.all(".drawer, .toolbar, .tour").await?.is_empty(), "only what a room needs");
    let px: f64 = page.js("return Math.min(...[...document.querySelectorAll('.sheet .note, .sheet .says')].filter((e) => e.checkVisibility()).map((e) => parseFloat(getComputedStyle(e).fontSize)))").await?;
    assert!(px >= 19.0, "notes of {px} px cannot be read from the back");
    // Back to the first prepared scene, then forward through its turns.
    let first: String = page.js("return countlight ? JSON.parse(countlight.bench_figures()).scene : ''").await?;
    page.strike(&Key::PageDown).await?;
    turn(&page, "question").await?;
    let at_question =
        page.until_figures("another scene stands at its start", |f| f.scene != first && !f.running).await?;
    assert_eq!(at_question.time_s, 0.0);
    let title = page.text(".present-head h1").await?;
    assert_eq!(title, "What will the count do?");
    page.strike(&Key::Right).await?;
    turn(&page, "run").await?;
    page.until_figures("it runs", |f| f.running && f.time_s > 0.02).await?;
    assert_eq!(page.text(".present-head h1").await?, title, "still covered");
    page.strike(&Key::PageDown).await?;
    turn(&page, "reveal").await?;
    assert_ne!(page.text(".present-head h1").await?, title);
    let shown = page.figures().await?.scene;
    page.strike(&Key::PageDown).await?;
    page.until_figures("the next scene stands at its start", |f| f.scene != shown && !f.running).await?;
    page.strike(&Key::PageUp).await?;
    page.until_figures("back to the scene before", |f| f.scene == shown).await?;
    turn(&page, "question").await?;
    // Blank, and back; then away.
    page.strike(".").await?;
    page.css(".blank").await?;
    page.strike("b").await?;
    page.until("the bench is back", async || Ok(page.all(".blank").await?.is_empty())).await?;
    page.strike(&Key::Escape).await?;
    page.css(".toolbar").await?;
    assert!(page.all(".present-head").await?.is_empty());
    page.expect_quiet_console().await
}

#[tokio::test]
async fn the_instructor_chooses_instruments_and_scenes_and_both_are_kept() -> Result<()> {
    let page = Page::open().await?;
    page.view(View::PROJECTOR).await?;
    page.strike("p").await?;
    page.css(".present-parts .optics").await?;
    page.click("Instruments").await?;
    for name in ["section", "A against B"] {
        page.by_role("checkbox", name).await?.click().await?;
    }
    page.until("the section is gone and the figure is there", async || {
        Ok(page.all(".present-parts .optics").await?.is_empty()
            && page.css(".present-parts .side").await?.is_displayed().await?)
    })
    .await?;
    page.click("Scenes").await?;
    page.css("dialog.scenes[open]").await?;
    page.click("The first scenes").await?;
    let ticked = "return [...document.querySelectorAll('.scenes input:checked')].map((e) => e.value)";
    let first: Vec<String> = page.js(ticked).await?;
    assert!(first.len() > 5 && first.contains(&"wide-smear".to_owned()));
    for id in &first[1..] {
        page.css(&format!(".scenes input[value='{id}']")).await?.click().await?;
    }
    page.css(".scenes input[value='tilt']").await?.click().await?;
    page.until("two are left", async || Ok(page.js::<Vec<String>>(ticked).await?.len() == 2)).await?;
    page.click("Close").await?;
    // After a new load everything is as it was chosen.
    page.client().refresh().await?;
    page.ready().await?;
    page.strike("p").await?;
    page.css(".present-parts .side").await?;
    assert!(page.all(".present-parts .optics").await?.is_empty());
    for (turns, id) in [(1, first[0].as_str()), (3, "tilt")] {
        for _ in 0..turns {
            page.strike(&Key::PageDown).await?;
            page.frames(3).await?;
        }
        page.until_figures(&format!("the scene is {id}"), |f| f.scene == id).await?;
    }
    page.expect_quiet_console().await
}

/// Arrow keys belong to a slider that has the focus, in this view as elsewhere.
#[tokio::test]
async fn a_dimension_keeps_its_arrow_keys() -> Result<()> {
    let page = Page::open_at("#present").await?;
    page.view(View::PROJECTOR).await?;
    page.pause().await?;
    let scene = page.figures().await?.scene;
    let gap_um = page.setup("head", "gap_um").await?;
    let knob = page.by_role("slider", "Gap").await?;
    page.js_with::<()>("arguments[0].focus()", vec![serde_json::to_value(&knob)?]).await?;
    page.strike(&Key::Right).await?;
    page.strike(&Key::PageUp).await?;
    let now_um = page.setup("head", "gap_um").await?;
    assert!((now_um - gap_um - 110.0).abs() < 1e-6, "{now_um} after {gap_um}");
    assert_eq!(page.figures().await?.scene, scene);
    page.expect_quiet_console().await
}
