//! JSON with one line for each thing of a list: short, and two versions of a plan differ in the lines of what changed. Knows nothing of
//! what is written.

use std::io;

use serde::Serialize;
use serde_json::ser::{Formatter, Serializer};

/// What lies deeper stands on the line of what holds it.
const DEEPEST: usize = 3;

#[derive(Default)]
struct Lines {
    depth: usize,
    filled: bool,
}

impl Lines {
    fn begin(&mut self, to: &mut (impl io::Write + ?Sized), sign: &[u8]) -> io::Result<()> {
        self.depth += 1;
        self.filled = false;
        to.write_all(sign)
    }

    fn item(&mut self, to: &mut (impl io::Write + ?Sized), first: bool) -> io::Result<()> {
        if !first {
            to.write_all(b",")?;
        }
        if self.depth <= DEEPEST {
            self.line(to)
        } else if first {
            Ok(())
        } else {
            to.write_all(b" ")
        }
    }

    fn end(&mut self, to: &mut (impl io::Write + ?Sized), sign: &[u8]) -> io::Result<()> {
        self.depth -= 1;
        if self.filled && self.depth < DEEPEST {
            self.line(to)?;
        }
        self.filled = true;
        to.write_all(sign)
    }

    fn line(&self, to: &mut (impl io::Write + ?Sized)) -> io::Result<()> {
        to.write_all(b"\n")?;
        (0..self.depth).try_for_each(|_| to.write_all(b"  "))
    }
}

impl Formatter for Lines {
    fn begin_array<W: ?Sized + io::Write>(&mut self, to: &mut W) -> io::Result<()> {
        self.begin(to, b"[")
    }

    fn end_array<W: ?Sized + io::Write>(&mut self, to: &mut W) -> io::Result<()> {
        self.end(to, b"]")
    }

    fn begin_array_value<W: ?Sized + io::Write>(&mut self, to: &mut W, first: bool) -> io::Result<()> {
        self.item(to, first)
    }

    fn end_array_value<W: ?Sized + io::Write>(&mut self, _: &mut W) -> io::Result<()> {
        self.filled = true;
        Ok(())
    }

    fn begin_object<W: ?Sized + io::Write>(&mut self, to: &mut W) -> io::Result<()> {
        self.begin(to, b"{")
    }

    fn end_object<W: ?Sized + io::Write>(&mut self, to: &mut W) -> io::Result<()> {
        self.end(to, b"}")
    }

    fn begin_object_key<W: ?Sized + io::Write>(&mut self, to: &mut W, first: bool) -> io::Result<()> {
        self.item(to, first)
    }

    fn begin_object_value<W: ?Sized + io::Write>(&mut self, to: &mut W) -> io::Result<()> {
        to.write_all(b": ")
    }

    fn end_object_value<W: ?Sized + io::Write>(&mut self, _: &mut W) -> io::Result<()> {
        self.filled = true;
        Ok(())
    }
}

/// UTF-8, ends in a line end.
pub(super) fn written(value: &impl Serialize) -> Vec<u8> {
    let mut bytes = Vec::new();
    value
        .serialize(&mut Serializer::with_formatter(&mut bytes, Lines::default()))
        .expect("the mirrors hold only lists, numbers and texts, which JSON can say");
    bytes.push(b'\n');
    bytes
}

#[cfg(test)]
mod tests {
    use super::written;

    #[test]
    fn one_line_a_thing() {
        let value =
            serde_json::json!({"plan": {"parts": [{"name": "a", "of": [1, 2]}, {"of": []}], "no": []}});
        let text = String::from_utf8(written(&value)).expect("text");
        let wanted = "{\n  \"plan\": {\n    \"no\": [],\n    \"parts\": [\n      {\"name\": \"a\", \"of\": [1, 2]},\n      \
                      {\"of\": []}\n    ]\n  }\n}\n";
        assert_eq!(text, wanted);
        assert_eq!(serde_json::from_str::<serde_json::Value>(&text).ok(), Some(value));
    }
}
