//! Every number of a page stands in `report.json`.

use std::collections::BTreeSet;

use serde_json::Value;
use woodstate::quantity::{shown, shown_value};

use super::markup::{Node, nodes};
use super::{harbour, text};

/// Numbers of the sentences that are always there: dates of works, the temperature of an oven, limits of a page.
const SAID: [&str; 9] = ["103", "1927", "1996", "2006", "35:399", "399", "35", "7", "1977"];

/// What is known: pairs of value and uncertainty, numbers as they may be shown, texts.
#[derive(Default)]
struct Known {
    pairs: BTreeSet<String>,
    numbers: BTreeSet<String>,
    texts: BTreeSet<String>,
}

impl Known {
    fn take(&mut self, value: &Value) {
        match value {
            Value::Object(map) => {
                for entry in map.values() {
                    self.take(entry);
                }
                for (name, number) in map.iter().filter_map(|(name, entry)| Some((name, entry.as_f64()?))) {
                    let u = ["u", "u_of_mean"].iter().find_map(|u| map.get(*u)).and_then(Value::as_f64);
                    if ["value", "mean", "basic_density"].contains(&name.as_str()) {
                        self.pairs.insert(shown(number, u));
                        self.pairs.insert(shown(number, None));
                        let plain = u.map(|u| format!("{number} ± {u}"));
                        self.pairs.extend(plain);
                        self.pairs.extend(u.map(|u| format!("{} ± {}", shown_value(number), shown_value(u))));
                    }
                }
            }
            Value::Array(list) => {
                // How many there are is said too.
                self.numbers.insert(list.len().to_string());
                list.iter().for_each(|entry| self.take(entry));
            }
            Value::Number(number) => self.number(number.as_f64().unwrap()),
            // A published limit is a text, since some are two numbers or words.
            Value::String(text) => match text.parse() {
                Ok(number) => self.number(number),
                Err(_) => drop(self.texts.insert(text.replace('\u{a0}', " "))),
            },
            Value::Null | Value::Bool(_) => {}
        }
    }

    fn number(&mut self, number: f64) {
        // Shares are shown in per cent, diffusivities in 1e-12 m2/s.
        for number in [number, number * 100.0, number * 1e12] {
            self.numbers.insert(number.to_string());
            self.numbers.insert(shown_value(number));
            self.numbers.extend((0..4).map(|digits| format!("{number:.digits$}")));
        }
    }
}

/// The numbers of a text; signs, words and units around them are left out.
fn numbers(text: &str) -> Vec<String> {
    let is_part = |c: char| c.is_ascii_digit() || c == '.';
    let words = text.split(|c: char| !is_part(c)).map(|word| word.trim_matches('.'));
    words.filter(|word| word.contains(|c: char| c.is_ascii_digit())).map(str::to_owned).collect()
}

/// What a page shows, without its numbers of sections and tables.
fn shown_texts(page: &str) -> Vec<String> {
    // The numbers of a figure stand in a file beside it.
    const SKIPPED: [&str; 6] = ["h1", "h2", "caption", "title", "thead", "figure"];
    const BLOCKS: [&str; 7] = ["td", "th", "dt", "dd", "li", "p", "h3"];
    let (mut texts, mut skipped, mut current) = (Vec::new(), 0, String::new());
    for node in nodes(page) {
        match node {
            Node::Open(name, _) if SKIPPED.contains(&name.as_str()) => skipped += 1,
            Node::Close(name) if SKIPPED.contains(&name.as_str()) => skipped -= 1,
            Node::Close(name) if BLOCKS.contains(&name.as_str()) => texts.push(std::mem::take(&mut current)),
            Node::Text(text) if skipped == 0 => current.push_str(&text.replace('\u{a0}', " ")),
            _ => {}
        }
    }
    texts
}

#[test]
fn every_number_of_the_pages_stands_in_the_json() {
    let folder = harbour();
    let mut known = Known::default();
    known.take(&serde_json::from_str(&text(&folder, "out/report.json")).unwrap());
    let mut with_digits: Vec<&String> =
        known.texts.iter().filter(|text| text.contains(|c: char| c.is_ascii_digit())).collect();
    with_digits.sort_by_key(|text| std::cmp::Reverse(text.len()));
    let mut n_pairs = 0;
    for name in ["out/report.html", "out/sheets.html"] {
        for shown in shown_texts(&text(&folder, name)) {
            let mut rest = shown.split_whitespace().collect::<Vec<_>>().join(" ");
            for text in with_digits.iter().filter(|text| text.len() > 1) {
                let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
                if rest.contains(&text) {
                    rest = rest.replace(&text, " ");
                }
            }
            while let Some(at) = rest.find(" ± ") {
                let before = rest[..at].rfind(' ').map_or(0, |place| place + 1);
                let after = rest[at + 4..].find([' ', ';', ',']).map_or(rest.len(), |end| at + 4 + end);
                let pair = rest[before..after].trim_start_matches('(').to_owned();
                if numbers(&pair).is_empty() {
                    rest.replace_range(before..after, " ");
                    continue;
                }
                assert!(known.pairs.contains(&pair), "{name}: {pair} in: {shown}");
                n_pairs += 1;
                rest.replace_range(before..after, " ");
            }
            for number in numbers(&rest) {
                let is_known = known.numbers.contains(&number) || SAID.contains(&number.as_str());
                assert!(is_known, "{name}: {number} in: {shown}");
            }
        }
    }
    // 158 pieces with four values, 28 timbers with two zones.
    assert!(n_pairs > 158 * 3, "{n_pairs}");
}
