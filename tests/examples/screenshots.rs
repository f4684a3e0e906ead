//! Writes the README's pictures into `web-ui/pictures`: `cargo run -p system-tests --example screenshots`.
//!
//! The clock stands at a stated model time, reached in steps, so that the pictures show the same on every machine.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use countlight_host::workspace::Workspace;
use system_tests::{Page, Result, View};

/// Colours that a drawing needs; the rest are shades at the edges of letters.
const COLOURS: &str = "192";

/// A picture.
struct Shot {
    name: &'static str,
    view: View,
    scene: &'static str,
    /// How many times slower than real the speed slider says.
    slower: u32,
    /// Model time, s.
    at_s: f64,
}

const SHOTS: [Shot; 4] = [
    // The wide smear's alarm comes at 0.9951 s.
    Shot { name: "laptop-light", view: View::LAPTOP, scene: "wide-smear", slower: 50, at_s: 1.012 },
    Shot { name: "laptop-dark", view: View::LAPTOP.dark(), scene: "first-look", slower: 10, at_s: 3.0 },
    Shot { name: "projector-light", view: View::PROJECTOR, scene: "wide-smear", slower: 50, at_s: 1.012 },
    Shot { name: "phone-light", view: View::PHONE, scene: "wide-smear", slower: 50, at_s: 1.012 },
];

#[tokio::main(flavor = "current_thread")]
async fn main() -> Result<()> {
    let folder = Workspace::locate()?.root().join("web-ui/pictures");
    fs::create_dir_all(&folder)?;
    for shot in &SHOTS {
        let file = take(shot, &folder).await?;
        reduce(&file);
        println!("{} ({} kB)", file.display(), fs::metadata(&file)?.len().div_ceil(1024));
    }
    Ok(())
}

async fn take(shot: &Shot, folder: &Path) -> Result<PathBuf> {
    let page = Page::open().await?;
    // The page asks for the theme when it starts.
    page.view(shot.view).await?;
    page.client().refresh().await?;
    page.ready().await?;
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
    let taken = page.screenshot(shot.name, shot.view).await?;
    page.expect_quiet_console().await?;
    let file = folder.join(format!("{}.png", shot.name));
    fs::copy(taken, &file)?;
    Ok(file)
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
