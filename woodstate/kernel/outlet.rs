//! Where a session says something: messages to everybody who listens.

use std::cell::{Cell, RefCell};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use bytes::Bytes;
use serde_json::{Value, json};
use tokio::sync::mpsc::{Sender, UnboundedSender};
use woodstate::notebook::{Shown, Sink};
use woodstate::numeric::Progress;

use super::bundle::{data, metadata};
use super::message::Writer;
use super::request::Request;
use super::stamp::identifier;

/// The ways out of the engine.
#[derive(Clone)]
pub struct Outgoing {
    pub writer: Writer,
    /// To everybody who listens; bounded, and emptied whatever listeners do.
    pub iopub: Sender<Vec<Bytes>>,
    /// Answers on the shell socket.
    pub shell: UnboundedSender<Vec<Bytes>>,
}

impl Outgoing {
    /// Tells everybody.
    pub fn publish(&self, kind: &str, parent: &Value, content: &Value) {
        // An error means that the sockets are gone, and with them everybody who could be told.
        let _ = self.iopub.blocking_send(self.writer.published(kind, parent, content));
    }

    /// Answers whoever asked.
    pub fn reply(&self, request: &Request, content: &Value) {
        let _ = self.shell.send(self.writer.reply(request, content));
    }
}

/// Printed text is kept so long before it is sent, unless there is much of it: a cell that is done before then gives the
/// same outputs each time, however busy the machine is.
const KEPT: Duration = Duration::from_secs(2);
const MUCH: usize = 16 << 10;

/// The sink of the session: belongs to the request that runs.
pub struct Outlet {
    out: Outgoing,
    parent: RefCell<Value>,
    is_silent: Cell<bool>,
    pending: RefCell<String>,
    since: Cell<Instant>,
    /// What the request has said so far, to be said again once its progress is cleared away; nothing where it is too much.
    said: RefCell<Option<Vec<(String, Value)>>>,
}

/// Outputs of a request that are kept to be said again.
const SAID: usize = 1000;

impl Outlet {
    pub fn new(out: Outgoing) -> Self {
        let (parent, pending) = (RefCell::new(json!({})), RefCell::default());
        let (since, said) = (Cell::new(Instant::now()), RefCell::new(Some(Vec::new())));
        Self { out, parent, is_silent: Cell::new(true), pending, since, said }
    }

    /// From here on everything belongs to this request; a silent one is heard by nobody.
    pub fn begin(&self, header: &Value, is_silent: bool) {
        self.parent.replace(header.clone());
        self.is_silent.set(is_silent);
        self.since.set(Instant::now());
        self.said.replace(Some(Vec::new()));
    }

    /// Clears what progress was shown and says the rest again, so that a cell leaves the same outputs however long it took.
    pub fn say_again(&self) {
        let Some(said) = self.said.take() else { return };
        // Without an output to come, a front end that is to wait would keep the progress.
        self.publish("clear_output", &json!({"wait": !said.is_empty()}));
        for (kind, content) in &said {
            self.publish(kind, content);
        }
    }

    /// Sends text that was kept.
    pub fn flush(&self) {
        let text = self.pending.take();
        self.since.set(Instant::now());
        if !text.is_empty() {
            self.say_and_keep("stream", &json!({"name": "stdout", "text": text}));
        }
    }

    /// Sends a message of the request, behind its text.
    pub fn send(&self, kind: &str, content: &Value) {
        self.flush();
        self.say_and_keep(kind, content);
    }

    fn say_and_keep(&self, kind: &str, content: &Value) {
        let mut said = self.said.borrow_mut();
        match said.as_mut().filter(|said| said.len() < SAID) {
            Some(said) => said.push((kind.to_owned(), content.clone())),
            None => *said = None,
        }
        self.publish(kind, content);
    }

    fn publish(&self, kind: &str, content: &Value) {
        if !self.is_silent.get() {
            self.out.publish(kind, &self.parent.borrow(), content);
        }
    }
}

impl Sink for Outlet {
    fn say(&self, text: &str) {
        self.pending.borrow_mut().push_str(text);
        let is_much = self.pending.borrow().len() >= MUCH;
        if is_much || self.since.get().elapsed() >= KEPT {
            self.flush();
        }
    }

    fn note(&self, text: &str) {
        self.say(text);
    }

    fn show(&self, shown: &Shown) {
        let content = json!({"data": data(shown), "metadata": metadata(shown), "transient": {}});
        self.send("display_data", &content);
    }

    fn clear(&self, wait: bool) {
        self.pending.take();
        self.said.replace(Some(Vec::new()));
        self.publish("clear_output", &json!({"wait": wait}));
    }
}

/// Progress of long work that replaces itself: shown after two seconds, then ten times a second at most.
#[derive(Clone)]
pub struct Bar(Arc<Mutex<BarState>>, Outgoing);

struct BarState {
    parent: Value,
    begun: Instant,
    told: Option<(String, Instant)>,
}

const PATIENCE: Duration = Duration::from_secs(2);
const TOLD: Duration = Duration::from_millis(100);

impl Bar {
    pub fn new(out: Outgoing) -> Self {
        Self(Arc::new(Mutex::new(BarState { parent: json!({}), begun: Instant::now(), told: None })), out)
    }

    /// A request begins.
    pub fn begin(&self, header: &Value) {
        if let Ok(mut state) = self.0.lock() {
            *state = BarState { parent: header.clone(), begun: Instant::now(), told: None };
        }
    }

    /// Ends the bar of a request; tells whether one was shown, which is not so where the work was short.
    pub fn end(&self) -> bool {
        self.0.lock().is_ok_and(|mut state| state.told.take().is_some())
    }

    /// How far the work has come.
    pub fn advance(&self, progress: Progress) {
        // Whoever holds the lock is telling just now.
        let Ok(mut state) = self.0.try_lock() else { return };
        if state.begun.elapsed() < PATIENCE {
            return;
        }
        let text = format!("{}: {} of {}", progress.what, progress.done, progress.total);
        match &state.told {
            None => {
                let id = identifier();
                self.tell(&state, "display_data", &id, &text);
                state.told = Some((id, Instant::now()));
            }
            Some((id, last)) if last.elapsed() >= TOLD => {
                let id = id.clone();
                self.tell(&state, "update_display_data", &id, &text);
                state.told = Some((id, Instant::now()));
            }
            Some(_) => {}
        }
    }

    fn tell(&self, state: &BarState, kind: &str, id: &str, text: &str) {
        let content = json!({"data": {"text/plain": text}, "metadata": {}, "transient": {"display_id": id}});
        // Where the queue is full, the next step is told.
        let _ = self.1.iopub.try_send(self.1.writer.published(kind, &state.parent, &content));
    }
}
