//! Writes everything that `index.html` names into `index.html` itself.
//!
//! The tags it understands, and nothing else that would load something:
//!
//! | tag | becomes |
//! | --- | --- |
//! | `<meta charset>` | the same, followed by a content security policy; it must be there, before the two below |
//! | `<link rel="stylesheet" href="X">` | a `<style>` block; each `url(Y)` in it becomes a `data:` address |
//! | `<link rel="icon" href="X">`, `<img src="X">` | the same with a `data:` address |
//! | `<link rel="manifest">`, `preload`, `modulepreload` | nothing: one file has no use for them |
//! | `<script src="X"></script>` | an inline script in the same place |
//! | `<script type="module" src="boot.js"></script>` | the blocks of the caller, at the end of the body |
//! | `<a href>`, text, comments, any tag that loads nothing | the same |
//!
//! Anything else that loads a file (`srcset`, `<iframe>`, ...), and anything the served page's policy forbids
//! (inline scripts and styles, `style=`, `on...=`), is refused with its line, so that the two forms of the page agree.

pub mod css;
mod policy;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use html5gum::{DefaultEmitter, StartTag, Token, Tokenizer};

use self::policy::Policy;
use crate::site::Site;
use crate::{Error, Result, mime};

/// The one module script that `index.html` may name. It must be free of `import` and `export` statements, since it
/// becomes a classic script in the single file.
pub const START_SCRIPT: &str = "boot.js";
/// The file that is read.
const INDEX: &str = "web-ui/assets/index.html";
/// Attributes that load something wherever they stand.
const LOADING: [&str; 7] = ["src", "srcset", "data", "poster", "background", "action", "formaction"];

/// Something to write at the end of the body.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Block {
    /// Text that a script will read; it is not run.
    Data {
        /// The element's id.
        id: &'static str,
        /// The text.
        text: String,
    },
    /// A classic script.
    Script(String),
    /// A classic script that others find by its id.
    Code {
        /// The element's id.
        id: &'static str,
        /// The script.
        text: String,
    },
}

/// Makes one self-contained page from `index`, the files in `site` and the `blocks` that start it.
///
/// # Errors
/// A tag that is not in the table above, a file that is not in `site`, or a malformed page.
pub fn page(index: &str, site: &Site, blocks: &[Block]) -> Result<String> {
    let mut writer =
        Writer { index, site, blocks, out: String::new(), policy_at: None, policy: Policy::default(), started: false };
    let mut emitter = DefaultEmitter::<usize>::new_with_span();
    emitter.naively_switch_states(true);
    let mut inside = String::new();
    for Ok(token) in Tokenizer::new_with_emitter(index, emitter) {
        match token {
            Token::StartTag(tag) => {
                inside = utf8(&tag.name);
                writer.start_tag(&tag)?;
            }
            Token::EndTag(tag) => {
                inside.clear();
                writer.end_tag(&utf8(&tag.name), tag.span.start)?;
            }
            Token::String(text) => {
                let (words, at) = (utf8(&text.value), text.span.start);
                if inside == "script" || inside == "style" {
                    if !words.trim().is_empty() {
                        return Err(writer.refuse(
                            at,
                            &format!("an inline <{inside}>"),
                            "move it into a file of its own",
                        ));
                    }
                } else {
                    writer.out.push_str(&escape(&words));
                }
            }
            Token::Comment(_) => {}
            Token::Doctype(_) => writer.out.push_str("<!doctype html>"),
            Token::Error(error) => {
                let what = format!("malformed HTML ({})", error.value);
                return Err(writer.refuse(error.span.start, &what, "correct the line"));
            }
        }
    }
    writer.finish()
}

struct Writer<'a> {
    index: &'a str,
    site: &'a Site,
    blocks: &'a [Block],
    out: String,
    /// Where the policy goes, once all blocks are known.
    policy_at: Option<usize>,
    policy: Policy,
    /// The start script's tag has been seen.
    started: bool,
}

