//! The page in Spanish: the views, the log and a lesson speak it, numbers stay those of the model, names that somebody
//! typed stay as they are, and English comes back.

use system_tests::{Page, Result};

/// Chooses a language as a person does, on the leaf of the lessons.
async fn choose(page: &Page, name: &str) -> Result<()> {
    page.strike("l").await?;
    page.css(".course-head").await?;
    page.choose(name).await?;
    page.strike("l").await?;
    page.css("#run").await?;
    Ok(())
}

/// What the page shows and says, without pictures.
async fn shown(page: &Page) -> Result<String> {
    page.js("return document.body.innerText").await
}

/// Sentences that had no words; titles of lessons have files of their own language.
async fn missed_sentences(page: &Page) -> Result<Vec<String>> {
    let missed: Vec<String> = page.js("return countlight.missed_words()").await?;
    let lessons = lessons::lesson::all().map_err(|e| e.to_string())?;
    let titles: Vec<&str> = lessons.iter().flat_map(|l| l.texts.values().map(|text| text.title("title"))).collect();
    let strange = |text: &String| text.split_whitespace().count() > 2 && !titles.contains(&text.as_str());
    Ok(missed.into_iter().filter(strange).collect())
}

#[tokio::test]
async fn the_story_of_a_smear_is_told_in_spanish_with_the_numbers_of_the_model() -> Result<()> {
    let page = Page::open().await?;
    page.pause().await?;
    assert!(shown(&page).await?.contains("Wipe the scale"));
    choose(&page, "Espa\u{f1}ol").await?;
    page.until_js("the document is Spanish", "return document.documentElement.lang === 'es'").await?;
    page.until("the words are Spanish", async || Ok(shown(&page).await?.contains("Limpiar la regla"))).await?;
    assert!(!shown(&page).await?.contains("Wipe the scale"));

    page.choose_scene("wide-smear").await?;
    page.until_figures("the smear stops the axis and the clock", |f| f.alarm && !f.running).await?;
    let stopped = page.figures().await?;
    assert!(stopped.uncounted_mm > 1.0, "{stopped:?}");
    page.until("the count is told wrong in Spanish", async || {
        Ok(page.text("#uncounted .says").await? == "recorrido sin contar")
    })
    .await?;
    assert_eq!(page.text("#uncounted .number").await?, format!("{:.2}mm", stopped.uncounted_mm));
    let log = page.log().await?.join("\n");
    assert!(log.contains("Se\u{f1}al demasiado d\u{e9}bil para conmutar en") && log.contains("Alarma"), "{log}");
    assert_eq!(page.access_faults().await?, [""; 0]);
    for view in ["Cabezal y luz", "Se\u{f1}ales", "Eje y lazo", "Cable y herramientas de mano", "Toda la cadena"] {
        page.click(view).await?;
        page.frames(3).await?;
    }
    let missed = missed_sentences(&page).await?;
    assert!(missed.is_empty(), "not translated: {missed:?}");

    choose(&page, "English").await?;
    page.until_js("the document is English", "return document.documentElement.lang === 'en'").await?;
    page.until("the words are English", async || {
        let text = shown(&page).await?;
        Ok(text.contains("Wipe the scale") && text.contains("Signal too weak") && !text.contains("Limpiar la regla"))
    })
    .await?;
    assert_eq!(page.text("#uncounted .says").await?, "travelled uncounted");
    page.expect_quiet_console().await
}

#[tokio::test]
async fn a_call_is_taken_in_spanish() -> Result<()> {
    let page = Page::open().await?;
    page.pause().await?;
    choose(&page, "Espa\u{f1}ol").await?;
    page.css("#calls").await?.click().await?;
    page.css("#go-J02").await?.click().await?;
    let still = "return !!document.querySelector('.site') && !document.querySelector('#call-doing')";
    page.until_js("the machine is there", still).await?;
    let mut missed = missed_sentences(&page).await?;
    for (turn, act) in [(1, "log"), (2, "check-amplitude-scan"), (3, "switch-off"), (4, ""), (5, "")] {
        page.css(&format!(".turns > .views button:nth-child({turn})")).await?.click().await?;
        if !act.is_empty() {
            page.css(&format!("#act-{act}")).await?.click().await?;
            page.until_js("it is done", still).await?;
        }
        page.frames(2).await?;
        missed.extend(missed_sentences(&page).await?);
    }
    assert_eq!(page.text(".notebook > h3").await?, "Cuaderno");
    assert!(missed.is_empty(), "not translated: {missed:?}");
    page.expect_quiet_console().await
}

#[tokio::test]
async fn a_lesson_is_begun_in_spanish_and_its_frame_is_spanish_too() -> Result<()> {
    let page = Page::open().await?;
    page.pause().await?;
    choose(&page, "Espa\u{f1}ol").await?;
    page.strike("l").await?;
    page.css(".lesson-row").await?;
    page.click("Empezar").await?;
    page.until("the lesson is there", async || Ok(page.text("#lesson").await?.contains("Una luz, una l\u{ed}nea")))
        .await?;
    let text = page.text("#lesson").await?;
    assert!(text.contains("Al terminar, sabr\u{e1} hacer esto") && text.contains("Seguir"), "{text}");
    page.click("Seguir").await?;
    page.until("the question is asked", async || Ok(page.text("#lesson").await?.contains("Esta es mi respuesta")))
        .await?;
    assert_eq!(page.access_faults().await?, [""; 0]);
    let missed = missed_sentences(&page).await?;
    assert!(missed.is_empty(), "not translated: {missed:?}");
    page.expect_quiet_console().await
}
