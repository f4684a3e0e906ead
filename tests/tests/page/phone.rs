//! The page under a finger: four destinations, large enough to hit, and the jog button held by touch.

use serde_json::json;
use system_tests::{Page, Result, View};

/// Parts of the sheet that a destination shows; all others are hidden there.
const DESTINATIONS: [(&str, &[&str]); 4] = [
    ("Machine", &[".machine", ".chain", ".optics", ".part-channels", ".actions"]),
    ("Signals", &[".chain", ".part-channels", ".part-squares", ".part-xy", ".actions"]),
    ("Loop", &[".chain", ".part-error", ".log-box", ".actions"]),
    ("Break", &[".chain", ".drawer"]),
];

const PARTS: [&str; 10] = [
    ".machine",
    ".chain",
    ".optics",
    ".part-channels",
    ".part-squares",
    ".part-error",
    ".part-xy",
    ".log-box",
    ".actions",
    ".drawer",
];

async fn phone() -> Result<Page> {
    let page = Page::open().await?;
    page.cdp("Emulation.setTouchEmulationEnabled", json!({ "enabled": true, "maxTouchPoints": 5 })).await?;
    page.view(View::PHONE).await?;
    let coarse: bool = page.js("return matchMedia('(pointer: coarse)').matches").await?;
    assert!(coarse, "the browser does not take itself for a phone");
    Ok(page)
}

async fn visible(page: &Page) -> Result<Vec<String>> {
    let script = "return arguments[0].filter((css) => [...document.querySelectorAll(css)]
        .some((e) => e.getClientRects().length > 0 && e.getBoundingClientRect().height > 4))";
    page.js_with(script, vec![json!(PARTS)]).await
}

#[tokio::test]
async fn four_destinations_show_their_parts() -> Result<()> {
    let page = phone().await?;
    for (name, parts) in DESTINATIONS {
        let tab = page.by_role("button", name).await?;
        page.tap(&tab).await?;
        let pressed = async || Ok(tab.attr("aria-pressed").await?.as_deref() == Some("true"));
        page.until(&format!("{name} is chosen"), pressed).await?;
        assert_eq!(visible(&page).await?, parts, "{name}");
        // The pictures of this destination are painted.
        page.frames(4).await?;
        let colours = page.colours("canvas").await?;
        assert!(!colours.is_empty() && colours.iter().all(|n| *n > 2), "{name}: an empty picture, {colours:?}");
    }
    page.expect_quiet_console().await
}

/// WCAG 2.2, success criterion 2.5.8 (target size, minimum): 24 by 24 CSS pixels, or, where it is smaller, a circle of
/// that diameter about its middle meets no other target and no other such circle. Sliders' own thumbs are the
/// browser's.
#[tokio::test]
async fn what_can_be_pressed_is_large_enough_for_a_finger() -> Result<()> {
    const SMALL: &str = "
        const targets = [...document.querySelectorAll('button, select, [role=slider], input')]
            .map((e) => ({ e, box: e.getBoundingClientRect() })).filter(({ box }) => box.width > 0);
        const small = ({ box }) => box.width < 24 || box.height < 24;
        const middle = ({ box }) => [box.left + box.width / 2, box.top + box.height / 2];
        const away = ([x, y], { box }) =>
            Math.hypot(Math.max(box.left - x, 0, x - box.right), Math.max(box.top - y, 0, y - box.bottom));
        const near = (a, b) => away(middle(a), b) < 12
            || (small(b) && Math.hypot(middle(a)[0] - middle(b)[0], middle(a)[1] - middle(b)[1]) < 24);
        const name = ({ e }) => e.getAttribute('aria-label') ?? (e.id || e.textContent);
        return [targets.length, targets.filter(small)
            .flatMap((a) => targets.filter((b) => a !== b && near(a, b)).map((b) => `${name(a)} is small and near ${name(b)}`))]";
    let page = phone().await?;
    for (name, _) in DESTINATIONS {
        page.tap(&page.by_role("button", name).await?).await?;
        page.frames(3).await?;
        let (targets, small): (usize, Vec<String>) = page.js(SMALL).await?;
        assert!(targets > 10, "{name}: only {targets} targets");
        assert_eq!(small, Vec::<String>::new(), "{name}");
    }
    Ok(())
}

#[tokio::test]
async fn a_finger_on_the_jog_button_moves_the_table_as_long_as_it_stays() -> Result<()> {
    let page = phone().await?;
    page.set_slower(1).await?;
    page.tap(&page.by_role("button", "Stop").await?).await?;
    let before = page.until_figures("the axis holds", |f| f.doing == "Holding").await?;
    let forward = page.by_role("button", "Jog forward, hold").await?;
    page.touch(&forward).await?;
    page.until_figures("the table has gone 10 mm", |f| f.table_mm > before.table_mm + 10.0).await?;
    page.lift().await?;
    let after = page.until_figures("the axis holds again", |f| f.doing == "Holding").await?;
    assert_eq!(after.uncounted_mm, 0.0, "{after:?}");
    page.until("the readout follows", async || {
        let shown = page.text("#readout .number").await?;
        Ok(shown == format!("{:.2}mm", page.figures().await?.readout_mm))
    })
    .await?;
    page.expect_quiet_console().await
}
