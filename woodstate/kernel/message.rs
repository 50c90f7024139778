//! The messages that answer requests.

use std::sync::Arc;

use bytes::Bytes;
use serde_json::{Value, json};

use super::request::Request;
use super::stamp::{identifier, now};
use super::wire::Wire;

/// Version of the messaging specification that this kernel speaks.
const PROTOCOL: &str = "5.5";
/// Version that the folder of the kernel promises: 5.5 there would promise a handshake before the sockets are known.
pub const PROMISED: &str = "5.4";

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

    /// The first message to a listener of a topic, which so knows that it hears all that follows.
    pub fn welcome(&self, topic: &[u8]) -> Vec<Bytes> {
        let content = json!({"subscription": String::from_utf8_lossy(topic)});
        let parts = [&self.header("iopub_welcome"), &json!({}), &json!({}), &content];
        self.wire.encode(&[Bytes::copy_from_slice(topic)], parts)
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
