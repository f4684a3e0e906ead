//! Writes the README's pictures into `web-ui/pictures`: `cargo run -p system-tests --example screenshots`.
//!
//! The clock stands at a stated model time, reached in steps, so that the pictures show the same on every machine.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use countlight_host::workspace::Workspace;
use system_tests::{Page, Result, View};

/// Colours that a drawing needs; the rest are shades at the edges of letters.
const COLOURS: &str = "192";

/// A picture.
#[derive(Clone, Copy)]
struct Shot {
    /// Its name without size and theme.
    name: &'static str,
    /// Name of the view as on its button.
    view: &'static str,
    scene: &'static str,
    /// How many times slower than real the speed slider says.
    slower: u32,
    /// Model time, s.
    at_s: f64,
    /// The presenter view is on.
    present: bool,
}

/// The wide smear's alarm comes at 0.9951 s; the pictures are taken shortly after.
const SMEAR: Shot =
    Shot { name: "", view: "Whole chain", scene: "wide-smear", slower: 50, at_s: 1.012, present: false };

/// Every view, and the presenter view.
const SHOTS: [Shot; 6] = [
    Shot { name: "whole", ..SMEAR },
    Shot { name: "light", view: "Head and light", scene: "close-here-far-there", slower: 1, at_s: 12.0, ..SMEAR },
    Shot { name: "signals", view: "Signals", ..SMEAR },
    Shot { name: "axis", view: "Axis and loop", ..SMEAR },
    Shot { name: "cable", view: "Cable and hand tools", scene: "pairs-swapped", slower: 10, at_s: 0.9, ..SMEAR },
    Shot { name: "present", present: true, ..SMEAR },
];

/// Name of the picture of a call-out.
const CALL: &str = "call";
/// What has been done there.
const CALL_ACTS: [&str; 3] = ["check-amplitude-scan", "check-scope-drive", "check-xy-figure"];

/// Three sizes, two themes.
const SIZES: [(&str, View); 3] = [("laptop", View::LAPTOP), ("projector", View::PROJECTOR), ("phone", View::PHONE)];

#[tokio::main(flavor = "current_thread")]
async fn main() -> Result<()> {
    let folder = Workspace::locate()?.root().join("web-ui/pictures");
    fs::create_dir_all(&folder)?;
    let wanted = std::env::args().nth(1);
    let shots = SHOTS.iter().map(|shot| (shot.name, Some(shot))).chain([(CALL, None)]);
    for (name, shot) in shots.filter(|(name, _)| wanted.as_deref().is_none_or(|wanted| wanted == *name)) {
        for (size, view) in SIZES {
            for (theme, view) in [("light", view), ("dark", view.dark())] {
                let file = folder.join(format!("{name}-{size}-{theme}.png"));
                match shot {
                    Some(shot) => take(shot, view, &file).await?,
                    None => take_call(view, &file).await?,
                }
                reduce(&file);
                println!("{} ({} kB)", file.display(), fs::metadata(&file)?.len().div_ceil(1024));
            }
        }
    }
    Ok(())
}

async fn take_call(view: View, file: &Path) -> Result<()> {
    let page = Page::open().await?;
    page.view(view).await?;
    page.client().refresh().await?;
    page.ready().await?;
    page.css("#calls").await?.click().await?;
    page.css("#go-J04").await?.click().await?;
    let still = "return !!document.querySelector('.site') && !document.querySelector('#call-doing')";
    page.until_js("the machine is there", still).await?;
    page.css(".turns > .views button:nth-child(2)").await?.click().await?;
    for act in CALL_ACTS {
        page.css(&format!("#act-{act}")).await?.click().await?;
        page.until_js("it is read", still).await?;
    }
    page.js::<()>("scrollTo(0, 0); document.activeElement?.blur()").await?;
    fs::copy(page.screenshot(CALL, view).await?, file)?;
    Ok(())
}

async fn take(shot: &Shot, view: View, file: &Path) -> Result<()> {
    let page = Page::open().await?;
    // The page asks for the theme when it starts.
    page.view(View::LAPTOP).await?;
    page.click(shot.view).await?;
    page.view(view).await?;
    page.client().refresh().await?;
    page.ready().await?;
    if view.width < 720 {
        // A phone chooses from a list, and goes to the first of its destinations.
        page.css("#view").await?;
    }
    page.pause().await?;
    page.choose_scene(shot.scene).await?;
    page.pause().await?;
    page.click("Start the scene again").await?;
    let step = page.by_role("button", "One step on").await?;
    // A step is a fortieth of the window of 4 s over the pace: long ones first.
    for slower in [1, 2, 5, 10, 20, 50].into_iter().filter(|slower| *slower <= shot.slower) {
        page.set_slower(slower).await?;
        let step_s = 0.1 / f64::from(slower);
        while page.figures().await?.time_s < shot.at_s - step_s + 1e-6 {
            step.click().await?;
        }
    }
    let at_s = page.figures().await?.time_s;
    if (at_s - shot.at_s).abs() > 1e-6 {
        return Err(format!("{}: the clock stands at {at_s} s, not at {} s", shot.name, shot.at_s).into());
    }
    // What follows the bench ten times a second comes to rest too.
    page.frames(20).await?;
    // The pointer out of the picture, the focus nowhere.
    page.stroke(&[(1.0, 1.0)]).await?;
    page.js::<()>("document.activeElement?.blur()").await?;
    if shot.present {
        page.strike("p").await?;
        page.frames(20).await?;
    }
    let taken = page.screenshot(shot.name, view).await?;
    page.expect_quiet_console().await?;
    fs::copy(taken, file)?;
    Ok(())
}

/// Makes the file smaller where a tool for it is there; without one it stays as it is.
fn reduce(file: &Path) {
    let attempts: [(&str, Vec<&str>); 2] = [
        ("pngquant", vec!["--force", "--skip-if-larger", "--nofs", "--ext", ".png", COLOURS]),
        ("convert", vec!["+dither", "-colors", COLOURS, "-define", "png:compression-level=9", "-strip"]),
    ];
    for (tool, options) in attempts {
        let mut command = Command::new(tool);
        if tool == "convert" {
            command.arg(file).args(options).arg(file);
        } else {
            command.args(options).arg(file);
        }
        command.stdout(Stdio::null()).stderr(Stdio::null());
        if command.status().is_ok_and(|status| status.success()) {
            return;
        }
    }
}
