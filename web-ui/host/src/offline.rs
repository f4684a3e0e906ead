//! The script that keeps the page on the device (a service worker), written from the files of the page.

use std::fmt::Write as _;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};

use crate::Result;
use crate::glue::hex;
use crate::site::Site;

/// The script's address.
pub const ADDRESS: &str = "offline.js";
/// The script without its list.
const TEMPLATE: &str = include_str!("offline.js");
/// What the list stands in place of.
const LIST: &str = "/* every file with its hash */";
/// What the version stands in place of.
const VERSION: &str = "const VERSION = '';";

/// Adds the script to a page that is otherwise finished: it names every file with its hash.
/// [`remove`](Site::remove) it before a file is changed, and add it again.
///
/// # Errors
/// A static file has the script's name.
pub fn add(site: &mut Site) -> Result<()> {
    let mut list = String::from("[\n");
    let mut all = Sha256::new();
    for (address, bytes) in site.iter() {
        let hash = Sha256::digest(bytes);
        all.update(address);
        all.update(hash);
        // The page itself goes by the folder's address: some hosts send `index.html` on to it.
        let address = if address == "index.html" { "./" } else { address };
        // Writing to a string cannot fail; addresses need no escaping, see `Site`.
        let _ = writeln!(list, "  ['{address}', 'sha256-{}'],", STANDARD.encode(hash));
    }
    list.push(']');
    let version = &hex(&all.finalize())[..16];
    let script = TEMPLATE.replace(LIST, &list).replace(VERSION, &format!("const VERSION = '{version}';"));
    site.add(ADDRESS, script.into_bytes())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn script(files: &[(&str, &str)]) -> String {
        let mut site = Site::default();
        for (address, text) in files {
            site.add(address, text.as_bytes().to_vec()).unwrap();
        }
        add(&mut site).unwrap();
        String::from_utf8(site.get(ADDRESS).unwrap().to_vec()).unwrap()
    }

    #[test]
    fn every_file_is_named_with_its_hash() {
        let script = script(&[("index.html", "<p>"), ("font/a.woff2", "abc")]);
        // FIPS 180-2, appendix B.1: the message "abc", here in base64.
        assert!(
            script.contains("['font/a.woff2', 'sha256-ungWv48Bz+pBQUDeXa4iI7ADYaOWF3qctBD/YfIAFa0='],"),
            "{script}"
        );
        assert!(script.contains("['./', 'sha256-") && !script.contains("['index.html'"), "{script}");
        assert!(!script.contains(LIST) && !script.contains(VERSION), "{script}");
    }

    #[test]
    fn any_change_is_another_version() {
        let version = |files: &[(&str, &str)]| {
            let script = script(files);
            script.split("const VERSION = '").nth(1).unwrap().split('\'').next().unwrap().to_owned()
        };
        let first = version(&[("a.css", "x"), ("b.css", "y")]);
        assert_eq!(first.len(), 16);
        assert_eq!(first, version(&[("b.css", "y"), ("a.css", "x")]));
        for other in [&[("a.css", "x"), ("b.css", "z")][..], &[("a.css", "x"), ("c.css", "y")], &[("a.css", "x")]] {
            assert_ne!(first, version(other));
        }
    }
}
