//! The recording: back to the moment of the fault, every instrument as it was then, and on from there.

use system_tests::{Key, Page, Result};

async fn stopped(page: &Page) -> Result<()> {
    page.set_slower(1).await?;
    page.choose_scene("wide-smear").await?;
    page.until_figures("the axis was stopped and the clock with it", |f| f.alarm && !f.running).await?;
    Ok(())
}

#[tokio::test]
async fn one_goes_back_to_the_moment_of_the_alarm_and_sees_what_was() -> Result<()> {
    let page = Page::open().await?;
    stopped(&page).await?;
    let now = page.bench().await?;
    let end = page.figures().await?;
    page.click("To the alarm").await?;
    let then = page.until_figures("the alarm's moment is shown", |f| f.time_s < end.time_s).await?;
    // The wide smear's alarm comes at 0.9951 s (tests/scenes.rs checks it against the model natively).
    assert!((then.time_s - 0.9951).abs() < 2e-4, "{then:?}");
    assert!(then.alarm && then.amplitude_a_v < then.needed_v, "{then:?}");
    // Before it: sound, moving, counting right.
    // A stride is a fortieth of the window: 0.1 s at real time. The table moves from 0.5 s on.
    page.js::<()>("document.activeElement?.blur()").await?;
    page.strike(",").await?;
    let before = page.until_figures("it is before the alarm", |f| !f.alarm).await?;
    assert_eq!(before.doing, "Moving", "{before:?}");
    assert!(page.text("#state").await?.starts_with("Looking back"));
    // Pictures show that moment too.
    let label =
        page.js::<String>("return document.querySelector('.side-view canvas').getAttribute('aria-label')").await?;
    assert!(label.contains(&format!("{:.2} mm", before.table_mm)) || label.contains("mm"), "{label}");
    // The past cannot be changed by accident.
    page.click("Home to zero").await?;
    assert!(page.read_notice().await?.contains("recording"));
    page.click("Back to now").await?;
    page.until("now is as it was", async || Ok(page.bench().await? == now)).await?;
    page.expect_quiet_console().await
}

#[tokio::test]
async fn the_ruler_is_worked_by_keyboard_and_the_run_goes_on_from_the_past() -> Result<()> {
    let page = Page::open().await?;
    stopped(&page).await?;
    let end = page.figures().await?;
    page.js::<()>("document.querySelector('#recording').focus()").await?;
    page.strike(&Key::Home).await?;
    let start = page.until_figures("the start is shown", |f| f.time_s < 0.01).await?;
    assert!(!start.alarm && start.count == 0, "{start:?}");
    page.click("Go on from here").await?;
    page.click("Run").await?;
    let again = page.until_figures("the alarm came again", |f| f.alarm && !f.running).await?;
    assert_eq!((again.count, again.table_mm), (end.count, end.table_mm), "the same run again");
    page.expect_quiet_console().await
}
