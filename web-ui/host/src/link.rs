//! The verb `link`: a scene as a link that opens it in the page, and back.

use std::io::Write;

use lessons::share::{self, LONGEST_LINK};

use crate::target_file::Target;
use crate::{Error, Result, scene_file};

/// Prints the link that opens a scene in the page, or reads a link and prints its scene.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  countlight link wide-smear\n  \
    countlight link my-scene.toml --base https://training.example/countlight/\n  \
    countlight link --read '#bench=1.QMt4JX...' > scene.toml\n\n\
    The link holds the whole scene; nothing is stored anywhere else. The page makes the same text of the same scene.\n\
    Put a link in quotes on the command line, or give `-` and paste it into the standard input.")]
pub struct Args {
    /// A scene file (.toml), or the id of a shipped scene.
    #[arg(value_name = "SCENE", required_unless_present = "read", conflicts_with = "read")]
    pub scene: Option<String>,
    /// Address of the page that the link opens.
    #[arg(long, value_name = "URL", default_value = "http://127.0.0.1:8117/")]
    pub base: String,
    /// Reads this link (a whole address or what stands behind `#`; `-` is the standard input) and prints the scene as
    /// a file.
    #[arg(long, value_name = "LINK")]
    pub read: Option<String>,
}

/// Runs the verb.
///
/// # Errors
/// The scene cannot be found or is too large for a link, or the link is not one.
pub fn run(args: &Args) -> Result<()> {
    let text = match (&args.read, &args.scene) {
        (Some(link), _) => lessons::write(&scene_of(link)?),
        (None, Some(name)) => {
            let scene = scene_file::find(name)?;
            let Some(link) = share::short_link_of(&scene) else {
                let what = format!("this scene is too large for a link of at most {LONGEST_LINK} letters");
                return Err(Error::new(what, name, "pass the scene on as a file"));
            };
            format!("{}\n", share::address_of(&args.base, &link))
        }
        // The command line demands one of the two.
        (None, None) => return Ok(()),
    };
    let mut out = Target::Output.begin()?;
    match out.write_all(text.as_bytes()) {
        Err(e) if !out.reader_left(&e) => Err(Error::file("print it", "standard output".as_ref(), &e)),
        _ => out.finish(),
    }
}

fn scene_of(link: &str) -> Result<sim_core::scene::Scene> {
    let pasted = if link == "-" {
        std::io::read_to_string(std::io::Read::take(std::io::stdin(), 4 * LONGEST_LINK as u64 + 1))
            .map_err(|e| Error::file("read the link", "standard input".as_ref(), &e))?
    } else {
        link.to_owned()
    };
    let start: String = pasted.trim().chars().take(40).collect();
    let place = if start.is_empty() { "an empty text".to_owned() } else { format!("the link that begins {start}") };
    share::scene_of(&pasted).map_err(|e| Error::new(e.what(), place, e.mend().trim_end_matches('.')))
}
