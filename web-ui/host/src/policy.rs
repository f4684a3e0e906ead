//! The content security policy of the served page. It comes twice: as a header from our server, and as a tag in
//! `index.html`, so that any other host has it too. The single file has one of its own, see [`crate::inline`].

use crate::site::Site;
use crate::{Error, Result};

/// Everything comes from where the page comes from; code may be compiled from WebAssembly but not from text. Styles
/// that scripts set one by one (CSSOM) need no leave; `style` attributes written as text are not let through.
/// Pictures from `blob:` and `data:` are those that the page makes itself.
pub const PAGE: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; font-src 'self'; \
    img-src 'self' blob: data:; connect-src 'self'; worker-src 'self'; manifest-src 'self'; base-uri 'none'; \
    form-action 'none'";

/// What only a header can say: nothing may frame the page.
const HEADER_ONLY: &str = "frame-ancestors 'none'";

/// The tag behind which the policy is put; what follows it is under the policy.
const CHARSET: &str = "<meta charset=\"utf-8\">";

/// The policy as the value of a header.
pub fn header() -> String {
    format!("{PAGE}; {HEADER_ONLY}")
}

/// Puts the policy into `index.html`.
///
/// # Errors
/// The page is missing, is not UTF-8, or does not name its encoding first.
pub fn add(site: &mut Site) -> Result<()> {
    let refuse =
        || Error::new("the page has no first tag", "web-ui/assets/index.html", format!("begin <head> with {CHARSET}"));
    let index = site.get("index.html").and_then(|bytes| std::str::from_utf8(bytes).ok()).ok_or_else(refuse)?;
    let (before, after) = index.split_once(CHARSET).ok_or_else(refuse)?;
    let tag = format!("\n<meta http-equiv=\"Content-Security-Policy\" content=\"{PAGE}\">");
    let page = [before, CHARSET, &tag, after].concat();
    site.replace("index.html", page.into_bytes());
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_page_gets_the_policy_ahead_of_all_that_loads() {
        let mut site = Site::default();
        let index = "<!doctype html><head><meta charset=\"utf-8\"><script src=\"a.js\"></script></head>";
        site.add("index.html", index.into()).unwrap();
        add(&mut site).unwrap();
        let page = std::str::from_utf8(site.get("index.html").unwrap()).unwrap();
        let at = |text: &str| page.find(text).unwrap_or_else(|| panic!("{text} is missing in {page}"));
        assert!(at(PAGE) < at("a.js") && at("charset") < at(PAGE));
        assert!(!page.contains(HEADER_ONLY), "a browser would complain of it in a tag");
        assert!(header().starts_with(PAGE) && header().ends_with(HEADER_ONLY));
    }

    #[test]
    fn a_page_without_its_encoding_is_refused() {
        let mut site = Site::default();
        assert!(add(&mut site).is_err());
        site.add("index.html", "<p>".into()).unwrap();
        assert!(add(&mut site).unwrap_err().mend.contains("charset"));
    }
}
