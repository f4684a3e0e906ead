//! WCAG 2.2 AA by axe-core: no violation on any view, in both themes, on a laptop and on a phone.

use system_tests::{Page, Result, View};
use web_ui::layout::Layout;

async fn look(page: &Page, when: &str, found: &mut Vec<String>) -> Result<()> {
    page.frames(4).await?;
    found.extend(page.access_faults().await?.into_iter().map(|fault| format!("{when}: {fault}")));
    Ok(())
}

#[tokio::test]
async fn the_checker_finds_nothing_on_any_view_in_both_themes() -> Result<()> {
    let page = Page::open().await?;
    page.set_slower(1).await?;
    page.choose_scene("wide-smear").await?;
    page.until_figures("the axis was stopped and the clock with it", |f| f.alarm && !f.running).await?;
    page.js::<()>("document.querySelectorAll('.drawer details').forEach((fold) => { fold.open = true; })").await?;
    let mut found = Vec::new();
    for theme in ["light", "dark"] {
        for view in [View::LAPTOP, View::PHONE] {
            page.view(view).await?;
            for (_, key, name, _) in Layout::ALL {
                if view.width < 720 {
                    page.css("#view").await?.select_by_value(key).await?;
                } else {
                    page.click(name).await?;
                }
                look(&page, &format!("{theme}, {} px, view {key}", view.width), &mut found).await?;
            }
            if view.width < 720 {
                for tab in page.all(".tabs button").await? {
                    tab.click().await?;
                    look(&page, &format!("{theme}, phone, {}", tab.text().await?), &mut found).await?;
                }
            }
        }
        page.view(View::LAPTOP).await?;
        page.click("Help").await?;
        look(&page, &format!("{theme}, help"), &mut found).await?;
        page.by_role("button", "Close").await?.click().await?;
        page.js::<()>("document.querySelector('#recording').focus()").await?;
        page.strike(&system_tests::Key::Home).await?;
        look(&page, &format!("{theme}, in the recording"), &mut found).await?;
        page.click("Back to now").await?;
        if theme == "light" {
            page.click("Dark sheet").await?;
        }
    }
    assert!(found.is_empty(), "{found:#?}");
    page.expect_quiet_console().await
}

/// Negative control: a planted fault is found.
#[tokio::test]
async fn the_checker_finds_a_planted_fault() -> Result<()> {
    let page = Page::open().await?;
    page.js::<()>("document.querySelector('.toolbar').append(document.createElement('button'))").await?;
    let found = page.access_faults().await?;
    assert!(found.iter().any(|fault| fault.starts_with("button-name")), "{found:?}");
    Ok(())
}
