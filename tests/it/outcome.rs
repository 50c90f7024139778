//! Outcomes: their JSON keeps its schema, every row is in it once, order and faults change nothing else.

mod round;
mod rows;
mod schema;
