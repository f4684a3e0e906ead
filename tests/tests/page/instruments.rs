//! The instruments of the views: what they show is what the model computed.

use system_tests::{Element, Page, Result};

/// What a picture of a part says to people who cannot see it.
async fn says(page: &Page, part: &str) -> Result<String> {
    page.js(&format!("return document.querySelector('[data-part={part}] canvas').getAttribute('aria-label')")).await
}

async fn field(page: &Page, label: &str, text: &str) -> Result<()> {
    let css = format!("input[aria-label='{label}']");
    page.write(&css, text).await
}

fn number_after(text: &str, word: &str) -> Option<f64> {
    let rest = text.split_once(word)?.1.trim_start();
    let end = rest.find(|c: char| !matches!(c, '0'..='9' | '.' | '+' | '\u{2212}')).unwrap_or(rest.len());
    rest[..end].replace('\u{2212}', "-").parse().ok()
}

#[tokio::test]
async fn traces_are_triggered_held_and_measured_between_cursors() -> Result<()> {
    let page = Page::open().await?;
    page.click("Signals").await?;
    page.until_figures("the table moves", |f| f.count > 20).await?;
    page.choose("A rises").await?;
    page.until("a sweep was taken", async || Ok(says(&page, "traces").await?.contains("Each sweep starts at"))).await?;
    // Half of peak to peak as measured on the trace, against the amplitude that the model gives to the present light.
    let said = page.text("[data-part=traces] .values").await?;
    let amplitude = number_after(&said, "amplitudeA").ok_or_else(|| format!("no amplitude in {said}"))?;
    let model = page.figures().await?.amplitude_a_v;
    assert!((amplitude / model - 1.0).abs() < 0.05, "{said}: the model has {model} V");
    page.click("hold").await?;
    page.pause().await?;
    let held = page.text("[data-part=traces] .values").await?;
    let lamp = page.css("#set-head-lamp_percent").await?;
    assert!(lamp.is_displayed().await?);
    page.write("#set-head-lamp_percent", "60").await?;
    page.click("Run").await?;
    page.frames(30).await?;
    assert_eq!(page.text("[data-part=traces] .values").await?, held, "what is held stays");
    page.click("hold").await?;
    page.until("the measured amplitude follows the lamp", async || {
        let said = page.text("[data-part=traces] .values").await?;
        let now = page.figures().await?.amplitude_a_v;
        Ok(now < 0.8 * model && number_after(&said, "amplitudeA").is_some_and(|v| (v / now - 1.0).abs() < 0.1))
    })
    .await?;
    page.pause().await?;
    page.choose("free").await?;
    page.click("cursors").await?;
    field(&page, "Cursor 1, ms", "-30").await?;
    field(&page, "Cursor 2, ms", "-10").await?;
    page.until("the cursors are 20 ms apart", async || {
        Ok(page.text(".cursor-readout").await?.contains("\u{394}t 20.00 ms"))
    })
    .await?;
    assert!(page.text(".cursor-readout").await?.contains("1/\u{394}t 50.0 Hz"));
    // By keyboard: a step of the knob is half a percent of the window.
    let knob: Element = page.by_role("slider", "Cursor 2").await?;
    page.js_with::<()>("arguments[0].focus()", vec![serde_json::to_value(&knob)?]).await?;
    page.strike(&system_tests::Key::Right).await?;
    page.until("the cursor moved", async || Ok(!page.text(".cursor-readout").await?.contains("\u{394}t 20.00 ms")))
        .await?;
    page.expect_quiet_console().await
}

#[tokio::test]
async fn the_count_strip_and_the_figure_tell_what_the_model_has() -> Result<()> {
    let page = Page::open().await?;
    page.click("Signals").await?;
    page.until_figures("the table moves", |f| f.count > 60).await?;
    page.pause().await?;
    page.frames(8).await?;
    let figures = page.figures().await?;
    let count = says(&page, "count").await?;
    assert!(count.contains(&format!("Count {}, up.", figures.count)), "{count}: {figures:?}");
    let before = page.text("[data-part=figure-part] .values").await?;
    assert!(before.contains("phase error"), "{before}");
    let fault = page.css("#fault-channel-offset").await?;
    page.slide(&fault, 80.0).await?;
    page.click("Run").await?;
    page.until("the offset of A is on the figure", async || {
        let now = page.text("[data-part=figure-part] .values").await?;
        let offset = |text: &str| number_after(text, "offsetA");
        Ok(offset(&now).zip(offset(&before)).is_some_and(|(now, before)| (now - before).abs() > 0.05))
    })
    .await?;
    page.expect_quiet_console().await
}

