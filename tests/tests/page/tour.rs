//! The tour of a first visit: done by doing it, and never in the way.

use system_tests::{Key, Page, Result, View};

async fn step(page: &Page, number: u32) -> Result<()> {
    let wanted = format!("Try it: {number} of 6");
    page.until(&format!("the tour says `{wanted}`"), async || Ok(page.text(".tour .note").await? == wanted)).await?;
    page.frames(2).await
}

/// The card covers nothing of what it points at.
async fn is_beside(page: &Page, target: &str) -> Result<()> {
    let apart = "const [t, c] = [arguments[0], '.tour .card'].map((css) => document.querySelector(css).getBoundingClientRect()); \
        return c.right <= t.left || c.left >= t.right || c.bottom <= t.top || c.top >= t.bottom";
    let apart: bool = page.js_with(apart, vec![target.into()]).await?;
    assert!(apart, "the card lies over {target}");
    Ok(())
}

#[tokio::test]
async fn every_step_goes_on_when_the_model_says_that_it_is_done() -> Result<()> {
    let page = Page::first_visit().await?;
    page.view(View::LAPTOP).await?;
    step(&page, 1).await?;
    is_beside(&page, "#run").await?;
    let stolen: bool = page.js("return document.activeElement !== document.body").await?;
    assert!(!stolen, "the tour takes the focus");
    page.set_slower(1).await?;
    // Finding the scale stops the clock and starts the scene again.
    let strip = page.find_strip().await?;
    page.frames(20).await?;
    step(&page, 1).await?;
    page.click("Run").await?;
    step(&page, 2).await?;
    is_beside(&page, ".knob.gap").await?;
    let knob = page.by_role("slider", "Gap").await?;
    page.drag(&knob, 0.0, -28.0).await?;
    step(&page, 3).await?;
    is_beside(&page, ".side-view").await?;
    page.stroke(&strip.between(150.0, 460.0)).await?;
    assert!(!page.dirt().await?.is_empty());
    page.until("the model has come to the dirt", async || {
        Ok(["Try it: 5 of 6", "Try it: 4 of 6"].contains(&page.text(".tour .note").await?.as_str()))
    })
    .await?;
    step(&page, 5).await?;
    is_beside(&page, "#recording").await?;
    page.until_figures("an alarm stopped the axis", |f| f.alarm && !f.running).await?;
    let rail = page.css("#recording").await?;
    page.slide(&rail, 900.0).await?;
    step(&page, 6).await?;
    page.click("Back to now").await?;
    is_beside(&page, ".actions").await?;
    page.click("Wipe the scale").await?;
    page.click("Acknowledge").await?;
    page.until("the tour is over", async || Ok(page.all(".tour").await?.is_empty())).await?;
    // Not again, unless it is asked for.
    page.client().refresh().await?;
    page.ready().await?;
    assert!(page.all(".tour").await?.is_empty());
    page.strike("?").await?;
    page.click("Show the tour").await?;
    step(&page, 1).await?;
    page.expect_quiet_console().await
}

#[tokio::test]
async fn it_can_be_skipped_by_keyboard_and_does_not_come_by_a_link() -> Result<()> {
    let page = Page::first_visit().await?;
    page.view(View::PHONE).await?;
    for number in 1..=6 {
        step(&page, number).await?;
        let away = page.css(".tour .card").await?.attr("data-target").await?.as_deref() == Some("away");
        if !away {
            is_beside(
                &page,
                ["#run", ".knob.gap", ".side-view", ".chain", "#recording", ".actions"][number as usize - 1],
            )
            .await?;
        }
        if number < 6 {
            let next = page.by_role("button", "Next").await?;
            page.js_with::<()>("arguments[0].focus()", vec![serde_json::to_value(&next)?]).await?;
            page.strike(&Key::Enter).await?;
        }
    }
    page.click("Skip the tour").await?;
    page.until("the tour is gone", async || Ok(page.all(".tour").await?.is_empty())).await?;
    let page = Page::open_at("#present").await?;
    assert!(page.all(".tour").await?.is_empty());
    page.expect_quiet_console().await
}
