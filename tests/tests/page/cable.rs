//! Cable and hand tools: what hands do at the plug, the supply and the bracket, and what the model makes of it.

use system_tests::{Page, Result};

async fn open() -> Result<Page> {
    let page = Page::open().await?;
    page.click("Cable and hand tools").await?;
    page.css("#unplug").await?;
    Ok(page)
}

async fn faults(page: &Page) -> Result<Vec<String>> {
    let bench = page.bench().await?;
    let faults = bench["faults"].as_array().cloned().unwrap_or_default();
    Ok(faults.iter().filter_map(|f| f["id"].as_str().map(str::to_owned)).collect())
}

#[tokio::test]
async fn a_conductor_drawn_to_another_terminal_turns_the_count_round() -> Result<()> {
    let page = open().await?;
    page.pause().await?;
    let (a, b) = (page.css("[data-wire='0']").await?, page.css("[data-wire='2']").await?);
    let (from, to) = (page.frame_of(&a).await?.middle(), page.frame_of(&b).await?.middle());
    page.drag(&a, to.0 - from.0, to.1 - from.1).await?;
    page.until("the pairs are exchanged", async || Ok(faults(&page).await? == ["pairs-swapped"])).await?;
    // The same by keyboard takes it out again: take a terminal, lay it on the other.
    for row in [0, 2] {
        page.js::<()>(&format!("document.querySelector('[data-wire=\"{row}\"]').focus()")).await?;
        page.strike(&system_tests::Key::Enter).await?;
    }
    page.until("the pairs are as they were", async || Ok(faults(&page).await?.is_empty())).await?;
    // What the bench cannot do it says.
    page.js::<()>(
        "document.querySelector('[data-wire=\"4\"]').click(); document.querySelector('[data-wire=\"7\"]').click()",
    )
    .await?;
    assert!(page.read_notice().await?.contains("can exchange"));
    page.expect_quiet_console().await
}

#[tokio::test]
async fn the_plug_out_takes_light_and_signals_and_the_supply_knob_does_by_degrees() -> Result<()> {
    let page = open().await?;
    let healthy = page.figures().await?;
    page.css("#unplug").await?.click().await?;
    page.until_figures("the signals are gone", |f| f.amplitude_a_v < 0.05 * healthy.amplitude_a_v).await?;
    assert_eq!(page.text("#unplug").await?, "Plug in");
    page.css("#unplug").await?.click().await?;
    page.until_figures("the signals are back", |f| (f.amplitude_a_v / healthy.amplitude_a_v - 1.0).abs() < 0.02)
        .await?;
    page.write("#supply-v", "4.3").await?;
    page.until("the supply is at 4.3 V", async || Ok(page.setup("cable", "supply_v").await? == 4.3)).await?;
    let meter = page.text("#meter-head").await?;
    assert!(meter.contains("too low"), "{meter}");
    let knob = page.by_role("slider", "Supply at the control").await?;
    page.js_with::<()>("arguments[0].focus()", vec![serde_json::to_value(&knob)?]).await?;
    page.strike(&system_tests::Key::Up).await?;
    page.until("a step up is 4.35 V", async || Ok((page.setup("cable", "supply_v").await? - 4.35).abs() < 1e-9))
        .await?;
    page.expect_quiet_console().await
}

