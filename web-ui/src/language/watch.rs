//! Watches the document and gives each text its other words before it is painted.

use super::other;
use js_sys::{Array, Reflect};
use wasm_bindgen::prelude::*;
use web_sys::{Document, Element, MutationObserver, MutationObserverInit, MutationRecord, Node};

/// Attributes that people read or hear.
const ATTRIBUTES: [&str; 6] = ["aria-label", "title", "placeholder", "alt", "aria-valuetext", "aria-roledescription"];
/// What is left alone.
const ALONE: &str = "[translate=no]";
/// Where a node keeps what it said in English, and what it was given in its place.
const KEPT: [&str; 2] = ["countlightEnglish", "countlightSaid"];

/// The watcher. It watches until it is ended.
pub struct Watch {
    observer: MutationObserver,
    _heard: Closure<dyn FnMut(Array)>,
}

fn document() -> Option<Document> {
    web_sys::window()?.document()
}

/// Tells readers of the page which language it speaks.
pub fn tell(sign: &str) {
    if let Some(root) = document().and_then(|d| d.document_element()) {
        let _ = root.set_attribute("lang", sign);
    }
}

impl Watch {
    /// Gives everything that stands there its other words, and what comes.
    pub fn begin() -> Option<Self> {
        let root = document()?.document_element()?;
        let heard = Closure::<dyn FnMut(Array)>::new(|records: Array| {
            for record in records.iter() {
                hear(&record.unchecked_into());
            }
        });
        let observer = MutationObserver::new(heard.as_ref().unchecked_ref()).ok()?;
        let watched = MutationObserverInit::new();
        watched.set_subtree(true);
        watched.set_child_list(true);
        watched.set_character_data(true);
        watched.set_attributes(true);
        watched.set_attribute_filter(&ATTRIBUTES.iter().map(|name| JsValue::from_str(name)).collect::<Array>());
        observer.observe_with_options(&root, &watched).ok()?;
        through(&root, &speak);
        Some(Self { observer, _heard: heard })
    }

    /// Ends watching and gives everything its English words again.
    pub fn end(self) {
        self.observer.disconnect();
        if let Some(root) = document().and_then(|d| d.document_element()) {
            through(&root, &restore);
        }
    }
}

fn hear(record: &MutationRecord) {
    let Some(node) = record.target() else { return };
    if alone(&node) {
        return;
    }
    match record.type_().as_str() {
        "characterData" => speak(&node, None),
        "attributes" => speak(&node, record.attribute_name().as_deref()),
        _ => {
            let added = record.added_nodes();
            (0..added.length()).filter_map(|i| added.get(i)).for_each(|node| through(&node, &speak));
        }
    }
}

/// Whether a node stands in something that is left alone.
fn alone(node: &Node) -> bool {
    let element = node.dyn_ref::<Element>().cloned().or_else(|| node.parent_element());
    element.is_some_and(|element| element.closest(ALONE).is_ok_and(|found| found.is_some()))
}

/// Does something with every text and attribute below a node.
fn through(node: &Node, deed: &dyn Fn(&Node, Option<&str>)) {
    match node.node_type() {
        Node::TEXT_NODE => deed(node, None),
        Node::ELEMENT_NODE => {
            let Some(element) = node.dyn_ref::<Element>() else { return };
            if element.matches(ALONE).unwrap_or(false) || matches!(element.tag_name().as_str(), "SCRIPT" | "STYLE") {
                return;
            }
            ATTRIBUTES.iter().filter(|name| element.has_attribute(name)).for_each(|name| deed(node, Some(name)));
            let children = node.child_nodes();
            (0..children.length()).filter_map(|i| children.get(i)).for_each(|child| through(&child, deed));
        }
        _ => {}
    }
}

fn keys(attribute: Option<&str>) -> [JsValue; 2] {
    KEPT.map(|key| JsValue::from_str(&format!("{key}{}", attribute.unwrap_or_default())))
}

fn read(node: &Node, attribute: Option<&str>) -> Option<String> {
    match attribute {
        None => node.node_value(),
        Some(name) => node.dyn_ref::<Element>()?.get_attribute(name),
    }
}

fn write(node: &Node, attribute: Option<&str>, text: &str) {
    match attribute {
        None => node.set_node_value(Some(text)),
        Some(name) => {
            let _ = node.dyn_ref::<Element>().map(|element| element.set_attribute(name, text));
        }
    }
}

/// Gives a text its other words, unless they are there already.
fn speak(node: &Node, attribute: Option<&str>) {
    let Some(text) = read(node, attribute) else { return };
    let [english, said] = keys(attribute);
    if Reflect::get(node, &said).ok().and_then(|said| said.as_string()).as_deref() == Some(&text) {
        return;
    }
    let Some(words) = other(&text).filter(|words| *words != text) else {
        return;
    };
    let _ = Reflect::set(node, &english, &JsValue::from_str(&text));
    let _ = Reflect::set(node, &said, &JsValue::from_str(&words));
    write(node, attribute, &words);
}

/// Gives a text its English words again, if it still says what it was given.
fn restore(node: &Node, attribute: Option<&str>) {
    let [english, said] = keys(attribute);
    let kept = |key: &JsValue| Reflect::get(node, key).ok().and_then(|text| text.as_string());
    if let (Some(english), Some(said)) = (kept(&english), kept(&said))
        && read(node, attribute) == Some(said)
    {
        write(node, attribute, &english);
    }
    let _ = Reflect::delete_property(node, &said);
}
