//! The markup of a part (XML 1.0), one piece after the other.
//!
//! Only what parts of a package may hold (ECMA-376 part 2, 8.4): UTF-8 or UTF-16, and no declaration of a document's
//! type, so that there are no entities but the five of the standard and none that can grow.

use crate::io::letters;
use crate::io::workbook::Refusal;

const GARBLED: Refusal = Refusal::Damaged("the markup of a part is garbled");

/// The deepest nesting that is taken; a sheet's is about ten (ours).
const DEEPEST: usize = 200;

/// A part's text.
pub(super) fn text(bytes: Vec<u8>) -> Result<String, Refusal> {
    match letters::utf_16(&bytes) {
        Some((text, false)) => Ok(text),
        Some((_, true)) => Err(GARBLED),
        None => String::from_utf8(bytes).map_err(|_| GARBLED),
    }
}

/// One piece.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Piece<'x> {
    /// An element begins.
    Start(Tag<'x>),
    /// The element of this name, its prefix left out, ends.
    End(&'x str),
    /// Text between.
    Text(String),
    /// There is no more.
    Done,
}

/// An element's beginning.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Tag<'x> {
    /// Its name, the prefix left out.
    pub(super) name: &'x str,
    attributes: &'x str,
}

impl<'x> Tag<'x> {
    /// The attribute of this name without a prefix, its references as they are written.
    pub(super) fn attribute(&self, name: &str) -> Option<&'x str> {
        self.find(name, false)
    }

    /// The attribute of this name with some prefix.
    pub(super) fn prefixed(&self, name: &str) -> Option<&'x str> {
        self.find(name, true)
    }

    /// An attribute that people write, its references replaced; nothing where it is not there.
    pub(super) fn text(&self, name: &str) -> Result<String, Refusal> {
        unescaped(self.attribute(name).unwrap_or_default())
    }

    fn find(&self, wanted: &str, has_prefix: bool) -> Option<&'x str> {
        let mut rest = self.attributes;
        while let Some((name, after)) = rest.split_once('=') {
            let after = after.trim_start();
            let quote = if after.starts_with('"') { '"' } else { '\'' };
            let (value, next) = after.strip_prefix(quote)?.split_once(quote)?;
            let name = name.trim();
            let found = if has_prefix { name.split_once(':').map_or("", |(_, local)| local) } else { name };
            if found == wanted {
                return Some(value);
            }
            rest = next;
        }
        None
    }
}

/// A part, read piece by piece.
pub(super) struct Markup<'x> {
    text: &'x str,
    at: usize,
    /// The elements that are open, by their full names.
    open: Vec<&'x str>,
    /// Whether the last piece began an element that ends at once.
    ends_at_once: bool,
}

impl<'x> Markup<'x> {
    pub(super) fn new(text: &'x str) -> Self {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        Self { text, at: 0, open: Vec::new(), ends_at_once: false }
    }

