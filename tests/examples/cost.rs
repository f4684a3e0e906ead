//! Prints what a sample and a step of the model cost, natively and in the page:
//! `cargo run --release -p system-tests --example cost`.
//!
//! Without `--release` the model is optimised too, but checks its arithmetic.

use std::time::Instant;

use serde::Deserialize;
use sim_core::bench::cost::{measure, shuttling};
use system_tests::{Page, Result};

/// Rounds and steps of a round; the browser's clock ticks every 0.1 ms.
const NATIVE: (u32, u64) = (400, 1000);
const IN_PAGE: (u32, u64) = (200, 1500);

/// A long run, s of model time.
const TEN_MINUTES_S: f64 = 600.0;

#[derive(Deserialize)]
struct InPage {
    name: String,
    per: String,
    ns: f64,
}

#[tokio::main(flavor = "current_thread")]
async fn main() -> Result<()> {
    let page = Page::open().await?;
    page.pause().await?;
    let script = format!("return countlight.cost({}, {}).then(JSON.parse)", IN_PAGE.0, IN_PAGE.1);
    let in_page: Vec<InPage> = page.js(&script).await?;
    let start = Instant::now();
    let native = measure(NATIVE.0, NATIVE.1, || start.elapsed().as_secs_f64());
    println!("{:28}{:>8}{:>12}{:>12}{:>8}", "", "per", "native, ns", "page, ns", "ratio");
    for (one, other) in native.iter().zip(&in_page) {
        if one.name != other.name {
            return Err(format!("the page was built from another model: {} is not {}", other.name, one.name).into());
        }
        let per = other.per.to_lowercase();
        println!("{:28}{per:>8}{:>12.1}{:>12.1}{:>8.2}", one.name, one.ns, other.ns, other.ns / one.ns);
    }
    let mut sim = shuttling();
    let begun = Instant::now();
    sim.advance((TEN_MINUTES_S / sim_core::record::STEP_S) as u64, &mut ());
    let native_s = begun.elapsed().as_secs_f64();
    let page_s: f64 = page.js(&format!("return countlight.shuttle_s({TEN_MINUTES_S})")).await?;
    println!("ten minutes of shuttling at 6 m/min: {native_s:.1} s natively, {page_s:.1} s in the page");
    if cfg!(debug_assertions) {
        println!("The native figures are those of a checked build; with `--release` they are lower.");
    }
    Ok(())
}
