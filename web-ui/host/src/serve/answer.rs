//! What each request gets. A request can only hit a file that was read before serving began, so no path leads out.

use std::collections::BTreeMap;

use axum::body::{Body, Bytes};
use axum::http::header::{
    ALLOW, CACHE_CONTROL, CONTENT_LENGTH, CONTENT_SECURITY_POLICY, CONTENT_TYPE, ETAG, HOST, HeaderName, IF_NONE_MATCH,
    REFERRER_POLICY, X_CONTENT_TYPE_OPTIONS,
};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode};
use axum::response::Response;

use crate::glue::hex;
use crate::mime;
use crate::policy;
use crate::site::Site;

/// Headers of every answer, beside the policy.
const HEADERS: [(HeaderName, &str); 5] = [
    (X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (REFERRER_POLICY, "no-referrer"),
    (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
    (HeaderName::from_static("cross-origin-embedder-policy"), "require-corp"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
];

/// One file, ready to send.
#[derive(Debug)]
struct Entry {
    body: Bytes,
    tag: String,
    media_type: &'static str,
}

/// All files of a page, ready to send from one port.
#[derive(Debug)]
pub struct Answers {
    entries: BTreeMap<String, Entry>,
    hosts: [String; 2],
}

impl Answers {
    /// Prepares the files of `site` for requests to `port`.
    pub fn new(site: &Site, port: u16) -> Self {
        let entry = |(address, bytes): (&str, &[u8])| {
            let entry = Entry {
                body: Bytes::copy_from_slice(bytes),
                tag: format!("\"{}\"", hex(bytes)),
                media_type: mime::of(address),
            };
            (format!("/{address}"), entry)
        };
        Self {
            entries: site.iter().map(entry).collect(),
            hosts: [format!("127.0.0.1:{port}"), format!("localhost:{port}")],
        }
    }

    /// The answer to one request.
    pub fn to(&self, method: &Method, path: &str, headers: &HeaderMap) -> Response {
        // A foreign name that resolves to 127.0.0.1 must not reach the page (DNS rebinding).
        let host = headers.get(HOST).and_then(|value| value.to_str().ok());
        if !host.is_some_and(|host| self.hosts.iter().any(|own| own == host)) {
            return plain(StatusCode::MISDIRECTED_REQUEST, "This server answers to 127.0.0.1 and localhost only.\n");
        }
        if method != Method::GET && method != Method::HEAD {
            let mut answer = plain(StatusCode::METHOD_NOT_ALLOWED, "Only GET and HEAD are answered here.\n");
            answer.headers_mut().insert(ALLOW, HeaderValue::from_static("GET, HEAD"));
            return answer;
        }
        // The page of a folder, as every web server does it.
        let index = path.ends_with('/').then(|| format!("{path}index.html"));
        match self.entries.get(index.as_deref().unwrap_or(path)) {
            Some(entry) if unchanged(headers, &entry.tag) => send(StatusCode::NOT_MODIFIED, entry, Bytes::new()),
            Some(entry) if method == Method::HEAD => {
                let mut answer = send(StatusCode::OK, entry, Bytes::new());
                answer.headers_mut().insert(CONTENT_LENGTH, entry.body.len().into());
                answer
            }
            Some(entry) => send(StatusCode::OK, entry, entry.body.clone()),
            None => plain(StatusCode::NOT_FOUND, "There is no such file. The page is at /\n"),
        }
    }
}

/// Whether the browser has this version already (RFC 9110, section 13.1.2: weak comparison, a list, or `*`).
fn unchanged(headers: &HeaderMap, tag: &str) -> bool {
    headers
        .get_all(IF_NONE_MATCH)
        .iter()
        .filter_map(|value| value.to_str().ok())
        .flat_map(|value| value.split(','))
        .map(|one| one.trim().trim_start_matches("W/"))
        .any(|one| one == tag || one == "*")
}

fn send(status: StatusCode, entry: &Entry, body: Bytes) -> Response {
    let mut answer = with_headers(status, Body::from(body));
    let headers = answer.headers_mut();
    headers.insert(CONTENT_TYPE, HeaderValue::from_static(entry.media_type));
    // The tag is a quoted hexadecimal number, so it is always a valid header value.
    if let Ok(tag) = HeaderValue::from_str(&entry.tag) {
        headers.insert(ETAG, tag);
    }
    // Ask each time: names carry no version, and on one machine a question costs nothing.
    headers.insert(CACHE_CONTROL, HeaderValue::from_static("no-cache"));
    answer
}

fn plain(status: StatusCode, text: &'static str) -> Response {
    let mut answer = with_headers(status, Body::from(text));
    answer.headers_mut().insert(CONTENT_TYPE, HeaderValue::from_static("text/plain; charset=utf-8"));
    answer
}

fn with_headers(status: StatusCode, body: Body) -> Response {
    let mut answer = Response::new(body);
    *answer.status_mut() = status;
    for (name, value) in HEADERS {
        answer.headers_mut().insert(name, HeaderValue::from_static(value));
    }
    // The policy is our own line of plain letters, so it is always a valid header value.
    if let Ok(policy) = HeaderValue::from_str(&policy::header()) {
        answer.headers_mut().insert(CONTENT_SECURITY_POLICY, policy);
    }
    answer
}

#[cfg(test)]
mod tests {
    use super::*;

    fn answers() -> Answers {
        let mut site = Site::default();
        site.add("index.html", b"<p>".to_vec()).unwrap();
        site.add("fonts/a.woff2", vec![1]).unwrap();
        site.add("below/index.html", b"<p>".to_vec()).unwrap();
        Answers::new(&site, 8117)
    }

    fn ask(method: &Method, path: &str, extra: &[(HeaderName, &str)]) -> Response {
        let mut headers = HeaderMap::new();
        headers.insert(HOST, HeaderValue::from_static("127.0.0.1:8117"));
        for (name, value) in extra {
            headers.insert(name, HeaderValue::from_str(value).unwrap());
        }
        answers().to(method, path, &headers)
    }

    #[test]
    fn only_known_paths_are_files() {
        for (path, status) in [
            ("/", 200),
            ("/index.html", 200),
            ("/fonts/a.woff2", 200),
            ("/fonts", 404),
            ("/fonts/", 404),
            ("/below/", 200),
            ("/below", 404),
            ("//", 404),
            ("//index.html", 404),
            ("/fonts/../index.html", 404),
            ("/%2e%2e/Cargo.toml", 404),
        ] {
            assert_eq!(ask(&Method::GET, path, &[]).status(), status, "{path}");
        }
    }

    #[test]
    fn a_foreign_or_missing_host_is_refused_even_for_other_methods() {
        for host in ["evil.example:8117", "127.0.0.1", "127.0.0.1:80", ""] {
            assert_eq!(ask(&Method::POST, "/", &[(HOST, host)]).status(), 421, "{host}");
        }
        assert_eq!(answers().to(&Method::GET, "/", &HeaderMap::new()).status(), 421);
        assert_eq!(ask(&Method::GET, "/", &[(HOST, "localhost:8117")]).status(), 200);
    }

    #[test]
    fn what_the_browser_has_is_not_sent_again() {
        let tag = ask(&Method::GET, "/", &[]).headers()[ETAG].to_str().unwrap().to_owned();
        for known in [tag.clone(), format!("W/{tag}"), format!("\"x\", {tag}"), "*".to_owned()] {
            assert_eq!(ask(&Method::GET, "/", &[(IF_NONE_MATCH, &known)]).status(), 304, "{known}");
        }
        assert_eq!(ask(&Method::GET, "/", &[(IF_NONE_MATCH, "\"x\"")]).status(), 200);
    }
}