#[tokio::test]
async fn the_travel_finds_the_weak_place_and_the_loop_tells_the_error() -> Result<()> {
    let page = Page::open().await?;
    page.click("Axis and loop").await?;
    page.write("#brush-from", "150").await?;
    page.write("#brush-to", "156").await?;
    page.css("#brush-apply").await?.click().await?;
    page.set_slower(1).await?;
    page.until_figures("the table has passed the dirt", |f| f.table_mm > 170.0 || f.alarm).await?;
    page.pause().await?;
    page.frames(8).await?;
    let travel = says(&page, "travel").await?;
    assert!(travel.contains("too weak"), "{travel}");
    let place = number_after(&travel, "V at").ok_or_else(|| format!("no place in {travel}"))?;
    assert!((149.0..157.0).contains(&place), "{travel}");
    let figures = page.figures().await?;
    let following = says(&page, "loop").await?;
    let error = number_after(&following, "Following error").ok_or_else(|| format!("no error in {following}"))?;
    assert!((error - figures.error_mm).abs() < 0.02, "{following}: {figures:?}");
    page.click("Clear").await?;
    page.until("nothing is travelled", async || Ok(says(&page, "travel").await?.contains("nothing travelled"))).await?;
    page.expect_quiet_console().await
}

/// The healthy bench is drawn in every instrument when it is asked for, and in none when it is not.
#[tokio::test]
async fn the_healthy_bench_is_a_ghost_in_every_instrument() -> Result<()> {
    let page = Page::open().await?;
    page.until_figures("the table moves", |f| f.count > 20).await?;
    for fault in ["gap-wide", "channel-offset", "channel-gain", "kv-halved"] {
        let fault = page.css(&format!("#fault-{fault}")).await?;
        page.js_with::<()>("arguments[0].closest('details').open = true", vec![serde_json::to_value(&fault)?]).await?;
        page.slide(&fault, 60.0).await?;
    }
    page.set_slower(10).await?;
    page.frames(60).await?;
    page.pause().await?;
    // Painted pixels of each picture, as one number, with and without the ghost.
    let sums = "
        return Object.fromEntries([...document.querySelectorAll('canvas')].filter((c) => c.clientWidth > 8 && c.checkVisibility()).map((canvas) => {
            const copy = new OffscreenCanvas(canvas.width, canvas.height);
            const pen = copy.getContext('2d', { willReadFrequently: true });
            pen.drawImage(canvas, 0, 0);
            const data = new Uint32Array(pen.getImageData(0, 0, copy.width, copy.height).data.buffer);
            let sum = 0;
            for (const [i, v] of data.entries()) { sum = (sum + (v % 65521) * (i % 8191)) % 4294967291; }
            return [`${canvas.closest('[data-part]')?.dataset.part} ${canvas.closest('.picture').className}`, sum];
        }))";
    for (view, parts) in [
        ("Whole chain", vec!["optics", "charts", "side"]),
        ("Signals", vec!["traces", "figure-part", "count"]),
        ("Axis and loop", vec!["travel", "loop"]),
    ] {
        page.click(view).await?;
        page.frames(10).await?;
        let with: std::collections::BTreeMap<String, f64> = page.js(sums).await?;
        page.css("#compare").await?.click().await?;
        page.frames(10).await?;
        let without: std::collections::BTreeMap<String, f64> = page.js(sums).await?;
        page.css("#compare").await?.click().await?;
        page.frames(10).await?;
        let again: std::collections::BTreeMap<String, f64> = page.js(sums).await?;
        assert_eq!(with, again, "the same picture when it is asked for again");
        for part in parts {
            let differs = with.iter().any(|(of, sum)| of.starts_with(part) && without.get(of) != Some(sum));
            assert!(differs, "no ghost in {part} of {view}: {with:?}");
        }
    }
    page.expect_quiet_console().await
}
