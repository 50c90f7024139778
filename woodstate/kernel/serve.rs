//! The sockets, on one thread of tasks.

use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc;
use std::thread;
use std::time::Duration;

use bytes::Bytes;
use serde_json::{Value, json};
use tokio::runtime::Builder;
use tokio::sync::mpsc::{Sender, UnboundedReceiver, channel, unbounded_channel};
use tokio::time::{sleep, timeout};
use woodstate::error::{Error, Result};
use woodstate::notebook::SessionOptions;
use woodstate::reference::Reference;
use zeromq::{RepSocket, RouterRecvHalf, RouterSendHalf, RouterSocket, Socket, SocketRecv, SocketSend, ZmqMessage};

use crate::run::STACK;

use super::connection::Connection;
use super::engine;
use super::history::History;
use super::iopub::{Door, PAUSE, publish};
use super::message::{Writer, kernel_info};
use super::outlet::Outgoing;
use super::request::Request;
use super::wire::Wire;

/// Messages that wait to be published.
const QUEUE: usize = 1000;
/// A client that takes no answer for so long is given up.
const GIVEN_UP: Duration = Duration::from_secs(2);
/// Between the answer to a shutdown and the end, so that it arrives.
const LAST: Duration = Duration::from_millis(50);
/// Between looks at whether the parent lives.
const LOOK: Duration = Duration::from_millis(500);

/// Serves until a client shuts the kernel down or its parent is gone, then ends the process.
pub fn serve(connection: &Connection, options: SessionOptions, history: History) -> Result<()> {
    let wire = Arc::new(Wire::new(&connection.key));
    let (iopub, to_publish) = channel(QUEUE);
    let (shell, to_answer) = unbounded_channel();
    let writer = Writer::new(Arc::clone(&wire));
    let out = Outgoing { writer: writer.clone(), iopub: iopub.clone(), shell };
    let (requests, waiting) = mpsc::channel();
    let stop = Arc::clone(&options.stop);
    let asked = Arc::clone(&stop);
    // Without a handler an interrupt of the terminal would end the kernel.
    let _ = ctrlc::set_handler(move || asked.store(true, Ordering::Relaxed));
    let runtime = Builder::new_current_thread().enable_all().build();
    let runtime = runtime.map_err(|error| Error::file("the sockets", "open", error))?;
    runtime.block_on(async {
        let sockets = Sockets::bind(connection).await?;
        // The first cell needs the published numbers; they are read while nobody waits.
        thread::spawn(|| Reference::shipped().is_ok());
        let engine = thread::Builder::new().name("cells".to_owned()).stack_size(STACK);
        let engine = engine.spawn(move || engine::run(options, &waiting, &out, history));
        engine.map_err(|error| Error::file("the session", "start", error))?;
        let starting = writer.published("status", &json!({}), &json!({"execution_state": "starting"}));
        let _ = iopub.send(starting).await;
        let (shell_out, shell_in) = sockets.shell.split();
        let (control_out, control_in) = sockets.control.split();
        let control = Control { wire: Arc::clone(&wire), writer: writer.clone(), iopub, stop, out: control_out };
        tokio::join!(
            publish(sockets.iopub, to_publish, writer),
            answer(shell_out, to_answer),
            listen(shell_in, &wire, requests),
            control.listen(control_in),
            echo(sockets.heartbeat),
            ignore(sockets.stdin),
            follow_parent(),
        );
        Ok(())
    })
}

struct Sockets {
    shell: RouterSocket,
    control: RouterSocket,
    stdin: RouterSocket,
    heartbeat: RepSocket,
    iopub: Door,
}

impl Sockets {
    async fn bind(connection: &Connection) -> Result<Self> {
        let iopub = Door::open(&connection.iopub).await;
        Ok(Self {
            shell: bound(RouterSocket::new(), &connection.shell).await?,
            control: bound(RouterSocket::new(), &connection.control).await?,
            stdin: bound(RouterSocket::new(), &connection.stdin).await?,
            heartbeat: bound(RepSocket::new(), &connection.heartbeat).await?,
            iopub: iopub.map_err(|error| Error::file(Path::new(&connection.iopub), "listen at", error))?,
        })
    }
}

