//! The pen over the sheet: by pointer, by keys, and away again.

use system_tests::{Key, Page, Result, View};

async fn strokes(page: &Page) -> Result<usize> {
    Ok(page.all(".pen-sheet .stroke").await?.len())
}

#[tokio::test]
async fn strokes_stay_in_their_place_and_the_page_works_below_them() -> Result<()> {
    let page = Page::open().await?;
    page.view(View::LAPTOP).await?;
    page.pause().await?;
    page.strike("w").await?;
    page.css(".pen-layer").await?;
    page.stroke(&[(400.0, 300.0), (500.0, 340.0), (600.0, 300.0)]).await?;
    page.click("red").await?;
    page.stroke(&[(700.0, 500.0), (800.0, 540.0)]).await?;
    assert_eq!(strokes(&page).await?, 2);
    assert_eq!(page.all(".pen-sheet .stroke.fault").await?.len(), 1);
    let dirt = page.dirt().await?;
    // Relative to the sheet the stroke is where it was, in a window of another size.
    let place = "const s = document.querySelector('.sheet').getBoundingClientRect(); \
        const r = document.querySelector('.pen-sheet .stroke').getBoundingClientRect(); \
        return [(r.left - s.left) / s.width, (r.top - s.top) / s.height]";
    let before: (f64, f64) = page.js(place).await?;
    page.view(View { width: 1300, height: 820, ..View::LAPTOP }).await?;
    let after: (f64, f64) = page.js(place).await?;
    assert!((before.0 - after.0).abs() < 0.005 && (before.1 - after.1).abs() < 0.005, "{before:?} {after:?}");
    page.view(View::LAPTOP).await?;
    page.click("Take back").await?;
    assert_eq!(strokes(&page).await?, 1);
    page.strike(&Key::Escape).await?;
    page.until("the pen is away", async || Ok(page.all(".pen-layer").await?.is_empty())).await?;
    assert_eq!(strokes(&page).await?, 1, "strokes stay");
    // The page takes the pointer again.
    page.click("Run").await?;
    page.until_figures("the clock runs", |f| f.running).await?;
    page.strike("w").await?;
    page.click("Rubber").await?;
    page.stroke(&[(450.0, 280.0), (450.0, 360.0)]).await?;
    assert_eq!(strokes(&page).await?, 0, "rubbed out");
    page.click("Take back").await?;
    assert_eq!(strokes(&page).await?, 1);
    page.click("Clear").await?;
    assert_eq!(strokes(&page).await?, 0);
    assert_eq!(page.dirt().await?, dirt, "the pen smears nothing");
    page.expect_quiet_console().await
}

#[tokio::test]
async fn an_arrow_is_dropped_without_a_pointer_and_told() -> Result<()> {
    let page = Page::open().await?;
    page.strike("w").await?;
    page.css(".pen-layer:focus").await?;
    for _ in 0..5 {
        page.strike(&Key::Left).await?;
    }
    page.strike(&Key::Down).await?;
    let told = page.text(".pen-bar + [role=status]").await?;
    assert_eq!(told, "Marker at 45 % from the left, 41 % from the top.");
    page.strike(&Key::Enter).await?;
    page.until("an arrow lies there", async || Ok(page.all(".pen-sheet .arrow.ink").await?.len() == 1)).await?;
    assert!(page.text(".pen-bar + [role=status]").await?.starts_with("Arrow dropped at 45 %"));
    page.expect_quiet_console().await
}
