//! The session: cells, values, faults, keys, files.

mod bath;
mod cell;
mod desk;
mod fault;
mod file;
mod join;
mod key;
mod lift;
mod number;
mod operator;
mod program;
mod shown;
