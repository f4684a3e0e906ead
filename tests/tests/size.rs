//! How large the page is on its way to a person: its module, scripts and style sheet as a web server sends them
//! compressed (Brotli, RFC 7932, quality 11, window of 22 bits).

use std::io::Write as _;

use brotli::enc::BrotliEncoderParams;
use system_tests::{Result, site};

/// Most that may be sent, bytes, a little over today's table in `DEVELOPERS.md`. The aim, 700 000, is not met yet; this
/// keeps the page from moving farther away from it.
const MOST: usize = 980_000;

fn packed(bytes: &[u8]) -> Result<usize> {
    let params = BrotliEncoderParams { quality: 11, lgwin: 22, ..BrotliEncoderParams::default() };
    let mut out = Vec::new();
    let mut input = bytes;
    brotli::BrotliCompress(&mut input, &mut out, &params)?;
    Ok(out.len())
}

#[test]
fn the_page_does_not_grow_beyond_todays_size() -> Result<()> {
    let site = site()?;
    let (mut plain, mut sent, mut told) = (0, 0, String::new());
    for (address, bytes) in site.iter() {
        if ![".wasm", ".js", ".css"].iter().any(|ending| address.ends_with(ending)) {
            continue;
        }
        let size = packed(bytes)?;
        told += &format!("{address:16}{:>12}{size:>12}\n", bytes.len());
        (plain, sent) = (plain + bytes.len(), sent + size);
    }
    let table = format!("{:16}{:>12}{:>12}\n{told}{:16}{plain:>12}{sent:>12}\n", "", "bytes", "sent", "together");
    std::io::stdout().lock().write_all(table.as_bytes())?;
    assert!(plain > 500_000, "the module is missing:\n{table}");
    assert!(sent < MOST, "the page has grown over {MOST} bytes:\n{table}");
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
