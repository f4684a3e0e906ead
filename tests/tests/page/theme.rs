//! Light and dark: one table of colours, chosen by the system's wish, kept when the person chooses.

use std::collections::BTreeMap;

use countlight_host::workspace::Workspace;
use serde_json::json;
use system_tests::{Page, Result, Served, serve, site};
use web_ui::draw::tokens::{Ink, Theme};

/// Custom properties of the first rule with this selector.
fn properties(css: &str, selector: &str) -> Result<BTreeMap<String, String>> {
    let rule = css.split_once(&format!("{selector} {{")).and_then(|(_, rest)| rest.split_once('}'));
    let (body, _) = rule.ok_or_else(|| format!("the style sheet has no rule `{selector}`"))?;
    let pairs = body.split(';').filter_map(|line| line.split_once(':'));
    Ok(pairs.map(|(name, value)| (name.trim().to_owned(), value.trim().to_owned())).collect())
}

#[test]
fn the_style_sheet_and_the_drawings_have_the_same_colours() -> Result<()> {
    let css = std::fs::read_to_string(Workspace::locate()?.root().join("web-ui/assets/sheet.css"))?;
    for (selector, theme) in [(":root", Theme::Light), (":root[data-theme='dark']", Theme::Dark)] {
        let stated = properties(&css, selector)?;
        for (ink, name, ..) in Ink::TABLE {
            let colour = stated.get(name).map(String::as_str);
            assert_eq!(colour, Some(ink.hex(theme)), "{name} of {selector}");
        }
        // And no colour of the sheet is missing in the table, except what is derived from one of it.
        let more: Vec<&String> = stated
            .iter()
            .filter(|(name, value)| name.starts_with("--") && value.starts_with('#'))
            .map(|(name, _)| name)
            .filter(|name| *name != "--on-touch" && Ink::TABLE.iter().all(|row| row.1 != *name))
            .collect();
        assert!(more.is_empty(), "colours of {selector} that no drawing knows: {more:?}");
    }
    Ok(())
}

/// A page in a browser whose system prefers a theme, on a server of its own, so that nothing is kept from elsewhere.
async fn open(prefers: &str) -> Result<(Page, Served)> {
    let served = serve(site()?)?;
    let page = Page::blank(&[]).await?;
    let wish = json!({ "features": [{ "name": "prefers-color-scheme", "value": prefers }] });
    page.cdp("Emulation.setEmulatedMedia", wish).await?;
    page.goto(served.url()).await?;
    page.ready().await?;
    Ok((page, served))
}

/// The theme that is in force, with the paper's colour as the browser has it and as the machine's picture has it.
async fn theme(page: &Page) -> Result<(String, String)> {
    page.until_js("the theme is shown", "return document.documentElement.dataset.theme !== undefined").await?;
    page.frames(3).await?;
    page.js("return [document.documentElement.dataset.theme, getComputedStyle(document.body).backgroundColor]").await
}

fn rgb(ink: Ink, theme: Theme) -> Result<String> {
    let hex = u32::from_str_radix(ink.hex(theme).trim_start_matches('#'), 16)?;
    Ok(format!("rgb({}, {}, {})", hex >> 16, hex >> 8 & 0xff, hex & 0xff))
}

#[tokio::test]
async fn the_system_chooses_the_theme_until_the_person_does() -> Result<()> {
    for (prefers, first, other, button) in
        [("dark", Theme::Dark, Theme::Light, "Light sheet"), ("light", Theme::Light, Theme::Dark, "Dark sheet")]
    {
        let name = |theme| if theme == Theme::Dark { "dark" } else { "light" };
        let (page, _served) = open(prefers).await?;
        assert_eq!(theme(&page).await?, (name(first).to_owned(), rgb(Ink::Paper, first)?));
        page.client().refresh().await?;
        page.ready().await?;
        assert_eq!(theme(&page).await?, (name(first).to_owned(), rgb(Ink::Paper, first)?), "after a reload");

        page.click(button).await?;
        let chosen = format!("return document.documentElement.dataset.theme === '{}'", name(other));
        page.until_js("the other theme is shown", &chosen).await?;
        page.client().refresh().await?;
        page.ready().await?;
        assert_eq!(theme(&page).await?, (name(other).to_owned(), rgb(Ink::Paper, other)?), "the choice was not kept");
        page.expect_quiet_console().await?;
    }
    Ok(())
}
