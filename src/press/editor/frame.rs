//! Frames of the protocol: headers, an empty line, so many bytes. A frame that cannot be read is told, and the next one is looked for; no
//! length makes anybody set aside memory for bytes that never come.

use std::io::{self, BufRead, Read};

/// Longest body that is read: a plan's texts may hold 1 GiB together, and no editor sends such a file at once.
const LONGEST: u64 = 256 << 20;

/// Longest line of a header; what is longer is no header.
const LONGEST_LINE: u64 = 8 << 10;

/// What came.
#[derive(Debug, PartialEq, Eq)]
pub enum Frame {
    Body(Vec<u8>),
    /// Why it could not be read, as a sentence.
    Bad(String),
    /// Nothing comes any more.
    End,
}

/// Reads the next frame.
///
/// # Errors
/// What the stream says when it cannot be read.
pub fn read(from: &mut impl BufRead) -> io::Result<Frame> {
    let mut length: Option<Result<u64, String>> = None;
    let mut any = false;
    loop {
        let mut line = Vec::new();
        let count = from.by_ref().take(LONGEST_LINE).read_until(b'\n', &mut line)?;
        if count == 0 {
            return Ok(Frame::End);
        }
        let text = String::from_utf8_lossy(&line);
        let text = text.trim_end_matches(['\r', '\n']);
        if text.is_empty() && line.ends_with(b"\n") {
            if !any {
                continue;
            }
            break;
        }
        any = true;
        // Behind a body whose length was wrong the next header follows on the same line.
        let low = text.to_ascii_lowercase();
        if let Some(at) = low.rfind("content-length:") {
            let said = text
                .get(at + "content-length:".len()..)
                .unwrap_or_default()
                .trim();
            length = Some(said.parse::<u64>().map_err(|_| said.to_owned()));
        }
    }
    match length {
        None => Ok(Frame::Bad("A message says no Content-Length.".to_owned())),
        Some(Err(said)) => Ok(Frame::Bad(format!("Content-Length is no number: {said}."))),
        Some(Ok(length)) if length > LONGEST => Ok(Frame::Bad(format!(
            "A message of {length} bytes is too long: {LONGEST} are read at most."
        ))),
        Some(Ok(length)) => {
            let mut body = Vec::new();
            let count = from.by_ref().take(length).read_to_end(&mut body)?;
            if (count as u64) < length {
                return Ok(Frame::End);
            }
            Ok(Frame::Body(body))
        }
    }
}

/// A body with its header.
#[must_use]
pub fn framed(body: &[u8]) -> Vec<u8> {
    let mut whole = format!("Content-Length: {}\r\n\r\n", body.len()).into_bytes();
    whole.extend_from_slice(body);
    whole
}

#[cfg(test)]
mod tests {
    use super::{Frame, framed, read};

    fn all(bytes: &[u8]) -> Vec<Frame> {
        let mut from = bytes;
        let mut frames = Vec::new();
        loop {
            let frame = read(&mut from).expect("a slice is always read");
            let over = frame == Frame::End;
            frames.push(frame);
            if over {
                return frames;
            }
        }
    }

    #[test]
    fn frames_are_read_as_they_are_written() {
        let mut bytes = framed(b"{}");
        bytes.extend(framed("é\n\r\n".as_bytes()));
        bytes.extend(b"content-length: 1\r\nContent-Type: x\r\n\r\n7");
        let bodies = [b"{}".to_vec(), "é\n\r\n".as_bytes().to_vec(), b"7".to_vec()];
        let mut wanted: Vec<Frame> = bodies.into_iter().map(Frame::Body).collect();
        wanted.push(Frame::End);
        assert_eq!(all(&bytes), wanted);
    }

    #[test]
    fn bad_frames_are_told_and_the_next_one_is_read() {
        for bad in [
            "Content-Length: 99999999999999\r\n\r\n{\"a\":1}",
            "Content-Length: -4\r\n\r\n{}",
            "Content-Length: 18446744073709551616\r\n\r\n{}",
            "Content-Length: many\r\n\r\n",
            "X: y\r\n\r\n",
        ] {
            let mut bytes = bad.as_bytes().to_vec();
            bytes.extend(framed(b"[]"));
            let frames = all(&bytes);
            assert!(matches!(frames.first(), Some(Frame::Bad(_))), "{bad}: {frames:?}");
            assert!(frames.contains(&Frame::Body(b"[]".to_vec())), "{bad}: {frames:?}");
        }
        assert_eq!(all(b"Content-Length: 10\r\n\r\n{}"), [Frame::End]);
        assert_eq!(all(b"no header at all"), [Frame::End]);
    }
}
