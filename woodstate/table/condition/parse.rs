//! From the words of a condition to its tree.

use crate::error::Result;

use super::fault::Text;
use super::lex::{Placed, Sign, Token, words};
use super::literal::Wanted;
use super::name::{Name, Names, written};

/// A condition as a tree; columns are places in the list of its names.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Node {
    And(Vec<Node>),
    Or(Vec<Node>),
    Not(Box<Node>),
    Unknown(usize),
    /// Compared with one of several: the first that holds decides.
    Compare(usize, Sign, Vec<Wanted>),
}

/// Reads a condition: its tree and the names in it.
pub(super) fn parse(condition: &str, names: &Names) -> Result<(Node, Vec<Name>)> {
    let text = Text::of(condition);
    let words = words(&text)?;
    let mut parser = Parser { text: &text, words: &words, at: 0, names, used: Vec::new(), depth: 0 };
    if parser.peek().token == Token::End {
        return Err(text.fault(0, "the condition is empty; write one, such as depth_from < 20 mm"));
    }
    let node = parser.either()?;
    let rest = parser.peek();
    let say = match rest.token {
        Token::End => return Ok((node, parser.used)),
        Token::Sign(_) => "two comparisons are joined by the word and: depth_from >= 10 mm and depth_from < 20 mm",
        Token::Close => "this parenthesis was never opened",
        _ => "the words and, or, or the end of the condition belong here",
    };
    Err(text.fault(rest.at, say))
}

struct Parser<'a> {
    text: &'a Text,
    words: &'a [Placed],
    at: usize,
    names: &'a Names,
    used: Vec<Name>,
    depth: usize,
}

const END: &Placed = &Placed { token: Token::End, at: 0 };

impl<'a> Parser<'a> {
    fn peek(&self) -> &'a Placed {
        self.words.get(self.at).or_else(|| self.words.last()).unwrap_or(END)
    }

    fn next(&mut self) -> &'a Placed {
        let word = self.peek();
        self.at += 1;
        word
    }

    fn takes(&mut self, token: &Token) -> bool {
        let is_there = self.peek().token == *token;
        self.at += usize::from(is_there);
        is_there
    }

    fn either(&mut self) -> Result<Node> {
        let mut parts = vec![self.both()?];
        while self.takes(&Token::Or) {
            parts.push(self.both()?);
        }
        Ok(if parts.len() == 1 { parts.remove(0) } else { Node::Or(parts) })
    }

    fn both(&mut self) -> Result<Node> {
        let mut parts = vec![self.negation()?];
        while self.takes(&Token::And) {
            parts.push(self.negation()?);
        }
        Ok(if parts.len() == 1 { parts.remove(0) } else { Node::And(parts) })
    }

    fn negation(&mut self) -> Result<Node> {
        const DEEPEST: usize = 64;
        self.depth += 1;
        if self.depth > DEEPEST {
            return Err(self.text.fault(self.peek().at, format!("more than {DEEPEST} parentheses inside each other")));
        }
        let node = if self.takes(&Token::Not) { Node::Not(Box::new(self.negation()?)) } else { self.single()? };
        self.depth -= 1;
        Ok(node)
    }

    fn single(&mut self) -> Result<Node> {
        let first = self.next();
        match &first.token {
            Token::Open => {
                let inner = self.either()?;
                self.close(first.at)?;
                Ok(inner)
            }
            Token::Name(name, false) if name.eq_ignore_ascii_case("unknown") && self.takes(&Token::Open) => {
                let inner = self.next();
                let Token::Name(name, _) = &inner.token else {
                    return Err(self
                        .text
                        .fault(inner.at, "the name of a column belongs here, as in unknown(depth_from)"));
                };
                let column = self.column(name, inner.at)?;
                self.close(first.at)?;
                Ok(Node::Unknown(column))
            }
            Token::Name(name, _) => {
                let column = self.column(name, first.at)?;
                self.compared(column)
            }
            Token::Number(..) | Token::Word(_) => self.turned(first),
            Token::End => Err(self.text.fault(first.at, "the condition ends where a comparison should follow")),
            _ => Err(self.text.fault(first.at, "the name of a column belongs here, as in depth_from < 20 mm")),
        }
    }

    /// What a column is compared with.
    fn compared(&mut self, column: usize) -> Result<Node> {
        let sign = self.next();
        let name = self.used[column].clone();
        match &sign.token {
            Token::Sign(sign) => {
                let wanted = self.wanted(&name, *sign)?;
                Ok(Node::Compare(column, *sign, vec![wanted]))
            }
            Token::In => self.list(column, &name),
            Token::Not if self.takes(&Token::In) => Ok(Node::Not(Box::new(self.list(column, &name)?))),
            _ => {
                let such = super::name::example(&name);
                Err(self.text.fault(sign.at, format!("a comparison is missing behind {}, such as {such}", name.name)))
            }
        }
    }

    fn list(&mut self, column: usize, name: &Name) -> Result<Node> {
        let open = self.next();
        if open.token != Token::Open {
            return Err(self
                .text
                .fault(open.at, "a list in parentheses belongs here, as in context in ('barge', 'jetty')"));
        }
        let mut wanted = vec![self.wanted(name, Sign::Equal)?];
        while self.takes(&Token::Comma) {
            wanted.push(self.wanted(name, Sign::Equal)?);
        }
        self.close(open.at)?;
        Ok(Node::Compare(column, Sign::Equal, wanted))
    }

    /// A number or a word in front of the column.
    fn turned(&mut self, first: &Placed) -> Result<Node> {
        let (sign, other) = (self.next(), self.next());
        let (Token::Sign(sign), Token::Name(name, _)) = (&sign.token, &other.token) else {
            let say = "a comparison names a column, as in depth_from < 20 mm or taxon == 'oak'";
            return Err(self.text.fault(first.at, say));
        };
        let column = self.column(name, other.at)?;
        let wanted = Wanted::of(first, &self.used[column], *sign, self.text)?;
        Ok(Node::Compare(column, sign.turned(), vec![wanted]))
    }

    fn wanted(&mut self, name: &Name, sign: Sign) -> Result<Wanted> {
        let word = self.next();
        if let Token::Name(found, _) = &word.token {
            let say = match self.names.find(found) {
                Ok(_) => format!("{} is compared with a number or a word, not with another column", name.name),
                Err(_) => format!("a word stands between quotes: {} {} '{found}'", written(&name.name), sign.word()),
            };
            return Err(self.text.fault(word.at, say));
        }
        Wanted::of(word, name, sign, self.text)
    }

    /// The place of a name among those that the condition uses.
    fn column(&mut self, name: &str, at: usize) -> Result<usize> {
        let found = self.names.find(name).map_err(|say| self.text.fault(at, say))?;
        if let Some(place) = self.used.iter().position(|used| used.name == found.name) {
            return Ok(place);
        }
        self.used.push(found.clone());
        Ok(self.used.len() - 1)
    }

    fn close(&mut self, open: usize) -> Result<()> {
        let word = self.next();
        if word.token == Token::Close {
            return Ok(());
        }
        if word.token == Token::End {
            return Err(self.text.fault(open, "this parenthesis is never closed"));
        }
        Err(self.text.fault(word.at, "a closing parenthesis belongs here"))
    }
}
