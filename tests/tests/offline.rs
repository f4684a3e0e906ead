//! The page after its first visit: it opens without a network, below any path, and can be installed.

use countlight_host::{policy, site::Site};
use serde_json::{Value, json};
use system_tests::{Page, Result, serve, site};
use web_ui::draw::tokens::{Ink, Theme};

/// Waits until the page is kept on the device.
async fn kept(page: &Page) -> Result<()> {
    let kept = "return navigator.serviceWorker.controller?.state === 'activated'";
    page.until_js("the page is kept for later", kept).await
}

async fn works(page: &Page) -> Result<()> {
    page.ready().await?;
    let start = page.figures().await?;
    page.until_figures("the model's time goes on", |f| f.time_s > start.time_s + 0.05).await?;
    Ok(())
}

/// The site as another host would hold it: below a folder, beside other things.
fn below(folder: &str, site: &Site) -> Result<Site> {
    let mut moved = Site::default();
    for (address, bytes) in site.iter() {
        moved.add(&format!("{folder}/{address}"), bytes.to_vec())?;
    }
    Ok(moved)
}

#[tokio::test]
async fn after_the_first_visit_the_page_opens_without_a_server_below_any_path() -> Result<()> {
    for folder in ["", "shop/training"] {
        let site = if folder.is_empty() { site()? } else { below(folder, &site()?)? };
        let served = serve(site)?;
        let url = format!("{}{folder}{}", served.url(), if folder.is_empty() { "" } else { "/" });
        let page = Page::blank(&[]).await?;
        page.goto(&url).await?;
        page.ready().await?;
        kept(&page).await?;
        page.expect_quiet_console().await?;
        let port = served.port();
        drop(served);
        assert!(system_tests::http::ask(port, "GET", "/", &[]).is_err(), "the server still answers");

        for address in [url.clone(), format!("{url}index.html"), format!("{url}?a=b#c")] {
            page.goto(&address).await?;
            works(&page).await?;
            page.expect_quiet_console().await.map_err(|e| format!("{address}: {e}"))?;
            let font = "return document.fonts.check(\"600 16px 'Barlow Semi Condensed'\")";
            assert!(page.js::<bool>(font).await?, "the lettering is missing at {address}");
            let asked: Vec<String> =
                page.js("return performance.getEntriesByType('resource').map((entry) => entry.name)").await?;
            assert!(asked.len() > 4 && asked.iter().all(|name| name.starts_with(&url)), "{asked:?}");
        }
        // Parts that nobody has opened before are there too, on the page and in its helper.
        page.click("Lessons").await?;
        page.css(".course h2").await?;
        page.click("To the bench").await?;
        page.pause().await?;
        page.click("Scan the travel").await?;
        page.by_role("table", "Scan of the travel").await?;
        let words = page.text(".jobs").await?;
        assert!(words.contains("weakest signal") && !words.contains("page stood still"), "{words}");
        page.expect_quiet_console().await?;
    }
    Ok(())
}

/// A file that arrives changed is not kept: the page would mix versions.
#[tokio::test]
async fn a_version_that_does_not_arrive_whole_is_not_kept() -> Result<()> {
    let mut broken = site()?;
    broken.replace("icon.svg", b"<svg xmlns=\"http://www.w3.org/2000/svg\"/>".to_vec());
    let served = serve(broken)?;
    let page = Page::blank(&[]).await?;
    page.goto(served.url()).await?;
    works(&page).await?;
    let script = "const done = arguments[0]; navigator.serviceWorker.register('offline.js').then((r) => { \
        const w = r.installing ?? r.waiting ?? r.active; if (!w || w.state === 'redundant') { done('redundant'); } \
        w.addEventListener('statechange', () => done(w.state)); }, () => done('redundant'))";
    let state = page.client().execute_async(script, vec![]).await?;
    assert_eq!(state, json!("redundant"));
    assert!(page.js::<bool>("return navigator.serviceWorker.controller === null").await?);
    Ok(())
}

#[tokio::test]
async fn the_browser_counts_the_page_installable() -> Result<()> {
    let page = Page::open().await?;
    kept(&page).await?;
    let found = page.cdp("Page.getAppManifest", json!({})).await?;
    assert_eq!(found["errors"], json!([]), "{found}");
    let errors = page.cdp("Page.getInstallabilityErrors", json!({})).await?;
    assert_eq!(errors["installabilityErrors"], json!([]), "{errors}");
    Ok(())
}

#[test]
fn the_manifest_names_pictures_that_are_there_and_the_colours_of_the_sheet() -> Result<()> {
    let site = site()?;
    let manifest: Value = serde_json::from_slice(site.get("countlight.webmanifest").ok_or("no manifest")?)?;
    let paper = |theme| Ink::Paper.hex(theme).to_owned();
    assert_eq!(manifest["background_color"], json!(paper(Theme::Light)));
    assert_eq!(manifest["theme_color"], json!(paper(Theme::Light)));
    let icons = manifest["icons"].as_array().ok_or("no icons")?;
    assert!(icons.len() >= 3);
    for icon in icons {
        let bytes = site.get(icon["src"].as_str().unwrap_or_default()).ok_or_else(|| format!("{icon} is not there"))?;
        if icon["type"] == "image/png" {
            // Width and height in the first chunk: ISO/IEC 15948, sections 5.2 and 11.2.2.
            let side = |at: usize| u32::from_be_bytes(bytes[at..at + 4].try_into().unwrap_or_default());
            assert_eq!(icon["sizes"], json!(format!("{}x{}", side(16), side(20))));
        }
    }
    let index = String::from_utf8(site.get("index.html").ok_or("no page")?.to_vec())?;
    for theme in [Theme::Light, Theme::Dark] {
        assert!(index.contains(&format!("content=\"{}\"", paper(theme))), "theme-color {}", paper(theme));
    }
    assert!(index.contains(policy::PAGE), "any host sends the policy inside the page");
    Ok(())
}
