//! What only tests and measurements ask of the page, fetched when they do: no person waits for it.

use crate::later::later;
use lessons::read;
use sim_core::bench::{cost, run_watched};
use sim_core::instrument::digest::Digest;
use sim_core::record::STEP_S;
use wasm_bindgen::prelude::*;

/// What is measured, and the clock for it, s.
struct Proof {
    digest: fn(&str, &str) -> Result<String, String>,
    cost: fn(u32, u32, &dyn Fn() -> f64) -> String,
    shuttle: fn(f64),
}

later! {
    fn proof_later() -> Proof, in proof = Proof { digest, cost: costs, shuttle }
}

async fn proof() -> Result<Proof, JsValue> {
    proof_later().await.map_err(|missing| JsValue::from(missing.to_string()))
}

fn digest(name: &str, text: &str) -> Result<String, String> {
    let scene = read(name, text).map_err(|error| error.to_string())?;
    let mut digest = Digest::default();
    run_watched(&scene, &mut digest);
    Ok(digest.hex())
}

fn costs(rounds: u32, steps: u32, clock: &dyn Fn() -> f64) -> String {
    let costs = cost::measure(rounds, u64::from(steps), clock);
    serde_json::to_string(&costs).unwrap_or_default()
}

fn shuttle(model_s: f64) {
    cost::shuttling().advance_unwatched((model_s / STEP_S) as u64);
}

/// Runs a scene from its text and gives the fingerprint of everything that came out, or the reader's error.
///
/// # Errors
/// The words of the reader when the scene is not one.
#[wasm_bindgen]
pub async fn scene_digest(name: String, text: String) -> Result<String, JsValue> {
    (proof().await?.digest)(&name, &text).map_err(JsValue::from)
}

/// The browser's clock, s.
fn clock() -> Result<impl Fn() -> f64, JsValue> {
    let clock = web_sys::window().and_then(|window| window.performance());
    let clock = clock.ok_or_else(|| JsValue::from("this browser has no clock to measure with"))?;
    Ok(move || clock.now() * 1e-3)
}

/// What a sample and a step cost in this browser, as a JSON list of names, units and nanoseconds. Holds the page up for
/// some seconds.
///
/// # Errors
/// There is no clock, or the part did not arrive.
#[wasm_bindgen]
pub async fn cost(rounds: u32, steps: u32) -> Result<String, JsValue> {
    Ok((proof().await?.cost)(rounds, steps, &clock()?))
}

/// Seconds that `model_s` of shuttling take in this browser, worked through in one go.
///
/// # Errors
/// As [`cost`].
#[wasm_bindgen]
pub async fn shuttle_s(model_s: f64) -> Result<f64, JsValue> {
    let (shuttle, clock) = (proof().await?.shuttle, clock()?);
    let start_s = clock();
    shuttle(model_s);
    Ok(clock() - start_s)
}
