//! The thread of the session: one request after the other, in their order.

use std::collections::VecDeque;
use std::rc::Rc;
use std::sync::Arc;
use std::sync::mpsc::Receiver;
use std::thread;
use std::time::Duration;

use serde_json::{Map, Value, json};
use woodstate::notebook::{
    Completeness, Completion, Fault, Session, SessionOptions, Shown, Told, completeness, with_session,
};

use super::bundle::{data, error, metadata};
use super::history::History;
use super::message::kernel_info;
use super::outlet::{Bar, Outgoing, Outlet};
use super::request::Request;

/// How long a front end may take to send the cells behind one that failed.
const QUEUED: Duration = Duration::from_millis(5);

/// Answers requests until nobody sends any more.
pub fn run(options: SessionOptions, requests: &Receiver<Request>, out: &Outgoing, history: History) {
    let outlet = Rc::new(Outlet::new(out.clone()));
    let bar = Bar::new(out.clone());
    let told: Told = Arc::new({
        let bar = bar.clone();
        move |progress| bar.advance(progress)
    });
    let options = SessionOptions { progress: Some(told), ..options };
    let sink = Rc::clone(&outlet);
    with_session(&options, sink, |session| {
        let behind = VecDeque::new();
        let mut engine = Engine { session, outlet, bar, out, history, count: 0, requests, behind };
        loop {
            match engine.behind.pop_front() {
                Some(request) if request.kind == "execute_request" => engine.abort(&request),
                Some(request) => engine.answer(&request),
                None => match requests.recv() {
                    Ok(request) => engine.answer(&request),
                    Err(_) => break,
                },
            }
        }
    });
}

struct Engine<'a, 'v> {
    session: &'a mut Session<'v>,
    outlet: Rc<Outlet>,
    bar: Bar,
    out: &'a Outgoing,
    history: History,
    count: i64,
    requests: &'a Receiver<Request>,
    /// Requests that waited when a cell failed: cells among them are not run.
    behind: VecDeque<Request>,
}

impl Engine<'_, '_> {
    fn answer(&mut self, request: &Request) {
        self.status(request, "busy");
        match request.kind.as_str() {
            "execute_request" => self.execute(request),
            "kernel_info_request" => self.out.reply(request, &kernel_info()),
            "complete_request" => self.out.reply(request, &self.completed(request)),
            "inspect_request" => self.out.reply(request, &self.inspected(request)),
            "is_complete_request" => self.out.reply(request, &whole(request.text("code"))),
            "history_request" => self.out.reply(request, &self.history.asked(request)),
            "comm_info_request" => self.out.reply(request, &json!({"status": "ok", "comms": {}})),
            // Nobody here knows a target, so the other end is told at once.
            "comm_open" => {
                let content = json!({"comm_id": request.text("comm_id"), "data": {}});
                self.out.publish("comm_close", &request.header, &content);
            }
            _ => {}
        }
        self.status(request, "idle");
    }

    fn status(&self, request: &Request, state: &str) {
        self.out.publish("status", &request.header, &json!({"execution_state": state}));
    }

    /// A cell behind one that failed.
    fn abort(&self, request: &Request) {
        self.status(request, "busy");
        self.out.reply(request, &json!({"status": "aborted", "execution_count": self.count}));
        self.status(request, "idle");
    }

    fn execute(&mut self, request: &Request) {
        let code = request.text("code");
        let is_silent = request.truth("silent", false);
        let is_kept = request.truth("store_history", true) && !is_silent;
        if is_kept {
            self.count += 1;
        }
        let count = self.count;
        self.outlet.begin(&request.header, is_silent);
        self.bar.begin(&request.header);
        if !is_silent {
            self.out.publish("execute_input", &request.header, &json!({"code": code, "execution_count": count}));
        }
        let done = match question(code) {
            Some(name) => self.told(name),
            None => self.session.run(&format!("Cell [{count}]"), timed(code)),
        };
        self.outlet.flush();
        if self.bar.end() {
            self.outlet.say_again();
        }
        let output = done.as_ref().ok().and_then(Option::as_ref).map(|shown| shown.text.clone());
        if is_kept && !code.trim().is_empty() {
            self.history.add(count, code, output);
        }
        match &done {
            Ok(shown) => {
                if let Some(shown) = shown {
                    let content = json!({"data": data(shown), "metadata": metadata(shown), "execution_count": count});
                    self.outlet.send("execute_result", &content);
                }
                let expressions = self.expressions(request);
                let content =
                    json!({"status": "ok", "execution_count": count, "user_expressions": expressions, "payload": []});
                self.out.reply(request, &content);
            }
            Err(fault) => {
                let mut content = error(fault);
                self.outlet.send("error", &content);
                if let Some(content) = content.as_object_mut() {
                    content.insert("status".to_owned(), json!("error"));
                    content.insert("execution_count".to_owned(), json!(count));
                    content.insert("user_expressions".to_owned(), json!({}));
                    content.insert("payload".to_owned(), json!([]));
                }
                // Whoever sends a cell after the answer knows of the fault and means it.
                if request.truth("stop_on_error", true) {
                    thread::sleep(QUEUED);
                    self.behind.extend(self.requests.try_iter());
                }
                self.out.reply(request, &content);
            }
        }
        self.outlet.begin(&json!({}), true);
    }

