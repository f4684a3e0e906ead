//! Without a pointer: everything can be reached, seen to have the focus, and told by a screen reader.

use serde::Deserialize;
use serde_json::{Value, json};
use system_tests::{Key, Page, Result, View};

/// An element that got the focus by Tab.
#[derive(Debug, Clone, PartialEq, Deserialize)]
struct Stop {
    /// Tag, id and label, to find it again.
    who: String,
    /// Whether the browser shows the focus there and the style sheet draws it.
    outlined: bool,
    /// Whether any of it is on the screen.
    visible: bool,
}

/// Presses Tab until the focus has been everywhere.
async fn tab_through(page: &Page) -> Result<Vec<Stop>> {
    const MOST: usize = 200;
    let script = "
        const e = document.activeElement;
        if (e === null || e === document.body || e === document.documentElement) { return null; }
        const style = getComputedStyle(e);
        const box = e.getBoundingClientRect();
        const thick = parseFloat(style.outlineWidth) >= 1.5;
        const seen = style.outlineStyle !== 'none' && !/^rgba\\(.*, 0\\)$/.test(style.outlineColor);
        const name = e.getAttribute('aria-label') ?? e.labels?.[0]?.textContent ?? e.textContent;
        return {
            who: `${e.tagName.toLowerCase()}${e.id ? '#' + e.id : ''} ${(name ?? '').trim()}`,
            outlined: e.matches(':focus-visible') && thick && seen,
            visible: box.width > 0 && box.height > 0 && box.right > 0 && box.bottom > 0
                && box.left < innerWidth && box.top < innerHeight,
        }";
    let mut stops: Vec<Stop> = Vec::new();
    for _ in 0..MOST {
        page.strike(&Key::Tab).await?;
        // After the last element the focus leaves the page for a moment and comes back at the first one.
        let Some(stop) = page.js::<Option<Stop>>(script).await? else { continue };
        if stops.first() == Some(&stop) {
            return Ok(stops);
        }
        stops.push(stop);
    }
    Err(format!("the focus does not come round in {MOST} steps: {stops:#?}").into())
}

/// Presses Tab until an element that matches has the focus.
async fn tab_to(page: &Page, css: &str) -> Result<()> {
    let script = format!("return document.activeElement.matches({})", json!(css));
    for _ in 0..200 {
        if page.js::<bool>(&script).await? {
            return Ok(());
        }
        page.strike(&Key::Tab).await?;
    }
    Err(format!("Tab never reaches `{css}`").into())
}

/// Elements that can have the focus and have no accessible name, as the browser tells a screen reader.
async fn nameless(page: &Page) -> Result<Vec<String>> {
    let tree = page.cdp("Accessibility.getFullAXTree", json!({})).await?;
    let nodes = tree["nodes"].as_array().ok_or("the browser gives no accessibility tree")?;
    let focusable = |node: &Value| {
        node["properties"]
            .as_array()
            .is_some_and(|all| all.iter().any(|p| p["name"] == "focusable" && p["value"]["value"] == true))
    };
    let wanted = nodes.iter().filter(|n| n["ignored"] != true && focusable(n) && n["role"]["value"] != "RootWebArea");
    let (mut count, mut found) = (0, Vec::new());
    for node in wanted {
        count += 1;
        // An option belongs to its list and is told by its text.
        if node["name"]["value"].as_str().is_none_or(|name| name.trim().is_empty()) {
            found.push(node["role"]["value"].to_string());
        }
    }
    if count < 20 {
        return Err(format!("the browser tells of only {count} elements that can have the focus").into());
    }
    Ok(found)
}

