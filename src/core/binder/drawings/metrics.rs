//! How a text falls into lines at most, without the fonts themselves: drawings are made where no font is known, and their labels must not meet.

pub use crate::base::letters::width;

/// The lines that a text takes in so much room; a word that is wider than the room is parted.
#[must_use]
pub fn lines(text: &str, size: f64, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let longer = if line.is_empty() {
            word.to_owned()
        } else {
            format!("{line} {word}")
        };
        if width(&longer, size) <= room {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        for sign in word.chars() {
            line.push(sign);
            if width(&line, size) > room && line.chars().count() > 1 {
                line.pop();
                lines.push(std::mem::replace(&mut line, sign.to_string()));
            }
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// The same in at most so many lines; what does not fit is left away behind a mark.
#[must_use]
pub fn at_most(text: &str, size: f64, room: f64, most: usize) -> Vec<String> {
    let mut all = lines(text, size, room);
    if all.len() <= most {
        return all;
    }
    all.truncate(most);
    if let Some(last) = all.last_mut() {
        while width(&format!("{last}…"), size) > room && last.pop().is_some() {}
        *last = format!("{}…", last.trim_end());
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_hold_all_and_fit() {
        let text = "Wheels down, bay shut, first run and a Donaudampfschifffahrtsgesellschaftskapitän";
        for room in [8.0, 20.0, 43.0, 400.0] {
            let found = lines(text, 4.23, room);
            assert!(found.iter().all(|line| width(line, 4.23) <= room), "{found:?}");
            let letters = |text: &str| {
                text.chars()
                    .filter(|sign| !sign.is_whitespace())
                    .collect::<String>()
            };
            assert_eq!(letters(&found.concat()), letters(text));
            let two = at_most(text, 4.23, room, 2);
            assert!(two.len() <= 2 && two.iter().all(|line| width(line, 4.23) <= room));
            assert_eq!(two.last().expect("a line").ends_with('…'), found.len() > 2);
        }
        assert!(lines("  ", 4.0, 10.0).is_empty());
    }
}
