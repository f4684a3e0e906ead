//! The single file works from disk, with no server and no network.

use countlight_host::bundle;
use countlight_host::inline::{self, Block};
use countlight_host::progress::Progress;
use countlight_host::site::Site;
use system_tests::{Page, Result};

/// Whatever the page asked the network for would fail: the proxy is a closed port, and no name is known.
const OFFLINE: [&str; 3] =
    ["--proxy-server=127.0.0.1:9", "--proxy-bypass-list=<-loopback>", "--host-resolver-rules=MAP * ~NOTFOUND"];

#[tokio::test]
async fn the_single_file_starts_from_disk_without_a_network() -> Result<()> {
    let folder = tempfile::tempdir()?;
    let file = folder.path().join("countlight.html");
    std::fs::write(&file, bundle::single_file(Progress::on_stderr())?)?;

    let page = Page::blank(&OFFLINE).await?;
    page.goto(&format!("file://{}", file.display())).await?;
    page.ready().await?;
    assert_eq!(page.client().title().await?, "Countlight");
    let fetched: Vec<String> = page
        .js("return performance.getEntriesByType('resource').map((e) => e.name).filter((n) => !n.startsWith('data:'))")
        .await?;
    assert_eq!(fetched, Vec::<String>::new(), "the single file fetched something");

    // It is the whole page: the model runs, the pictures are painted, dirt can be put on.
    let start = page.figures().await?;
    page.until_figures("the model's time goes on", |f| f.time_s > start.time_s + 0.1 && f.count > start.count).await?;
    page.until("the pictures are painted", async || {
        let colours = page.colours("canvas").await?;
        Ok(colours.len() > 5 && colours.iter().all(|n| *n > 2))
    })
    .await?;
    page.write("#brush-from", "300").await?;
    page.write("#brush-to", "312.5").await?;
    page.css("#brush-apply").await?.click().await?;
    let dirt = page.dirt().await?;
    assert_eq!(dirt.len(), 1, "{dirt:?}");
    assert!((dirt[0].from_m - 0.3).abs() < 1e-12 && (dirt[0].to_m - 0.3125).abs() < 1e-12, "{dirt:?}");
    page.until_log("Dirt was smeared on the scale from 300.0 to 312.5 mm.").await?;
    // Long work has its helper here too, made of the code inside the file.
    page.pause().await?;
    page.click("Scan the travel").await?;
    page.by_role("table", "Scan of the travel").await?;
    let words = page.text(".jobs").await?;
    assert!(words.contains("weakest signal") && !words.contains("page stood still"), "{words}");
    // So are the parts that a page from a server fetches when they are first opened.
    for part in ["Lessons", "Call-outs"] {
        page.click(part).await?;
        page.css(".course h2").await?;
        page.click("To the bench").await?;
    }
    page.press("?").await?;
    page.css("dialog[open] kbd").await?;
    page.click("Close").await?;
    page.expect_quiet_console().await?;

    // And nothing is lost when the program breaks off.
    let before = page.exact_bench().await?;
    page.js::<()>("countlight.break_next_frame(); return null").await?;
    page.click("Open it again").await?;
    page.until_js("the page is loaded anew", "return document.documentElement.dataset.stopped === undefined").await?;
    page.ready().await?;
    assert!(page.exact_bench().await? == before, "the bench is not the one that was kept");
    Ok(())
}

/// Negative control: the browser of the test above really has no network.
#[tokio::test]
async fn the_offline_browser_reaches_nothing() -> Result<()> {
    let page = Page::blank(&OFFLINE).await?;
    let served = system_tests::serve(system_tests::site()?)?;
    assert!(page.goto(served.url()).await.is_err(), "the browser reached a server on this machine");
    Ok(())
}

/// The policy's hashes are those the browser computes, for style sheets, fonts, pictures and plain scripts alike.
#[tokio::test]
async fn styles_fonts_pictures_and_scripts_work_inside_the_single_file() -> Result<()> {
    let mut site = Site::default();
    let index = "<!doctype html><html lang=\"en\"><head><meta charset=\"utf-8\"><title>t</title>\
        <link rel=\"icon\" href=\"dot.svg\"><link rel=\"stylesheet\" href=\"css/page.css\"><script src=\"first.js\"></script>\
        </head><body><p>µ</p><img src=\"dot.svg\" alt=\"dot\"><script type=\"module\" src=\"boot.js\"></script></body></html>";
    let css = "p {\r\n  color: rgb(1, 2, 3);\r\n  background: url('../dot.svg');\r\n}\n/* </style> */";
    let dot = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"7\" height=\"7\"/>";
    let first = "globalThis.first = '</script>';\r\nglobalThis.body = document.body;";
    for (address, text) in [("css/page.css", css), ("dot.svg", dot), ("first.js", first), ("boot.js", "")] {
        site.add(address, text.into())?;
    }
    let last =
        "document.documentElement.dataset.ready = '1'; globalThis.data = document.getElementById('d').textContent;";
    let blocks = [Block::Data { id: "d", text: "AQID".to_owned() }, Block::Script(last.to_owned())];
    let folder = tempfile::tempdir()?;
    let file = folder.path().join("page.html");
    std::fs::write(&file, inline::page(index, &site, &blocks)?)?;

    let page = Page::blank(&OFFLINE).await?;
    page.goto(&format!("file://{}", file.display())).await?;
    page.ready().await?;
    page.expect_quiet_console().await?;
    let colour: String = page.js("return getComputedStyle(document.querySelector('p')).color").await?;
    assert_eq!(colour, "rgb(1, 2, 3)");
    assert_eq!(page.js::<u32>("return document.querySelector('img').naturalWidth").await?, 7);
    let (first, early, data): (String, bool, String) = page.js("return [first, body === null, data]").await?;
    assert_eq!((first.as_str(), early, data.as_str()), ("</script>", true, "AQID"));
    Ok(())
}
