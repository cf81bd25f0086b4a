//! How wide a text runs at most, without the fonts themselves: drawings are made where no font is known, and their labels must not meet.
//! A test of the press holds the widths against the fonts.

/// Thousandths of the size of type, from the blank to the tilde: the widest of the family's faces.
const WIDTHS: [u16; 95] = [
    236, 320, 493, 713, 601, 974, 721, 268, 338, 338, 601, 600, 310, 403, 310, 460, 600, 600, 600, 600, 600,
    600, 600, 600, 600, 600, 330, 330, 600, 600, 600, 500, 903, 685, 667, 651, 697, 607, 585, 719, 724, 432,
    559, 696, 530, 819, 724, 714, 656, 714, 674, 624, 584, 694, 650, 973, 673, 649, 607, 334, 460, 334, 600,
    556, 600, 569, 608, 517, 608, 562, 361, 552, 596, 286, 286, 577, 303, 894, 596, 564, 608, 608, 404, 504,
    383, 596, 538, 841, 560, 534, 518, 372, 402, 372, 600,
];
/// Accented letters, and the signs of figures and sentences.
const LATIN: f64 = 0.74;
/// Greek and Cyrillic, and the widest of Latin.
const WIDE: f64 = 1.1;
/// Any other sign.
const WIDEST: f64 = 1.4;

/// One sign, in parts of the size of type.
#[must_use]
pub fn advance(sign: char) -> f64 {
    let nth = u32::from(sign)
        .checked_sub(32)
        .and_then(|nth| usize::try_from(nth).ok());
    if let Some(width) = nth.and_then(|nth| WIDTHS.get(nth)) {
        return f64::from(*width) / 1000.0;
    }
    match sign {
        '\u{A9}' | '\u{BC}'..='\u{BE}' | 'Æ' | 'æ' | 'ŉ' | 'Œ' | 'œ' | 'Ŵ' | 'ŵ' | '\u{370}'..='\u{52F}' => {
            WIDE
        }
        '\u{A0}'..='\u{17F}' | '–' | '‘' | '’' | '“' | '”' | '−' => LATIN,
        _ => WIDEST,
    }
}

/// A text on one line, in the unit of the size of type.
#[must_use]
pub fn width(text: &str, size: f64) -> f64 {
    text.chars().map(advance).sum::<f64>() * size
}

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
