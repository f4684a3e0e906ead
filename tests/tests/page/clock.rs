//! The clock: pause, step, slow motion, pause at an alarm.

use system_tests::{Page, Result};

/// Length of a step of the model, s.
const STEP_S: f64 = sim_core::record::STEP_S;

#[tokio::test]
async fn pause_stops_the_model_and_a_step_moves_it_by_its_length() -> Result<()> {
    let page = Page::open().await?;
    page.until_figures("the model runs", |f| f.time_s > 0.05).await?;
    page.pause().await?;
    let (bench, words) = (page.bench().await?, page.text("#state").await?);
    assert!(words.starts_with("Paused"), "{words}");
    page.frames(30).await?;
    assert!(page.bench().await? == bench, "the bench moved while it was paused");

    for slower in [10, 1000, 10_000] {
        page.set_slower(slower).await?;
        let before = page.figures().await?;
        page.click("One step on").await?;
        let after = page.figures().await?;
        // A fortieth of the window that the charts show, which is 4 s of the person's time.
        let wanted_s = (4.0 / f64::from(slower) / 40.0 / STEP_S).ceil().max(1.0) * STEP_S;
        assert!((after.time_s - before.time_s - wanted_s).abs() < 1e-9, "1:{slower}: {before:?} {after:?}");
        assert!(!after.running);
        let time = format!("{:.3} s", after.time_s);
        page.until_js(
            "the title block shows the time",
            &format!("return document.querySelector('.block').textContent.includes('{time}')"),
        )
        .await?;
    }
    page.click("Run").await?;
    page.until_figures("it runs on", |f| f.running).await?;
    let words = page.text("#state").await?;
    assert!(words.starts_with("Running"), "{words}");
    page.expect_quiet_console().await
}

/// Model time over the person's time. A frame that comes late counts for a tenth of a second at most, as the page
/// promises, so a busy machine does not change the ratio.
#[tokio::test]
async fn slow_motion_is_a_thousand_times_slower() -> Result<()> {
    let page = Page::open().await?;
    page.set_slower(1000).await?;
    let script = "
        const done = arguments[0];
        const time = () => JSON.parse(countlight.bench_figures()).time_s;
        let [first, last, wall] = [time(), performance.now(), 0];
        const frame = () => {
            const now = performance.now();
            wall += Math.min(now - last, 100);
            last = now;
            wall < 1500 ? requestAnimationFrame(frame) : done([time() - first, wall / 1e3]);
        };
        requestAnimationFrame(frame);";
    let measured = page.client().execute_async(script, vec![]).await?;
    let (model_s, wall_s): (f64, f64) = serde_json::from_value(measured)?;
    let ratio = wall_s / model_s;
    assert!((ratio / 1000.0 - 1.0).abs() < 0.2, "{model_s} s of the model in {wall_s} s: 1 : {ratio}");
    page.expect_quiet_console().await
}

#[tokio::test]
async fn the_clock_stops_shortly_after_an_alarm_unless_it_is_told_not_to() -> Result<()> {
    let page = Page::open().await?;
    page.set_slower(2).await?;
    page.choose_scene("wide-smear").await?;
    let stopped = page.until_figures("the clock stopped at the alarm", |f| f.alarm && !f.running).await?;
    // The wide smear's alarm comes at 0.9951 s (the scene natively); a fifth of the window of 2 s follows.
    let mut alarm = Alarm::default();
    let text = lessons::shipped_by_name("wide-smear").ok_or("wide-smear is not shipped")?.text;
    sim_core::bench::run(&lessons::read("wide-smear", text)?, &mut alarm);
    let alarm_s = alarm.0.ok_or("the scene has no alarm")?;
    assert!((stopped.time_s - alarm_s - 0.4).abs() < 2.0 * STEP_S, "alarm at {alarm_s} s: {stopped:?}");
    let words = async || Ok(page.text("#state").await? == "Paused 400.0 ms after the alarm");
    page.until("the page says that the clock stands", words).await?;

    page.css("#pause-at-alarm").await?.click().await?;
    page.click("Start the scene again").await?;
    page.click("Run").await?;
    let on = page.until_figures("it ran on past the alarm", |f| f.time_s > alarm_s + 1.0).await?;
    assert!(on.alarm && on.running, "{on:?}");
    page.expect_quiet_console().await
}

/// Notes when the first alarm came.
#[derive(Default)]
struct Alarm(Option<f64>);

impl sim_core::record::Tap for Alarm {
    fn event(&mut self, event: &sim_core::event::Event) {
        if event.weight() == sim_core::event::Weight::Alarm {
            self.0.get_or_insert(event.time_s);
        }
    }
}