#[tokio::test]
async fn every_control_is_reached_by_tab_with_an_outline_and_a_name() -> Result<()> {
    let page = Page::open().await?;
    page.view(View::LAPTOP).await?;
    page.pause().await?;
    let stops = tab_through(&page).await?;
    for wanted in [
        "select#scene",
        "button#run Run",
        "Gap",
        "Tilt",
        "Yaw",
        "Jog forward, hold",
        "Jog back, hold",
        "Home to zero",
        "Shuttle",
        "speed",
        "button#brush-apply",
        "What happened",
    ] {
        assert!(stops.iter().any(|s| s.who.contains(wanted)), "Tab does not reach {wanted}: {stops:#?}");
    }
    let bare: Vec<&Stop> = stops.iter().filter(|s| !s.outlined).collect();
    assert!(bare.is_empty(), "the focus cannot be seen on {bare:#?}");
    let hidden: Vec<&Stop> = stops.iter().filter(|s| !s.visible).collect();
    assert!(hidden.is_empty(), "the focus goes where nothing is to be seen: {hidden:#?}");
    // What a person can press can be reached: no button is left out, except those that are switched off.
    let buttons: usize = page
        .js("return [...document.querySelectorAll('button:not(:disabled)')].filter((b) => b.checkVisibility() || b.closest('.tabs')).length").await?;
    let reached = stops.iter().filter(|s| s.who.starts_with("button")).count();
    // The phone's destinations are hidden here.
    let tabs = page.all(".tabs button").await?.len();
    assert_eq!(reached, buttons - tabs, "{stops:#?}");
    assert_eq!(nameless(&page).await?, Vec::<String>::new(), "elements without a name");
    page.expect_quiet_console().await
}

/// Negative control: an element without a name and one without an outline are found.
#[tokio::test]
async fn a_control_without_a_name_or_an_outline_is_found() -> Result<()> {
    let page = Page::open().await?;
    page.js::<()>(
        "const bad = document.createElement('button'); bad.id = 'bad'; bad.style.outline = 'none'; \
         document.querySelector('.transport').append(bad)",
    )
    .await?;
    assert_eq!(nameless(&page).await?, ["\"button\""]);
    let stops = tab_through(&page).await?;
    let bare: Vec<&str> = stops.iter().filter(|s| !s.outlined).map(|s| s.who.trim()).collect();
    assert_eq!(bare, ["button#bad"]);
    Ok(())
}

/// From the scene to the alarm and back to order without a pointer.
#[tokio::test]
async fn a_fault_is_met_and_mended_with_the_keyboard_alone() -> Result<()> {
    let page = Page::open().await?;
    tab_to(&page, "#scene").await?;
    // Typing finds the scene in the list by its title.
    page.strike("A wide").await?;
    page.until_figures("the scene is chosen", |f| f.scene == "wide-smear").await?;
    tab_to(&page, ".pace input").await?;
    for _ in 0..3 {
        page.strike(&Key::Right).await?;
    }
    assert_eq!(page.text(".pace output").await?, "real time");
    page.until_figures("the axis was stopped and the clock with it", |f| f.alarm && !f.running).await?;
    page.js::<()>("document.activeElement.blur()").await?;
    tab_to(&page, "#run").await?;
    page.strike(" ").await?;
    page.until_figures("the axis stands", |f| f.running && f.doing == "Tripped").await?;
    let button = |name: &str| {
        format!(
            "return [...document.querySelectorAll('button')].find((b) => b.textContent === '{name}') === document.activeElement"
        )
    };
    for name in ["Wipe the scale", "Acknowledge"] {
        let here = button(name);
        let mut steps = 0;
        while !page.js::<bool>(&here).await? {
            page.strike(&Key::Tab).await?;
            steps += 1;
            assert!(steps < 200, "Tab never reaches {name}");
        }
        page.strike(&Key::Enter).await?;
    }
    page.until_figures("the drive holds", |f| !f.alarm && f.doing == "Holding").await?;
    assert_eq!(page.dirt().await?, []);
    tab_to(&page, "[aria-label='Jog back, hold']").await?;
    let before = page.figures().await?;
    page.hold_key(' ').await?;
    page.until_figures("the table goes back", |f| f.table_mm < before.table_mm - 3.0).await?;
    page.release_key(' ').await?;
    page.until_figures("the axis holds", |f| f.doing == "Holding").await?;
    tab_to(&page, "[role=slider][aria-label=Gap]").await?;
    let gap = page.setup("head", "gap_um").await?;
    page.strike(&Key::Up).await?;
    assert!(page.setup("head", "gap_um").await? > gap);
    page.expect_quiet_console().await
}
