//! Gap, tilt and yaw: dimensions that are controls, by pointer, by keys and by number.

use system_tests::{Key, Page, Result};

/// A dimension of the head and where it lives in the bench.
struct Dimension {
    name: &'static str,
    key: &'static str,
    /// Setup's unit for one unit on the sheet.
    per_shown: f64,
    step: f64,
    /// Direction of a drag that moves the knob, px.
    drag: (f64, f64),
    typed: f64,
}

const MRAD_PER_DEGREE: f64 = 1e3 * std::f64::consts::PI / 180.0;

const DIMENSIONS: [Dimension; 3] = [
    Dimension { name: "Gap", key: "gap_um", per_shown: 1e3, step: 0.01, drag: (0.0, -16.0), typed: 2.20 },
    Dimension { name: "Tilt", key: "tilt_mrad", per_shown: MRAD_PER_DEGREE, step: 0.1, drag: (16.0, 0.0), typed: -1.5 },
    Dimension { name: "Yaw", key: "yaw_mrad", per_shown: MRAD_PER_DEGREE, step: 0.01, drag: (6.0, 0.0), typed: 0.75 },
];

impl Dimension {
    /// The value that the bench has, in the sheet's unit.
    async fn value(&self, page: &Page) -> Result<f64> {
        Ok(page.setup("head", self.key).await? / self.per_shown)
    }

    /// Waits until the knob says the value that the bench has; what the model has and what the page shows agree.
    async fn shown(&self, page: &Page) -> Result<f64> {
        let knob = page.by_role("slider", self.name).await?;
        let value = self.value(page).await?;
        let wanted = format!("{value:.2}").replace("-0.00", "0.00");
        page.until(&format!("{} shows {wanted}", self.name), async || {
            Ok(knob.attr("aria-valuenow").await?.is_some_and(|now| now.replace("-0.00", "0.00") == wanted))
        })
        .await?;
        Ok(value)
    }

    async fn field(&self, page: &Page) -> Result<()> {
        let title = format!("[title='{}: type an exact number']", self.name);
        page.css(&title).await?.click().await?;
        page.css(".dimension input:focus").await?;
        Ok(())
    }

    async fn by_keys(&self, page: &Page) -> Result<()> {
        let knob = page.by_role("slider", self.name).await?;
        page.js_with::<()>("arguments[0].focus()", vec![serde_json::to_value(&knob)?]).await?;
        let start = self.shown(page).await?;
        for (key, steps) in [(Key::Up, 1.0), (Key::Right, 2.0), (Key::Down, 1.0), (Key::Left, 0.0), (Key::PageUp, 10.0)]
        {
            page.press(key).await?;
            let (now, wanted) = (self.shown(page).await?, start + steps * self.step);
            assert!((now - wanted).abs() < 1e-6, "{}: {now} instead of {wanted}", self.name);
        }
        page.press(Key::PageDown).await?;
        self.shown(page).await?;
        page.press(Key::Home).await?;
        let nominal = self.shown(page).await?;
        assert!((nominal - start).abs() < 1e-9, "{}: Home gives {nominal}, the start was {start}", self.name);
        Ok(())
    }

    async fn by_number(&self, page: &Page) -> Result<()> {
        let start = self.shown(page).await?;
        self.field(page).await?;
        page.press("9").await?;
        page.press(Key::Escape).await?;
        page.until_js("the field is closed", "return document.querySelector('.dimension input') === null").await?;
        page.frames(2).await?;
        assert_eq!(self.shown(page).await?, start, "{}: Escape did not restore", self.name);

        self.field(page).await?;
        page.press("not a number\n").await?;
        page.frames(2).await?;
        assert_eq!(self.shown(page).await?, start, "{}: words changed it", self.name);

        self.field(page).await?;
        // As slowly as a person types, with the page drawn anew in between.
        for key in format!("{:.2}", self.typed).chars() {
            page.strike(&key.to_string()).await?;
            page.frames(8).await?;
        }
        page.strike(&Key::Enter).await?;
        let now = self.shown(page).await?;
        assert!((now - self.typed).abs() < 1e-9, "{}: typed {}, got {now}", self.name, self.typed);
        Ok(())
    }

