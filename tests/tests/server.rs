//! What the server sends, and what it refuses. The exit codes of the program are tested in `web-ui/host/tests`, where
//! cargo hands the built program to the test.

use system_tests::http::{ask, ask_host};
use system_tests::{Result, serve, site};

#[test]
fn every_file_arrives_whole_with_its_type_and_the_guarding_headers() -> Result<()> {
    let site = site()?;
    let served = serve(site.clone())?;
    for (address, bytes) in site.iter() {
        let answer = ask(served.port(), "GET", &format!("/{address}"), &[])?;
        assert_eq!(answer.status, 200, "{address}");
        assert!(answer.body == bytes, "{address} arrives changed");
        let kind = answer.header("content-type").unwrap_or_default();
        assert!(!kind.contains("octet-stream"), "{address} has no media type: add its ending to mime.rs");
        for (name, value) in [
            ("x-content-type-options", "nosniff"),
            ("referrer-policy", "no-referrer"),
            ("cross-origin-opener-policy", "same-origin"),
            ("cross-origin-embedder-policy", "require-corp"),
            ("cross-origin-resource-policy", "same-origin"),
            ("cache-control", "no-cache"),
        ] {
            assert_eq!(answer.header(name), Some(value), "{name} of {address}");
        }
        let policy = answer.header("content-security-policy").unwrap_or_default();
        for rule in [
            "default-src 'none'",
            "script-src 'self' 'wasm-unsafe-eval'",
            "style-src 'self'",
            "connect-src 'self'",
            "worker-src 'self'",
            "manifest-src 'self'",
            "frame-ancestors 'none'",
            "form-action 'none'",
            "base-uri 'none'",
        ] {
            assert!(policy.split("; ").any(|part| part == rule), "{rule} is not in: {policy}");
        }
    }
    Ok(())
}

#[test]
fn the_root_is_the_page() -> Result<()> {
    let served = serve(site()?)?;
    let root = ask(served.port(), "GET", "/", &[])?;
    assert_eq!(root.body, ask(served.port(), "GET", "/index.html?x=1", &[])?.body);
    assert_eq!(root.header("content-type"), Some("text/html; charset=utf-8"));
    assert_eq!(ask(served.port(), "GET", "/app_bg.wasm", &[])?.header("content-type"), Some("application/wasm"));
    Ok(())
}

#[test]
fn no_path_leads_out_of_the_page() -> Result<()> {
    let served = serve(site()?)?;
    for path in [
        "/../Cargo.toml",
        "/../../etc/passwd",
        "/%2e%2e/Cargo.toml",
        "/..%2fCargo.toml",
        "/..\\Cargo.toml",
        "//etc/passwd",
        "/./index.html",
        "/index.html/",
        "/none",
    ] {
        assert_eq!(ask(served.port(), "GET", path, &[])?.status, 404, "{path}");
    }
    Ok(())
}

#[test]
fn only_reading_is_answered() -> Result<()> {
    let served = serve(site()?)?;
    for method in ["POST", "PUT", "DELETE", "OPTIONS", "PATCH"] {
        let answer = ask(served.port(), method, "/", &[("Content-Length", "0")])?;
        assert_eq!((answer.status, answer.header("allow")), (405, Some("GET, HEAD")), "{method}");
    }
    let (get, head) = (ask(served.port(), "GET", "/app.js", &[])?, ask(served.port(), "HEAD", "/app.js", &[])?);
    assert_eq!((head.status, head.body.len()), (200, 0));
    assert_eq!(head.header("content-length"), Some(get.body.len().to_string().as_str()));
    assert_eq!(head.header("etag"), get.header("etag"));
    Ok(())
}

#[test]
fn a_foreign_host_name_is_refused() -> Result<()> {
    let served = serve(site()?)?;
    for host in ["rebound.example", "127.0.0.1", "[::1]:1", "localhost:1"] {
        assert_eq!(ask_host(served.port(), host, "GET", "/", &[])?.status, 421, "{host}");
    }
    assert_eq!(ask_host(served.port(), &format!("localhost:{}", served.port()), "GET", "/", &[])?.status, 200);
    Ok(())
}

#[test]
fn what_the_browser_has_is_not_sent_again() -> Result<()> {
    let served = serve(site()?)?;
    let first = ask(served.port(), "GET", "/app_bg.wasm", &[])?;
    let tag = first.header("etag").ok_or("no ETag")?;
    let again = ask(served.port(), "GET", "/app_bg.wasm", &[("If-None-Match", tag)])?;
    assert_eq!((again.status, again.body.len()), (304, 0));
    assert_eq!(again.header("etag"), Some(tag));
    let other = ask(served.port(), "GET", "/app_bg.wasm", &[("If-None-Match", "\"other\"")])?;
    assert_eq!(other.status, 200);
    Ok(())
}
