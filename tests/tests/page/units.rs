//! Units of the sheet: micrometres, millimetres, inches; the model stays in its own.

use system_tests::{Page, Result};

#[tokio::test]
async fn lengths_and_speeds_are_read_and_typed_in_the_chosen_unit() -> Result<()> {
    let page = Page::open().await?;
    page.pause().await?;
    page.choose("inch").await?;
    let figures = page.figures().await?;
    let readout = page.text("#readout .number").await?;
    assert!(readout.ends_with("in"), "{readout}");
    let inches: f64 = readout.trim_end_matches("in").replace('\u{2212}', "-").trim().parse()?;
    // 25.4 mm an inch, by definition.
    assert!((inches * 25.4 - figures.readout_mm).abs() < 0.01, "{readout} for {} mm", figures.readout_mm);
    page.write("#set-head-gap_um", "0.05").await?;
    page.until("the gap is 1270 um", async || Ok((page.setup("head", "gap_um").await? - 1270.0).abs() < 1e-6)).await?;
    page.write("#jog-speed", "100").await?;
    page.choose("mm").await?;
    page.until_js("the gap reads 1.27 mm", "return document.querySelector('#set-head-gap_um').value === '1.27'")
        .await?;
    page.until_js("the speed reads 2.54 m/min", "return document.querySelector('#jog-speed').value === '2.54'").await?;
    page.choose("\u{b5}m, mm").await?;
    page.until_js("the gap reads 1270", "return document.querySelector('#set-head-gap_um').value === '1270'").await?;
    page.expect_quiet_console().await
}
