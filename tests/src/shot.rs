//! Screenshots at a given size and theme.

use std::fs;
use std::path::PathBuf;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use countlight_host::workspace::Workspace;
use serde_json::json;

use crate::{Page, Result};

/// Narrower pages are shown as on a phone.
const PHONE_BELOW: u32 = 600;

/// The colours the person prefers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Theme {
    /// Dark on light.
    Light,
    /// Light on dark.
    Dark,
}

impl Theme {
    fn name(self) -> &'static str {
        match self {
            Self::Light => "light",
            Self::Dark => "dark",
        }
    }
}

/// A screen on which the page is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct View {
    /// Width in CSS pixels.
    pub width: u32,
    /// Height in CSS pixels.
    pub height: u32,
    /// The preferred colours.
    pub theme: Theme,
}

impl View {
    /// A laptop's browser window.
    pub const LAPTOP: Self = Self { width: 1440, height: 900, theme: Theme::Light };
    /// A projector across a room.
    pub const PROJECTOR: Self = Self { width: 1920, height: 1080, theme: Theme::Light };
    /// A phone held upright.
    pub const PHONE: Self = Self { width: 390, height: 844, theme: Theme::Light };

    /// A laptop's browser window at a zoom of 200 %.
    pub const LAPTOP_ZOOMED: Self = Self { width: 720, height: 450, theme: Theme::Light };

    /// The same screen with dark colours.
    pub const fn dark(self) -> Self {
        Self { theme: Theme::Dark, ..self }
    }
}

impl Page {
    /// Gives the page this screen from now on.
    pub async fn view(&self, view: View) -> Result<()> {
        let size = json!({
            "width": view.width, "height": view.height, "deviceScaleFactor": 1, "mobile": view.width < PHONE_BELOW,
        });
        self.cdp("Emulation.setDeviceMetricsOverride", size).await?;
        let theme = json!({ "features": [{ "name": "prefers-color-scheme", "value": view.theme.name() }] });
        self.cdp("Emulation.setEmulatedMedia", theme).await?;
        // Two frames: one for the resize observers, one for what they draw.
        let frames = "const done = arguments[arguments.length - 1]; \
            requestAnimationFrame(() => requestAnimationFrame(() => done(true)))";
        self.client().execute_async(frames, vec![]).await?;
        Ok(())
    }

    /// Gives the page this screen and writes its picture to `target/screenshots`. Returns the file.
    pub async fn screenshot(&self, name: &str, view: View) -> Result<PathBuf> {
        self.view(view).await?;
        let picture = self.cdp("Page.captureScreenshot", json!({ "format": "png" })).await?;
        let bytes = STANDARD.decode(picture["data"].as_str().unwrap_or_default())?;
        let folder = Workspace::locate()?.root().join("target/screenshots");
        fs::create_dir_all(&folder)?;
        let file = folder.join(format!("{name}-{}x{}-{}.png", view.width, view.height, view.theme.name()));
        fs::write(&file, bytes)?;
        Ok(file)
    }
}
