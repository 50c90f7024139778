//! The session: the names a cell or a script can use, its values, what it shows.
//!
//! A cell is a few lines of Starlark over the functions of `study`; this layer computes nothing of its own.
//!
//! ```
//! use std::cell::RefCell;
//! use std::rc::Rc;
//! use woodstate::notebook::{SessionOptions, Shown, Sink, with_session};
//!
//! #[derive(Default)]
//! struct Said(RefCell<String>);
//! impl Sink for Said {
//!     fn say(&self, text: &str) {
//!         self.0.borrow_mut().push_str(text);
//!     }
//!     fn note(&self, _: &str) {}
//!     fn show(&self, shown: &Shown) {
//!         self.say(&shown.text);
//!     }
//! }
//!
//! let options = SessionOptions::of("datasets-demo/harbour".as_ref());
//! with_session(&options, Rc::new(Said::default()), |session| {
//!     let cell = "s = assess(read('harbour.xlsx'))\nlen(s.where('max_water_content > 400'))";
//!     assert_eq!(session.run("Cell [1]", cell).unwrap().unwrap().text, "62");
//!     let fault = session.run("Cell [2]", "s.max_water_content > 400").unwrap_err();
//!     assert_eq!(fault.cure.as_deref(), Some("s.where(\"max_water_content > 400\")"));
//! });
//! ```
//!
//! | for | here |
//! |---|---|
//! | running cells | [`with_session`], [`Session::run`], [`Sink`], [`Shown`], [`Fault`] |
//! | the keys of a person | [`Session::complete`], [`Session::inspect`], [`completeness`] |
//!
//! A name of a cell is a function in a file of `name/`, and its line there. Not here: sockets and messages.

mod amount;
mod argument;
mod completeness;
mod completion;
mod context;
mod derive;
mod fault;
mod folder;
mod guide;
mod hint;
mod ledger;
mod listing;
mod name;
mod operator;
mod parse;
mod scan;
mod session;
mod shown;
mod spoken;
mod translation;
mod truth;
mod value;

pub use completeness::{Completeness, completeness};
pub use completion::{Completion, Proposal};
pub use context::Told;
pub use fault::Fault;
pub use session::{Session, SessionOptions, with_session};
pub use shown::{Shown, Sink};
