//! The file that says where to listen.

use std::path::Path;

use serde_json::Value;
use woodstate::error::{Error, Result};
use woodstate::table::read_file;

/// Where to listen, and the key of the signatures.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Connection {
    /// Endpoints of the five sockets.
    pub shell: String,
    pub iopub: String,
    pub stdin: String,
    pub control: String,
    pub heartbeat: String,
    /// Empty where nothing is signed.
    pub key: String,
}

impl Connection {
    /// Reads a connection file.
    pub fn open(path: &Path) -> Result<Self> {
        let source = read_file(path)?;
        Self::of(&source.bytes).map_err(|why| Error::file(path, "use", why))
    }

    fn of(bytes: &[u8]) -> std::result::Result<Self, String> {
        let file: Value =
            serde_json::from_slice(bytes).map_err(|error| format!("it is no connection file: {error}"))?;
        let text = |name: &str, usual: &str| {
            file.get(name).and_then(Value::as_str).map_or_else(|| usual.to_owned(), str::to_owned)
        };
        for (name, what) in [
            ("curve_publickey", "encrypted sockets"),
            ("curve_secretkey", "encrypted sockets"),
            ("registration_port", "a handshake"),
        ] {
            if file.get(name).is_some() {
                return Err(format!("it asks for {what} ({name}), which this kernel does not speak"));
            }
        }
        let scheme = text("signature_scheme", "hmac-sha256");
        if scheme != "hmac-sha256" {
            return Err(format!("its signature_scheme is {scheme}, and this kernel signs with hmac-sha256"));
        }
        let (transport, ip) = (text("transport", "tcp"), text("ip", "127.0.0.1"));
        let endpoint = |name: &str| -> std::result::Result<String, String> {
            let port = file.get(name).and_then(Value::as_u64).ok_or_else(|| format!("it has no {name}"))?;
            match transport.as_str() {
                "tcp" => Ok(format!("tcp://{ip}:{port}")),
                "ipc" => Ok(format!("ipc://{ip}-{port}")),
                other => Err(format!("its transport is {other}, and this kernel knows tcp and ipc")),
            }
        };
        Ok(Self {
            shell: endpoint("shell_port")?,
            iopub: endpoint("iopub_port")?,
            stdin: endpoint("stdin_port")?,
            control: endpoint("control_port")?,
            heartbeat: endpoint("hb_port")?,
            key: text("key", ""),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FILE: &str = r#"{"transport":"tcp","ip":"127.0.0.1","shell_port":1,"iopub_port":2,"stdin_port":3,"control_port":4,"hb_port":5,"key":"k"}"#;

    #[test]
    fn endpoints_follow_the_transport() {
        let tcp = Connection::of(FILE.as_bytes()).unwrap();
        assert_eq!(
            (tcp.shell.as_str(), tcp.heartbeat.as_str(), tcp.key.as_str()),
            ("tcp://127.0.0.1:1", "tcp://127.0.0.1:5", "k")
        );
        let ipc =
            Connection::of(FILE.replace("\"tcp\"", "\"ipc\"").replace("127.0.0.1", "sockets").as_bytes()).unwrap();
        assert_eq!(ipc.iopub, "ipc://sockets-2");
    }

    #[test]
    fn what_is_not_spoken_is_refused() {
        let with = |more: &str| Connection::of(FILE.replace('}', &format!(",{more}}}")).as_bytes()).unwrap_err();
        assert!(with("\"curve_publickey\":\"x\"").contains("encrypted"));
        assert!(with("\"registration_port\":9").contains("handshake"));
        assert!(with("\"signature_scheme\":\"hmac-md5\"").contains("hmac-md5"));
        assert!(Connection::of(b"{}").unwrap_err().contains("shell_port"));
        assert!(Connection::of(b"x").unwrap_err().contains("no connection file"));
    }
}
