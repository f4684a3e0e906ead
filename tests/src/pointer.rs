//! The mouse, a finger and held keys, through the browser's own input path.

use std::time::Duration;

use fantoccini::actions::{
    Actions, InputSource, KeyAction, KeyActions, MOUSE_BUTTON_LEFT, MouseActions, PointerAction, TouchActions,
};
use serde::Deserialize;

use crate::{Element, Key, Page, Result};

/// Moves a drag is made of; a page that follows the pointer must see points on the way.
const MOVES: u8 = 8;
/// Time of one move, about a frame of the screen.
const MOVE_TIME: Duration = Duration::from_millis(16);
/// Names of the input devices; the driver keeps their state from call to call.
const MOUSE: &str = "mouse";
const KEYS: &str = "keys";

/// A box on the screen, CSS pixels of the viewport.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
pub struct Frame {
    /// Left edge.
    pub x: f64,
    /// Upper edge.
    pub y: f64,
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
}

impl Frame {
    /// Its middle.
    pub fn middle(&self) -> (f64, f64) {
        (self.x + 0.5 * self.width, self.y + 0.5 * self.height)
    }
}

fn move_to((x, y): (f64, f64)) -> PointerAction {
    PointerAction::MoveTo { duration: Some(MOVE_TIME), x, y }
}

const DOWN: PointerAction = PointerAction::Down { button: MOUSE_BUTTON_LEFT };
const UP: PointerAction = PointerAction::Up { button: MOUSE_BUTTON_LEFT };

impl Page {
    /// Presses the left button in the middle of `element`, moves by (`dx`, `dy`) CSS pixels and releases.
    pub async fn drag(&self, element: &Element, dx: f64, dy: f64) -> Result<()> {
        let (x, y) = self.frame_of(element).await?.middle();
        let on_the_way = |i: u8| (x + dx * f64::from(i) / f64::from(MOVES), y + dy * f64::from(i) / f64::from(MOVES));
        self.stroke(&(0..=MOVES).map(on_the_way).collect::<Vec<_>>()).await
    }

    /// Presses the left button at the first place of the viewport, moves over the others and releases at the last.
    pub async fn stroke(&self, places: &[(f64, f64)]) -> Result<()> {
        self.draw(places).await?;
        self.release().await
    }

    /// Like [`Page::stroke`] without the release.
    pub async fn draw(&self, places: &[(f64, f64)]) -> Result<()> {
        let Some((first, rest)) = places.split_first() else { return Err("a stroke needs a place".into()) };
        let mut mouse = MouseActions::new(MOUSE.to_owned()).then(move_to(*first)).then(DOWN);
        for place in rest {
            mouse = mouse.then(move_to(*place));
        }
        Ok(self.client().perform_actions(mouse).await?)
    }

    /// Presses the left button on an element and keeps it down.
    pub async fn hold(&self, element: &Element) -> Result<()> {
        self.draw(&[self.frame_of(element).await?.middle()]).await
    }

    /// Releases the left button.
    pub async fn release(&self) -> Result<()> {
        Ok(self.client().perform_actions(MouseActions::new(MOUSE.to_owned()).then(UP)).await?)
    }

    /// Presses a key and keeps it down.
    pub async fn hold_key(&self, key: impl Into<char>) -> Result<()> {
        let keys = KeyActions::new(KEYS.to_owned()).then(KeyAction::Down { value: key.into() });
        Ok(self.client().perform_actions(keys).await?)
    }

    /// Releases a key.
    pub async fn release_key(&self, key: impl Into<char>) -> Result<()> {
        let keys = KeyActions::new(KEYS.to_owned()).then(KeyAction::Up { value: key.into() });
        Ok(self.client().perform_actions(keys).await?)
    }

    /// Strikes keys one after the other, wherever the focus is.
    pub async fn strike(&self, keys: &str) -> Result<()> {
        let mut actions = KeyActions::new(KEYS.to_owned());
        for value in keys.chars() {
            actions = actions.then(KeyAction::Down { value }).then(KeyAction::Up { value });
        }
        Ok(self.client().perform_actions(actions).await?)
    }

    /// Strikes a key with another one held down.
    pub async fn chord(&self, held: impl Into<char> + Copy, key: &str) -> Result<()> {
        self.hold_key(held).await?;
        let done = self.strike(key).await;
        self.release_key(held).await?;
        done
    }

    /// Like [`Page::stroke`] with Shift held down.
    pub async fn stroke_with_shift(&self, places: &[(f64, f64)]) -> Result<()> {
        self.hold_key(Key::Shift).await?;
        let done = self.stroke(places).await;
        self.release_key(Key::Shift).await?;
        done
    }

    /// Touches the middle of an element with a finger for a moment.
    pub async fn tap(&self, element: &Element) -> Result<()> {
        let place = self.frame_of(element).await?.middle();
        let finger = TouchActions::new("finger".to_owned()).then(move_to(place)).then(DOWN).then(UP);
        Ok(self.client().perform_actions(Actions::from(finger)).await?)
    }

    /// Puts a finger on the middle of an element and leaves it there.
    pub async fn touch(&self, element: &Element) -> Result<()> {
        let place = self.frame_of(element).await?.middle();
        let finger = TouchActions::new("finger".to_owned()).then(move_to(place)).then(DOWN);
        Ok(self.client().perform_actions(finger).await?)
    }

    /// Lifts the finger.
    pub async fn lift(&self) -> Result<()> {
        Ok(self.client().perform_actions(TouchActions::new("finger".to_owned()).then(UP)).await?)
    }

    /// Where an element is, scrolled into view first; on a phone to the middle, clear of the bar at the bottom.
    pub async fn frame_of(&self, element: &Element) -> Result<Frame> {
        let script = "const block = innerWidth < 720 ? 'center' : 'nearest'; \
            arguments[0].scrollIntoView({ block, inline: 'nearest' }); \
            return arguments[0].getBoundingClientRect().toJSON()";
        self.js_with(script, vec![serde_json::to_value(element)?]).await
    }
}