    /// What a name before or behind a question mark is.
    fn told(&self, name: &str) -> Result<Option<Shown>, Fault> {
        let shown = self.session.inspect(name, name.chars().count(), false);
        let unknown = || Fault {
            kind: "name",
            text: format!("Nothing is known of {name}."),
            cure: Some("help() lists what there is".to_owned()),
            ..Fault::default()
        };
        shown.map(Some).ok_or_else(unknown)
    }

    /// Expressions that a front end asks for beside a cell.
    fn expressions(&mut self, request: &Request) -> Value {
        let asked = request.content.get("user_expressions").and_then(Value::as_object);
        let mut values = Map::new();
        for (name, expression) in asked.into_iter().flatten() {
            let value = match self.session.look(name, expression.as_str().unwrap_or_default()) {
                Ok(shown) => {
                    let shown = shown.unwrap_or_else(|| Shown::of_text("None"));
                    json!({"status": "ok", "data": data(&shown), "metadata": metadata(&shown)})
                }
                Err(fault) => {
                    let mut content = error(&fault);
                    if let Some(content) = content.as_object_mut() {
                        content.insert("status".to_owned(), json!("error"));
                    }
                    content
                }
            };
            values.insert(name.clone(), value);
        }
        Value::Object(values)
    }

    fn completed(&self, request: &Request) -> Value {
        let code = request.text("code");
        let Completion { start, end, proposals } = self.session.complete(code, cursor(request, code));
        let texts: Vec<&str> = proposals.iter().map(|one| one.text.as_str()).collect();
        let typed = proposals.iter().map(
            |one| json!({"text": one.text, "type": one.kind, "signature": one.signature, "start": start, "end": end}),
        );
        let typed: Vec<Value> = typed.collect();
        json!({
            "status": "ok",
            "matches": texts,
            "cursor_start": start,
            "cursor_end": end,
            "metadata": {"_jupyter_types_experimental": typed},
        })
    }

    fn inspected(&self, request: &Request) -> Value {
        let code = request.text("code");
        let found = self.session.inspect(code, cursor(request, code), request.whole("detail_level", 0) > 0);
        let data = found.as_ref().map_or_else(|| json!({}), data);
        json!({"status": "ok", "found": found.is_some(), "data": data, "metadata": {}})
    }
}

/// Where the cursor stands, in characters; at the end where nothing is said.
fn cursor(request: &Request, code: &str) -> usize {
    let end = code.chars().count();
    let at = request.content.get("cursor_pos").and_then(Value::as_u64).and_then(|at| usize::try_from(at).ok());
    at.unwrap_or(end).min(end)
}

fn whole(code: &str) -> Value {
    match completeness(code) {
        Completeness::Complete => json!({"status": "complete"}),
        Completeness::Incomplete(indent) => json!({"status": "incomplete", "indent": indent}),
        Completeness::Invalid => json!({"status": "invalid"}),
    }
}

/// The name in `name?` or `?name`.
fn question(code: &str) -> Option<&str> {
    let code = code.trim();
    let name = code.strip_suffix('?').or_else(|| code.strip_prefix('?'))?.trim_matches('?').trim();
    let is_name = |c: char| c.is_alphanumeric() || matches!(c, '_' | '.' | '-');
    (!name.is_empty() && name.chars().all(is_name)).then_some(name)
}

/// A cell without the word that asks how long it takes, which people are used to.
fn timed(code: &str) -> &str {
    let trimmed = code.trim_start();
    let rest = trimmed.strip_prefix("%%time").or_else(|| trimmed.strip_prefix("%time"));
    rest.filter(|rest| rest.is_empty() || rest.starts_with(char::is_whitespace)).map_or(code, str::trim_start)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_of_other_notebooks_are_understood() {
        assert_eq!((question("fit?"), question("?s.where"), question("x = 1?")), (Some("fit"), Some("s.where"), None));
        assert_eq!((timed("%time x = 1"), timed("%%time\nx = 1"), timed("%timer")), ("x = 1", "x = 1", "%timer"));
    }
}
