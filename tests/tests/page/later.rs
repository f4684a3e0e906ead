//! What the bench does not need is fetched when it is first opened; if it does not arrive the page says so and can try
//! again, and the bench goes on.

use system_tests::{Page, Result};

/// Parts of the module that the page has fetched.
async fn fetched(page: &Page) -> Result<Vec<String>> {
    let parts = "return performance.getEntriesByType('resource').map((entry) => entry.name.split('/').pop())
        .filter((name) => name.endsWith('.wasm') && name !== 'app_bg.wasm')";
    page.js(parts).await
}

/// From here on a part does not arrive the first time that it is asked for.
const LOSE_ONE: &str = "
    const real = fetch, lost = new Set();
    globalThis.fetch = (what, ...rest) => {
        const name = String(what);
        const loses = name.includes('split_') && !lost.has(name);
        lost.add(name);
        return loses ? Promise.reject(new TypeError('no network, for a test')) : real(what, ...rest);
    };
    return null";

#[tokio::test]
async fn the_bench_waits_for_no_part_and_each_is_fetched_when_it_is_opened() -> Result<()> {
    let page = Page::open().await?;
    let start = page.figures().await?;
    page.until_figures("the model's time goes on", |f| f.time_s > start.time_s + 0.1 && f.count > start.count).await?;
    assert_eq!(fetched(&page).await?, Vec::<String>::new(), "the bench has waited for a part");
    page.press("?").await?;
    page.css("dialog[open] kbd").await?;
    let desk = fetched(&page).await?;
    assert!(desk.iter().any(|name| name.starts_with("split_desk.")), "{desk:?}");
    assert!(!desk.iter().any(|name| name.starts_with("split_teach.")), "{desk:?}");
    page.click("Close").await?;
    page.click("Lessons").await?;
    page.css(".course h2").await?;
    let teach = fetched(&page).await?;
    assert!(teach.iter().any(|name| name.starts_with("split_teach.")), "{teach:?}");
    // A second look fetches nothing more.
    page.click("To the bench").await?;
    page.click("Lessons").await?;
    page.css(".course h2").await?;
    assert_eq!(fetched(&page).await?, teach);
    page.expect_quiet_console().await
}

#[tokio::test]
async fn a_part_that_does_not_arrive_is_told_and_tried_again_while_the_bench_goes_on() -> Result<()> {
    let page = Page::open().await?;
    page.js::<()>(LOSE_ONE).await?;
    page.click("Call-outs").await?;
    let told = page.css(".later[role=alert]").await?.text().await?;
    assert!(told.contains("did not arrive") && told.contains("Look at the connection"), "{told}");
    let before = page.figures().await?;
    page.until_figures("the bench goes on", |f| f.time_s > before.time_s + 0.1).await?;
    page.click("Try again").await?;
    page.by_role("button", "Work orders").await?;
    assert!(page.all(".later").await?.is_empty(), "the words of the lost part are still there");
    Ok(())
}

#[tokio::test]
async fn what_lies_over_the_bench_can_be_left_although_it_never_arrives() -> Result<()> {
    let page = Page::open().await?;
    page.js::<()>(LOSE_ONE).await?;
    page.press("p").await?;
    page.css(".later[role=alert]").await?;
    assert_eq!(page.all(".later").await?.len(), 1, "one word for the whole view");
    assert_eq!(page.access_faults().await?, Vec::<String>::new());
    page.click("To the bench").await?;
    page.css(".drawer").await?;
    Ok(())
}

#[tokio::test]
async fn a_dialog_that_does_not_arrive_is_told_in_a_notice_and_opens_at_the_next_wish() -> Result<()> {
    let page = Page::open().await?;
    page.js::<()>(LOSE_ONE).await?;
    page.press("?").await?;
    let notice = page.read_notice().await?;
    assert!(notice.contains("did not arrive"), "{notice}");
    page.press("?").await?;
    page.css("dialog[open] kbd").await?;
    Ok(())
}

#[tokio::test]
async fn lessons_that_do_not_arrive_are_told_in_a_notice_and_open_the_next_time() -> Result<()> {
    let page = Page::open().await?;
    page.js::<()>(LOSE_ONE).await?;
    page.click("Lessons").await?;
    let notice = page.read_notice().await?;
    assert!(notice.contains("did not arrive"), "{notice}");
    page.click("Lessons").await?;
    page.css(".course h2").await?;
    Ok(())
}
