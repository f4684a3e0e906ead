//! A show of hands: counted by keys, drawn as dimension lines, marked after the run.

use system_tests::{Key, Page, Result, View};

#[tokio::test]
async fn hands_are_typed_drawn_and_the_right_answer_is_marked() -> Result<()> {
    let page = Page::open_at("#present").await?;
    page.view(View::PROJECTOR).await?;
    page.strike("q").await?;
    page.css(".poll").await?;
    page.strike("2").await?;
    page.css(".poll li.chosen").await?;
    page.strike("12").await?;
    page.strike(&Key::Enter).await?;
    page.strike("4").await?;
    page.strike("4").await?;
    page.strike(&Key::Enter).await?;
    page.until("sixteen hands are up", async || Ok(page.text("#hands").await?.starts_with("16"))).await?;
    let bars: Vec<String> = page
        .js("return [...document.querySelectorAll('.poll svg[role=img]')].map((e) => e.getAttribute('aria-label'))")
        .await?;
    assert_eq!(bars, ["0 hands, 0 per cent", "12 hands, 75 per cent", "0 hands, 0 per cent", "4 hands, 25 per cent"]);
    let long: Vec<f64> = page
        .js("return [...document.querySelectorAll('.poll .bar line')].map((e) => e.getBoundingClientRect().width)")
        .await?;
    assert!((long[0] / long[1] - 3.0).abs() < 0.05, "lines of 12 and 4 hands are {long:?} px");
    page.click("One hand more for answer 4").await?;
    page.until("seventeen hands are up", async || Ok(page.text("#hands").await?.starts_with("17"))).await?;
    page.click("Answer 2 was right").await?;
    let right = page.css(".poll li.right .mark").await?;
    assert_eq!(right.text().await?, "right");
    assert_eq!(page.all(".poll li.right svg.sign").await?.len(), 1, "the mark is drawn, not only coloured");
    // A question of one's own, in the poll and at the top; typing works no keys of the page.
    page.write("#question", "Which bulb b q p 1?").await?;
    page.strike(&Key::PageDown).await?;
    page.until("the question stands at the top", async || {
        Ok(page.text(".present-head h1").await? == "Which bulb b q p 1?")
    })
    .await?;
    assert!(page.all(".blank").await?.is_empty());
    page.click("Clear").await?;
    page.until("no hand is up", async || Ok(page.text("#hands").await?.starts_with("0 "))).await?;
    assert!(page.all(".poll li.right").await?.is_empty());
    page.expect_quiet_console().await
}

/// Pictures that get another size while the clock stands are painted anew, not stretched.
#[tokio::test]
async fn the_pictures_keep_their_shape_when_the_poll_takes_room() -> Result<()> {
    const STRETCHED: &str = "
        return [...document.querySelectorAll('canvas')].filter((c) => c.clientWidth > 8 && c.clientHeight > 8)
            .map((c) => (c.width / c.clientWidth) / (c.height / c.clientHeight))
            .filter((ratio) => Math.abs(ratio - 1) > 0.02)";
    let page = Page::open().await?;
    page.pause().await?;
    page.strike("p").await?;
    page.css(".present-parts").await?;
    page.frames(10).await?;
    assert_eq!(page.js::<Vec<f64>>(STRETCHED).await?, Vec::<f64>::new());
    page.strike("q").await?;
    page.css(".poll").await?;
    page.frames(10).await?;
    assert_eq!(page.js::<Vec<f64>>(STRETCHED).await?, Vec::<f64>::new());
    page.expect_quiet_console().await
}
