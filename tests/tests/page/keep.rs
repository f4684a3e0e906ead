//! Keeping and sharing in the page: what is saved opens again as it was, what is damaged is told in words.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use serde_json::Value;
use sim_core::bench::{Bench, Sim};
use system_tests::{Key, Page, Result, View};

/// A file that the page gave out.
struct File {
    name: String,
    bytes: Vec<u8>,
}

impl File {
    fn text(&self) -> String {
        String::from_utf8_lossy(&self.bytes).into_owned()
    }
}

/// From now on files that the page gives out are caught.
async fn catch(page: &Page) -> Result<()> {
    let script = "
        globalThis.caught = [];
        const blobs = new Map();
        const address = URL.createObjectURL;
        URL.createObjectURL = (blob) => { const url = address.call(URL, blob); blobs.set(url, blob); return url; };
        HTMLAnchorElement.prototype.click = function () { caught.push([this.download, blobs.get(this.href)]); };
        globalThis.printed = 0;
        globalThis.print = () => { printed += 1; };";
    page.js::<()>(script).await
}

/// Presses a button of the sheet and takes the file that comes.
async fn file_of(page: &Page, button: &str) -> Result<File> {
    page.js::<()>("caught.length = 0").await?;
    page.click(button).await?;
    page.until_js("a file is given out", "return caught.length > 0").await?;
    let script = "const [[name, blob], done] = [caught[0], arguments[0]]; const reader = new FileReader();
        reader.onload = () => done([name, reader.result.split(',')[1]]); reader.readAsDataURL(blob);";
    let answer: (String, String) = serde_json::from_value(page.client().execute_async(script, vec![]).await?)?;
    Ok(File { name: answer.0, bytes: STANDARD.decode(answer.1)? })
}

async fn open_sheet(page: &Page) -> Result<()> {
    page.click("Keep and share").await?;
    page.css("dialog.keep[open] h2").await?;
    Ok(())
}

async fn close_sheet(page: &Page) -> Result<()> {
    page.strike(&Key::Escape).await?;
    page.until_js("the sheet is closed", "return document.querySelector('dialog.keep[open]') === null").await
}

async fn said(page: &Page, words: &str) -> Result<String> {
    page.until(&format!("the sheet says {words}"), async || Ok(page.text(".keep .said").await?.contains(words)))
        .await?;
    page.text(".keep .said").await
}

/// A bench that somebody has broken and smeared, and that stands somewhere on its way.
async fn handled() -> Result<Page> {
    let page = Page::open().await?;
    page.set_slower(10).await?;
    page.write("#brush-from", "300").await?;
    page.write("#brush-to", "312.5").await?;
    page.css("#brush-apply").await?.click().await?;
    page.until_figures("the table has moved", |f| f.table_mm > 85.0).await?;
    page.pause().await?;
    catch(&page).await?;
    Ok(page)
}

/// The bench of the page now, to the last bit: large whole numbers do not survive the browser's own JSON.
async fn exact(page: &Page) -> Result<Bench> {
    let text: String = page.js("return countlight.bench_state()").await?;
    Ok(serde_json::from_str(&text)?)
}

#[tokio::test]
async fn a_saved_moment_opens_as_the_same_bench_to_the_last_bit() -> Result<()> {
    let page = handled().await?;
    let before = exact(&page).await?;
    open_sheet(&page).await?;
    let file = file_of(&page, "Save this moment").await?;
    assert!(file.name.starts_with("teaching-rail-") && file.name.ends_with("s.json"), "{}", file.name);
    said(&page, "went to your downloads").await?;
    let kept: Value = serde_json::from_slice(&file.bytes)?;
    assert_eq!(
        (&kept["format"], &kept["kind"], &kept["title"]),
        (&1.into(), &"countlight bench".into(), &"First look".into())
    );
    close_sheet(&page).await?;

    page.choose_scene("wide-smear").await?;
    page.drop_file(&file.name, &file.bytes).await?;
    page.until_figures("the kept bench is there", |f| f.scene == "first-look" && !f.running).await?;
    assert_eq!(exact(&page).await?, before);
    assert_eq!(serde_json::from_value::<Bench>(kept["bench"].clone())?, before);

    for (wrong, what) in [
        (file.text()[..file.bytes.len() / 3].to_owned(), "cut off"),
        (file.text().replacen("\"format\":1", "\"format\":8", 1), "format 8"),
        (file.text().replacen("countlight bench", "shopping list", 1), "not a kept bench"),
        (file.text().replacen("\"gap_um\":1500.0", "\"gap_um\":-3.0", 1), "gap"),
    ] {
        page.drop_file("mine.json", wrong.as_bytes()).await?;
        let notice = page.read_notice().await?;
        assert!(notice.starts_with("mine.json: ") && notice.contains(what), "{notice}");
        assert!(notice.contains("To mend it: "), "{notice}");
    }
    page.expect_quiet_console().await
}

