//! The Jupyter kernel: the wire protocol around one session.
//!
//! `serve.rs` owns the sockets on one thread of tasks (`iopub.rs` the one where everybody listens), `engine.rs` the session on a
//! thread of its own; frames go between them over channels. What a message means stands in the messaging specification of
//! Jupyter, version 5.5.

mod bundle;
mod command;
mod connection;
mod engine;
mod history;
mod install;
mod iopub;
mod message;
mod outlet;
mod place;
mod request;
mod serve;
mod stamp;
mod wire;

pub use command::{KernelArgs, run};
