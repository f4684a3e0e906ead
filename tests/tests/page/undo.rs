//! Undo and redo: whatever a person changed is taken back and made again, while the axis goes on.

use serde_json::Value;
use system_tests::{Key, Page, Result};

/// What people have made of the bench: all that undo may touch.
async fn made(page: &Page) -> Result<Value> {
    let bench = page.bench().await?;
    Ok(serde_json::json!([bench["setup"], bench["faults"], bench["state"]["dirt"]]))
}

#[tokio::test]
async fn settings_faults_and_dirt_go_back_and_forth() -> Result<()> {
    let page = Page::open().await?;
    let mut states = vec![made(&page).await?];
    page.write("#set-head-lamp_percent", "70").await?;
    page.until("the lamp is at 70 %", async || Ok(page.setup("head", "lamp_percent").await? == 70.0)).await?;
    states.push(made(&page).await?);
    let fault = page.css("#fault-gap-wide").await?;
    page.slide(&fault, 50.0).await?;
    states.push(made(&page).await?);
    page.write("#brush-from", "410").await?;
    page.write("#brush-to", "415").await?;
    page.css("#brush-apply").await?.click().await?;
    page.until("the scale is dirty", async || Ok(!page.dirt().await?.is_empty())).await?;
    states.push(made(&page).await?);
    let weak = page.figures().await?.amplitude_a_v;
    let steps = states.len() - 1;
    for back in (0..steps).rev() {
        page.js::<()>("document.activeElement?.blur()").await?;
        page.chord(Key::Control, "z").await?;
        page.until(&format!("step {back} is back"), async || Ok(made(&page).await? == states[back])).await?;
    }
    let healthy = page.figures().await?.amplitude_a_v;
    assert!(healthy > 1.2 * weak, "{healthy} V and {weak} V");
    // The button says that there is nothing more, and what redo would do.
    let undo = page.by_role("button", "Nothing to undo").await?;
    assert!(!undo.is_enabled().await?);
    for (forth, state) in states.iter().enumerate().skip(1) {
        page.chord(Key::Control, "y").await?;
        page.until(&format!("step {forth} is made again"), async || Ok(made(&page).await? == *state)).await?;
    }
    assert!(!page.by_role("button", "Nothing to redo").await?.is_enabled().await?);
    page.click("Undo: Smear").await?;
    page.until("the dirt is gone", async || Ok(page.dirt().await?.is_empty())).await?;
    page.expect_quiet_console().await
}

/// A drag of the gap is one step, however many places the pointer passed.
#[tokio::test]
async fn a_drag_is_taken_back_at_once() -> Result<()> {
    let page = Page::open().await?;
    page.pause().await?;
    let before = page.figures().await?.gap_mm;
    let knob = page.by_role("slider", "Gap").await?;
    page.drag(&knob, 0.0, -24.0).await?;
    page.until_figures("the gap has grown", |f| f.gap_mm > before + 0.1).await?;
    page.click("Undo: Gap at machine zero").await?;
    page.until_figures("the gap is back", |f| (f.gap_mm - before).abs() < 1e-9).await?;
    assert!(!page.by_role("button", "Nothing to undo").await?.is_enabled().await?);
    page.expect_quiet_console().await
}
