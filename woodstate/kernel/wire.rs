//! Messages as frames: read, checked, signed.

use bytes::Bytes;
use hmac::{Hmac, Mac};
use serde_json::Value;
use sha2::Sha256;

use super::request::Request;

/// Stands between the identities of a message and its content.
const DELIMITER: &[u8] = b"<IDS|MSG>";

/// Reads and writes frames with the key of a connection.
#[derive(Clone)]
pub struct Wire {
    key: Option<Hmac<Sha256>>,
}

impl Wire {
    /// With a key; an empty one signs nothing and checks nothing.
    pub fn new(key: &str) -> Self {
        Self { key: if key.is_empty() { None } else { Hmac::new_from_slice(key.as_bytes()).ok() } }
    }

    /// A request; `None` where it is damaged or wrongly signed. The signature is checked over the bytes that came, before
    /// anything in them is read, and compared in constant time.
    pub fn decode(&self, frames: &[Bytes]) -> Option<Request> {
        let at = frames.iter().position(|frame| frame[..] == *DELIMITER)?;
        let signed = frames.get(at + 2..at + 6)?;
        if let Some(key) = &self.key {
            let mut digest = key.clone();
            signed.iter().for_each(|frame| digest.update(frame));
            digest.verify_slice(&digits(&frames[at + 1])?).ok()?;
        }
        let (header, content): (Value, Value) = (json(&signed[0])?, json(&signed[3])?);
        let kind = header.get("msg_type")?.as_str()?.to_owned();
        Some(Request { route: frames[..at].to_vec(), header, kind, content })
    }

    /// The frames of a message: where to, then what.
    pub fn encode(&self, route: &[Bytes], parts: [&Value; 4]) -> Vec<Bytes> {
        let parts = parts.map(|part| Bytes::from(part.to_string()));
        let signature = self.key.as_ref().map_or_else(String::new, |key| {
            let mut digest = key.clone();
            parts.iter().for_each(|part| digest.update(part));
            digest.finalize().into_bytes().iter().map(|byte| format!("{byte:02x}")).collect()
        });
        let head = [Bytes::from_static(DELIMITER), Bytes::from(signature)];
        route.iter().cloned().chain(head).chain(parts).collect()
    }
}

fn json(bytes: &[u8]) -> Option<Value> {
    serde_json::from_slice(bytes).ok().filter(Value::is_object)
}

/// The bytes of hexadecimal digits.
fn digits(text: &[u8]) -> Option<Vec<u8>> {
    if text.len() % 2 == 1 {
        return None;
    }
    text.chunks(2).map(|pair| u8::from_str_radix(std::str::from_utf8(pair).ok()?, 16).ok()).collect()
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    fn frames(wire: &Wire) -> Vec<Bytes> {
        let header = json!({"msg_type": "execute_request", "msg_id": "1"});
        wire.encode(&[Bytes::from_static(b"me")], [&header, &json!({}), &json!({}), &json!({"code": "é"})])
    }

    #[test]
    fn altered_bytes_are_refused_everywhere() {
        let wire = Wire::new("secret");
        let sent = frames(&wire);
        let read = wire.decode(&sent).unwrap();
        assert_eq!((read.route.len(), read.kind.as_str(), &read.content["code"]), (1, "execute_request", &json!("é")));
        for place in 2..sent.len() {
            for byte in 0..sent[place].len() {
                let mut altered = sent.clone();
                let mut bytes = altered[place].to_vec();
                bytes[byte] ^= 1;
                altered[place] = Bytes::from(bytes);
                assert!(wire.decode(&altered).is_none(), "frame {place}, byte {byte}");
            }
            assert!(wire.decode(&sent[..place]).is_none());
        }
        assert!(Wire::new("other").decode(&sent).is_none());
    }

    #[test]
    fn an_empty_key_signs_nothing() {
        let wire = Wire::new("");
        let sent = frames(&wire);
        assert!(sent[2].is_empty());
        assert!(wire.decode(&sent).is_some());
    }

    #[test]
    fn garbage_is_no_message() {
        let wire = Wire::new("");
        let frame = Bytes::from_static;
        let cases: [Vec<Bytes>; 5] = [
            vec![],
            vec![frame(b"x")],
            vec![frame(DELIMITER)],
            vec![frame(DELIMITER), frame(b""), frame(b"[]"), frame(b"{}"), frame(b"{}"), frame(b"{}")],
            vec![frame(DELIMITER), frame(b""), frame(b"{\"msg_type\":3}"), frame(b"{}"), frame(b"{}"), frame(b"{}")],
        ];
        for case in cases {
            assert!(wire.decode(&case).is_none());
        }
    }
}
