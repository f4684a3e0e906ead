//! Nothing runs over on any screen, in both themes.

use system_tests::{Key, Page, Result, View};
use web_ui::layout::Layout;

/// Sizes: laptop, projector, phone, and a laptop zoomed to 200 %.
const VIEWS: [View; 4] = [View::LAPTOP, View::PROJECTOR, View::PHONE, View::LAPTOP_ZOOMED];

/// Text that is cut off, that leaves the screen, that lies over other text, or that must be scrolled to sideways. What
/// is only for screen readers is meant to be cut; lists and fields draw their own text.
const OVERFLOWS: &str = "
    const out = new Set();
    const root = document.scrollingElement;
    if (root.scrollWidth > root.clientWidth) {
        out.add(`the page is ${root.scrollWidth} px wide on a screen of ${root.clientWidth} px`);
    }
    const layer = (e) => e.closest('.notice, .tabs, .drop, .strip, .pen-bar, .tour') ?? document.body;
    const texts = [];
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
        const [node, e] = [walker.currentNode, walker.currentNode.parentElement];
        // What is folded away is laid out all the same.
        if (!e.checkVisibility()) { continue; }
        if (node.data.trim() === '' || e.closest('.unseen, option, svg, canvas, script, style')) { continue; }
        const range = document.createRange();
        range.selectNodeContents(node);
        for (const box of range.getClientRects()) {
            // A space that hangs over the end of a broken line is nobody's loss.
            if (box.width > 4) { texts.push({ node, e, box, what: `[${node.data.trim().slice(0, 40)}]` }); }
        }
    }
    for (const text of texts) {
        const { e, box, what } = text;
        let [left, right, top, bottom] = [0, innerWidth, -Infinity, Infinity];
        for (let up = e; up !== null && up !== document.documentElement; up = up.parentElement) {
            const style = getComputedStyle(up);
            const port = up.getBoundingClientRect();
            if (style.overflowX !== 'visible' && up !== document.body) {
                [left, right] = [Math.max(left, port.left), Math.min(right, port.right)];
            }
            const rolls = style.overflowY === 'auto' || style.overflowY === 'scroll';
            // What is scrolled out of sight can be scrolled back, and hides nothing else.
            if (rolls) { text.rolled = box.top < port.top || box.bottom > port.bottom; break; }
            if (style.overflowY !== 'visible' && up !== document.body) {
                [top, bottom] = [Math.max(top, port.top), Math.min(bottom, port.bottom)];
            }
        }
        if (box.left < left - 1 || box.right > right + 1 || box.top < top - 2 || box.bottom > bottom + 2) {
            out.add(`${what} is cut off: ${[box.left, box.right, box.top, box.bottom].map(Math.round)} in ${[left, right, top, bottom]}`);
        }
    }
    for (const [i, a] of texts.entries()) {
        for (const b of texts.slice(i + 1)) {
            if (a.node === b.node || a.rolled || b.rolled || layer(a.e) !== layer(b.e)) { continue; }
            const wide = Math.min(a.box.right, b.box.right) - Math.max(a.box.left, b.box.left);
            const high = Math.min(a.box.bottom, b.box.bottom) - Math.max(a.box.top, b.box.top);
            if (wide > 1 && high > 5) { out.add(`${a.what} lies over ${b.what}`); }
        }
    }
    for (const e of document.body.querySelectorAll('*')) {
        const rolls = ['auto', 'scroll'].includes(getComputedStyle(e).overflowX);
        if (rolls && !e.matches('input, select') && e.scrollWidth > e.clientWidth + 1) {
            out.add(`${e.className} must be scrolled sideways: ${e.scrollWidth} px in ${e.clientWidth} px`);
        }
    }
    return [...out]";

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
                // Not with the pointer: a notice may lie over the tabs.
                page.js_with::<()>("arguments[0].click()", vec![serde_json::to_value(tab)?]).await?;
                page.frames(2).await?;
            }
            let place = if shown { tab.text().await? } else { String::new() };
            let name = format!("{when}, {}x{} {place}", view.width, view.height);
            found.extend(overflows(page).await?.into_iter().map(|o| format!("{name}: {o}")));
        }
        if shown {
            page.js_with::<()>("arguments[0].click()", vec![serde_json::to_value(&tabs[0])?]).await?;
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
    page.js::<()>("document.querySelectorAll('.drawer details').forEach((fold) => { fold.open = true; })").await?;
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

/// Every view of the sheet, on every screen, at the alarm and looking back at it.
#[tokio::test]
async fn nothing_runs_over_in_any_view() -> Result<()> {
    let page = Page::open().await?;
    page.set_slower(1).await?;
    page.choose_scene("wide-smear").await?;
    page.until_figures("the axis was stopped and the clock with it", |f| f.alarm && !f.running).await?;
    let mut found = Vec::new();
    for (_, key, name, _) in Layout::ALL {
        page.view(View::LAPTOP).await?;
        page.click(name).await?;
        page.settled().await?;
        page.click("To the alarm").await?;
        for view in VIEWS {
            page.view(view).await?;
            page.frames(4).await?;
            let name = format!("{key}, {}x{}", view.width, view.height);
            found.extend(overflows(&page).await?.into_iter().map(|o| format!("{name}: {o}")));
        }
        page.view(View::LAPTOP).await?;
        page.click("Back to now").await?;
    }
    assert!(found.is_empty(), "{found:#?}");
    page.expect_quiet_console().await
}

/// The presenter view with a poll, the flap over the cause and the pen in hand.
#[tokio::test]
async fn nothing_runs_over_in_front_of_a_room() -> Result<()> {
    let page = Page::open_at("#present").await?;
    page.strike("q").await?;
    page.css(".poll").await?;
    let mut found = Vec::new();
    for turn in ["reveal", "question", "pen"] {
        match turn {
            "question" => page.strike(&Key::PageDown).await?,
            "pen" => {
                page.strike("w").await?;
                page.css(".pen-layer").await?;
            }
            _ => {}
        }
        for view in VIEWS {
            page.view(view).await?;
            page.frames(4).await?;
            let name = format!("{turn}, {}x{}", view.width, view.height);
            found.extend(overflows(&page).await?.into_iter().map(|o| format!("{name}: {o}")));
        }
    }
    page.strike(&Key::Escape).await?;
    page.strike(&Key::Escape).await?;
    page.css(".cover-row").await?;
    found.extend(nothing_runs_over(&page, "covered").await?);
    page.view(View::LAPTOP).await?;
    page.click("Reveal").await?;
    page.click("Surprise me").await?;
    page.write("#guess", "head").await?;
    page.css(".guesses button").await?.click().await?;
    found.extend(nothing_runs_over(&page, "hidden fault").await?);
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