    /// Drags the knob there and back, once plainly and once with Shift; returns nothing lost.
    async fn by_pointer(&self, page: &Page) -> Result<()> {
        let start = self.shown(page).await?;
        let knob = page.by_role("slider", self.name).await?;
        let (dx, dy) = self.drag;
        page.drag(&knob, dx, dy).await?;
        let far = self.shown(page).await?;
        assert!((far - start).abs() > 2.0 * self.step, "{}: the drag moved it from {start} to {far}", self.name);
        page.drag(&knob, -dx, -dy).await?;
        let back = self.shown(page).await?;
        assert!((back - start).abs() < 0.12 * (far - start).abs(), "{}: {start} -> {far} -> {back}", self.name);

        let (x, y) = page.frame_of(&knob).await?.middle();
        page.stroke_with_shift(&[(x, y), (x + 0.5 * dx, y + 0.5 * dy), (x + dx, y + dy)]).await?;
        let fine = self.shown(page).await?;
        let share = (fine - back) / (far - start);
        assert!(share > 0.05 && share < 0.2, "{}: with Shift it went {share} of the way", self.name);

        // Escape in the middle of a drag puts it back.
        let (x, y) = page.frame_of(&knob).await?.middle();
        page.draw(&[(x, y), (x + 0.5 * dx, y + 0.5 * dy), (x + dx, y + dy)]).await?;
        let on_the_way = self.shown(page).await?;
        assert!((on_the_way - fine).abs() > 2.0 * self.step, "{}: {fine} {on_the_way}", self.name);
        page.press(Key::Escape).await?;
        let restored = self.shown(page).await?;
        page.release().await?;
        assert!((restored - fine).abs() < 1e-9, "{}: Escape gave {restored}, not {fine}", self.name);
        assert_eq!(self.shown(page).await?, restored, "{}: the release changed it", self.name);
        Ok(())
    }
}

async fn every_dimension(page: &Page) -> Result<()> {
    for dimension in &DIMENSIONS {
        dimension.by_keys(page).await?;
        dimension.by_pointer(page).await?;
        dimension.by_number(page).await?;
    }
    Ok(())
}

#[tokio::test]
async fn dimensions_follow_pointer_keys_and_numbers_while_the_bench_runs() -> Result<()> {
    let page = Page::open().await?;
    every_dimension(&page).await?;
    page.expect_quiet_console().await
}

#[tokio::test]
async fn dimensions_follow_pointer_keys_and_numbers_while_the_bench_stands() -> Result<()> {
    let page = Page::open().await?;
    page.pause().await?;
    every_dimension(&page).await?;
    page.expect_quiet_console().await
}

/// A wider gap blurs the light pattern: the amplitude falls. (That it falls by the right amount is tested natively
/// against the formula.)
#[tokio::test]
async fn dragging_the_gap_wider_makes_the_signal_weaker() -> Result<()> {
    let page = Page::open().await?;
    let before = page.figures().await?;
    let knob = page.by_role("slider", "Gap").await?;
    page.drag(&knob, 0.0, -20.0).await?;
    let after = page.until_figures("the gap has grown", |f| f.gap_mm > before.gap_mm + 0.1).await?;
    assert!(after.amplitude_a_v < 0.98 * before.amplitude_a_v, "{before:?} {after:?}");
    let label = "return document.querySelector('.part-channels canvas').getAttribute('aria-label')";
    let wanted = format!("A {:.2} V peak to peak", 2.0 * after.amplitude_a_v);
    page.until(&format!("the page says {wanted}"), async || Ok(page.js::<String>(label).await?.contains(&wanted)))
        .await?;
    page.expect_quiet_console().await
}

/// The page is drawn anew ten times a second; that must not write over a number that is being typed.
#[tokio::test]
async fn numbers_can_be_typed_while_the_bench_runs() -> Result<()> {
    let page = Page::open().await?;
    page.write("#set-head-lamp_percent", "85").await?;
    page.until("the lamp is at 85 %", async || Ok(page.setup("head", "lamp_percent").await? == 85.0)).await?;
    page.write("#brush-from", "410.5").await?;
    page.write("#brush-to", "412").await?;
    page.css("#brush-apply").await?.click().await?;
    let dirt = page.dirt().await?;
    assert_eq!(dirt.len(), 1, "{dirt:?}");
    assert!((dirt[0].from_m - 0.4105).abs() < 1e-12 && (dirt[0].to_m - 0.412).abs() < 1e-12, "{dirt:?}");
    // What cannot be is refused in words, and the field shows again what holds.
    page.write("#set-head-lamp_percent", "1000").await?;
    let notice = page.read_notice().await?;
    assert!(notice.contains("150"), "{notice}");
    let field = "return document.querySelector('#set-head-lamp_percent').value === '85'";
    page.until_js("the field shows what holds", field).await?;
    assert_eq!(page.setup("head", "lamp_percent").await?, 85.0);
    page.expect_quiet_console().await
}