#[tokio::test]
async fn moving_a_sound_plug_changes_nothing_and_a_poor_one_answers() -> Result<()> {
    let page = open().await?;
    // Pairs with a termination, which a contact in series takes voltage from; the open input of the rail takes none.
    page.choose_scene("healthy-mill").await?;
    let plug = page.css("#wiggle").await?;
    // The axis stands; B as it arrives is a level, from the words under the conductors: lowest and highest of four seconds.
    page.set_slower(1).await?;
    page.click("Stop").await?;
    let b_v = async || -> Result<(f64, f64)> {
        let text = page.text("#at-the-input").await?;
        let b = text.split_once("; B ").ok_or_else(|| format!("no B in {text}"))?.1;
        let (low, high) = b.split_once(" to ").ok_or_else(|| format!("no range in {b}"))?;
        Ok((low.parse()?, high.split(' ').next().unwrap_or_default().parse()?))
    };
    let stands = async || -> Result<f64> {
        page.until_figures("the axis stands", |f| f.doing == "Holding").await?;
        page.until("B is a level", async || b_v().await.map(|(low, high)| high - low < 0.05)).await?;
        Ok(b_v().await?.1)
    };
    // Near its zero B tells nothing of its contact: a quarter of a period of 20 um on it does.
    let mut healthy = stands().await?;
    if healthy.abs() < 0.25 {
        let from_mm = page.figures().await?.table_mm;
        page.write("#move-by", "0.005").await?;
        page.click("Move on by this distance").await?;
        page.until_figures("the table is there", |f| (f.table_mm - from_mm - 0.005).abs() < 0.001).await?;
        healthy = stands().await?;
    }
    assert!(healthy.abs() >= 0.25, "B stands at {healthy} V");
    page.drag(&plug, 6.0, 0.0).await?;
    page.until("a sound plug is called sound", async || Ok(page.text("#wiggle-says").await?.contains("sound"))).await?;
    assert!((b_v().await?.1 - healthy).abs() < 0.05);
    let fault = page.css("#fault-contact-poor").await?;
    page.slide(&fault, 20.0).await?;
    let severity = async || {
        Ok::<f64, Box<dyn std::error::Error + Send + Sync>>(
            page.bench().await?["faults"][0]["severity"].as_f64().unwrap_or(0.0),
        )
    };
    page.hold(&plug).await?;
    page.until("the contact is at its worst while the plug is held", async || Ok(severity().await? == 1.0)).await?;
    // 600 ohm before 120 ohm leave less than half.
    let sunk = async || b_v().await.map(|(low, high)| low.abs().max(high.abs()) < 0.5 * healthy.abs());
    page.until("B sinks", sunk).await?;
    page.release().await?;
    page.until("the contact is as before", async || Ok(severity().await? == 0.2)).await?;
    assert!(page.text("#wiggle-says").await?.contains("answers"));
    page.expect_quiet_console().await
}

#[tokio::test]
async fn shims_lift_the_head_the_feeler_finds_the_gap_and_the_indicator_follows_the_table() -> Result<()> {
    let page = open().await?;
    page.set_slower(1).await?;
    page.click("Stop").await?;
    page.until_figures("the axis stands", |f| f.doing == "Holding").await?;
    page.pause().await?;
    let before = page.figures().await?.gap_mm;
    page.click("Put in a shim of 0.20 mm").await?;
    page.until_figures("the gap grew by a shim", |f| (f.gap_mm - before - 0.2).abs() < 1e-6).await?;
    page.css("#feeler").await?.select_by_value("1.5").await?;
    page.until("1.5 mm goes in", async || Ok(page.text("#feeler-says").await? == "goes in")).await?;
    page.css("#feeler").await?.select_by_value("1.75").await?;
    page.until("1.75 mm does not", async || Ok(page.text("#feeler-says").await?.contains("does not"))).await?;
    page.click("Place it here").await?;
    let start = page.figures().await?.table_mm;
    let jog = page.by_role("button", "Jog forward, hold").await?;
    page.set_slower(10).await?;
    page.draw(&[page.frame_of(&jog).await?.middle()]).await?;
    page.until_figures("the table has moved", |f| f.table_mm > start + 0.3).await?;
    page.release().await?;
    page.pause().await?;
    let moved = page.figures().await?.table_mm - start;
    let shown = page.text("#indicator").await?;
    let number: f64 = shown.split_whitespace().next().unwrap_or_default().replace('\u{2212}', "-").parse()?;
    assert!((number - moved).abs() < 0.02, "{shown}, the table moved {moved} mm");
    page.expect_quiet_console().await
}
