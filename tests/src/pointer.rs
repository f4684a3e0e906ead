//! Dragging with the mouse, through the browser's own input path.

use std::time::Duration;

use fantoccini::actions::{InputSource, MOUSE_BUTTON_LEFT, MouseActions, PointerAction};

use crate::{Element, Page, Result};

/// Moves a drag is made of; a page that follows the pointer must see points on the way.
const MOVES: u8 = 8;
/// Time of one move, about a frame of the screen.
const MOVE_TIME: Duration = Duration::from_millis(16);

impl Page {
    /// Presses the left button in the middle of `element`, moves by (`dx`, `dy`) CSS pixels and releases.
    pub async fn drag(&self, element: &Element, dx: f64, dy: f64) -> Result<()> {
        let part = |whole: f64| whole / f64::from(MOVES);
        let mut mouse = MouseActions::new("mouse".to_owned())
            .then(PointerAction::MoveToElement { element: element.clone(), duration: Some(MOVE_TIME), x: 0.0, y: 0.0 })
            .then(PointerAction::Down { button: MOUSE_BUTTON_LEFT });
        for _ in 0..MOVES {
            mouse = mouse.then(PointerAction::MoveBy { duration: Some(MOVE_TIME), x: part(dx), y: part(dy) });
        }
        let mouse = mouse.then(PointerAction::Up { button: MOUSE_BUTTON_LEFT });
        Ok(self.client().perform_actions(mouse).await?)
    }
}
