//! Files dropped on the page: a broken one is refused in words and changes nothing, a good one opens.

use system_tests::{Page, Result};

const GOOD: &str = "format = 1\ntitle = \"My own\"\nabout = \"Mine.\"\nbench = \"small-mill\"\nduration_s = 5\n";

#[tokio::test]
async fn broken_files_are_refused_in_words_and_the_bench_goes_on() -> Result<()> {
    let page = Page::open().await?;
    page.set_slower(10).await?;
    let large = vec![b'#'; 2 << 20];
    let broken: [(&str, Vec<u8>, &str, &str); 9] = [
        ("syntax.toml", GOOD.replace("\"Mine.\"", "\"Mine.").into(), "syntax.toml:3:", ""),
        ("field.toml", format!("{GOOD}colour = 1\n").into(), "field.toml:6:", "colour"),
        ("nan.toml", GOOD.replace("duration_s = 5", "duration_s = nan").into(), "nan.toml:5:", ""),
        ("infinite.toml", GOOD.replace("duration_s = 5", "duration_s = -inf").into(), "infinite.toml:5:", ""),
        ("newer.toml", GOOD.replace("format = 1", "format = 99").into(), "newer.toml:1:", "format 99"),
        ("bench.toml", GOOD.replace("small-mill", "moon").into(), "bench.toml:4:", "moon"),
        ("empty.toml", Vec::new(), "empty.toml:", "empty"),
        ("picture.png", b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\xff\xfe".to_vec(), "picture.png:", "not a text file"),
        ("large.toml", large, "large.toml", "2097152 bytes"),
    ];
    for (name, bytes, place, what) in broken {
        let before = page.figures().await?;
        page.drop_file(name, &bytes).await?;
        let notice = page.read_notice().await.map_err(|e| format!("{name}: {e}"))?;
        assert!(notice.starts_with(place), "{name}: the notice does not name {place}: {notice}");
        assert!(notice.contains(what), "{name}: the notice does not say `{what}`: {notice}");
        let (_, mend) = notice.split_once("To mend it: ").ok_or_else(|| format!("{name} has no remedy: {notice}"))?;
        assert!(mend.trim().len() > 10, "{name}: {notice}");
        let later = page.until_figures("the bench goes on", |f| f.time_s > before.time_s).await?;
        assert_eq!((later.scene.as_str(), later.running), ("first-look", true), "{name} changed the bench");
        assert_eq!(later.uncounted_mm, 0.0, "{name}: {later:?}");
    }
    page.drop_file("my-own.toml", GOOD.as_bytes()).await?;
    page.until_figures("the good file runs", |f| f.scene == "my-own.toml" && f.time_s > 0.0).await?;
    assert_eq!(page.text("#scene option:checked").await?, "My own");
    let about = "return document.querySelector('.block').textContent";
    let block: String = page.js(about).await?;
    assert!(block.contains("Small mill") && block.contains("Mine."), "{block}");
    page.expect_quiet_console().await
}

/// A file that stays over the page says what will happen, and what is not a file is refused in words.
#[tokio::test]
async fn what_is_not_a_file_is_refused_in_words() -> Result<()> {
    let page = Page::open().await?;
    let over = "document.querySelector('main').dispatchEvent(new DragEvent('dragover', \
        { dataTransfer: new DataTransfer(), bubbles: true, cancelable: true }))";
    page.js::<bool>(&format!("return {over}")).await?;
    let sign = page.css(".drop").await?;
    assert_eq!(sign.text().await?, "Drop the file to open it");
    page.js::<bool>(&format!("return {}", over.replace("dragover", "drop"))).await?;
    assert_eq!(
        page.read_notice().await?,
        "Drop a scene file (.toml), a kept bench (.json) or the folder of a lesson on the page."
    );
    assert_eq!(page.all(".drop").await?.len(), 0);
    page.expect_quiet_console().await
}
