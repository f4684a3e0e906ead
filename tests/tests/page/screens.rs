//! Nothing runs over on any screen, in both themes.

use system_tests::{Page, Result, View};

/// Sizes: laptop, projector, phone, and a laptop zoomed to 200 %.
const VIEWS: [View; 4] = [View::LAPTOP, View::PROJECTOR, View::PHONE, View::LAPTOP_ZOOMED];

/// Elements whose text is cut off or runs out of its box. Boxes that scroll are meant to, and what is only for screen
/// readers is meant to be cut; the frames of replaced elements (lists, fields, pictures) belong to the browser.
const OVERFLOWS: &str = "
    const out = [];
    const root = document.scrollingElement;
    if (root.scrollWidth > root.clientWidth) {
        out.push(`the page is ${root.scrollWidth} px wide on a screen of ${root.clientWidth} px`);
    }
    for (const e of document.body.querySelectorAll('*')) {
        if (e.matches('.unseen, canvas, input, select, option, svg, svg *') || e.closest('.unseen')) { continue; }
        const style = getComputedStyle(e);
        if (style.display === 'inline' || style.display === 'none' || style.display === 'contents') { continue; }
        const [cutsX, cutsY] = [style.overflowX, style.overflowY].map((o) => o === 'hidden' || o === 'clip');
        const [rollsX, rollsY] = [style.overflowX, style.overflowY].map((o) => o === 'auto' || o === 'scroll');
        const who = `${e.tagName.toLowerCase()}.${e.className} \"${e.textContent.slice(0, 40)}\"`;
        if (!rollsX && e.scrollWidth > e.clientWidth + 1 && e.clientWidth > 0) {
            out.push(`${who}: ${e.scrollWidth} px in ${e.clientWidth} px`);
        }
        if (rollsX && rollsY && e.scrollWidth > e.clientWidth + 1 && e.clientWidth > 0) {
            out.push(`${who}: scrolls sideways, ${e.scrollWidth} px in ${e.clientWidth} px`);
        }
        if (cutsY && e.scrollHeight > e.clientHeight + 1 && e.clientHeight > 0 && cutsX) {
            out.push(`${who}: ${e.scrollHeight} px high in ${e.clientHeight} px`);
        }
        const own = [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim() !== '');
        const box = e.getBoundingClientRect();
        if (own && box.width > 0 && (box.left < -1 || box.right > innerWidth + 1)) {
            out.push(`${who}: from ${box.left} to ${box.right} px on a screen of ${innerWidth} px`);
        }
    }
    return [...new Set(out)]";

async fn overflows(page: &Page) -> Result<Vec<String>> {
    page.js(OVERFLOWS).await
}

/// Looks at the page as it is on every screen and, on a phone, at every destination.
async fn nothing_runs_over(page: &Page, when: &str) -> Result<Vec<String>> {
    let mut found = Vec::new();
    for view in VIEWS {
        page.view(view).await?;
        let tabs = page.all(".tabs button").await?;
        let shown = tabs.first().ok_or("the page has no destinations")?.is_displayed().await?;
        assert_eq!(shown, view.width < 720, "destinations on a screen of {} px", view.width);
        for tab in tabs.iter().take(if shown { 4 } else { 1 }) {
            if shown {
                tab.click().await?;
                page.frames(2).await?;
            }
            let place = if shown { tab.text().await? } else { String::new() };
            let name = format!("{when}, {}x{} {place}", view.width, view.height);
            found.extend(overflows(page).await?.into_iter().map(|o| format!("{name}: {o}")));
        }
        if shown {
            tabs[0].click().await?;
        }
    }
    Ok(found)
}

#[tokio::test]
async fn nothing_runs_over_on_any_screen_in_both_themes() -> Result<()> {
    let page = Page::open().await?;
    page.set_slower(1).await?;
    page.choose_scene("wide-smear").await?;
    page.until_figures("the axis was stopped and the clock with it", |f| f.alarm && !f.running).await?;
    let mut found = nothing_runs_over(&page, "light, alarm").await?;
    page.click("Dark sheet").await?;
    found.extend(nothing_runs_over(&page, "dark, alarm").await?);
    // The longest words: everything broken, one sensor, a place past a metre, a notice.
    page.view(View::LAPTOP).await?;
    let faults = page.all("[id^=fault-]").await?;
    assert!(faults.len() >= 10, "only {} faults", faults.len());
    for fault in &faults {
        page.slide(fault, 35.0).await?;
    }
    page.choose("one").await?;
    page.drop_file("a-rather-long-name-of-a-file-that-is-not-a-scene-at-all.toml", b"format = 1\ncolour = 3\n").await?;
    page.css(".notice").await?;
    found.extend(nothing_runs_over(&page, "dark, all broken").await?);
    assert!(found.is_empty(), "{found:#?}");
    page.expect_quiet_console().await
}

/// Negative control: planted overflows are found.
#[tokio::test]
async fn a_planted_overflow_is_found() -> Result<()> {
    let page = Page::open().await?;
    page.view(View::LAPTOP).await?;
    page.js::<()>(
        "const wide = document.createElement('p'); wide.textContent = 'planted '.repeat(40); \
         Object.assign(wide.style, { width: '100px', whiteSpace: 'nowrap', overflow: 'hidden' }); \
         document.querySelector('.actions').append(wide)",
    )
    .await?;
    let found = overflows(&page).await?;
    assert!(found.iter().any(|o| o.contains("planted")), "{found:?}");
    Ok(())
}
