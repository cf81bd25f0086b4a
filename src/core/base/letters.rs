//! The letters that paper can show: what all faces of the binder's family hold. A table, so that a plan is told what it lacks before
//! it is printed; a test of the press compares it with the faces. Knows no face and no page.

/// First and last of each run of characters.
#[rustfmt::skip]
const HELD: &[(u32, u32)] = &[
    (0x0020, 0x007E), (0x00A0, 0x00AC), (0x00AE, 0x017F), (0x018F, 0x018F), (0x0192, 0x0192),
    (0x01A0, 0x01A1), (0x01AF, 0x01B0), (0x01CD, 0x01DC), (0x01FA, 0x01FF), (0x0218, 0x021B),
    (0x0237, 0x0237), (0x0259, 0x0259), (0x02BB, 0x02BC), (0x02C6, 0x02C7), (0x02D8, 0x02DD),
    (0x0300, 0x0304), (0x0306, 0x030C), (0x0312, 0x0312), (0x0315, 0x0315), (0x031B, 0x031B),
    (0x0323, 0x0323), (0x0326, 0x0328), (0x037E, 0x037E), (0x0384, 0x038A), (0x038C, 0x038C),
    (0x038E, 0x03A1), (0x03A3, 0x03CE), (0x0400, 0x045F), (0x0462, 0x0463), (0x046A, 0x046B),
    (0x0472, 0x0475), (0x0490, 0x04C2), (0x04CF, 0x04D9), (0x04DC, 0x04E9), (0x04EE, 0x04F9),
    (0x0524, 0x0525), (0x0E3F, 0x0E3F), (0x1E80, 0x1E85), (0x1E9E, 0x1E9E), (0x1EA0, 0x1EF9),
    (0x2000, 0x200A), (0x2010, 0x2015), (0x2018, 0x201A), (0x201C, 0x201E), (0x2020, 0x2022),
    (0x2026, 0x2026), (0x202F, 0x2030), (0x2032, 0x2033), (0x2039, 0x203A), (0x2044, 0x2044),
    (0x2070, 0x2070), (0x2074, 0x2079), (0x2080, 0x2089), (0x20A1, 0x20A1), (0x20A4, 0x20A4),
    (0x20A6, 0x20A6), (0x20A8, 0x20AE), (0x20B1, 0x20B2), (0x20B4, 0x20B5), (0x20B8, 0x20BA),
    (0x20BD, 0x20BD), (0x20BF, 0x20BF), (0x2113, 0x2113), (0x2116, 0x2116), (0x2122, 0x2122),
    (0x2126, 0x2126), (0x212E, 0x212E), (0x2150, 0x2151), (0x2153, 0x215E), (0x2190, 0x2199),
    (0x21A9, 0x21AA), (0x21B0, 0x21B3), (0x21B6, 0x21B7), (0x21BA, 0x21BB), (0x21C4, 0x21C4),
    (0x21C6, 0x21C6), (0x2202, 0x2202), (0x2206, 0x2206), (0x220F, 0x220F), (0x2211, 0x2212),
    (0x2215, 0x2215), (0x2219, 0x221A), (0x221E, 0x221E), (0x222B, 0x222B), (0x2236, 0x2236),
    (0x2248, 0x2248), (0x2260, 0x2260), (0x2264, 0x2265), (0x25CA, 0x25CA), (0x2713, 0x2713),
    (0x274C, 0x274C), (0x2B0E, 0x2B11), (0xFB01, 0xFB02), (0xFFFD, 0xFFFD),
];

/// Whether paper shows this character.
#[must_use]
pub fn held(sign: char) -> bool {
    let code = u32::from(sign);
    let at = HELD.partition_point(|&(_, last)| last < code);
    HELD.get(at).is_some_and(|&(first, _)| first <= code)
}

/// First and last of each row of characters that paper shows, in order.
#[must_use]
pub fn all_held() -> &'static [(u32, u32)] {
    HELD
}

/// Signs that show nothing by themselves: joiners, selectors, soft hyphens, marks of order.
#[must_use]
pub fn is_unseen(sign: char) -> bool {
    matches!(sign, '\u{AD}' | '\u{34F}' | '\u{180B}'..='\u{180F}' | '\u{200B}'..='\u{200D}' | '\u{2060}'..='\u{2065}'
        | '\u{206A}'..='\u{206F}' | '\u{FE00}'..='\u{FE0F}' | '\u{FEFF}' | '\u{FFF0}'..='\u{FFFB}'
        | '\u{E0000}'..='\u{E0FFF}')
}

/// Embeddings, overrides, isolates and direction marks: they turn "20 Nm" into "mN 02" on paper.
#[must_use]
pub fn turns_direction(sign: char) -> bool {
    matches!(sign, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' | '\u{200E}' | '\u{200F}' | '\u{61C}')
}

/// Characters of a text that paper would show as a sign for a missing letter, in order, with their bytes.
pub fn lacking(text: &str) -> impl Iterator<Item = (usize, char)> + '_ {
    let passed = |sign: char| {
        sign.is_control() || sign.is_whitespace() || is_unseen(sign) || turns_direction(sign) || held(sign)
    };
    text.char_indices().filter(move |&(_, sign)| !passed(sign))
}

/// Characters as a reader can find them, each once, the first few: "ж (U+0436)".
#[must_use]
pub fn named(signs: &[char]) -> String {
    const SHOWN: usize = 5;
    let mut met: Vec<char> = Vec::new();
    for sign in signs {
        if !met.contains(sign) {
            met.push(*sign);
        }
    }
    let name = |sign: &char| format!("{sign} (U+{:04X})", u32::from(*sign));
    let some: Vec<String> = met.iter().take(SHOWN).map(name).collect();
    match met.len().saturating_sub(SHOWN) {
        0 => some.join(", "),
        more => format!("{} and {more} more", some.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::{held, lacking, named};

    #[test]
    fn latin_greek_and_cyrillic_are_held() {
        let usual = "N·m ± × → Äßéž Ωμ Жя ² ° “” …";
        assert!(usual.chars().filter(|sign| *sign != ' ').all(held));
        let others = ['\u{6F22}', '\u{5E9}', '\u{645}', '\u{1F527}', '\u{F8FF}', '\u{7}'];
        assert!(!others.into_iter().any(held));
    }

    #[test]
    fn what_is_lacking_is_named_once() {
        let found: Vec<(usize, char)> = lacking("a\u{FE0F} \u{6F22}\u{6F22}\u{202E}").collect();
        assert_eq!(found, [(5, '\u{6F22}'), (8, '\u{6F22}')]);
        assert_eq!(named(&['\u{6F22}', '\u{6F22}']), "\u{6F22} (U+6F22)");
        let many: Vec<char> = ('\u{4E00}'..'\u{4E09}').collect();
        assert!(named(&many).ends_with("(U+4E04) and 4 more"));
    }
}
