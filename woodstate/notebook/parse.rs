//! A cell as a tree.

use std::collections::HashMap;

use starlark::syntax::{AstModule, Dialect};

/// The functions that operators of a cell become after it was parsed: sign, name; they stand in `operator.rs`.
const OPERATORS: [(&str, &str); 8] = [
    ("==", "_equal"),
    ("!=", "_unequal"),
    ("<", "_below"),
    ("<=", "_at_most"),
    (">", "_above"),
    (">=", "_at_least"),
    ("-", "_minus"),
    ("/", "_over"),
];

/// How cells are written: the language with statements outside of functions, and without loading of other files.
pub(super) fn dialect() -> Dialect {
    Dialect { enable_top_level_stmt: true, enable_f_strings: true, enable_load: false, ..Dialect::Extended }
}

/// The tree of a cell, in which operators are functions of ours.
pub(super) fn parsed(name: &str, code: String) -> starlark::Result<AstModule> {
    let mut tree = AstModule::parse(name, code, &dialect())?;
    let operators = OPERATORS.map(|(sign, function)| (sign.to_owned(), function.to_owned()));
    tree.replace_binary_operators(&HashMap::from(operators));
    Ok(tree)
}
