//! Writes the files that a style sheet names by `url(...)` into it as `data:` addresses.

use super::data_address;
use crate::site::Site;
use crate::{Error, Result};

/// Returns the text of the style sheet at `sheet` with every file it names written in. Names are relative to the
/// sheet's folder; `data:` addresses and bare `#` fragments stay.
///
/// # Errors
/// A file that is not in `site`, an unclosed `url(` or comment, or `@import`, which would need a request.
pub fn inline(sheet: &str, text: &str, site: &Site) -> Result<String> {
    let folder = sheet.rsplit_once('/').map_or("", |(folder, _)| folder);
    let refuse = |rest: &str, what: String, mend: &str| {
        let line = 1 + text[..text.len() - rest.len()].matches('\n').count();
        Error::new(what, format!("web-ui/assets/{sheet}, line {line}"), mend)
    };
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        if rest.starts_with("/*") {
            let end = rest
                .find("*/")
                .ok_or_else(|| refuse(rest, "a comment is not closed".to_owned(), "close it with */"))?;
            // Kept, as it may hold the licence of a font.
            out.push_str(&rest[..end + 2]);
            rest = &rest[end + 2..];
        } else if begins(rest, "@import") {
            let what = "the single file cannot hold an @import".to_owned();
            return Err(refuse(rest, what, "name the sheet in index.html with <link rel=\"stylesheet\">"));
        } else if begins(rest, "url(") {
            let end =
                closing(rest).ok_or_else(|| refuse(rest, "a url( is not closed".to_owned(), "close it with )"))?;
            let name = rest[4..end].trim().trim_matches(['"', '\'']);
            if name.starts_with("data:") || name.starts_with('#') {
                out.push_str(&rest[..=end]);
            } else {
                let bytes = resolve(folder, name).and_then(|address| site.get(&address)).ok_or_else(|| {
                    let what = format!("the style sheet names `{name}`, which is not a file of the page");
                    refuse(rest, what, "put the file into web-ui/assets, or correct the name")
                })?;
                out.push_str(&format!("url(\"{}\")", data_address(name, bytes)));
            }
            rest = &rest[end + 1..];
        } else if first == '"' || first == '\'' {
            let end = string_end(rest)
                .ok_or_else(|| refuse(rest, "a string is not closed".to_owned(), "close its quotes"))?;
            out.push_str(&rest[..end]);
            rest = &rest[end..];
        } else {
            out.push(first);
            rest = &rest[first.len_utf8()..];
        }
    }
    Ok(out)
}

fn begins(text: &str, word: &str) -> bool {
    text.get(..word.len()).is_some_and(|start| start.eq_ignore_ascii_case(word))
}

/// The place of the parenthesis that closes a `url(`, whose content may be quoted.
fn closing(text: &str) -> Option<usize> {
    let inner = text[4..].trim_start();
    let from = text.len() - inner.len();
    let quoted = if inner.starts_with(['"', '\'']) { string_end(inner)? } else { 0 };
    text[from + quoted..].find(')').map(|end| from + quoted + end)
}

/// The place after the quote that closes the string at the start of `text`.
fn string_end(text: &str) -> Option<usize> {
    let quote = text.chars().next()?;
    let mut escaped = false;
    for (at, letter) in text.char_indices().skip(1) {
        match letter {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            _ if letter == quote => return Some(at + 1),
            _ => {}
        }
    }
    None
}

/// `name` as seen from `folder`, without leaving the page.
fn resolve(folder: &str, name: &str) -> Option<String> {
    let mut parts: Vec<&str> = folder.split('/').filter(|part| !part.is_empty()).collect();
    for part in name.split('/') {
        match part {
            "." => {}
            ".." => {
                parts.pop()?;
            }
            _ => parts.push(part),
        }
    }
    Some(parts.join("/"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn site() -> Site {
        let mut site = Site::default();
        site.add("fonts/text.woff2", vec![1, 2, 3]).unwrap();
        site
    }

    #[test]
    fn fonts_are_written_in_whatever_the_quotes() {
        let data = "url(\"data:font/woff2;base64,AQID\")";
        for (sheet, name) in [
            ("page.css", "url(fonts/text.woff2)"),
            ("page.css", "URL( 'fonts/text.woff2' )"),
            ("page.css", "url(\"./fonts/text.woff2\")"),
            ("fonts/fonts.css", "url(text.woff2)"),
            ("css/page.css", "url(../fonts/text.woff2)"),
        ] {
            let text = format!("@font-face{{src:{name} format('woff2')}}");
            let expected = format!("@font-face{{src:{data} format('woff2')}}");
            assert_eq!(inline(sheet, &text, &site()).unwrap(), expected, "{sheet} {name}");
        }
    }

    #[test]
    fn what_loads_nothing_stays() {
        for text in [
            "a{b:url(#clip)}",
            "a{b:url(\"data:image/svg+xml,<svg fill='url(%23x)'/>\")}",
            "a::after{content:\"url(none.png) \\\" }\"}",
            "p{margin:0 µ}",
            "a{}/* url(none.png) it's */b{}",
        ] {
            assert_eq!(inline("page.css", text, &site()).unwrap(), text);
        }
    }

    #[test]
    fn faults_are_told_with_their_line() {
        for (text, words) in [
            ("a{}\nb{c:url(none.png)}", "`none.png`"),
            ("a{}\nb{c:url(../fonts/text.woff2)}", "`../fonts/text.woff2`"),
            ("a{}\n@import 'x.css';", "@import"),
            ("a{}\nb{c:url(x", "url( is not closed"),
            ("a{}\n/* x", "comment is not closed"),
            ("a{}\nb{c:\"x", "string is not closed"),
        ] {
            let error = inline("page.css", text, &site()).expect_err(words);
            assert!(error.what.contains(words), "{error}");
            assert_eq!(error.place, "web-ui/assets/page.css, line 2", "{words}");
        }
    }
}
