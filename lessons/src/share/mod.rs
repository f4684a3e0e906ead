//! A scene as a link: short enough to be sent, read out by a telephone's camera or kept in a notebook.
//!
//! ```text
//! scene -> TOML without defaults -> deflate (RFC 1951) after our own words -> CRC-32 before it -> base64url (RFC 4648) -> "1." before it
//! ```
//!
//! The same scene gives the same text on every machine. What comes back is read by the reader of scene files with all
//! its checks, so a link can hold nothing that a file may not.

mod bench;
mod error;
pub(crate) mod packed;

pub use bench::scene_of_bench;
pub use error::ShareError;

use sim_core::scene::{FORMAT, Scene};

/// What links of this version begin with.
const VERSION: &str = "1.";

/// Most characters of the text of a link (without the page's address) that are read.
pub const LONGEST_LINK: usize = 8192;

/// The part of an address that says that a bench follows.
pub const KEY: &str = "bench=";

/// Longest text that is looked through for a link, bytes: a link wrapped by a mail program, and an address before it.
pub(crate) const LONGEST_PASTE: usize = 4 * LONGEST_LINK;

/// The text of a link that holds the scene: `1.` and letters that every address may hold. It may come out longer than
/// [`LONGEST_LINK`]; such a scene wants a file.
pub fn link_of(scene: &Scene) -> String {
    format!("{VERSION}{}", packed::pack(&plain(scene)))
}

/// Like [`link_of`]; `None` when the scene is too large for a link and wants a file.
pub fn short_link_of(scene: &Scene) -> Option<String> {
    let text = plain(scene);
    let link = Some(text).filter(|text| text.len() <= packed::LARGEST_TEXT).map(|_| link_of(scene));
    link.filter(|link| link.len() <= LONGEST_LINK)
}

/// The whole address of a link: that of the page, then the link behind `#bench=`.
pub fn address_of(base: &str, link: &str) -> String {
    let page = base.split('#').next().unwrap_or_default();
    format!("{page}#{KEY}{link}")
}

/// The text of the scene as the link holds it: without what every scene has.
fn plain(scene: &Scene) -> String {
    let text = crate::write(scene);
    let first = format!("format = {FORMAT}\n");
    let text = text.strip_prefix(&first).unwrap_or(&text);
    text.replacen("step = []\n", "", 1).replacen("[set]\n\n", "", 1)
}

/// What was pasted without the blanks, line breaks and marks that mail programs put in and around it.
pub(crate) fn tight(text: &str) -> String {
    let tight: String = text.chars().filter(|c| !c.is_whitespace() && *c != '\u{200b}' && *c != '\u{feff}').collect();
    tight.trim_start_matches(['<', '"']).trim_end_matches(['>', '"', '.', ',', ';']).to_owned()
}

/// The scene of a link. Takes the whole address or what stands behind `#`, with blanks and line breaks that mail
/// programs put in.
///
/// # Errors
/// What is wrong with it and how to mend it, see [`ShareError`].
pub fn scene_of(text: &str) -> Result<Scene, ShareError> {
    if text.len() > LONGEST_PASTE {
        return Err(ShareError::TooLong { letters: text.len() });
    }
    let tight = tight(text);
    let link = match tight.rsplit_once(KEY) {
        Some((_, link)) => link,
        None => tight.trim_start_matches('#'),
    };
    let version = link.split_once('.').map(|(version, rest)| (version.parse::<u32>(), rest));
    let body = match version {
        Some((Ok(1), body)) => body,
        Some((Ok(found), _)) if found > 1 => return Err(ShareError::Newer { found }),
        _ => return Err(ShareError::NotALink),
    };
    if link.len() > LONGEST_LINK {
        return Err(ShareError::TooLong { letters: link.len() });
    }
    let text = packed::unpack(body)?;
    Ok(crate::read("the link", &format!("format = {FORMAT}\n{text}"))?)
}
