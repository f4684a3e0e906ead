//! From lines to counts to millimetres: five lines, one sensor, two sensors, half a minute without a fault.

use system_tests::{Figures, Page, Result, Seen};

#[tokio::test]
async fn five_lines_are_five_counts_and_five_millimetres() -> Result<()> {
    let page = Page::open().await?;
    page.set_slower(1).await?;
    page.choose_scene("five-lines").await?;
    let end = page.until_figures("the scene has ended", |f| f.time_s > 4.0).await?;
    assert_eq!(end.count, 5, "{end:?}");
    // The table has the last line under the sensor: within a period of 5 mm from its start at 100 mm.
    assert!((end.table_mm - 105.0).abs() < 1.0, "{end:?}");
    page.pause().await?;
    assert_eq!(page.text("#readout .number").await?, "5.00mm");
    assert_eq!(page.text(".readout.count .number").await?, "5");
    assert_eq!(page.text("#uncounted .says").await?, "readout is right");
    page.expect_quiet_console().await
}

/// Runs a scene that goes out 20 mm and back, and gives what was seen on the way out and on the way back.
async fn out_and_back(page: &Page, scene: &str) -> Result<(Vec<Seen>, Vec<Seen>)> {
    page.choose_scene(scene).await?;
    page.watch().await?;
    page.until_figures("the scene has ended", |f| f.time_s > 7.5).await?;
    let seen = page.seen().await?;
    let farthest = seen.iter().map(|s| s.figures.table_mm).fold(f64::MIN, f64::max);
    assert!((farthest - 120.0).abs() < 1.0, "the table went out to {farthest} mm");
    let (mut out, back): (Vec<_>, Vec<_>) = seen.into_iter().partition(|s| s.figures.time_s < 4.0);
    out.retain(|s| s.figures.time_s > 0.15);
    Ok((out, back))
}

fn counts(seen: &[Seen]) -> Vec<i64> {
    seen.iter().map(|s| s.figures.count).collect()
}

/// 20 mm of a 1 mm scale are 20 periods: with one sensor a pulse each, with two sensors four edges each (quadrature
/// counting, common practice).
#[tokio::test]
async fn one_sensor_counts_up_both_ways_and_two_tell_the_direction() -> Result<()> {
    let page = Page::open().await?;
    page.set_slower(1).await?;

    let (out, back) = out_and_back(&page, "one-sensor").await?;
    assert!(counts(&out).is_sorted() && counts(&back).is_sorted(), "one sensor counted down");
    let (middle, end) = (out.last().ok_or("nothing seen")?, back.last().ok_or("nothing seen")?);
    assert_eq!((middle.figures.count, end.figures.count), (20, 40));
    assert_eq!((middle.readout.as_str(), end.readout.as_str()), ("20.00mm", "40.00mm"));
    assert!((end.figures.table_mm - 100.0).abs() < 1.0, "the table is back: {end:?}");
    assert_eq!(end.verdict, "counted too much");

    let (out, back) = out_and_back(&page, "two-sensors").await?;
    assert!(counts(&out).is_sorted(), "two sensors counted down on the way out");
    assert!(counts(&back).is_sorted_by(|a, b| a >= b), "two sensors counted up on the way back");
    let (middle, end) = (out.last().ok_or("nothing seen")?, back.last().ok_or("nothing seen")?);
    assert_eq!((middle.figures.count, end.figures.count), (80, 0));
    assert_eq!((middle.readout.as_str(), end.readout.as_str()), ("20.00mm", "0.00mm"));
    assert!(back.iter().all(|s| s.verdict == "readout is right"), "the readout went wrong");
    page.expect_quiet_console().await
}

/// How a jog button is held down.
#[derive(Clone, Copy, PartialEq)]
enum Hold {
    Pointer,
    Key,
}

/// Jogs by a few millimetres and gives count and place before and after.
async fn jog(page: &Page, name: &str, hold: Hold) -> Result<(Figures, Figures)> {
    let at_rest = |f: &Figures| f.doing == "Holding";
    let before = page.until_figures("the axis holds its place", at_rest).await?;
    let button = page.by_role("button", name).await?;
    match hold {
        Hold::Pointer => page.hold(&button).await?,
        Hold::Key => {
            let focus = "arguments[0].focus()";
            page.js_with::<()>(focus, vec![serde_json::to_value(&button)?]).await?;
            page.hold_key(' ').await?;
        }
    }
    page.until_figures("the table has gone 8 mm", |f| (f.table_mm - before.table_mm).abs() > 8.0).await?;
    match hold {
        Hold::Pointer => page.release().await?,
        Hold::Key => page.release_key(' ').await?,
    }
    let after = page.until_figures("the axis holds its place again", at_rest).await?;
    let agree = "return document.querySelector('.readout.count .number').textContent.replace('\u{2212}', '-') \
        === String(JSON.parse(countlight.bench_figures()).count)";
    page.until_js("the page shows the count that the model has", agree).await?;
    Ok((before, after))
}

