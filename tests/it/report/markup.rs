//! Reads a page of ours: every tag is closed, every attribute quoted, every anchor there once.

use std::collections::{BTreeMap, BTreeSet};

/// A piece of a page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Node {
    Open(String, BTreeMap<String, String>),
    Close(String),
    Text(String),
}

const VOID: [&str; 3] = ["meta", "br", "img"];

/// The pieces of a page; it panics where the page is not well formed.
#[track_caller]
pub(super) fn nodes(page: &str) -> Vec<Node> {
    let mut rest = page.strip_prefix("<!doctype html>\n").expect("a doctype");
    let mut nodes = Vec::new();
    let mut open: Vec<String> = Vec::new();
    while !rest.is_empty() {
        let Some(tag) = rest.strip_prefix('<') else {
            let end = rest.find('<').unwrap_or(rest.len());
            let text = &rest[..end];
            assert!(!text.contains('>'), "a bare > in {text}");
            nodes.push(Node::Text(unescaped(text)));
            rest = &rest[end..];
            continue;
        };
        let (inside, after) = split_tag(tag);
        rest = after;
        if let Some(name) = inside.strip_prefix('/') {
            assert_eq!(open.pop().as_deref(), Some(name), "</{name}> closes something else");
            nodes.push(Node::Close(name.to_owned()));
            continue;
        }
        let (name, attributes) = attributes(inside);
        if !VOID.contains(&name.as_str()) && !inside.ends_with('/') {
            open.push(name.clone());
        }
        nodes.push(Node::Open(name.clone(), attributes));
        if name == "style" {
            let (style, after) = rest.split_once("</style>").unwrap();
            assert!(!style.contains('<') && !style.contains("url(") && !style.contains("@import"));
            rest = after;
            open.pop();
            nodes.push(Node::Close(name));
        }
    }
    assert_eq!(open, Vec::<String>::new(), "not closed");
    nodes
}

/// A tag up to the > that is not in quotes.
fn split_tag(tag: &str) -> (&str, &str) {
    let mut is_quoted = false;
    for (at, c) in tag.char_indices() {
        match c {
            '"' => is_quoted = !is_quoted,
            '>' if !is_quoted => return (&tag[..at], &tag[at + 1..]),
            '<' => panic!("a bare < in <{}", &tag[..at]),
            _ => {}
        }
    }
    panic!("a tag without an end: <{tag}");
}

fn attributes(inside: &str) -> (String, BTreeMap<String, String>) {
    let inside = inside.trim_end_matches('/').trim();
    let (name, mut rest) = inside.split_once(' ').unwrap_or((inside, ""));
    assert!(name.chars().all(|c| c.is_ascii_alphanumeric()), "a tag {name}");
    let mut attributes = BTreeMap::new();
    while let Some((key, value)) = rest.trim().split_once("=\"") {
        let (value, after) = value.split_once('"').unwrap();
        assert!(key.chars().all(|c| c.is_ascii_alphabetic() || c == '-'), "an attribute {key}");
        assert!(!key.starts_with("on"), "an attribute that runs a script: {key}");
        assert!(attributes.insert(key.to_owned(), unescaped(value)).is_none(), "{key} twice");
        rest = after;
    }
    assert_eq!(rest.trim(), "", "in <{inside}>");
    (name.to_owned(), attributes)
}

fn unescaped(text: &str) -> String {
    let pairs = [
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&quot;", "\""),
        ("&#x27;", "'"),
        ("&#39;", "'"),
        ("&#x2f;", "/"),
        ("&#x2F;", "/"),
        ("&amp;", "&"),
    ];
    pairs.iter().fold(text.to_owned(), |text, (from, to)| text.replace(from, to))
}

/// What must hold of every page.
#[track_caller]
pub(super) fn check(page: &str) {
    let nodes = nodes(page);
    let opened: Vec<(&String, &BTreeMap<String, String>)> = nodes
        .iter()
        .filter_map(|node| match node {
            Node::Open(name, attributes) => Some((name, attributes)),
            Node::Close(_) | Node::Text(_) => None,
        })
        .collect();
    let count = |wanted: &str| opened.iter().filter(|(name, _)| *name == wanted).count();
    for absent in ["script", "link", "iframe", "object", "form", "base"] {
        assert_eq!(count(absent), 0, "{absent}");
    }
    // A figure has a title of its own.
    assert_eq!((count("h1"), count("main"), count("title")), (1, 1, 1 + count("svg")));
    let lang = opened.iter().find(|(name, _)| *name == "html").and_then(|(_, html)| html.get("lang"));
    assert_eq!(lang.map(String::as_str), Some("en"));
    let ids: Vec<&String> = opened.iter().filter_map(|(_, attributes)| attributes.get("id")).collect();
    let once: BTreeSet<&String> = ids.iter().copied().collect();
    assert_eq!(ids.len(), once.len(), "an anchor twice");
    for (name, attributes) in &opened {
        if let Some(target) = attributes.get("href").and_then(|href| href.strip_prefix('#')) {
            assert!(once.iter().any(|id| id.as_str() == target), "no anchor {target}");
        }
        for label in attributes.get("aria-labelledby").iter().flat_map(|labels| labels.split(' ')) {
            assert!(once.iter().any(|id| id.as_str() == label), "no label {label}");
        }
        if *name == "th" {
            assert!(attributes.contains_key("scope"), "a head without a scope");
        }
    }
    assert_eq!(count("table"), count("caption"));
    let mut level = 1;
    for (name, _) in opened.iter().filter(|(name, _)| ["h1", "h2", "h3"].contains(&name.as_str())) {
        let next: usize = name[1..].parse().unwrap();
        assert!(next <= level + 1, "h{next} below h{level}");
        level = next;
    }
}

/// The texts below tags of a name, each as one.
pub(super) fn texts(page: &str, wanted: &str) -> Vec<String> {
    let (mut found, mut depth) = (Vec::new(), 0);
    for node in nodes(page) {
        match node {
            Node::Open(name, _) if name == wanted => {
                depth += 1;
                found.push(String::new());
            }
            Node::Close(name) if name == wanted => depth -= 1,
            Node::Text(text) if depth > 0 => found.last_mut().unwrap().push_str(&text),
            _ => {}
        }
    }
    found.iter().map(|text| text.split_whitespace().collect::<Vec<_>>().join(" ")).collect()
}
