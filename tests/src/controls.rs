//! The page's controls, worked as a person does.

use serde_json::json;

use crate::{Element, Page, Result};

impl Page {
    /// Chooses a shipped scene in the list; it starts from its beginning.
    pub async fn choose_scene(&self, id: &str) -> Result<()> {
        self.css("#scene").await?.select_by_value(id).await?;
        self.until_figures(&format!("the scene is {id}"), |f| f.scene == id).await?;
        Ok(())
    }

    /// Moves the speed slider to `slower` times slower than real; the words beside it must say so.
    pub async fn set_slower(&self, slower: u32) -> Result<()> {
        let wanted = if slower == 1 { "real time".to_owned() } else { format!("1 : {slower}") };
        let slider = self.css(".pace input").await?;
        let last: u32 = slider.attr("max").await?.ok_or("the speed slider has no end")?.parse()?;
        for place in (0..=last).rev() {
            self.slide(&slider, f64::from(place)).await?;
            if self.text(".pace output").await? == wanted {
                return Ok(());
            }
        }
        Err(format!("the speed slider has no place `{wanted}`").into())
    }

    /// Moves a native slider: sets its value and tells the page, as the browser does after a drag.
    pub async fn slide(&self, slider: &Element, value: f64) -> Result<()> {
        let script = "arguments[0].value = arguments[1]; \
            arguments[0].dispatchEvent(new InputEvent('input', { bubbles: true }))";
        self.js_with(script, vec![serde_json::to_value(slider)?, json!(value)]).await
    }

    /// Writes into a field, slowly as a person does, and leaves it.
    pub async fn write(&self, css: &str, text: &str) -> Result<()> {
        let field = self.css(css).await?;
        let script = "arguments[0].focus(); arguments[0].select()";
        self.js_with::<()>(script, vec![serde_json::to_value(&field)?]).await?;
        for key in text.chars() {
            self.strike(&key.to_string()).await?;
            self.frames(8).await?;
        }
        self.js_with("arguments[0].blur(); return null", vec![serde_json::to_value(&field)?]).await
    }

    /// Presses the button of that name.
    pub async fn click(&self, name: &str) -> Result<()> {
        Ok(self.by_role("button", name).await?.click().await?)
    }

    /// Chooses one of a few words.
    pub async fn choose(&self, word: &str) -> Result<()> {
        Ok(self.by_role("radio", word).await?.click().await?)
    }

    /// Stops the clock, if it runs. It may stop by itself at the same moment; then the button makes it run again, and the
    /// next look stops it.
    pub async fn pause(&self) -> Result<()> {
        self.until("the clock stands", async || {
            if self.figures().await?.running {
                self.css("#run").await?.click().await?;
                self.frames(2).await?;
            }
            Ok(!self.figures().await?.running)
        })
        .await
    }

    /// Text of the first element that matches, waiting until there is one.
    pub async fn text(&self, css: &str) -> Result<String> {
        self.css(css).await?;
        let script = "return document.querySelector(arguments[0])?.textContent ?? null";
        let text: Option<String> = self.js_with(script, vec![css.into()]).await?;
        text.ok_or_else(|| format!("there is no element `{css}`").into())
    }

    /// Entries of the log as shown, newest first, without their times.
    pub async fn log(&self) -> Result<Vec<String>> {
        let script = "return [...document.querySelectorAll('.log li')]
            .map((li) => [...li.childNodes].filter((n) => n.nodeName !== 'TIME').map((n) => n.textContent).join(''))";
        self.js(script).await
    }

    /// The newest entry of the log with these words, waiting until there is one.
    pub async fn until_log(&self, words: &str) -> Result<String> {
        let told = async || Ok(self.log().await?.iter().any(|entry| entry.contains(words)));
        let wait = self.until(&format!("the log says `{words}`"), told).await;
        let log = self.log().await?;
        wait.map_err(|e| format!("{e}; it says {log:#?}"))?;
        log.into_iter().find(|entry| entry.contains(words)).ok_or_else(|| format!("`{words}` is gone").into())
    }
}
