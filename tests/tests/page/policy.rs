//! Nothing on the page breaks its security policy, and the policy is in force.

use serde_json::{Value, json};
use system_tests::{Page, Result, View};

/// Gathers breaches from now on.
const WATCH: &str = "globalThis.breaches = []; \
    addEventListener('securitypolicyviolation', (event) => breaches.push( \
        `${event.effectiveDirective} ${event.blockedURI} ${event.sourceFile}:${event.lineNumber}`)); return null";

#[tokio::test]
async fn using_the_page_breaks_no_rule() -> Result<()> {
    let page = Page::blank(&[]).await?;
    // From the first line of the page on.
    let early = WATCH.replace("return null", "");
    page.cdp("Page.addScriptToEvaluateOnNewDocument", json!({ "source": early })).await?;
    let served = system_tests::serve(system_tests::site()?)?;
    page.goto(served.url()).await?;
    page.ready().await?;
    page.choose_scene("wide-smear").await?;
    page.click("Dark sheet").await?;
    page.click("Shuttle").await?;
    page.write("#brush-from", "300").await?;
    page.write("#brush-to", "312.5").await?;
    page.css("#brush-apply").await?.click().await?;
    page.drop_file("broken.toml", b"nonsense").await?;
    page.read_notice().await?;
    page.click("Scan the travel").await?;
    page.by_role("table", "Scan of the travel").await?;
    for view in [View::LAPTOP, View::PROJECTOR, View::PHONE] {
        page.screenshot("policy", view).await?;
        page.frames(3).await?;
    }
    assert_eq!(page.js::<Vec<String>>("return breaches").await?, Vec::<String>::new());
    page.expect_quiet_console().await
}

/// The policy of the tag alone, as any other host sends the page: without our server's headers.
#[tokio::test]
async fn code_and_styles_written_into_the_page_do_nothing() -> Result<()> {
    let page = Page::open().await?;
    page.js::<()>(WATCH).await?;
    let tag = "return document.querySelector('meta[http-equiv=\"Content-Security-Policy\"]').content";
    assert_eq!(page.js::<String>(tag).await?, countlight_host::policy::PAGE);
    // In a turn of its own: what a test runs directly is let through by the browser.
    let plant = "
        globalThis.plant = () => {
        const script = document.createElement('script');
        script.textContent = 'globalThis.planted = 1';
        document.head.append(script);
        document.body.insertAdjacentHTML('beforeend', '<p id=tried onclick=\"globalThis.planted = 2\" style=\"color: red\">x</p>');
        document.querySelector('#tried').click();
        let evaluated = false;
        try { evaluated = new Function('return true')(); } catch { /* as it should */ }
        fetch('https://example.invalid/').catch(() => {});
        globalThis.held = [globalThis.planted ?? null, document.querySelector('#tried').style.color, evaluated];
        };
        const start = document.createElement('button');
        start.addEventListener('click', () => setTimeout(plant));
        start.click();
        return null";
    page.js::<()>(plant).await?;
    page.until_js("it was tried", "return globalThis.held !== undefined").await?;
    let held: Value = page.js("return held").await?;
    assert_eq!(held, json!([null, "", false]), "inline script, style attribute, code from text");
    page.until_js("the breaches are told", "return breaches.length >= 5").await?;
    let breaches: Vec<String> = page.js("return breaches").await?;
    for rule in
        ["script-src-elem inline", "script-src-attr inline", "style-src-attr inline", "connect-src https://example"]
    {
        assert!(breaches.iter().any(|breach| breach.starts_with(rule)), "{rule} is not in {breaches:#?}");
    }
    Ok(())
}
