//! Requests, and the messages that answer them.

use std::sync::Arc;

use bytes::Bytes;
use serde_json::{Value, json};

use super::stamp::{identifier, now};
use super::wire::Wire;

/// Version of the messaging specification that this kernel speaks.
pub const PROTOCOL: &str = "5.4";

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

/// Makes messages of one kernel.
#[derive(Clone)]
pub struct Writer {
    wire: Arc<Wire>,
    session: Arc<str>,
}

impl Writer {
    pub fn new(wire: Arc<Wire>) -> Self {
        Self { wire, session: identifier().into() }
    }

    /// An answer to a request.
    pub fn reply(&self, request: &Request, content: &Value) -> Vec<Bytes> {
        let kind = request.kind.replace("_request", "_reply");
        self.wire.encode(&request.route, [&self.header(&kind), &request.header, &json!({}), content])
    }

    /// A message to everybody who listens; its parent is the request that it belongs to, or `{}`.
    pub fn published(&self, kind: &str, parent: &Value, content: &Value) -> Vec<Bytes> {
        let topic = Bytes::copy_from_slice(kind.as_bytes());
        self.wire.encode(&[topic], [&self.header(kind), parent, &json!({}), content])
    }

    fn header(&self, kind: &str) -> Value {
        json!({
            "msg_id": identifier(),
            "session": &*self.session,
            "username": "kernel",
            "date": now(),
            "msg_type": kind,
            "version": PROTOCOL,
        })
    }
}

/// What the kernel is.
pub fn kernel_info() -> Value {
    json!({
        "status": "ok",
        "protocol_version": PROTOCOL,
        "implementation": "woodstate",
        "implementation_version": env!("CARGO_PKG_VERSION"),
        "language_info": {
            "name": "starlark",
            "version": "1.0",
            "mimetype": "text/x-starlark",
            "file_extension": ".star",
            "pygments_lexer": "python",
            "codemirror_mode": "python",
            "nbconvert_exporter": "script",
        },
        "banner": format!("woodstate {}. help() is the tour.", env!("CARGO_PKG_VERSION")),
        "help_links": [],
        "supported_features": [],
        "debugger": false,
    })
}
