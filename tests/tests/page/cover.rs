//! While the cause is covered nothing on the page, seen or told, gives it away; the instruments go on.

use serde_json::{Value, json};
use system_tests::{Page, Result};

/// Everything that the page says: its whole document without scripts and styles, and every accessible name.
async fn said(page: &Page) -> Result<String> {
    let document: String = page.js("return document.querySelector('.sheet').outerHTML").await?;
    let tree = page.cdp("Accessibility.getFullAXTree", json!({})).await?;
    let nodes = tree["nodes"].as_array().cloned().unwrap_or_default();
    let names: Vec<String> =
        nodes.iter().filter_map(|node: &Value| node["name"]["value"].as_str().map(str::to_owned)).collect();
    Ok(format!("{document} {}", names.join(" ")).to_lowercase())
}

/// Title and text of the scene, lines of the log, rows of faults and settings.
const TELLING: [&str; 6] =
    ["a wide smear", "dirt comes under", "dirt was smeared", "fault-", "set-head-gap", "tape are smeared"];

#[tokio::test]
async fn covered_nothing_tells_the_cause_and_the_instruments_go_on() -> Result<()> {
    let page = Page::open().await?;
    page.set_slower(1).await?;
    page.choose_scene("wide-smear").await?;
    page.until_figures("the axis was stopped and the clock with it", |f| f.alarm && !f.running).await?;
    let open = said(&page).await?;
    for words in ["a wide smear", "dirt comes under", "fault-", "set-head-gap"] {
        assert!(open.contains(words), "`{words}` is nowhere to be covered");
    }
    let dirty = page.colours(".side-view canvas").await?;
    page.js::<()>("document.activeElement.blur()").await?;
    page.strike("c").await?;
    page.css(".cover-row .flap").await?;
    page.frames(8).await?;
    let covered = said(&page).await?;
    let telling: Vec<&str> = TELLING.into_iter().filter(|words| covered.contains(words)).collect();
    assert_eq!(telling, Vec::<&str>::new(), "this tells the cause");
    // What a control sees stays: the alarm in the log, the chain, the pictures.
    let log = page.log().await?.join(" ").to_lowercase();
    assert!(log.contains("signal too weak") && log.contains("following error"), "{log}");
    assert!(page.names("image").await?.iter().any(|name| name.contains("Channel:")), "the chain is told");
    assert_ne!(page.colours(".side-view canvas").await?, dirty, "the dirt is still drawn");
    // Wiping may be tried whether or not there is dirt.
    assert!(page.by_role("button", "Wipe the scale").await?.is_enabled().await?);
    page.click("Reveal").await?;
    page.css("#fault-tape-smear").await?;
    assert!(said(&page).await?.contains("dirt comes under"));
    page.expect_quiet_console().await
}

#[tokio::test]
async fn dimensions_that_would_tell_are_covered_too() -> Result<()> {
    let page = Page::open().await?;
    page.choose_scene("head-yaw").await?;
    page.by_role("slider", "Yaw").await?;
    page.click("Cover the cause").await?;
    page.css(".over-picture .flap").await?;
    let sliders = page.names("slider").await?;
    assert!(!sliders.iter().any(|name| ["Gap", "Tilt", "Yaw"].contains(&name.as_str())), "{sliders:?}");
    let pictures = page.names("image").await?;
    assert!(pictures.iter().any(|name| name.contains("yaw is covered")), "{pictures:?}");
    // The words of the broken links, if the instructor wants that as well.
    page.until_figures("the axis moves", |f| f.time_s > 0.7).await?;
    page.css(".cover-row input").await?.click().await?;
    page.until("the chain says `covered`", async || {
        Ok(page
            .names("image")
            .await?
            .iter()
            .any(|name| name.contains("Channel: covered") || name.contains("Current: covered")))
    })
    .await?;
    page.expect_quiet_console().await
}
