//! What is shown, as the forms of a message.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use serde_json::{Map, Value, json};
use woodstate::notebook::{Fault, Shown};

/// Every form of a value: text always.
pub fn data(shown: &Shown) -> Value {
    let mut data = Map::new();
    data.insert("text/plain".to_owned(), json!(shown.text));
    if let Some(html) = &shown.html {
        data.insert("text/html".to_owned(), json!(html));
    }
    if let Some(svg) = &shown.svg {
        data.insert("image/svg+xml".to_owned(), json!(svg));
    }
    if let Some(png) = &shown.png {
        data.insert("image/png".to_owned(), json!(STANDARD.encode(png)));
    }
    Value::Object(data)
}

/// How large the pictures are on a screen.
pub fn metadata(shown: &Shown) -> Value {
    match (shown.size, &shown.png) {
        (Some([width, height]), Some(_)) => json!({"image/png": {"width": width, "height": height}}),
        _ => json!({}),
    }
}

/// A fault as a message tells it.
pub fn error(fault: &Fault) -> Value {
    let (bold, end) = ("\u{1b}[1m", "\u{1b}[0m");
    let lines = fault.lines();
    let mut traceback = vec![format!("{bold}{}:{end} {}", fault.kind, lines.first().cloned().unwrap_or_default())];
    traceback.extend(lines.into_iter().skip(1));
    json!({"ename": fault.kind, "evalue": fault.text, "traceback": traceback})
}
