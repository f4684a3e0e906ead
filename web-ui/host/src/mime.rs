//! Media types of the files the page is made of.

/// The media type for a file name, by its ending; unknown endings give plain bytes.
pub fn of(name: &str) -> &'static str {
    match name.rsplit_once('.').map_or("", |(_, ending)| ending) {
        "html" => "text/html; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "js" | "mjs" => "text/javascript; charset=utf-8",
        "json" => "application/json",
        "txt" | "md" => "text/plain; charset=utf-8",
        "csv" => "text/csv; charset=utf-8",
        "wasm" => "application/wasm",
        "webmanifest" => "application/manifest+json",
        "woff2" => "font/woff2",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "ico" => "image/x-icon",
        _ => "application/octet-stream",
    }
}

#[cfg(test)]
mod tests {
    use super::of;

    #[test]
    fn media_types_follow_the_registered_names() {
        // IANA media type registry; text/javascript is RFC 9239, font/woff2 is RFC 8081.
        assert_eq!(of("app_bg.wasm"), "application/wasm");
        assert_eq!(of("boot.js"), "text/javascript; charset=utf-8");
        assert_eq!(of("fonts/a.b.woff2"), "font/woff2");
        assert_eq!(of("site.webmanifest"), "application/manifest+json");
        assert_eq!(of("icon.svg"), "image/svg+xml");
        assert_eq!(of("LICENCE"), "application/octet-stream");
    }
}