#[tokio::test]
async fn a_link_opens_the_same_bench_on_a_page_that_knows_nothing_of_it() -> Result<()> {
    let page = handled().await?;
    let bench = exact(&page).await?;
    open_sheet(&page).await?;
    page.write("#keep-name", "Find it").await?;
    let script = "return document.querySelector('#keep-address').value";
    page.until("the link is that of the new title", async || {
        let link: String = page.js(script).await?;
        Ok(lessons::share::scene_of(&link).is_ok_and(|scene| scene.title == "Find it"))
    })
    .await?;
    let link: String = page.js(script).await?;
    let scene = lessons::share::scene_of(&link).map_err(|e| e.to_string())?;
    assert!(link.starts_with("http://127.0.0.1:") && link.contains("/#bench=1."), "{link}");
    // The native program makes the same text of the same bench.
    let sim = Sim::resume(bench.clone())?;
    let native = lessons::share::scene_of_bench(&sim, "Find it", &scene.about, scene.seed);
    assert!(link.ends_with(&format!("#bench={}", lessons::share::link_of(&native))), "{link}");
    let code = page.js::<f64>("return document.querySelector('.keep .code svg').viewBox.baseVal.width").await?;
    assert!(code > 40.0, "{code}");

    let script = "Object.defineProperty(navigator, 'clipboard', { value: { writeText: async (t) => { globalThis.copied = t; } } })";
    page.js::<Value>(&format!("{script}; return null")).await?;
    page.click("Copy the link").await?;
    said(&page, "The link is copied.").await?;
    assert_eq!(page.js::<String>("return copied").await?, link);
    // Without a clipboard the link is selected.
    let refuse = "navigator.clipboard.writeText = async () => { throw new Error('no'); }; return null";
    page.js::<Value>(refuse).await?;
    page.click("Copy the link").await?;
    said(&page, "press Ctrl and C").await?;
    let selected =
        "const t = document.querySelector('#keep-address'); return t.value.slice(t.selectionStart, t.selectionEnd)";
    assert_eq!(page.js::<String>(selected).await?, link);

    let (_, fragment) = link.split_once('#').ok_or("no fragment")?;
    let other = Page::open_at(&format!("#{fragment}")).await?;
    other.until_figures("the bench of the link runs", |f| f.scene == "link" && f.running && f.time_s > 0.0).await?;
    assert_eq!(other.text("#scene option:checked").await?, "Find it");
    let opened = Sim::resume(exact(&other).await?)?;
    assert_eq!(opened.arrangement(), sim.arrangement());
    // Another link put into the same page's address.
    let shipped = lessons::shipped_by_name("five-lines").ok_or("shipped")?;
    let five = lessons::share::link_of(&lessons::read("five-lines", shipped.text).map_err(|e| e.to_string())?);
    other.js_with::<()>("location.hash = arguments[0]", vec![format!("bench={five}").into()]).await?;
    other
        .until("the other bench is there", async || {
            Ok(other.text("#scene option:checked").await?.contains("Five lines"))
        })
        .await?;
    page.expect_quiet_console().await?;
    other.expect_quiet_console().await
}

#[tokio::test]
async fn a_damaged_link_opens_the_usual_bench_and_says_so() -> Result<()> {
    let page = Page::open_at("#bench=1.QMt4JXWXyw2AIBBE71YxBRCDMRor").await?;
    let notice = page.read_notice().await?;
    assert!(notice.contains("this link is cut off") && notice.contains("copy the whole link again"), "{notice}");
    page.until_figures("the first scene runs", |f| f.scene == "first-look" && f.time_s > 0.0).await?;
    page.js::<()>("location.hash = 'bench=9.abc'").await?;
    let notice = page.read_notice().await?;
    assert!(notice.contains("version 9") && notice.contains("newer Countlight"), "{notice}");
    page.expect_quiet_console().await
}

