//! Views for tasks, parts with the whole screen, keys that can be switched off.

use system_tests::{Key, Page, Result, View};
use web_ui::layout::{Layout, Part};

async fn shown(page: &Page, part: Part) -> Result<bool> {
    let script = format!("return document.querySelector('[data-part={}]')?.checkVisibility() ?? false", part.key());
    page.js(&script).await
}

#[tokio::test]
async fn every_view_shows_its_parts_and_is_kept_for_the_next_visit() -> Result<()> {
    let page = Page::open().await?;
    for (_, key, name, parts) in Layout::ALL {
        page.click(name).await?;
        page.until_js(
            "the view is there",
            &format!("return document.querySelector('.sheet').dataset.layout === '{key}'"),
        )
        .await?;
        for (part, _, _) in Part::ALL {
            let wanted = part == Part::Machine || parts.contains(&part);
            assert_eq!(shown(&page, part).await?, wanted, "{part:?} in view {name}");
        }
    }
    let (_, last, _, _) = Layout::ALL[Layout::ALL.len() - 1];
    page.client().refresh().await?;
    page.ready().await?;
    assert_eq!(page.js::<String>("return document.querySelector('.sheet').dataset.layout").await?, last);
    page.expect_quiet_console().await
}

#[tokio::test]
async fn one_key_gives_a_part_the_whole_screen_and_puts_it_back() -> Result<()> {
    let page = Page::open().await?;
    for (_, key, name, parts) in Layout::ALL {
        page.click(name).await?;
        for part in parts.iter().chain([&Part::Machine]) {
            let css = format!("[data-part={}]", part.key());
            let size = format!(
                "const b = document.querySelector('{css}').getBoundingClientRect(); return [b.width / innerWidth, b.height / innerHeight]"
            );
            let before: (f64, f64) = page.js(&size).await?;
            let button = page.by_role("button", &format!("Enlarge {} (f)", part.name())).await?;
            page.js_with::<()>("arguments[0].focus()", vec![serde_json::to_value(&button)?]).await?;
            // The pointer rests elsewhere: the part with the focus is meant.
            page.stroke(&[(2.0, 2.0)]).await?;
            page.js_with::<()>("arguments[0].focus()", vec![serde_json::to_value(&button)?]).await?;
            page.strike("f").await?;
            page.until_js(
                "it is large",
                &format!("return document.querySelector('{css}').classList.contains('enlarged')"),
            )
            .await?;
            let large: (f64, f64) = page.js(&size).await?;
            assert!(large.0 > 0.9 && large.1 > 0.9 && large.0 > before.0, "{key}/{}: {before:?} {large:?}", part.key());
            // Its pictures are painted at their new size.
            page.frames(4).await?;
            page.strike(&Key::Escape).await?;
            page.until_js("it is back", "return document.querySelector('.enlarged') === null").await?;
        }
    }
    page.expect_quiet_console().await
}

#[tokio::test]
async fn keys_of_one_character_can_be_switched_off_and_never_act_while_one_types() -> Result<()> {
    let page = Page::open().await?;
    page.js::<()>("document.activeElement?.blur()").await?;
    page.strike("k").await?;
    page.until_figures("the clock stands", |f| !f.running).await?;
    page.strike("k").await?;
    page.until_figures("the clock runs", |f| f.running).await?;
    page.js::<()>("document.querySelector('#find-fault').focus()").await?;
    page.strike("k").await?;
    page.frames(6).await?;
    assert!(page.figures().await?.running, "k was text for the field");
    page.js::<()>("document.activeElement?.blur()").await?;
    page.strike("?").await?;
    page.css("dialog[open]").await?;
    page.css("#single-keys").await?.click().await?;
    page.strike(&Key::Escape).await?;
    page.until_js("the list is closed", "return document.querySelector('dialog[open]') === null").await?;
    page.js::<()>("document.activeElement?.blur()").await?;
    page.strike("k").await?;
    page.frames(6).await?;
    assert!(page.figures().await?.running, "the key is off");
    page.expect_quiet_console().await
}

/// On a phone the other views come from a list: all their parts, without the drawer, and no destination is chosen.
#[tokio::test]
async fn a_phone_shows_a_chosen_view_whole() -> Result<()> {
    let page = Page::open().await?;
    page.view(View::PHONE).await?;
    for (layout, key, name, parts) in Layout::ALL.into_iter().filter(|row| row.0 != Layout::Whole) {
        page.css("#view").await?.select_by_value(key).await?;
        page.until_js(
            "the view is there",
            &format!("return document.querySelector('.sheet').dataset.layout === '{key}'"),
        )
        .await?;
        for part in parts {
            assert!(shown(&page, *part).await?, "{part:?} of {name}");
        }
        let rest = "return [document.querySelector('.drawer').checkVisibility(), \
            document.querySelectorAll('.tabs [aria-pressed=true]').length, \
            [...document.querySelectorAll('.lower canvas')].every((c) => c.clientHeight > 40)]";
        assert_eq!(page.js::<(bool, usize, bool)>(rest).await?, (false, 0, true), "{layout:?}");
    }
    page.expect_quiet_console().await
}
