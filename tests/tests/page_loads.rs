//! The page starts in a real browser, and the harness would notice if it did not.

use countlight_host::site::Site;
use system_tests::{Page, Result, Theme, View, serve, site};

#[tokio::test]
async fn the_page_starts_with_a_quiet_console() -> Result<()> {
    let page = Page::open().await?;
    assert_eq!(page.client().title().await?, "Countlight");
    page.expect_quiet_console().await
}

/// Negative control: the check above can fail.
#[tokio::test]
async fn a_planted_error_is_reported() -> Result<()> {
    let page = Page::open().await?;
    page.expect_quiet_console().await?;
    page.js::<()>("setTimeout(() => { throw new Error('planted') })").await?;
    let seen = async || Ok(page.expect_quiet_console().await.is_err_and(|e| e.to_string().contains("planted")));
    page.until("the planted error is reported", seen).await
}

/// Negative control: the security policy is in force, and a breach does not pass unseen.
#[tokio::test]
async fn a_planted_breach_of_the_policy_is_reported() -> Result<()> {
    let page = Page::open().await?;
    page.js::<()>(
        "const script = document.createElement('script'); script.textContent = 'globalThis.planted = 1'; \
         document.head.append(script)",
    )
    .await?;
    assert!(page.js::<bool>("return globalThis.planted === undefined").await?, "the inline script ran");
    let error = page.expect_quiet_console().await.expect_err("the breach was not reported");
    assert!(error.to_string().contains("Content Security Policy"), "{error}");
    Ok(())
}

#[tokio::test]
async fn a_page_that_cannot_start_says_so() -> Result<()> {
    let mut broken = Site::default();
    for (address, bytes) in site()?.iter().filter(|(address, _)| *address != "app_bg.wasm") {
        broken.add(address, bytes.to_vec())?;
    }
    let served = serve(broken)?;
    let page = Page::blank(&[]).await?;
    page.goto(served.url()).await?;
    let error = page.ready().await.expect_err("the page started without its module");
    assert!(error.to_string().contains("Countlight could not start"), "{error}");
    let text = page.css("[role=alert]").await?.text().await?;
    assert!(text.contains("Load the page again"), "{text}");
    Ok(())
}

#[tokio::test]
async fn the_page_can_be_looked_at_on_every_screen() -> Result<()> {
    let page = Page::open().await?;
    for view in [View::LAPTOP, View::PROJECTOR, View::PHONE] {
        for view in [view, view.dark()] {
            let file = page.screenshot("start", view).await?;
            let png = std::fs::read(&file)?;
            assert_eq!(png_size(&png), Some((view.width, view.height)), "{}", file.display());
            let dark: bool = page.js("return matchMedia('(prefers-color-scheme: dark)').matches").await?;
            assert_eq!(dark, view.theme == Theme::Dark);
        }
    }
    page.expect_quiet_console().await
}

/// Width and height from a PNG's first chunk (ISO/IEC 15948, sections 5.2 and 11.2.2).
fn png_size(bytes: &[u8]) -> Option<(u32, u32)> {
    let number = |at: usize| Some(u32::from_be_bytes(bytes.get(at..at + 4)?.try_into().ok()?));
    bytes.starts_with(b"\x89PNG\r\n\x1a\n").then_some(())?;
    Some((number(16)?, number(20)?))
}
