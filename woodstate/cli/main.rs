//! The command line of woodstate.
fn main() {}
