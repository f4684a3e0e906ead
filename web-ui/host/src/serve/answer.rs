//! What each request gets. A request can only hit a file that was read before serving began, so no path leads out.

use std::collections::BTreeMap;
use std::path::PathBuf;

use axum::body::{Body, Bytes};
use axum::http::header::{
    ALLOW, CACHE_CONTROL, CONTENT_LENGTH, CONTENT_SECURITY_POLICY, CONTENT_TYPE, ETAG, HOST, HeaderName, IF_NONE_MATCH,
    REFERRER_POLICY, X_CONTENT_TYPE_OPTIONS,
};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode};
use axum::response::Response;

use super::follow::Follow;
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
#[derive(Debug, Clone)]
pub(super) struct Entry {
    body: Bytes,
    tag: String,
    media_type: &'static str,
}

impl Entry {
    pub(super) fn new(address: &str, bytes: &[u8]) -> Self {
        Self { body: Bytes::copy_from_slice(bytes), tag: format!("\"{}\"", hex(bytes)), media_type: mime::of(address) }
    }
}

/// All files of a page, ready to send from one port.
#[derive(Debug)]
pub struct Answers {
    entries: BTreeMap<String, Entry>,
    /// Those that are made anew when an author has written.
    follows: Option<Follow>,
    hosts: [String; 2],
}

impl Answers {
    /// Prepares the files of `site` for requests to `port`; with the folder of the package `lessons`, scenes and lessons
    /// are those that stand there at each request.
    pub fn new(site: &Site, port: u16, lessons: Option<PathBuf>) -> Self {
        let entry = |(address, bytes): (&str, &[u8])| (format!("/{address}"), Entry::new(address, bytes));
        Self {
            entries: site.iter().map(entry).collect(),
            follows: lessons.map(|folder| Follow::new(site, folder)),
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
        let path = index.as_deref().unwrap_or(path);
        let entry = match self.follows.as_ref().and_then(|follows| follows.now(path)) {
            Some(Err(why)) => return plain(StatusCode::INTERNAL_SERVER_ERROR, format!("{why}\n")),
            Some(Ok(entry)) => Some(entry),
            None => self.entries.get(path).cloned(),
        };
        match &entry {
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

fn plain(status: StatusCode, text: impl Into<Body>) -> Response {
    let mut answer = with_headers(status, text.into());
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
    use crate::{content, offline};

    fn answers() -> Answers {
        let mut site = Site::default();
        site.add("index.html", b"<p>".to_vec()).unwrap();
        site.add("fonts/a.woff2", vec![1]).unwrap();
        site.add("below/index.html", b"<p>".to_vec()).unwrap();
        Answers::new(&site, 8117, None)
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

    /// What an author writes is there at the next request, with an offline script that knows it.
    #[tokio::test]
    async fn scenes_and_lessons_are_those_of_now() {
        let folder = tempfile::tempdir().unwrap();
        let (scenes, scene) = (folder.path().join("scenes"), folder.path().join("scenes/mine.toml"));
        std::fs::create_dir_all(&scenes).unwrap();
        std::fs::write(&scene, "title = \"one\"").unwrap();
        let mut site = Site::default();
        site.add("index.html", b"<p>".to_vec()).unwrap();
        site.add(content::ADDRESS, content::pack(folder.path()).unwrap()).unwrap();
        offline::add(&mut site).unwrap();
        let answers = Answers::new(&site, 8117, Some(folder.path().to_owned()));
        let ask = async |path: &str| {
            let headers = HeaderMap::from_iter([(HOST, HeaderValue::from_static("127.0.0.1:8117"))]);
            let answer = answers.to(&Method::GET, path, &headers);
            let status = answer.status().as_u16();
            let body = axum::body::to_bytes(answer.into_body(), 1 << 20).await.unwrap();
            (status, String::from_utf8(body.to_vec()).unwrap())
        };
        let (before, script) = (ask("/content.json").await, ask("/offline.js").await);
        assert_eq!(before, (200, r#"{"scenes/mine.toml":"title = \"one\""}"#.to_owned()));
        std::fs::write(&scene, "title = \"two\"").unwrap();
        let renewed = ask("/offline.js").await;
        assert!(
            renewed.0 == 200 && renewed != script && renewed.1.contains("['content.json', 'sha256-"),
            "{renewed:?}"
        );
        assert!(ask("/content.json").await.1.contains("two"));
        std::fs::write(&scene, b"title = \"\xb5\"").unwrap();
        let refused = ask("/content.json").await;
        assert!(refused.0 == 500 && refused.1.contains("mine.toml") && refused.1.contains("UTF-8"), "{refused:?}");
        assert_eq!(ask("/").await.0, 200);
    }
}
