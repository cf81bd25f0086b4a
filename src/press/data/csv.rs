//! Tables as comma-separated values: RFC 4180, with a header row and CR LF between rows, UTF-8. No cell runs as a formula when a
//! spreadsheet opens it. Knows no table's content. The crate that reads lists writes none of this: it quotes all text or only what RFC 4180 asks, and a semicolon
//! parts cells too where the comma is a decimal sign.

/// A cell on its way into a row.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Cell {
    Empty,
    Number(f64),
    Text(String),
}

impl Cell {
    pub(super) fn text(text: impl Into<String>) -> Cell {
        Cell::Text(text.into())
    }

    pub(super) fn maybe(text: Option<impl Into<String>>) -> Cell {
        text.map_or(Cell::Empty, Cell::text)
    }

    pub(super) fn number(value: Option<f64>) -> Cell {
        value
            .filter(|value| value.is_finite())
            .map_or(Cell::Empty, Cell::Number)
    }

    pub(super) fn yes(yes: bool) -> Cell {
        Cell::text(if yes { "yes" } else { "no" })
    }

    fn write(&self, out: &mut String) {
        match self {
            Cell::Empty => {}
            Cell::Number(value) => out.push_str(&value.to_string()),
            Cell::Text(text) => quoted(&defused(text), out),
        }
    }
}

/// The table as a file: its heads, then its rows.
pub(super) fn table(heads: &[&str], rows: &[Vec<Cell>]) -> Vec<u8> {
    let mut out = String::new();
    let heads: Vec<Cell> = heads.iter().map(|head| Cell::text(*head)).collect();
    for row in std::iter::once(&heads).chain(rows) {
        for (nth, cell) in row.iter().enumerate() {
            if nth > 0 {
                out.push(',');
            }
            cell.write(&mut out);
        }
        out.push_str("\r\n");
    }
    out.into_bytes()
}

/// Spreadsheets take what begins with one of these for a formula, or come to it once they have trimmed the cell. The wide signs do
/// so where double-width letters are usual.
fn runs(text: &str) -> bool {
    let first = text
        .trim_start_matches([' ', '\u{a0}', '\u{feff}'])
        .chars()
        .next();
    matches!(
        first,
        Some('=' | '+' | '-' | '@' | '\t' | '\r' | '\n' | '＝' | '＋' | '－' | '＠')
    )
}

/// A number with or without a sign stays one.
fn is_number(text: &str) -> bool {
    let digits = text.strip_prefix(['+', '-']).unwrap_or(text);
    let all = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    match digits.split_once('.') {
        Some((whole, rest)) => all(whole) && all(rest),
        None => all(digits),
    }
}

fn defused(text: &str) -> String {
    let apostrophe = if runs(text) && !is_number(text) { "'" } else { "" };
    format!("{apostrophe}{text}")
}

/// In quotes where it holds what parts cells or rows; semicolon and tab too, which part cells in some countries' spreadsheets: what
/// stands behind one would else begin a cell of its own.
fn quoted(text: &str, out: &mut String) {
    let parts = [',', ';', '\t', '"', '\r', '\n'];
    if text.contains(parts) || text.starts_with(' ') || text.ends_with(' ') {
        out.push('"');
        out.push_str(&text.replace('"', "\"\""));
        out.push('"');
    } else {
        out.push_str(text);
    }
}

#[cfg(test)]
mod tests {
    use super::{Cell, table};

    fn cell(text: &str) -> String {
        let bytes = table(&["a"], &[vec![Cell::text(text)]]);
        let file = String::from_utf8(bytes).expect("text");
        let row = file.strip_prefix("a\r\n").expect("the head first");
        row.strip_suffix("\r\n").expect("a row ends").to_owned()
    }

    /// RFC 4180, section 2, rules 5 to 7.
    #[test]
    fn quotes_as_the_standard_says() {
        assert_eq!(cell("plain words"), "plain words");
        assert_eq!(cell("a, b"), "\"a, b\"");
        assert_eq!(cell("b\r\nbb"), "\"b\r\nbb\"");
        assert_eq!(cell("b\"bb"), "\"b\"\"bb\"");
        assert_eq!(cell("x;=1+1"), "\"x;=1+1\"");
    }

    /// The signs that the OWASP page on CSV injection lists, from memory.
    #[test]
    fn no_cell_runs_as_a_formula() {
        for sign in ["=", "+", "-", "@", "＝", "＋", "－", "＠"] {
            assert_eq!(cell(&format!("{sign}SUM(A1)")), format!("'{sign}SUM(A1)"));
            assert_eq!(cell(&format!(" {sign}SUM(A1)")), format!("' {sign}SUM(A1)"));
        }
        for sign in ["\t", "\r", "\n"] {
            assert_eq!(cell(&format!("{sign}=A1")), format!("\"'{sign}=A1\""));
        }
        assert_eq!(cell("=1,\"2\""), "\"'=1,\"\"2\"\"\"");
        assert_eq!(cell("-2+3"), "'-2+3");
        assert_eq!(cell("-"), "'-");
        assert_eq!(cell("+49.5.1"), "'+49.5.1");
    }

    #[test]
    fn numbers_stay_numbers() {
        for number in ["12", "-12.5", "+3", "0.001"] {
            assert_eq!(cell(number), number);
        }
        let row = vec![
            Cell::Number(-31.9),
            Cell::Empty,
            Cell::number(Some(f64::NAN)),
            Cell::number(Some(1e21)),
            Cell::yes(true),
        ];
        let bytes = table(&["a", "b", "c", "d", "e"], &[row]);
        assert_eq!(bytes, b"a,b,c,d,e\r\n-31.9,,,1000000000000000000000,yes\r\n");
    }
}