async fn bound<S: Socket>(mut socket: S, endpoint: &str) -> Result<S> {
    socket.bind(endpoint).await.map_err(|error| Error::file(Path::new(endpoint), "listen at", error))?;
    Ok(socket)
}

fn message(frames: Vec<Bytes>) -> Option<ZmqMessage> {
    ZmqMessage::try_from(frames).ok()
}

async fn answer(mut socket: RouterSendHalf, mut outgoing: UnboundedReceiver<Vec<Bytes>>) {
    while let Some(frames) = outgoing.recv().await {
        if let Some(message) = message(frames) {
            let _ = timeout(GIVEN_UP, socket.send(message)).await;
        }
    }
}

/// Requests of the shell go to the engine; damaged and wrongly signed ones are dropped.
async fn listen(mut socket: RouterRecvHalf, wire: &Wire, requests: mpsc::Sender<Request>) {
    loop {
        match socket.recv().await {
            Ok(message) => {
                let Some(request) = wire.decode(&message.into_vec()) else { continue };
                // A client that shuts down over the shell is older than the control socket.
                if request.kind == "shutdown_request" {
                    sleep(LAST).await;
                    std::process::exit(0);
                }
                if requests.send(request).is_err() {
                    std::process::exit(70);
                }
            }
            Err(_) => sleep(PAUSE).await,
        }
    }
}

/// What never waits for a cell.
struct Control {
    wire: Arc<Wire>,
    writer: Writer,
    iopub: Sender<Vec<Bytes>>,
    stop: Arc<AtomicBool>,
    out: RouterSendHalf,
}

impl Control {
    async fn listen(mut self, mut socket: RouterRecvHalf) {
        loop {
            match socket.recv().await {
                Ok(message) => {
                    if let Some(request) = self.wire.decode(&message.into_vec()) {
                        self.answer(&request).await;
                    }
                }
                Err(_) => sleep(PAUSE).await,
            }
        }
    }

    async fn answer(&mut self, request: &Request) {
        self.status(request, "busy").await;
        match request.kind.as_str() {
            "interrupt_request" => {
                self.stop.store(true, Ordering::Relaxed);
                self.reply(request, &json!({"status": "ok"})).await;
            }
            "kernel_info_request" => self.reply(request, &kernel_info()).await,
            "shutdown_request" => {
                self.stop.store(true, Ordering::Relaxed);
                self.reply(request, &json!({"status": "ok", "restart": request.truth("restart", false)})).await;
                self.status(request, "idle").await;
                sleep(LAST).await;
                std::process::exit(0);
            }
            _ => {}
        }
        self.status(request, "idle").await;
    }

    async fn reply(&mut self, request: &Request, content: &Value) {
        if let Some(message) = message(self.writer.reply(request, content)) {
            let _ = timeout(GIVEN_UP, self.out.send(message)).await;
        }
    }

    async fn status(&self, request: &Request, state: &str) {
        let frames = self.writer.published("status", &request.header, &json!({"execution_state": state}));
        let _ = self.iopub.send(frames).await;
    }
}

async fn echo(mut socket: RepSocket) {
    loop {
        match socket.recv().await {
            Ok(message) => drop(socket.send(message).await),
            Err(_) => sleep(PAUSE).await,
        }
    }
}

/// Nobody is asked for input, so nothing is expected here.
async fn ignore(mut socket: RouterSocket) {
    loop {
        if socket.recv().await.is_err() {
            sleep(PAUSE).await;
        }
    }
}

/// Ends the process when whoever started it is gone. In a container the parent may be the first process, which never goes.
#[cfg(unix)]
async fn follow_parent() {
    const FIRST: u32 = 1;
    let parent = std::os::unix::process::parent_id();
    if parent == FIRST {
        return;
    }
    while std::os::unix::process::parent_id() == parent {
        sleep(LOOK).await;
    }
    std::process::exit(0);
}

#[cfg(not(unix))]
async fn follow_parent() {
    let _ = LOOK;
}
