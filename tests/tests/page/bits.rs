//! The same run gives the same bits natively and in the browser.

use serde_json::json;
use sim_core::instrument::digest::Digest;
use system_tests::{Page, Result};

/// Longer scenes are left to the native tests: they would hold the browser up.
const LONGEST_S: f64 = 70.0;

#[tokio::test]
async fn every_short_scene_has_the_same_fingerprint_natively_and_in_the_page() -> Result<()> {
    let page = Page::open().await?;
    page.pause().await?;
    let mut compared = 0;
    for shipped in lessons::shipped() {
        let scene = lessons::read(shipped.id, shipped.text)?;
        if scene.duration_s.get() >= LONGEST_S {
            continue;
        }
        let mut digest = Digest::default();
        sim_core::bench::run(&scene, &mut digest);
        let script = "return countlight.scene_digest(arguments[0], arguments[1])";
        let in_page: String = page.js_with(script, vec![json!(shipped.id), json!(shipped.text)]).await?;
        assert_eq!(in_page, digest.hex(), "{}", shipped.id);
        compared += 1;
    }
    assert!(compared >= 8, "only {compared} scenes were compared");
    Ok(())
}

/// Negative control: another seed gives another fingerprint, and a broken scene an error in the reader's words.
#[tokio::test]
async fn the_fingerprint_tells_runs_apart() -> Result<()> {
    let page = Page::open().await?;
    let text = lessons::shipped_by_name("five-lines").ok_or("five-lines is not shipped")?.text;
    let script = "return countlight.scene_digest('x', arguments[0]).catch(String)";
    let of = async |text: String| page.js_with::<String>(script, vec![json!(text)]).await;
    let (one, other) = (of(text.to_owned()).await?, of(text.replace("seed = 11", "seed = 12")).await?);
    assert_eq!((one.len(), other.len()), (16, 16), "{one} {other}");
    assert_ne!(one, other);
    let error = of(text.replace("duration_s = 4.0", "duration_s = -4.0")).await?;
    assert!(error.contains("To mend it"), "{error}");
    Ok(())
}
