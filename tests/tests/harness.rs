//! The harness finds, types and drags as a person would. Shown on a small page of its own, so that these tests stay
//! when ours changes.

use countlight_host::site::Site;
use system_tests::{Key, Page, Result, Served, serve};

const HTML: &str = "<!doctype html><html lang=\"en\"><head><meta charset=\"utf-8\"><title>t</title>\
    <script src=\"t.js\" defer></script></head><body>\
    <label>Gap<input id=\"gap\" type=\"range\" min=\"0\" max=\"10\" value=\"5\"></label>\
    <button>Start</button><button>Twice</button><button>Twice</button><div id=\"pad\">drag me</div></body></html>";

const SCRIPT: &str = "
    globalThis.seen = [];
    const pad = document.getElementById('pad');
    for (const kind of ['pointerdown', 'pointermove', 'pointerup']) {
        document.addEventListener(kind, (e) => seen.push([kind, Math.round(e.clientX), Math.round(e.clientY), e.buttons]));
    }
    document.querySelector('button').addEventListener('click', () => {
        const note = document.createElement('p');
        note.id = 'late';
        note.textContent = 'started';
        setTimeout(() => document.body.append(note), 50);
    });";

async fn open() -> Result<(Page, Served)> {
    let mut site = Site::default();
    site.add("index.html", HTML.into())?;
    site.add("t.js", SCRIPT.into())?;
    let served = serve(site)?;
    let page = Page::blank(&[]).await?;
    page.goto(served.url()).await?;
    Ok((page, served))
}

#[tokio::test]
async fn controls_are_found_by_role_and_name() -> Result<()> {
    let (page, _served) = open().await?;
    page.by_role("button", "Start").await?.click().await?;
    assert_eq!(page.css("#late").await?.text().await?, "started");
    assert_eq!(page.names("button").await?, ["Start", "Twice", "Twice"]);
    let error = page.by_role("button", "Twice").await.expect_err("two buttons are one");
    assert!(error.to_string().contains("2 elements"), "{error}");
    let left: u32 = page.js("return document.querySelectorAll('[data-found-by-role]').length").await?;
    assert_eq!(left, 0, "the mark stays in the page");
    Ok(())
}

#[tokio::test]
async fn keys_reach_the_element_in_focus() -> Result<()> {
    let (page, _served) = open().await?;
    let gap = page.by_role("slider", "Gap").await?;
    gap.send_keys(&Key::Right.to_string()).await?;
    page.press(Key::Right).await?;
    assert_eq!(gap.prop("value").await?.as_deref(), Some("7"));
    Ok(())
}

#[tokio::test]
async fn a_drag_is_pressed_moved_and_released() -> Result<()> {
    let (page, _served) = open().await?;
    let pad = page.css("#pad").await?;
    page.drag(&pad, 80.0, 40.0).await?;
    let seen: Vec<(String, i32, i32, u32)> = page.js("return seen").await?;
    let down = seen.iter().find(|(kind, ..)| kind == "pointerdown").expect("no press");
    let up = seen.iter().find(|(kind, ..)| kind == "pointerup").expect("no release");
    assert_eq!((up.1 - down.1, up.2 - down.2), (80, 40));
    let moves = seen.iter().filter(|(kind, .., buttons)| kind == "pointermove" && *buttons == 1).count();
    assert!(moves >= 4, "the page saw only {moves} points on the way");
    Ok(())
}
