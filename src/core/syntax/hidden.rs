//! Characters that change what is read without being seen: control characters, and those that turn the direction
//! of writing (on paper they make "mN 02" of "20 Nm").

/// Unicode's explicit directional formatting characters, and C0 and C1 controls but tab and line ends.
#[must_use]
pub fn is_hidden(c: char) -> bool {
    matches!(c, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' | '\u{200E}' | '\u{200F}' | '\u{061C}' | '\u{2028}' | '\u{2029}' | '\u{FEFF}')
        || (c.is_control() && !matches!(c, '\t' | '\n' | '\r'))
}

/// Each hidden character with its byte; a carriage return that ends no line is one.
#[must_use]
pub fn find(text: &str) -> Vec<(usize, char)> {
    // Nearly every text has none, and bytes are asked faster than characters.
    let plain = text
        .bytes()
        .all(|b| b >= b' ' && b != 0x7f && b < 0xc2 || matches!(b, b'\t' | b'\n'));
    if plain {
        return Vec::new();
    }
    let bytes = text.as_bytes();
    text.char_indices()
        .filter(|&(at, c)| is_hidden(c) || (c == '\r' && bytes.get(at + 1) != Some(&b'\n')))
        .collect()
}

#[cfg(test)]
mod tests {
    #[test]
    fn found_by_byte() {
        assert_eq!(
            super::find("20\u{202e} Nm\r\nx\ry\u{1}"),
            [(2, '\u{202e}'), (11, '\r'), (13, '\u{1}')]
        );
        assert_eq!(super::find("é ± ü\t\r\n"), []);
    }
}
