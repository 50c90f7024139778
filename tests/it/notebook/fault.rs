//! Faults: one sentence, the place, what to do.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;
use std::{rc::Rc, thread};

use woodstate::notebook::{SessionOptions, Told, with_session};

use super::desk::{Heard, fault, harbour_fault, in_harbour, text};
use crate::support::expected::equals;

/// What people type in their first hour.
const TRIED: [&str; 24] = [
    "load(\"harbour.xlsx\")",
    "import pandas as pd",
    "%matplotlib inline",
    "!pip install pandas",
    "x = 3 ** 2",
    "t = read(\"harbour.xlxs\")",
    "t = read(\"harbour.xlsx\", shet=\"samples\")",
    "t = read(\"harbour.xlsx\")\nt.where(\"max_water_content > 400\")",
    "t = read(\"harbour.xlsx\")\nt.where(\"depth_form < 20 mm\")",
    "t = read(\"harbour.xlsx\")\nt.where(\"depth_from < 350,5\")",
    "t = read(\"harbour.xlsx\")\nt[t.depth_from > 4]",
    "t = read(\"harbour.xlsx\")\nt.max_water_content",
    "t = read(\"harbour.xlsx\")\nt.mass_oven_dri",
    "t = read(\"harbour.xlsx\")\nsummary(t)",
    "s = assess(read(\"harbour.xlsx\"))\nsummary(s, value=\"basic_densty\")",
    "s = assess(read(\"harbour.xlsx\"))\nfit(s, value=\"bending_strength\")",
    "s = assess(read(\"harbour.xlsx\"))\nfigure(\"densty-water\", s)",
    "s = assess(read(\"harbour.xlsx\"))\nsave(s, \"../../state.xlsx\")",
    "taxon(\"ook\")",
    "foo + 1",
    "1 + \"a\"",
    "for x in [1, 2]:\n    y = x\n    z = summry(y)",
    "def f(n): return f(n + 1)\nf(1)",
    "x = (1,\n",
];

#[test]
fn what_people_try_is_answered() {
    let here = std::fs::canonicalize("datasets-demo/harbour").unwrap();
    let answers = TRIED.map(|code| {
        let fault = in_harbour(|session, _| fault(session, code));
        format!("{code}\n\n{fault}\n").replace(here.to_str().unwrap(), "FOLDER")
    });
    equals("notebook/faults.txt", &answers.join("\n----\n"));
}

/// Stops a session after a while, from another thread.
fn stopped_after(wait: Duration, code: &str) -> (String, Duration) {
    let stop = Arc::new(AtomicBool::new(false));
    let options = SessionOptions { stop: Arc::clone(&stop), ..SessionOptions::of("datasets-demo/harbour".as_ref()) };
    let asked = thread::spawn(move || {
        thread::sleep(wait);
        stop.store(true, Ordering::Relaxed);
        std::time::Instant::now()
    });
    with_session(&options, Rc::new(Heard::default()), |session| {
        let fault = session.run("Cell [1]", code).unwrap_err();
        let late = asked.join().unwrap().elapsed();
        assert_eq!(text(session, "1 + 1"), "2", "the session lives on");
        (fault.kind.to_owned(), late)
    })
}

#[test]
fn a_cell_that_never_ends_is_stopped() {
    let (kind, late) = stopped_after(Duration::from_millis(100), "for n in range(2000000000): x = n");
    assert_eq!(kind, "interrupted");
    assert!(late < Duration::from_secs(5), "{late:?}");
}

#[test]
fn work_of_the_library_is_stopped() {
    let code = "s = assess(read('harbour.xlsx'))\nprofile(s, replicates=1000000)";
    let (kind, late) = stopped_after(Duration::from_millis(1500), code);
    assert_eq!(kind, "interrupted");
    assert!(late < Duration::from_secs(10), "{late:?}");
}

/// Options of a session that is stopped once so much of some work has begun.
fn stopped_at(what: &'static str, done: usize) -> SessionOptions {
    let stop = Arc::new(AtomicBool::new(false));
    let asked = Arc::clone(&stop);
    let progress: Told = Arc::new(move |progress| {
        if progress.what == what && progress.done >= done {
            asked.store(true, Ordering::Relaxed);
        }
    });
    SessionOptions { stop, progress: Some(progress), ..SessionOptions::of("datasets-demo/harbour".as_ref()) }
}

#[test]
fn timbers_that_were_done_before_a_stop_are_said_and_kept() {
    for (what, code, timbers) in [
        ("timbers in depth", "profile(s, replicates=20)", "profiles"),
        ("timbers to lift", "lift(s, water='fresh', draws=50)", "lifts"),
    ] {
        with_session(&stopped_at(what, 3), Rc::new(Heard::default()), |session| {
            text(session, "s = assess(read('harbour.xlsx'))");
            let fault = session.run("Cell [1]", code).unwrap_err();
            assert_eq!(fault.kind, "interrupted");
            text(session, "x = _");
            let [done, total] = ["done", "total"].map(|count| text(session, &format!("x.stopped.{count}")));
            let said = format!("The cell was stopped after {done} of {total} timbers, which _ has.");
            assert!(fault.text.starts_with(&said), "{fault}");
            assert_eq!(text(session, &format!("len(x.{timbers})")), done);
            assert!(text(session, "x").starts_with(&format!("Stopped after {done} of {total} timbers")));
        });
    }
}

#[test]
fn a_name_that_was_given_before_a_stop_is_kept() {
    with_session(&stopped_at("assessing pieces", 0), Rc::new(Heard::default()), |session| {
        let fault = session.run("Cell [1]", "x = 7\nt = read('harbour.xlsx')\ns = assess(t)").unwrap_err();
        assert_eq!(fault.kind, "interrupted");
        assert_eq!(text(session, "x"), "7");
    });
}

#[test]
fn memory_and_steps_have_limits_that_are_said() {
    in_harbour(|session, _| {
        text(session, "settings(memory_mb=1, steps=100000)");
        let full = fault(session, "kept = []\nfor n in range(200):\n    kept.append(read('harbour.xlsx'))");
        assert!(full.text.contains("and 1 MB are allowed"), "{full}");
        text(session, "kept = None");
        let long = fault(session, "for n in range(10000000): x = n");
        assert_eq!(long.text, "The cell took more steps than are allowed.");
        // What is needed no more is let go, so the session can go on.
        for _ in 0..40 {
            text(session, "t = read('harbour.xlsx')");
        }
    });
}

#[test]
fn a_name_is_near_those_that_cells_gave() {
    in_harbour(|session, _| {
        text(session, "mechanics = 3");
        assert_eq!(fault(session, "mechanic + 1").cure.as_deref(), Some("did you mean mechanics?"));
    });
    assert!(harbour_fault("fail('too wet')").text.contains("too wet"));
}
