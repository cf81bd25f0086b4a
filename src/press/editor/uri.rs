//! Paths as an editor names them: `file:` with percent signs (RFC 8089, RFC 3986), and back.

use std::path::{Path, PathBuf};

/// The path of a `file:` URI; none of another kind.
pub fn path(uri: &str) -> Option<PathBuf> {
    let rest = uri.strip_prefix("file://")?;
    // A host may stand before the path; only this machine's own is read.
    let at = rest.find('/')?;
    let (host, path) = rest.split_at(at);
    if !host.is_empty() && !host.eq_ignore_ascii_case("localhost") {
        return None;
    }
    let decoded = decoded(path)?;
    if cfg!(windows) {
        return Some(PathBuf::from(decoded.trim_start_matches('/')));
    }
    Some(PathBuf::from(decoded))
}

/// A path as a URI.
pub fn of(path: &Path) -> String {
    let text = path
        .to_string_lossy()
        .replace('\\', if cfg!(windows) { "/" } else { "\\" });
    let slash = if text.starts_with('/') { "" } else { "/" };
    format!("file://{slash}{}", encoded(&text))
}

fn encoded(text: &str) -> String {
    let mut out = String::new();
    for byte in text.bytes() {
        if byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'.' | b'_' | b'~' | b'/') {
            out.push(char::from(byte));
        } else {
            out.push_str(&format!("%{byte:02X}"));
        }
    }
    out
}

fn decoded(text: &str) -> Option<String> {
    let mut out = Vec::new();
    let mut bytes = text.bytes();
    while let Some(byte) = bytes.next() {
        if byte != b'%' {
            out.push(byte);
            continue;
        }
        let digit = |byte: Option<u8>| char::from(byte?).to_digit(16);
        let (high, low) = (digit(bytes.next())?, digit(bytes.next())?);
        out.push(u8::try_from(high * 16 + low).ok()?);
    }
    String::from_utf8(out).ok()
}

#[cfg(test)]
mod tests {
    use super::{decoded, encoded, of, path};
    use std::path::Path;

    #[test]
    fn paths_and_back() {
        for text in [
            "/a/b.boltplan",
            "/my car/größe 100%/ü+#?&.boltplan",
            "/c:/x",
            "/日本",
        ] {
            assert_eq!(decoded(&encoded(text)).as_deref(), Some(text));
            assert_eq!(
                path(&of(Path::new(text))).as_deref(),
                Some(Path::new(text)),
                "{text}"
            );
        }
        assert_eq!(path("file:///a%20b/c"), Some("/a b/c".into()));
        assert_eq!(path("file://localhost/a"), Some("/a".into()));
        for bad in [
            "untitled:1",
            "file://other/a",
            "file:///a%2",
            "file:///%zz",
            "file:///%ff",
            "http://a/b",
            "",
        ] {
            assert_eq!(path(bad), None, "{bad}");
        }
    }

    /// Any text of any letters comes back: all pairs of letters that mean something to somebody.
    #[test]
    fn any_letters_come_back() {
        let letters: Vec<char> = (0x20..0x2ff)
            .chain([0x2028, 0xfffd, 0x1f527])
            .filter_map(char::from_u32)
            .collect();
        for &a in &letters {
            for b in ['%', ' ', '/', 'ü', '2', '\u{1f527}'] {
                let text = format!("/{a}{b}");
                assert_eq!(decoded(&encoded(&text)), Some(text));
            }
        }
    }
}
