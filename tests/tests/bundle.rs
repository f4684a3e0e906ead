//! The single file works from disk, with no server and no network.

use countlight_host::bundle;
use countlight_host::progress::Progress;
use system_tests::{Page, Result};

/// Whatever the page asked the network for would fail: the proxy is a closed port, and no name is known.
const OFFLINE: [&str; 3] = [
    "--proxy-server=127.0.0.1:9",
    "--proxy-bypass-list=<-loopback>",
    "--host-resolver-rules=MAP * ~NOTFOUND",
];

#[tokio::test]
async fn the_single_file_starts_from_disk_without_a_network() -> Result<()> {
    let folder = tempfile::tempdir()?;
    let file = folder.path().join("countlight.html");
    std::fs::write(&file, bundle::single_file(Progress::on_stderr())?)?;

    let page = Page::blank(&OFFLINE).await?;
    page.goto(&format!("file://{}", file.display())).await?;
    page.ready().await?;
    assert_eq!(page.client().title().await?, "Countlight");
    let fetched: Vec<String> =
        page.js("return performance.getEntriesByType('resource').map((e) => e.name).filter((n) => !n.startsWith('data:'))").await?;
    assert_eq!(
        fetched,
        Vec::<String>::new(),
        "the single file fetched something"
    );
    page.expect_quiet_console().await
}

/// Negative control: the browser of the test above really has no network.
#[tokio::test]
async fn the_offline_browser_reaches_nothing() -> Result<()> {
    let page = Page::blank(&OFFLINE).await?;
    let served = system_tests::serve(system_tests::site()?)?;
    assert!(
        page.goto(served.url()).await.is_err(),
        "the browser reached a server on this machine"
    );
    Ok(())
}
