//! A number field of an instrument: written with a point or a comma, kept inside its range.

use super::field::use_field_value;
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// Properties of [`NumberField`].
#[derive(Properties, PartialEq)]
pub struct Props {
    /// What it is, with its unit.
    pub label: AttrValue,
    /// Unit behind the field.
    pub unit: AttrValue,
    /// Value in that unit.
    pub value: f64,
    /// Decimals shown.
    pub decimals: usize,
    /// Called with what was written; what is no number changes nothing.
    pub onchange: Callback<f64>,
}

/// What was written as a number; a comma is a decimal sign too, and the true minus is a minus.
pub fn number_of(text: &str) -> Option<f64> {
    let plain: String = text.trim().replace('\u{2212}', "-").replace(',', ".").replace('\u{2009}', "");
    plain.parse::<f64>().ok().filter(|v| v.is_finite())
}

/// The field.
#[function_component(NumberField)]
pub fn number_field(props: &Props) -> Html {
    let node = use_node_ref();
    use_field_value(&node, format!("{:.*}", props.decimals, props.value + 0.0).replace('-', "\u{2212}"));
    let onchange = {
        let (node, onchange) = (node.clone(), props.onchange.clone());
        move |_: Event| {
            let text = node.cast::<HtmlInputElement>().map(|i| i.value()).unwrap_or_default();
            if let Some(value) = number_of(&text) {
                onchange.emit(value);
            }
        }
    };
    html! {
        <label class="number-field">
            <input ref={node} inputmode="decimal" aria-label={props.label.clone()} {onchange} />
            <span class="unit">{ props.unit.clone() }</span>
        </label>
    }
}

#[cfg(test)]
mod tests {
    use super::number_of;

    #[test]
    fn numbers_are_read_as_people_write_them() {
        assert_eq!(number_of(" \u{2212}1,5 "), Some(-1.5));
        assert_eq!(number_of("1\u{2009}200.25"), Some(1200.25));
        assert_eq!((number_of("abc"), number_of(""), number_of("inf")), (None, None, None));
    }
}