impl Writer<'_> {
    fn start_tag(&mut self, tag: &StartTag<usize>) -> Result<()> {
        let name = utf8(&tag.name);
        let at = tag.span.start;
        let attributes: Vec<(String, String)> =
            tag.attributes.iter().map(|(key, value)| (utf8(key), utf8(&value.value))).collect();
        let get = |key: &str| attributes.iter().find(|(k, _)| k == key).map(|(_, v)| v.as_str());

        if let Some((key, _)) = attributes.iter().find(|(key, _)| key == "style" || key.starts_with("on")) {
            let what = format!("the attribute `{key}` on <{name}>, which the policy of the served page forbids");
            return Err(self.refuse(at, &what, "set it from a style sheet or a script file"));
        }
        match name.as_str() {
            "link" => return self.link(at, get("rel").unwrap_or(""), get("href"), &attributes),
            "script" => return self.script(at, get("type"), get("src"), &attributes),
            "img" if get("srcset").is_none() => {
                let address = self.as_data(at, get("src"))?;
                self.tag(&name, &attributes, Some(("src", &address)));
                return Ok(());
            }
            "iframe" | "object" | "embed" | "base" | "style" | "form" => {
                return Err(self.refuse(at, &format!("the tag <{name}>"), "the page has to do without it"));
            }
            _ => {}
        }
        if let Some((key, _)) = attributes.iter().find(|(key, _)| LOADING.contains(&key.as_str())) {
            let what = format!("the attribute `{key}` on <{name}>");
            return Err(self.refuse(at, &what, "load the file with a tag from the table in web-ui/host/src/inline.rs"));
        }
        if name == "meta" && get("http-equiv").is_some() {
            return Err(self.refuse(at, "a <meta http-equiv>", "policies are set by the server and by the bundler"));
        }
        self.tag(&name, &attributes, None);
        if name == "meta" && get("charset").is_some() {
            self.policy_at = Some(self.out.len());
        }
        Ok(())
    }

    fn link(&mut self, at: usize, rel: &str, href: Option<&str>, attributes: &[(String, String)]) -> Result<()> {
        match rel {
            "stylesheet" => {
                let address = self.local(at, href)?;
                let text = css::inline(address, self.text(at, address)?, self.site)?;
                let text = text.replace("\r\n", "\n").replace("</style", "<\\/style");
                self.policy_before(at)?;
                self.policy.allow_style(&text);
                self.out.push_str(&format!("<style>{text}</style>"));
            }
            "icon" => {
                let address = self.as_data(at, href)?;
                self.tag("link", attributes, Some(("href", &address)));
            }
            "manifest" | "preload" | "modulepreload" => {}
            _ => {
                let what = format!("<link rel=\"{rel}\">");
                return Err(self.refuse(at, &what, "use stylesheet, icon, manifest, preload or modulepreload"));
            }
        }
        Ok(())
    }

    fn script(
        &mut self,
        at: usize,
        kind: Option<&str>,
        src: Option<&str>,
        attributes: &[(String, String)],
    ) -> Result<()> {
        let address = self.local(at, src)?;
        if kind == Some("module") {
            if address != START_SCRIPT {
                let what = format!("the module script {address}");
                return Err(self.refuse(
                    at,
                    &what,
                    "only boot.js may be a module; leave out type=\"module\" or start it from Rust",
                ));
            }
            self.started = true;
            return Ok(());
        }
        if let Some((key, _)) = attributes.iter().find(|(key, _)| key != "src") {
            let what = format!("the attribute `{key}` on <script>");
            return Err(self.refuse(
                at,
                &what,
                "a plain <script src=\"...\"></script> stays in its place in both forms",
            ));
        }
        let text = self.text(at, address)?.to_owned();
        self.policy_before(at)?;
        self.run(None, &text);
        Ok(())
    }

    fn end_tag(&mut self, name: &str, at: usize) -> Result<()> {
        match name {
            "script" => return Ok(()), // Written with its content.
            "body" => {
                if !self.started {
                    let what = "no start script";
                    return Err(self.refuse(at, what, "add <script type=\"module\" src=\"boot.js\"></script>"));
                }
                self.policy_before(at)?;
                for block in self.blocks {
                    match block {
                        Block::Data { id, text } => {
                            self.out.push_str(&format!(
                                "<script type=\"text/plain\" id=\"{id}\">{}</script>",
                                harmless(text)
                            ));
                        }
                        Block::Script(text) => self.run(None, text),
                        Block::Code { id, text } => self.run(Some(id), text),
                    }
                }
            }
            _ => {}
        }
        self.out.push_str(&format!("</{name}>"));
        Ok(())
    }

    /// Writes an inline classic script and lets the policy allow it.
    fn run(&mut self, id: Option<&str>, text: &str) {
        let text = harmless(text);
        self.policy.allow_script(&text);
        let id = id.map_or_else(String::new, |id| format!(" id=\"{id}\""));
        self.out.push_str(&format!("<script{id}>{text}</script>"));
    }

    fn tag(&mut self, name: &str, attributes: &[(String, String)], instead: Option<(&str, &str)>) {
        self.out.push_str(&format!("<{name}"));
        for (key, value) in attributes {
            let value = instead.filter(|(k, _)| k == key).map_or(value.as_str(), |(_, v)| v);
            self.out.push_str(&format!(" {key}=\"{}\"", escape(value).replace('"', "&quot;")));
        }
        self.out.push('>');
    }

    fn policy_before(&self, at: usize) -> Result<()> {
        if self.policy_at.is_some() {
            return Ok(());
        }
        Err(self.refuse(at, "no <meta charset=\"utf-8\"> before this", "make it the first tag of <head>"))
    }

    fn finish(mut self) -> Result<String> {
        if !self.out.contains("</body>") {
            return Err(self.refuse(self.index.len(), "no </body>", "close the body"));
        }
        if let Some(at) = self.policy_at {
            self.out.insert_str(at, &self.policy.meta());
        }
        Ok(self.out)
    }

    /// The address of a file of ours; other addresses are refused.
    fn local<'t>(&self, at: usize, address: Option<&'t str>) -> Result<&'t str> {
        let address =
            address.ok_or_else(|| self.refuse(at, "a tag without its file", "name a file in web-ui/assets"))?;
        let address = address.trim_start_matches("./");
        if self.site.get(address).is_some() {
            return Ok(address);
        }
        Err(self.refuse(
            at,
            &format!("the file `{address}`, which is not there"),
            "put it into web-ui/assets, or correct the name",
        ))
    }

    fn text(&self, at: usize, address: &str) -> Result<&str> {
        std::str::from_utf8(self.site.get(address).unwrap_or_default())
            .map_err(|_| self.refuse(at, &format!("the file `{address}`, which is not UTF-8"), "save it as UTF-8"))
    }

    fn as_data(&self, at: usize, address: Option<&str>) -> Result<String> {
        let address = self.local(at, address)?;
        Ok(data_address(address, self.site.get(address).unwrap_or_default()))
    }

    fn refuse(&self, at: usize, what: &str, mend: &str) -> Error {
        let line = 1 + self.index.bytes().take(at).filter(|b| *b == b'\n').count();
        Error::new(format!("the single file cannot hold {what}"), format!("{INDEX}, line {line}"), mend)
    }
}

/// A file as a `data:` address.
fn data_address(name: &str, bytes: &[u8]) -> String {
    let kind = mime::of(name).replace("; ", ";");
    format!("data:{kind};base64,{}", STANDARD.encode(bytes))
}

/// A script's text without the two sequences that would end it early (HTML standard, "restrictions for contents of
/// script elements"), and with the line ends that a browser will see and hash. Both occur in strings only, where the backslash changes nothing.
fn harmless(script: &str) -> String {
    script.replace("\r\n", "\n").replace("</script", "<\\/script").replace("<!--", "<\\!--")
}

fn escape(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

fn utf8(text: &html5gum::HtmlString) -> String {
    String::from_utf8_lossy(text).into_owned()
}

#[cfg(test)]
mod tests;
