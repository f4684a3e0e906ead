//! The verb `bundle`: the whole page in one HTML file that needs no server and no network.

use std::fs;
use std::io::Write;
use std::path::PathBuf;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use flate2::Compression;
use flate2::write::GzEncoder;

use crate::build::assemble;
use crate::content;
use crate::glue::Kind;
use crate::inline::{self, Block};
use crate::progress::Progress;
use crate::site::Site;
use crate::workspace::Workspace;
use crate::{Error, Result};

/// Writes the whole page into one HTML file that opens without a server and without a network.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  countlight bundle countlight.html\n\n\
    Copy the file to a stick or send it by mail; a double click opens it in a current browser.")]
pub struct Args {
    /// The file to write; an existing one is replaced.
    #[arg(value_name = "FILE.html")]
    pub file: PathBuf,
}

/// Runs the verb.
///
/// # Errors
/// The name does not end in `.html`, the page cannot be built or the file cannot be written.
pub fn run(args: &Args, progress: Progress) -> Result<()> {
    if args.file.extension().is_none_or(|ending| ending != "html") {
        return Err(Error::new(
            "a browser would not open this file as a page",
            args.file.display(),
            "give a name that ends in .html",
        ));
    }
    let html = single_file(progress)?;
    fs::write(&args.file, &html).map_err(|e| Error::file("write the file", &args.file, &e))?;
    println!("{}  ({} kB)", args.file.display(), html.len() / 1000);
    Ok(())
}

/// Builds the page as one HTML text.
///
/// # Errors
/// As [`crate::build::page`]; also when `index.html` or a style sheet uses something the single file cannot hold.
pub fn single_file(progress: Progress) -> Result<String> {
    let workspace = Workspace::locate()?;
    let _lock = workspace.lock_build(progress)?;
    let site = assemble(&workspace, Kind::Classic, progress)?;
    pack(&site)
}

/// Puts a page with a classic loader into one file: `index.html` with every file it names written into it, then the
/// module, its loader and the start script at the end of the body.
fn pack(site: &Site) -> Result<String> {
    let module = gzip(need(site, "app_bg.wasm")?)?;
    let blocks = [
        Block::Data { id: "page-module", text: STANDARD.encode(module) },
        Block::Data { id: "page-parts", text: parts(site)? },
        Block::Code { id: "page-code", text: text(site, "app.js")? },
        Block::Data { id: "page-worker", text: text(site, "worker.js")? },
        // The same JSON (RFC 8259, section 7) without a letter that could end the block.
        Block::Data { id: "page-content", text: text(site, content::ADDRESS)?.replace('<', "\\u003c") },
        Block::Script(include_str!("unpack.js").to_owned()),
        Block::Script(text(site, inline::START_SCRIPT)?),
    ];
    inline::page(&text(site, "index.html")?, site, &blocks)
}

/// The parts of the module as JSON: names with their packed bytes as base64, which needs no escaping.
fn parts(site: &Site) -> Result<String> {
    let mut fields = Vec::new();
    for (address, bytes) in site.iter().filter(|(address, _)| address.ends_with(".wasm") && *address != "app_bg.wasm") {
        fields.push(format!("\"{address}\":\"{}\"", STANDARD.encode(gzip(bytes)?)));
    }
    Ok(format!("{{{}}}", fields.join(",")))
}

fn need<'a>(site: &'a Site, address: &str) -> Result<&'a [u8]> {
    site.get(address).ok_or_else(|| {
        Error::new(
            "a file of the page is missing",
            format!("web-ui/assets/{address}"),
            "restore it from the repository",
        )
    })
}

fn text(site: &Site, address: &str) -> Result<String> {
    String::from_utf8(need(site, address)?.to_vec()).map_err(|e| {
        Error::new(format!("a text file is not UTF-8: {e}"), format!("web-ui/assets/{address}"), "save it as UTF-8")
    })
}

fn gzip(bytes: &[u8]) -> Result<Vec<u8>> {
    let mut encoder = GzEncoder::new(Vec::new(), Compression::best());
    encoder
        .write_all(bytes)
        .and_then(|()| encoder.finish())
        .map_err(|e| Error::new(format!("cannot compress the module: {e}"), "memory", "free some memory and retry"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn site() -> Site {
        let mut site = Site::default();
        let index = "<!doctype html><html><head><meta charset=\"utf-8\"><title>t</title></head>\
            <body><script type=\"module\" src=\"boot.js\"></script></body></html>";
        for (address, text) in [
            ("index.html", index),
            ("boot.js", "start();"),
            ("app.js", "let a;"),
            ("worker.js", "work();"),
            (content::ADDRESS, "{\"a\":\"<!-- </script>\"}"),
        ] {
            site.add(address, text.into()).unwrap();
        }
        site.add("app_bg.wasm", b"\0asm".to_vec()).unwrap();
        site.add("split_a.wasm", b"\0asm".to_vec()).unwrap();
        site
    }

    #[test]
    fn the_module_comes_before_its_loader_and_the_start_last() {
        let html = pack(&site()).unwrap();
        let place = |text: &str| html.find(text).unwrap_or_else(|| panic!("{text} is missing in {html}"));
        assert!(place("id=\"page-module\"") < place("let a;"));
        assert!(html.contains("<script id=\"page-code\">let a;</script>"), "the helper's code is found by its id");
        assert!(html.contains("<script type=\"text/plain\" id=\"page-worker\">work();</script>"));
        assert!(place("let a;") < place("countlightUnpack ="));
        let content = r#"<script type="text/plain" id="page-content">{"a":"\u003c!-- \u003c/script>"}</script>"#;
        assert!(place(content) < place("start();"), "scenes and lessons are there when the page starts");
        assert!(place("countlightUnpack =") < place("start();"));
    }

    #[test]
    fn the_module_survives_packing() {
        use std::io::Read;
        let html = pack(&site()).unwrap();
        let block =
            |id: &str| html.split(&format!("id=\"{id}\">")).nth(1).unwrap().split('<').next().unwrap().to_owned();
        let parts: serde_json::Value = serde_json::from_str(&block("page-parts")).unwrap();
        for data in [block("page-module").as_str(), parts["split_a.wasm"].as_str().unwrap()] {
            let mut module = Vec::new();
            flate2::read::GzDecoder::new(&STANDARD.decode(data).unwrap()[..]).read_to_end(&mut module).unwrap();
            assert_eq!(module, b"\0asm");
        }
    }

    #[test]
    fn a_missing_file_is_named() {
        let error = pack(&Site::default()).unwrap_err();
        assert_eq!(error.place, "web-ui/assets/app_bg.wasm");
    }

    #[test]
    fn the_ending_is_checked_before_the_build() {
        let error = run(&Args { file: "page.txt".into() }, Progress::Silent).unwrap_err();
        assert!(error.mend.contains(".html"));
    }
}