#[tokio::test]
async fn benches_are_kept_under_names_and_come_back() -> Result<()> {
    let page = handled().await?;
    let before = exact(&page).await?;
    open_sheet(&page).await?;
    page.click("Keep it").await?;
    said(&page, "Give it a name first").await?;
    page.write("#keep-as", "Smear").await?;
    page.click("Keep it").await?;
    said(&page, "Kept as \"Smear\".").await?;
    let row = page.text(".kept li").await?;
    assert!(row.contains("Teaching rail") && row.contains("today "), "{row}");
    close_sheet(&page).await?;
    assert!(page.js::<bool>("return document.activeElement.id === 'keep'").await?, "the focus comes back");

    page.choose_scene("wide-smear").await?;
    open_sheet(&page).await?;
    page.click("Rename Smear").await?;
    page.write("#keep-rename", "Smear at 300").await?;
    page.click("Rename it").await?;
    said(&page, "\"Smear\" is now \"Smear at 300\".").await?;
    page.click("Open Smear at 300").await?;
    page.until_figures("it is open", |f| f.scene == "first-look" && !f.running).await?;
    assert_eq!(exact(&page).await?, before);
    page.until_js("the sheet is closed", "return document.querySelector('dialog.keep[open]') === null").await?;

    page.js::<()>("localStorage.setItem('countlight.bench.torn', '{\"title\":')").await?;
    open_sheet(&page).await?;
    let rows: Vec<String> =
        page.js("return [...document.querySelectorAll('.kept li')].map((li) => li.textContent)").await?;
    assert!(rows.iter().any(|row| row.contains("torn") && row.contains("cannot be read")), "{rows:?}");
    for (name, asked) in [("torn", "Delete \"torn\" for good?"), ("Smear at 300", "for good?")] {
        page.click(&format!("Delete {name}")).await?;
        assert!(page.text(".kept .asks").await?.contains(asked));
        page.click("Delete it").await?;
        said(&page, &format!("\"{name}\" is deleted.")).await?;
    }
    // A browser that is full.
    page.js::<()>("Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); }")
        .await?;
    page.write("#keep-as", "Too much").await?;
    page.click("Keep it").await?;
    said(&page, "no room left").await?;
    page.expect_quiet_console().await
}

#[tokio::test]
async fn the_next_visit_offers_to_go_on_and_does_not_force_it() -> Result<()> {
    let page = handled().await?;
    let before = exact(&page).await?;
    page.until_js("the moment is kept by itself", "return localStorage.getItem('countlight.last') !== null").await?;
    page.client().refresh().await?;
    page.ready().await?;
    page.until_figures("the first scene runs", |f| f.time_s > 0.0).await?;
    let offer = page.css(".offer").await?.text().await?;
    assert!(
        offer.contains("Go on where you were?") && offer.contains("Teaching rail") && offer.contains("today"),
        "{offer}"
    );
    page.click("Go on").await?;
    page.until_figures("it is there again", |f| !f.running).await?;
    assert_eq!(exact(&page).await?, before);
    assert_eq!(page.all(".offer").await?.len(), 0);
    page.expect_quiet_console().await
}

#[tokio::test]
async fn without_storage_everything_else_works() -> Result<()> {
    let page = Page::blank(&[]).await?;
    let script =
        "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('no', 'SecurityError'); } });";
    page.cdp("Page.addScriptToEvaluateOnNewDocument", serde_json::json!({ "source": script })).await?;
    let served = system_tests::serve(system_tests::site()?)?;
    page.goto(served.url()).await?;
    page.ready().await?;
    open_sheet(&page).await?;
    assert!(page.text(".keep").await?.contains("This browser keeps nothing for this page."));
    catch(&page).await?;
    assert!(!file_of(&page, "Save this moment").await?.bytes.is_empty());
    close_sheet(&page).await?;
    page.until_figures("the bench goes on", |f| f.running).await?;
    page.expect_quiet_console().await
}

