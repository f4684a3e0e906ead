//! Keys of a slider, as the ARIA pattern has them: arrows one step, Page keys ten.

/// The value that a key asks for; `None` for a key that is not the slider's. `home` and `end` are where those keys go.
pub fn asked(key: &str, value: f64, step: f64, home: f64, end: f64) -> Option<f64> {
    Some(match key {
        "ArrowUp" | "ArrowRight" => value + step,
        "ArrowDown" | "ArrowLeft" => value - step,
        "PageUp" => value + 10.0 * step,
        "PageDown" => value - 10.0 * step,
        "Home" => home,
        "End" => end,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::asked;

    #[test]
    fn keys_move_by_steps_and_go_to_the_ends() {
        let key = |key| asked(key, 5.0, 0.5, 0.0, 6.0);
        assert_eq!((key("ArrowUp"), key("ArrowLeft")), (Some(5.5), Some(4.5)));
        assert_eq!((key("PageUp"), key("PageDown")), (Some(10.0), Some(0.0)));
        assert_eq!((key("Home"), key("End"), key("Enter")), (Some(0.0), Some(6.0), None));
    }
}
