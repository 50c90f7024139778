//! A request of a client.

use bytes::Bytes;
use serde_json::Value;

/// A request as it came.
#[derive(Debug, Clone)]
pub struct Request {
    /// Frames that say who asks, given back unchanged.
    pub route: Vec<Bytes>,
    /// Its header, given back unchanged as the parent of every answer.
    pub header: Value,
    /// What is asked.
    pub kind: String,
    /// What it says.
    pub content: Value,
}

impl Request {
    /// A text of the content.
    pub fn text(&self, name: &str) -> &str {
        self.content.get(name).and_then(Value::as_str).unwrap_or_default()
    }

    /// A truth of the content, or the usual one.
    pub fn truth(&self, name: &str, usual: bool) -> bool {
        self.content.get(name).and_then(Value::as_bool).unwrap_or(usual)
    }

    /// A whole number of the content, or the usual one.
    pub fn whole(&self, name: &str, usual: i64) -> i64 {
        self.content.get(name).and_then(Value::as_i64).unwrap_or(usual)
    }
}
