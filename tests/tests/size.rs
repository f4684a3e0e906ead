//! How large the page is on its way to a person: module, scripts and style sheets as a web server sends them compressed
//! (Brotli, RFC 7932, quality 11, window of 22 bits). What the page waits for before the bench stands there is told
//! apart from the parts that it fetches when they are first opened.

use std::io::Write as _;

use brotli::enc::BrotliEncoderParams;
use system_tests::{Result, site};

/// Most that may be sent before the page can be used, bytes.
const MOST: usize = 700_000;
/// Most that may be sent in all, a little over today's table in `DEVELOPERS.md`: what is fetched later must not grow
/// unseen.
const MOST_IN_ALL: usize = 1_110_000;

fn packed(bytes: &[u8]) -> Result<usize> {
    let params = BrotliEncoderParams { quality: 11, lgwin: 22, ..BrotliEncoderParams::default() };
    let mut out = Vec::new();
    let mut input = bytes;
    brotli::BrotliCompress(&mut input, &mut out, &params)?;
    Ok(out.len())
}

/// Whether a file is a part of the module that is fetched later. All that is not is waited for.
fn is_later(address: &str) -> bool {
    address.ends_with(".wasm") && address != "app_bg.wasm"
}

/// Rows of files with a last row of their sums, and how much is sent of them.
fn rows<'a>(files: impl Iterator<Item = (&'a str, &'a [u8])>, last: &str) -> Result<(String, usize)> {
    let (mut plain, mut sent, mut told) = (0, 0, String::new());
    for (address, bytes) in files {
        let size = packed(bytes)?;
        told += &format!("{address:26}{:>12}{size:>12}\n", bytes.len());
        (plain, sent) = (plain + bytes.len(), sent + size);
    }
    Ok((told + &format!("{last:26}{plain:>12}{sent:>12}\n"), sent))
}

#[test]
fn the_page_is_sent_in_less_than_its_limit() -> Result<()> {
    let site = site()?;
    let counted = || site.iter().filter(|(a, _)| [".wasm", ".js", ".css"].iter().any(|ending| a.ends_with(ending)));
    let (first, sent) = rows(counted().filter(|(address, _)| !is_later(address)), "before use")?;
    let (later, sent_later) = rows(counted().filter(|(address, _)| is_later(address)), "when opened")?;
    let table = format!("{:26}{:>12}{:>12}\n{first}{later}", "", "bytes", "sent");
    std::io::stdout().lock().write_all(table.as_bytes())?;
    assert!(sent > 300_000 && sent_later > 100_000, "a module is missing:\n{table}");
    assert!(sent < MOST, "the page has grown over {MOST} bytes:\n{table}");
    assert!(sent + sent_later < MOST_IN_ALL, "page and parts have grown over {MOST_IN_ALL} bytes:\n{table}");
    Ok(())
}

/// The measure itself: bytes without pattern do not shrink, equal ones do.
#[test]
fn the_measure_tells_sizes_apart() -> Result<()> {
    let mut state = 1_u32;
    let noise: Vec<u8> = (0..20_000)
        .map(|_| {
            // Marsaglia, "Xorshift RNGs", 2003.
            state ^= state << 13;
            state ^= state >> 17;
            state ^= state << 5;
            state.to_le_bytes()[0]
        })
        .collect();
    assert!(packed(&noise)? > 19_500);
    assert!(packed(&[7; 20_000])? < 100);
    Ok(())
}
