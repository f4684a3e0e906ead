//! A hidden fault: the same for the same number, covered until it is found or given up.

use sim_core::fault::hidden::{Level, draw};
use sim_core::setup::{BenchId, Setup};
use system_tests::{Page, Result};

/// Names of the faults that are in.
async fn faults(page: &Page) -> Result<Vec<String>> {
    let bench = page.bench().await?;
    let faults = bench["faults"].as_array().cloned().unwrap_or_default();
    Ok(faults.iter().filter_map(|fault| fault["id"].as_str().map(str::to_owned)).collect())
}

#[tokio::test]
async fn a_number_hides_the_same_fault_here_as_natively_and_it_is_found_by_guessing() -> Result<()> {
    let page = Page::open().await?;
    page.write("#surprise-seed", "7").await?;
    page.click("Surprise me").await?;
    page.css(".hunt").await?;
    let drawn = draw(&Setup::healthy(BenchId::TeachingRail), Level::Clear, 7);
    let row = drawn[0].id.row();
    assert_eq!(faults(&page).await?, [row.name]);
    // Nothing tells it: no fault row, no word in the log, no name in the history.
    let sheet: String = page.js("return document.querySelector('.sheet').outerHTML").await?;
    assert!(!sheet.contains(row.title) && !sheet.contains("fault-"), "`{}` can be read", row.title);
    assert!(page.log().await?.iter().all(|entry| !entry.contains("Put in")));
    page.by_role("button", "Undo: A hidden fault").await?;
    // A wrong guess says what that fault would look like; the right one opens everything.
    let wrong = if row.name == "head-yaw" { "Head tilted" } else { "Head turned" };
    page.write("#guess", wrong).await?;
    page.css(".guesses button").await?.click().await?;
    page.until("it is not that", async || Ok(page.text("#surprise-answer").await?.contains("Not that"))).await?;
    assert!(!page.all("#surprise-answer .tells li").await?.is_empty(), "no evidence is told");
    page.write("#guess", row.title).await?;
    let button = page.by_role("button", row.title).await?;
    button.click().await?;
    let outcome = page.css("#surprise-outcome.right").await?.text().await?;
    assert!(outcome.contains(row.title), "{outcome}");
    page.css(&format!("#fault-{}", row.name)).await?;
    page.expect_quiet_console().await
}

#[tokio::test]
async fn undo_takes_a_hidden_fault_out_without_naming_it_and_giving_up_shows_it() -> Result<()> {
    let page = Page::open().await?;
    page.choose("3").await?;
    page.write("#surprise-seed", "21").await?;
    page.click("Surprise me").await?;
    page.css(".hunt").await?;
    let hidden = faults(&page).await?;
    assert!(!hidden.is_empty());
    page.click("Undo: A hidden fault").await?;
    page.until("the bench is whole", async || Ok(faults(&page).await?.is_empty())).await?;
    page.css("#fault-tape-smear").await?;
    page.click("Redo: A hidden fault").await?;
    page.css(".hunt").await?;
    assert_eq!(faults(&page).await?, hidden);
    page.click("Give up: show it").await?;
    let outcome = page.css("#surprise-outcome").await?.text().await?;
    for fault in draw(&Setup::healthy(BenchId::TeachingRail), Level::Partial, 21) {
        assert!(outcome.contains(fault.id.row().title), "{outcome}");
    }
    page.expect_quiet_console().await
}