#[tokio::test]
async fn jogging_by_hand_with_one_sensor_and_with_two() -> Result<()> {
    let page = Page::open().await?;
    page.set_slower(1).await?;
    page.click("Stop").await?;
    // The source of the position is changed at standstill only.
    page.until_figures("the axis stands", |f| f.doing == "Holding").await?;
    // Both ways of counting on the motor's own feedback, so that a wrong count does not drive the axis.
    page.choose("motor").await?;
    page.choose("one").await?;
    for (name, hold, way) in [
        ("Jog forward, hold", Hold::Pointer, 1.0),
        ("Jog back, hold", Hold::Pointer, -1.0),
        ("Jog forward, hold", Hold::Key, 1.0),
        ("Jog back, hold", Hold::Key, -1.0),
    ] {
        let (before, after) = jog(&page, name, hold).await?;
        let gone_mm = after.table_mm - before.table_mm;
        assert!(gone_mm * way > 7.5, "{name}: {gone_mm} mm");
        // A pulse a period: the count cannot be further off than a pulse at either end.
        let (expected, got) = (gone_mm.abs(), (after.count - before.count) as f64);
        assert!((got - expected).abs() <= 2.0, "{name}: {got} counts in {gone_mm} mm with one sensor");
    }
    page.choose("two").await?;
    for (name, hold) in [
        ("Jog forward, hold", Hold::Pointer),
        ("Jog back, hold", Hold::Pointer),
        ("Jog forward, hold", Hold::Key),
        ("Jog back, hold", Hold::Key),
    ] {
        let (before, after) = jog(&page, name, hold).await?;
        let (expected, got) = (4.0 * (after.table_mm - before.table_mm), (after.count - before.count) as f64);
        assert!((got - expected).abs() <= 2.0, "{name}: {got} counts, {expected} expected with two sensors");
    }
    page.expect_quiet_console().await
}

const HALF_A_MINUTE: &str = r#"format = 1
title = "Half a minute to and fro"
about = "The gantry goes to and fro on a clean tape and comes back to where it began."
bench = "router-gantry"
seed = 5
duration_s = 36
start_mm = 100

[[step]]
at_s = 0.5
do = { shuttle = { from_mm = 100, to_mm = 1500, speed_m_per_min = 20 } }

[[step]]
at_s = 30
do = { move_to = { to_mm = 100, speed_m_per_min = 20 } }
"#;

#[tokio::test]
async fn half_a_minute_to_and_fro_on_a_clean_scale_loses_nothing() -> Result<()> {
    let page = Page::open().await?;
    page.set_slower(1).await?;
    page.drop_file("half-a-minute.toml", HALF_A_MINUTE.as_bytes()).await?;
    page.until_figures("the dropped scene runs", |f| f.scene == "half-a-minute.toml").await?;
    let title = page.text("#scene option:checked").await?;
    assert_eq!(title, "Half a minute to and fro");
    page.watch().await?;
    let begin = page.figures().await?;
    page.until_figures("the table is back after half a minute", |f| f.time_s > 35.5).await?;
    page.pause().await?;
    let (end, seen) = (page.figures().await?, page.seen().await?);
    assert_eq!((begin.count, end.count), (0, 0), "{end:?}");
    assert!((end.table_mm - 100.0).abs() < 0.01, "{end:?}");
    let far = seen.iter().map(|s| s.figures.count).max().unwrap_or_default();
    // 1400 mm of a 40 um tape, 20 counts a period.
    assert!((far - 700_000).abs() < 2_500, "the count reached {far}");
    assert!(seen.len() > 300, "only {} looks in half a minute", seen.len());
    for s in &seen {
        assert!(!s.figures.alarm && s.figures.uncounted_mm == 0.0, "{s:?}");
        assert_eq!(s.verdict, "readout is right");
    }
    assert_eq!(page.text("#readout .number").await?, "100.000mm");
    assert_eq!(page.log().await?, ["Nothing yet: the axis is in order."]);
    page.expect_quiet_console().await
}