#[tokio::test]
async fn pictures_tables_and_the_report_hold_what_the_model_says() -> Result<()> {
    let page = handled().await?;
    let figures = page.figures().await?;
    open_sheet(&page).await?;

    let png = file_of(&page, "Save as PNG").await?;
    assert!(png.name.starts_with("teaching-rail-channels-") && png.name.ends_with(".png"), "{}", png.name);
    // PNG, third edition (ISO/IEC 15948): signature, then IHDR with width and height in big-endian order.
    assert_eq!(png.bytes[..8], *b"\x89PNG\r\n\x1a\n");
    let number = |at: usize| u32::from_be_bytes(png.bytes[at..at + 4].try_into().unwrap_or_default());
    assert_eq!((number(16), number(20)), (1920, 640));
    let svg = file_of(&page, "Save as SVG").await?;
    let parse = "const d = new DOMParser().parseFromString(arguments[0], 'image/svg+xml');
        return [d.querySelector('parsererror') === null, d.documentElement.getAttribute('width'), d.querySelectorAll('path').length]";
    let (sound, width, paths): (bool, String, usize) = page.js_with(parse, vec![svg.text().into()]).await?;
    assert!(sound && width == "960" && paths > 5, "{width} {paths}");

    page.css("#keep-trace").await?.select_by_value("following-error").await?;
    let table = file_of(&page, "Save as CSV").await?;
    assert!(table.name.starts_with("teaching-rail-following-error-"), "{}", table.name);
    let mut reader = csv::Reader::from_reader(table.bytes.as_slice());
    assert_eq!(reader.headers()?.iter().next(), Some("time_s"));
    let rows: Vec<Vec<f64>> = reader
        .records()
        .map(|row| row.map(|row| row.iter().filter_map(|cell| cell.parse().ok()).collect()))
        .collect::<std::result::Result<_, _>>()?;
    let last = rows.last().ok_or("no rows")?;
    assert_eq!(last.len(), 6, "{last:?}");
    // The newest slice may end a step early; in a step the count of the rail, 0.25 mm, may change.
    assert!(last[1] - 0.26 <= figures.error_mm && figures.error_mm <= last[2] + 0.26, "{last:?} {figures:?}");
    assert!((last[0] - figures.time_s).abs() < 1e-3, "{last:?} {figures:?}");

    page.click("Print a report").await?;
    page.until_js("it goes to the printer", "return printed === 1").await?;
    let report = page.text(".report").await?;
    for words in ["First look", "Teaching rail", "300.0 to 312.5 mm", "Following error", "lock out"] {
        assert!(report.contains(words), "{words}: {report}");
    }
    assert_eq!(page.all(".report figure svg").await?.len(), 3);
    let paper = page.cdp("Page.printToPDF", serde_json::json!({ "preferCSSPageSize": true })).await?;
    assert!(paper["data"].as_str().is_some_and(|data| data.len() > 10_000));
    page.css("#keep-closed").await?.click().await?;
    page.click("Print a report").await?;
    page.until_js("it goes to the printer", "return printed === 2").await?;
    assert!(!page.text(".report").await?.contains("300.0 to 312.5 mm"));
    page.expect_quiet_console().await
}

/// On every screen the sheet is whole: nothing wider than it, every control inside, large enough for a finger.
#[tokio::test]
async fn the_sheet_fits_every_screen() -> Result<()> {
    const OUTSIDE: &str = "
        const sheet = document.querySelector('dialog.keep');
        const port = sheet.getBoundingClientRect();
        const out = sheet.scrollWidth > sheet.clientWidth ? [`${sheet.scrollWidth} px on ${sheet.clientWidth} px`] : [];
        for (const e of sheet.querySelectorAll('button, input, select, textarea, p, h2, h3, dd, svg')) {
            const box = e.getBoundingClientRect();
            if (box.width > 0 && (box.left < port.left - 1 || box.right > port.right + 1)) { out.push(e.textContent); }
            if (box.width > 0 && e.matches('button, select') && box.height < 24) { out.push(`${e.textContent} is low`); }
        }
        return out";
    let page = Page::open().await?;
    page.pause().await?;
    open_sheet(&page).await?;
    page.write("#keep-as", "A smear half way, seen from the far end").await?;
    page.click("Keep it").await?;
    said(&page, "Kept as").await?;
    for view in [View::LAPTOP, View::LAPTOP.dark(), View::PROJECTOR, View::PHONE, View::LAPTOP_ZOOMED] {
        page.screenshot("keep-sheet", view).await?;
        let outside: Vec<String> = page.js(OUTSIDE).await?;
        assert_eq!(outside, Vec::<String>::new(), "{view:?}");
    }
    page.view(View::PROJECTOR).await?;
    page.click("Show large").await?;
    page.css("dialog.code-large[open]").await?;
    page.screenshot("keep-code", View::PROJECTOR).await?;
    let (width, height): (f64, f64) = page
        .js("const box = document.querySelector('.code-large svg').getBoundingClientRect(); return [box.width, box.height]")
        .await?;
    assert!(width > 500.0 && (width - height).abs() < 2.0, "{width} {height}");
    // Escape closes the code alone.
    page.strike(&Key::Escape).await?;
    page.until_js("the code is closed", "return document.querySelector('dialog.code-large[open]') === null").await?;
    assert_eq!(page.all("dialog.keep[open]").await?.len(), 1);
    page.expect_quiet_console().await
}
