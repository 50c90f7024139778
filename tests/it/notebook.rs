//! The session: cells, values, faults, keys, files.

mod cell;
mod desk;
mod fault;
mod file;
mod key;
mod number;
mod operator;
mod program;
mod shown;
