//! Tests of the single file's page.

use sha2::{Digest, Sha256};

use super::*;

fn site() -> Site {
    let mut site = Site::default();
    for (address, text) in [
        ("page.css", "p{background:url(icon.svg)}"),
        ("theme.js", "a('</script>')"),
        ("icon.svg", "<svg/>"),
        ("boot.js", "start()"),
        ("site.webmanifest", "{}"),
    ] {
        site.add(address, text.into()).unwrap();
    }
    site
}

fn make(head: &str, body: &str) -> Result<String> {
    let index = format!(
        "<!doctype html>\n<html lang=\"en\"><head>\n<meta charset=\"utf-8\">\n{head}</head>\n<body>{body}\
         <script type=\"module\" src=\"boot.js\"></script></body></html>"
    );
    page(&index, &site(), &[Block::Script("run()".to_owned())])
}

#[test]
fn every_tag_of_the_table_is_written_in() {
    let head = "<title>A &amp; B</title><link rel=\"icon\" href=\"icon.svg\"><link rel=stylesheet href=page.css>\
        <link rel=\"manifest\" href=\"site.webmanifest\"><link rel=\"modulepreload\" href=\"app.js\"><script src=\"theme.js\"></script>";
    let html = make(head, "<a href=\"#top\">x &lt; y</a><img src=\"icon.svg\" alt=\"an &quot;icon&quot;\">").unwrap();
    let icon = format!("data:image/svg+xml;base64,{}", STANDARD.encode("<svg/>"));
    assert!(html.contains(&format!("<link href=\"{icon}\" rel=\"icon\">")), "{html}");
    assert!(html.contains(&format!("<style>p{{background:url(\"{icon}\")}}</style>")), "{html}");
    assert!(html.contains(&format!("alt=\"an &quot;icon&quot;\" src=\"{icon}\"")), "{html}");
    assert!(html.contains("<title>A &amp; B</title>") && html.contains("x &lt; y"), "{html}");
    assert!(html.contains("<script>a('<\\/script>')</script>"), "{html}");
    assert!(html.ends_with("<script>run()</script></body></html>"), "{html}");
    for gone in ["page.css", "theme.js", "boot.js", "manifest", "modulepreload"] {
        assert!(!html.contains(gone), "{gone} in {html}");
    }
}

#[test]
fn the_policy_names_each_block_by_its_hash() {
    let html = make("<link rel=\"stylesheet\" href=\"page.css\">", "").unwrap();
    let policy = html.split("Content-Security-Policy\" content=\"").nth(1).unwrap().split('"').next().unwrap();
    let block = |open: &str, close: &str| {
        let text = html.split(open).nth(1).unwrap().split(close).next().unwrap();
        format!("'sha256-{}'", STANDARD.encode(Sha256::digest(text)))
    };
    assert!(policy.contains(&format!("script-src 'wasm-unsafe-eval' {};", block("<script>", "</script>"))), "{policy}");
    assert!(policy.contains(&format!("style-src {};", block("<style>", "</style>"))), "{policy}");
    assert!(policy.starts_with("default-src 'none'; "), "{policy}");
    assert!(html.find("charset").unwrap() < html.find("Content-Security-Policy").unwrap());
    assert!(html.find("Content-Security-Policy").unwrap() < html.find("<style>").unwrap());
}

#[test]
fn what_it_does_not_know_is_refused_with_its_line() {
    for (head, body, words) in [
        ("<link rel=\"preconnect\" href=\"icon.svg\">", "", "<link rel=\"preconnect\">"),
        ("<link rel=\"stylesheet\" href=\"none.css\">", "", "`none.css`"),
        ("<link rel=\"stylesheet\" href=\"https://other.example/a.css\">", "", "https://other.example/a.css"),
        ("<script>x()</script>", "", "tag without its file"),
        ("<script src=\"theme.js\">x()</script>", "", "inline <script>"),
        ("<script src=\"theme.js\" defer></script>", "", "`defer`"),
        ("<script type=\"module\" src=\"theme.js\"></script>", "", "module script theme.js"),
        ("<style>p{}</style>", "", "<style>"),
        ("<meta http-equiv=\"refresh\" content=\"1\">", "", "http-equiv"),
        ("", "<iframe src=\"icon.svg\"></iframe>", "<iframe>"),
        ("", "<video src=\"icon.svg\"></video>", "`src` on <video>"),
        ("", "<img srcset=\"icon.svg\">", "`srcset` on <img>"),
        ("", "<p style=\"color:red\">", "`style` on <p>"),
        ("", "<p onclick=\"x()\">", "`onclick` on <p>"),
        ("", "<p class=\"a\"class=\"b\">", "malformed HTML"),
    ] {
        let error = make(head, body).expect_err(words);
        assert!(error.what.contains(words), "{error} should say {words}");
        let line = if head.is_empty() { 5 } else { 4 };
        assert_eq!(error.place, format!("web-ui/assets/index.html, line {line}"), "{words}");
    }
}

#[test]
fn a_page_without_its_frame_is_refused() {
    let say = |index: &str| page(index, &site(), &[]).unwrap_err().what;
    assert!(say("<body></body>").contains("no start script"));
    assert!(say("<p>").contains("no </body>"));
    assert!(say("<link rel=\"stylesheet\" href=\"page.css\">").contains("charset"));
}
