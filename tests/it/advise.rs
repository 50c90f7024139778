//! `advise`: from a file to routes with reasons, and what people see of them.

mod laboratory;
mod program;
mod study;
