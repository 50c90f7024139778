//! Words of the command line as a cell writes them.

/// A text that names options and commands, in the words of a cell: `--value` is `value=`, `woodstate explain w` is
/// `help("w")`, `woodstate bath time` is `bath("time")`.
pub(super) fn spoken(text: &str) -> String {
    let mut rest = text;
    let mut said = String::with_capacity(text.len());
    while let Some(at) = rest.find("--") {
        let (before, after) = rest.split_at(at);
        let name: String = after[2..].chars().take_while(|c| c.is_ascii_lowercase() || *c == '-').collect();
        let is_option = !name.is_empty() && !before.ends_with(['-', '<', '=']);
        said.push_str(before);
        if is_option {
            rest = &after[2 + name.len()..];
            let is_given = rest.starts_with(' ') && rest[1..].starts_with(|c: char| c == '"' || c.is_alphanumeric());
            said.push_str(&option(&name));
            // What follows an option on a line to type is its value.
            if is_given && rest[1..].starts_with('"') {
                rest = &rest[1..];
            }
        } else {
            said.push_str("--");
            rest = &after[2..];
        }
    }
    said.push_str(rest);
    called(&explained(&said))
}

fn option(name: &str) -> String {
    match name {
        "force" => "force=True".to_owned(),
        // An option of the program, not of a function.
        "anywhere" => "--anywhere".to_owned(),
        name => format!("{}=", name.replace('-', "_")),
    }
}

/// `woodstate explain word` as `help("word")`.
fn explained(text: &str) -> String {
    const COMMAND: &str = "woodstate explain ";
    let mut parts = text.split(COMMAND);
    let mut said = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let part = part.trim_start();
        let end = part.find(|c: char| !(c.is_alphanumeric() || matches!(c, '_' | '-'))).unwrap_or(part.len());
        said.push_str(&format!("help(\"{}\"){}", &part[..end], &part[end..]));
    }
    said
}

/// `woodstate bath time` as `bath("time")`.
fn called(text: &str) -> String {
    let baths = ["mix", "wash", "time", "freeze"];
    baths.iter().fold(text.to_owned(), |text, question| {
        text.replace(&format!("woodstate bath {question}"), &format!("bath(\"{question}\")"))
    })
}

#[cfg(test)]
mod tests {
    use super::spoken;

    #[test]
    fn options_become_arguments() {
        assert_eq!(spoken("or name another quantity with --value"), "or name another quantity with value=");
        assert_eq!(spoken("such as --threshold \"60 %\"."), "such as threshold=\"60 %\".");
        assert_eq!(spoken("replace the file with --force"), "replace the file with force=True");
        assert_eq!(spoken("a word: woodstate explain mass-missing"), "a word: help(\"mass-missing\")");
        assert_eq!(spoken("how long: woodstate bath time."), "how long: bath(\"time\").");
        assert_eq!(spoken("10 -- 20"), "10 -- 20");
    }
}