    /// The next piece.
    pub(super) fn piece(&mut self) -> Result<Piece<'x>, Refusal> {
        if std::mem::take(&mut self.ends_at_once) {
            return Ok(Piece::End(local(self.open.pop().unwrap_or_default())));
        }
        loop {
            let rest = self.text.get(self.at..).unwrap_or_default();
            let Some(markup) = rest.strip_prefix('<') else {
                let end = rest.find('<').unwrap_or(rest.len());
                self.at += end;
                return match rest.get(..end).unwrap_or_default() {
                    "" if self.open.is_empty() => Ok(Piece::Done),
                    "" => Err(Refusal::Damaged("a part of it is cut short")),
                    text => Ok(Piece::Text(unescaped(text)?)),
                };
            };
            if let Some(comment) = markup.strip_prefix("!--") {
                self.skip(4, comment, "-->")?;
            } else if let Some(literal) = markup.strip_prefix("![CDATA[") {
                let literal = self.skip(9, literal, "]]>")?;
                return Ok(Piece::Text(lines(literal)));
            } else if let Some(instruction) = markup.strip_prefix('?') {
                self.skip(2, instruction, "?>")?;
            } else if markup.starts_with('!') {
                return Err(GARBLED);
            } else {
                return self.tag(markup);
            }
        }
    }

    /// Goes behind `mark`; what stands before it.
    fn skip(&mut self, before: usize, rest: &'x str, mark: &str) -> Result<&'x str, Refusal> {
        let (skipped, _) = rest.split_once(mark).ok_or(GARBLED)?;
        self.at += before + skipped.len() + mark.len();
        Ok(skipped)
    }

    /// A tag, whose sign has been taken off.
    fn tag(&mut self, markup: &'x str) -> Result<Piece<'x>, Refusal> {
        let mut quote = None;
        let end = markup.bytes().position(|byte| {
            match quote {
                Some(open) if open == byte => quote = None,
                None if byte == b'"' || byte == b'\'' => quote = Some(byte),
                _ => {}
            }
            byte == b'>' && quote.is_none()
        });
        let inside = end.and_then(|end| markup.get(..end)).ok_or(GARBLED)?;
        self.at += inside.len() + 2;
        if let Some(name) = inside.strip_prefix('/') {
            let name = name.trim_end();
            return if self.open.pop() == Some(name) { Ok(Piece::End(local(name))) } else { Err(GARBLED) };
        }
        let (inside, ends_at_once) =
            inside.strip_suffix('/').map_or((inside, false), |inside| (inside, true));
        let name_end = inside.find(|letter: char| letter.is_ascii_whitespace()).unwrap_or(inside.len());
        let (name, attributes) = inside.split_at(name_end);
        if name.is_empty() || self.open.len() >= DEEPEST {
            return Err(GARBLED);
        }
        self.open.push(name);
        self.ends_at_once = ends_at_once;
        Ok(Piece::Start(Tag { name: local(name), attributes }))
    }
}

/// A name without its prefix.
fn local(name: &str) -> &str {
    name.rsplit_once(':').map_or(name, |(_, local)| local)
}

/// Ends of lines as the standard wants them (XML 1.0, 2.11).
fn lines(text: &str) -> String {
    if text.contains('\r') { text.replace("\r\n", "\n").replace('\r', "\n") } else { text.to_owned() }
}

/// Text with its references replaced (XML 1.0, 4.1 and 4.6).
fn unescaped(text: &str) -> Result<String, Refusal> {
    let text = lines(text);
    if !text.contains('&') {
        return Ok(text);
    }
    let mut out = String::with_capacity(text.len());
    let mut rest = text.as_str();
    while let Some((before, after)) = rest.split_once('&') {
        out.push_str(before);
        let (name, next) = after.split_once(';').ok_or(GARBLED)?;
        out.push(match name {
            "amp" => '&',
            "lt" => '<',
            "gt" => '>',
            "quot" => '"',
            "apos" => '\'',
            _ => {
                let number = name.strip_prefix('#').ok_or(GARBLED)?;
                let code = match number.strip_prefix('x') {
                    Some(digits) => u32::from_str_radix(digits, 16),
                    None => number.parse(),
                };
                code.ok().and_then(char::from_u32).ok_or(GARBLED)?
            }
        });
        rest = next;
    }
    out.push_str(rest);
    Ok(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pieces(text: &str) -> Result<Vec<String>, Refusal> {
        let mut markup = Markup::new(text);
        let mut found = Vec::new();
        loop {
            found.push(match markup.piece()? {
                Piece::Start(tag) => format!("<{}", tag.name),
                Piece::End(name) => format!(">{name}"),
                Piece::Text(text) => text,
                Piece::Done => return Ok(found),
            });
        }
    }

    #[test]
    fn pieces_come_in_order() {
        let text = "\u{feff}<?xml version=\"1.0\"?><!-- <no> --><x:a b='>'>1 &lt; 2&#xA;&#65;<c/><![CDATA[<&]]></x:a >";
        assert_eq!(pieces(text).unwrap(), ["<a", "1 < 2\nA", "<c", ">c", "<&", ">a"]);
        assert_eq!(pieces("<a>\r\n</a>\r").unwrap(), ["<a", "\n", ">a", "\n"]);
    }

    #[test]
    fn attributes_are_found_by_name_and_prefix() {
        let mut markup = Markup::new("<s name = \"A &amp; 'B'\"\n r:id='7' xid=\"8\"/>");
        let Ok(Piece::Start(tag)) = markup.piece() else { panic!() };
        assert_eq!(tag.text("name").as_deref(), Ok("A & 'B'"));
        assert_eq!((tag.prefixed("id"), tag.attribute("id")), (Some("7"), None));
    }

    #[test]
    fn what_is_garbled_is_refused() {
        for text in [
            "<a>",
            "<a",
            "<a></b>",
            "</a>",
            "<a b=\"></a>",
            "<!DOCTYPE a><a/>",
            "<a>&x;</a>",
            "<a>&#xD800;</a>",
            "<a>& b</a>",
            "<a><!-- </a>",
            "<>",
            "< a/>",
        ] {
            assert!(pieces(text).is_err(), "{text}");
        }
        assert!(pieces(&"<a>".repeat(1_000_000)).is_err());
    }
}
