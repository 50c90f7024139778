//! What is published, to each listener on a way of its own: each is welcomed, and one that stops reading stalls nobody.
//!
//! The socket of the crate that tells who subscribed sends to its listeners one after the other and waits for each. So every
//! listener gets such a socket for itself, behind a connection that is taken here and carried on to it.

use std::io;
#[cfg(unix)]
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Duration;

use bytes::Bytes;
use tokio::io::{AsyncRead, AsyncWrite, copy_bidirectional};
use tokio::net::{TcpListener, TcpStream};
#[cfg(unix)]
use tokio::net::{UnixListener, UnixStream};
use tokio::sync::mpsc::{Receiver, UnboundedReceiver, UnboundedSender, unbounded_channel};
use tokio::task::JoinHandle;
use tokio::time::sleep;
use zeromq::{Socket, SocketRecv, SocketSend, XPubSocket, ZmqMessage};

use super::message::Writer;
use super::stamp::identifier;

/// A pause against spinning where a socket fails.
pub const PAUSE: Duration = Duration::from_millis(5);
/// Bytes that a listener may be behind; one that is further behind is given up, and its client connects anew.
const BEHIND: usize = 256 << 20;

/// Where listeners come in.
pub enum Door {
    Tcp(TcpListener),
    #[cfg(unix)]
    Ipc(UnixListener, PathBuf),
}

trait Connection: AsyncRead + AsyncWrite + Send + Unpin {}

impl<T: AsyncRead + AsyncWrite + Send + Unpin> Connection for T {}

impl Door {
    /// Listens at an endpoint, `tcp://host:port` or `ipc://path`.
    pub async fn open(endpoint: &str) -> io::Result<Self> {
        if let Some(address) = endpoint.strip_prefix("tcp://") {
            return TcpListener::bind(address).await.map(Self::Tcp);
        }
        #[cfg(unix)]
        if let Some(path) = endpoint.strip_prefix("ipc://") {
            return UnixListener::bind(path).map(|door| Self::Ipc(door, path.into()));
        }
        Err(io::Error::new(io::ErrorKind::Unsupported, "this system has no sockets of this kind"))
    }

    /// The next listener, and an endpoint for the socket that it is carried on to.
    async fn enter(&self) -> io::Result<(Box<dyn Connection>, String)> {
        match self {
            Self::Tcp(door) => {
                let (outer, _) = door.accept().await?;
                outer.set_nodelay(true)?;
                Ok((Box::new(outer), "tcp://127.0.0.1:0".to_owned()))
            }
            // Beside the door, where its folder says who may come in.
            #[cfg(unix)]
            Self::Ipc(door, path) => {
                let (outer, _) = door.accept().await?;
                // Short, because such a path has room for little more than a hundred letters.
                let within = path.with_file_name(format!("{:.8}", identifier()));
                Ok((Box::new(outer), format!("ipc://{}", within.display())))
            }
        }
    }
}

/// A socket at an endpoint, and a connection to it.
async fn pair(endpoint: &str) -> io::Result<(XPubSocket, Box<dyn Connection>)> {
    let mut socket = XPubSocket::new();
    let bound = socket.bind(endpoint).await.map_err(io::Error::other)?.to_string();
    #[cfg(unix)]
    if let Some(path) = bound.strip_prefix("ipc://") {
        let inner = UnixStream::connect(path).await;
        // Nobody else is to come in here.
        std::fs::remove_file(path)?;
        return Ok((socket, Box::new(inner?)));
    }
    let inner = TcpStream::connect(bound.trim_start_matches("tcp://")).await?;
    inner.set_nodelay(true)?;
    Ok((socket, Box::new(inner)))
}

/// Publishes what comes, until nothing can come any more.
pub async fn publish(door: Door, mut outgoing: Receiver<Vec<Bytes>>, writer: Writer) {
    let mut listeners: Vec<Listener> = Vec::new();
    loop {
        tokio::select! {
            entered = door.enter() => match entered {
                Ok((outer, within)) => listeners.push(Listener::new(outer, within, writer.clone())),
                Err(_) => sleep(PAUSE).await,
            },
            frames = outgoing.recv() => match frames.map(ZmqMessage::try_from) {
                Some(Ok(message)) => listeners.retain(|listener| listener.hear(&message)),
                Some(Err(_)) => {}
                None => return,
            },
        }
    }
}

/// Somebody who listens.
struct Listener {
    queue: UnboundedSender<ZmqMessage>,
    behind: Arc<AtomicUsize>,
    task: JoinHandle<()>,
}

impl Listener {
    fn new(mut outer: Box<dyn Connection>, within: String, writer: Writer) -> Self {
        let (queue, waiting) = unbounded_channel();
        let behind = Arc::new(AtomicUsize::new(0));
        let told = Arc::clone(&behind);
        let task = tokio::spawn(async move {
            let Ok((socket, mut inner)) = pair(&within).await else { return };
            tokio::select! {
                // Ends when the listener leaves; that it did is no fault of ours.
                _ = copy_bidirectional(&mut outer, &mut inner) => {}
                () = tell(socket, waiting, &told, &writer) => {}
            }
        });
        Self { queue, behind, task }
    }

    /// Puts a message into its queue; false where the listener is gone or given up.
    fn hear(&self, message: &ZmqMessage) -> bool {
        let behind = self.behind.fetch_add(size(message), Ordering::Relaxed);
        behind <= BEHIND && self.queue.send(message.clone()).is_ok()
    }
}

impl Drop for Listener {
    fn drop(&mut self) {
        self.task.abort();
    }
}

fn size(message: &ZmqMessage) -> usize {
    message.iter().map(Bytes::len).sum()
}

/// Says to one listener what waits for it, and welcomes each of its subscriptions.
async fn tell(
    mut socket: XPubSocket,
    mut waiting: UnboundedReceiver<ZmqMessage>,
    behind: &AtomicUsize,
    writer: &Writer,
) {
    loop {
        let message = tokio::select! {
            biased;
            said = socket.recv() => match &said.map(|said| said.get(0).cloned()) {
                Ok(Some(frame)) if frame.first() == Some(&1) => {
                    // The one who was meant to come in here has come.
                    socket.unbind_all().await;
                    ZmqMessage::try_from(writer.welcome(&frame[1..])).ok()
                }
                Ok(_) => None,
                Err(_) => return,
            },
            message = waiting.recv() => match message {
                Some(message) => {
                    behind.fetch_sub(size(&message), Ordering::Relaxed);
                    Some(message)
                }
                None => return,
            },
        };
        if let Some(message) = message
            && socket.send(message).await.is_err()
        {
            return;
        }
    }
}
