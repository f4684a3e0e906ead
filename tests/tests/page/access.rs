//! WCAG 2.2 AA by axe-core: no violation on any view, in both themes, on a laptop and on a phone.

use system_tests::{Page, Result, View};
use web_ui::layout::Layout;

async fn look(page: &Page, when: &str, found: &mut Vec<String>) -> Result<()> {
    page.settled().await?;
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
        page.css("dialog[open] kbd").await?;
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

#[tokio::test]
async fn the_checker_finds_nothing_in_lessons_and_the_course() -> Result<()> {
    let page = Page::open().await?;
    let mut found = Vec::new();
    for (theme, view) in [("light", View::LAPTOP), ("dark", View::PHONE)] {
        page.view(View::LAPTOP).await?;
        page.click("Lessons").await?;
        page.view(view).await?;
        for leaf in ["Lessons", "What I can do", "Words of the trade", "My class"] {
            page.click(leaf).await?;
            look(&page, &format!("{theme}, {} px, leaf {leaf}", view.width), &mut found).await?;
            let wide: f64 = page.js("return document.documentElement.scrollWidth - innerWidth").await?;
            assert!(wide <= 0.5, "{leaf} runs {wide} px over a {} px screen", view.width);
        }
        page.click("Lessons").await?;
        page.css("[data-lesson='L01'] [title^='Notes']").await?.click().await?;
        look(&page, &format!("{theme}, {} px, notes", view.width), &mut found).await?;
        page.click("Lessons").await?;
        page.css("[data-lesson='L01'] button").await?.click().await?;
        look(&page, &format!("{theme}, {} px, opening", view.width), &mut found).await?;
        page.css("#go-on").await?.click().await?;
        look(&page, &format!("{theme}, {} px, question or task", view.width), &mut found).await?;
        if theme == "light" {
            page.css(".answer:has(input[value='distance'])").await?.click().await?;
            page.css("#commit").await?.click().await?;
            look(&page, "what the bench showed", &mut found).await?;
            page.css(".answer:has(input[value='right'])").await?.click().await?;
            page.css("#commit").await?.click().await?;
            look(&page, "the explanation", &mut found).await?;
            page.css("#go-on").await?.click().await?;
            look(&page, "the task", &mut found).await?;
        }
        page.view(View::LAPTOP).await?;
        page.by_role("button", "Put the lesson away").await?.click().await?;
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
