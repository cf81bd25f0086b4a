//! The letters that paper can show, and how wide they are: what all faces of the binder's family hold. A table, so that a plan is told what it lacks before
//! it is printed, and drawings and page ends are judged where no face is known; a test of the press compares it with the faces. Knows no face and no page.

/// Runs of characters: the first of each, and how wide they are, one after the other, in thousandths of the size of type, in the widest of the upright
/// faces.
#[rustfmt::skip]
const HELD: &[(u32, &[u16])] = &[
    (0x0020, &[236, 320, 493, 713, 601, 974, 721, 268, 338, 338, 601, 600, 310, 403, 310, 460, 600, 600, 600,
        600, 600, 600, 600, 600, 600, 600, 330, 330, 600, 600, 600, 500, 903, 685, 667, 651, 697, 607, 585, 719,
        724, 432, 559, 696, 530, 819, 724, 714, 656, 714, 674, 624, 584, 694, 650, 973, 673, 649, 607, 334, 460,
        334, 600, 565, 600, 569, 608, 517, 608, 562, 361, 552, 596, 286, 286, 577, 303, 894, 596, 564, 608, 608,
        404, 504, 383, 596, 538, 841, 560, 534, 518, 372, 402, 372, 600]),
    (0x00A0, &[236, 320, 552, 595, 628, 650, 402, 586, 600, 792, 449, 558, 600]),
    (0x00AE, &[476, 600, 470, 600, 347, 346, 600, 602, 677, 358, 600, 359, 433, 558, 847, 872, 828, 494, 685,
        685, 685, 685, 685, 685, 968, 651, 607, 607, 607, 607, 432, 432, 432, 432, 702, 724, 714, 714, 714, 714,
        714, 600, 714, 694, 694, 694, 694, 649, 656, 692, 569, 569, 569, 569, 569, 569, 864, 517, 562, 562, 562,
        562, 286, 286, 286, 286, 603, 596, 564, 564, 564, 564, 564, 600, 572, 596, 596, 596, 596, 534, 608, 534,
        685, 569, 685, 569, 685, 569, 651, 517, 651, 517, 651, 517, 651, 517, 697, 682, 702, 611, 607, 562, 607,
        562, 607, 562, 607, 562, 607, 562, 719, 562, 719, 562, 719, 562, 719, 562, 724, 596, 734, 596, 432, 286,
        432, 286, 432, 286, 432, 286, 432, 286, 656, 566, 559, 286, 696, 577, 577, 530, 303, 530, 303, 530, 360,
        530, 448, 540, 314, 724, 596, 724, 596, 724, 596, 886, 724, 596, 714, 564, 714, 564, 714, 564, 998, 931,
        674, 404, 674, 404, 674, 404, 624, 504, 624, 504, 624, 504, 624, 504, 584, 383, 584, 388, 594, 391, 694,
        596, 694, 596, 694, 596, 694, 596, 694, 596, 694, 596, 973, 841, 649, 534, 649, 607, 518, 607, 518, 607,
        518, 312]),
    (0x018F, &[714]),
    (0x0192, &[485]),
    (0x01A0, &[714, 564]),
    (0x01AF, &[694, 596]),
    (0x01CD, &[685, 569, 432, 286, 714, 564, 694, 596, 694, 596, 694, 596, 694, 596, 694, 596]),
    (0x01FA, &[685, 569, 968, 864, 714, 572]),
    (0x0218, &[624, 504, 584, 383]),
    (0x0237, &[286]),
    (0x0259, &[562]),
    (0x02BB, &[600, 600]),
    (0x02C6, &[600, 600]),
    (0x02D8, &[600, 600, 600, 600, 600, 600]),
    (0x0300, &[0, 0, 0, 0, 0]),
    (0x0306, &[0, 0, 0, 0, 0, 0, 0]),
    (0x0312, &[0]),
    (0x0315, &[0]),
    (0x031B, &[0]),
    (0x0323, &[0]),
    (0x0326, &[0, 0, 0]),
    (0x037E, &[330]),
    (0x0384, &[600, 600, 685, 330, 703, 820, 555]),
    (0x038C, &[756]),
    (0x038E, &[793, 767, 329, 685, 667, 514, 684, 607, 607, 724, 724, 432, 696, 671, 819, 724, 605, 714, 709,
        656]),
    (0x03A3, &[611, 584, 649, 852, 673, 840, 724, 432, 649, 667, 528, 610, 329, 582, 667, 609, 540, 564, 528,
        438, 610, 576, 329, 580, 538, 616, 540, 456, 564, 655, 577, 507, 586, 500, 582, 773, 545, 759, 770, 329,
        582, 564, 582, 770]),
    (0x0400, &[607, 607, 807, 514, 671, 624, 432, 432, 559, 1047, 1040, 817, 675, 724, 631, 709, 685, 657, 667,
        514, 815, 607, 1006, 608, 724, 724, 675, 739, 819, 724, 714, 709, 656, 651, 584, 631, 904, 673, 772, 678,
        1030, 1093, 758, 933, 662, 671, 1016, 678, 569, 567, 576, 444, 658, 562, 866, 531, 612, 612, 591, 611, 726,
        612, 564, 597, 608, 517, 492, 534, 804, 560, 633, 578, 844, 880, 639, 809, 561, 535, 822, 585, 562, 562,
        602, 444, 535, 504, 286, 286, 286, 863, 869, 596, 591, 612, 534, 598]),
    (0x0462, &[695, 561]),
    (0x046A, &[1016, 766]),
    (0x0472, &[714, 564, 685, 548]),
    (0x0490, &[514, 444, 545, 461, 668, 574, 1029, 874, 608, 531, 698, 601, 755, 671, 708, 591, 773, 669, 787,
        648, 916, 763, 1035, 859, 909, 733, 651, 517, 584, 492, 649, 538, 649, 538, 695, 573, 901, 731, 741, 614,
        698, 598, 678, 596, 878, 707, 878, 707, 432, 1006, 866]),
    (0x04CF, &[286, 685, 569, 685, 569, 968, 864, 607, 562, 714, 562]),
    (0x04DC, &[1006, 866, 608, 531, 593, 501, 724, 612, 724, 612, 714, 564, 714, 564]),
    (0x04EE, &[631, 534, 631, 534, 631, 534, 678, 578, 514, 444, 933, 809]),
    (0x0524, &[772, 633]),
    (0x0E3F, &[665]),
    (0x1E80, &[973, 841, 973, 841, 973, 841]),
    (0x1E9E, &[731]),
    (0x1EA0, &[685, 569, 685, 569, 685, 569, 685, 569, 685, 569, 685, 569, 685, 569, 685, 569, 685, 569, 685,
        569, 685, 569, 685, 569, 607, 562, 607, 562, 607, 562, 607, 562, 607, 562, 607, 562, 607, 562, 607, 562,
        432, 286, 432, 286, 714, 564, 714, 564, 714, 564, 714, 564, 714, 564, 714, 564, 714, 564, 714, 564, 714,
        564, 714, 564, 714, 564, 714, 564, 694, 596, 694, 596, 694, 596, 694, 596, 694, 596, 694, 596, 694, 596,
        649, 534, 649, 534, 649, 534, 649, 534]),
    (0x2000, &[500, 1000, 500, 1000, 333, 250, 167, 600, 310, 118, 59]),
    (0x2010, &[403, 403, 588, 588, 780, 1000]),
    (0x2018, &[300, 300, 304]),
    (0x201C, &[535, 535, 539]),
    (0x2020, &[552, 552, 430]),
    (0x2026, &[897]),
    (0x202F, &[118, 1382]),
    (0x2032, &[268, 493]),
    (0x2039, &[317, 317]),
    (0x2044, &[147]),
    (0x2070, &[378]),
    (0x2074, &[346, 357, 359, 335, 376, 359]),
    (0x2080, &[378, 359, 347, 346, 346, 357, 359, 335, 376, 359]),
    (0x20A1, &[628]),
    (0x20A4, &[595]),
    (0x20A6, &[776]),
    (0x20A8, &[893, 1023, 916, 580, 627, 684, 608]),
    (0x20B1, &[698, 676]),
    (0x20B4, &[644, 628]),
    (0x20B8, &[608, 629, 611]),
    (0x20BD, &[661]),
    (0x20BF, &[665]),
    (0x2113, &[553]),
    (0x2116, &[1060]),
    (0x2122, &[658]),
    (0x2126, &[724]),
    (0x212E, &[726]),
    (0x2150, &[861, 880]),
    (0x2153, &[872, 859, 869, 866, 859, 865, 860, 839, 897, 874, 876, 843]),
    (0x2190, &[900, 900, 900, 900, 900, 900, 900, 900, 900, 900]),
    (0x21A9, &[900, 900]),
    (0x21B0, &[900, 900, 900, 900]),
    (0x21B6, &[900, 900]),
    (0x21BA, &[900, 900]),
    (0x21C4, &[900]),
    (0x21C6, &[900]),
    (0x2202, &[591]),
    (0x2206, &[684]),
    (0x220F, &[726]),
    (0x2211, &[558, 600]),
    (0x2215, &[147]),
    (0x2219, &[358, 600]),
    (0x221E, &[792]),
    (0x222B, &[448]),
    (0x2236, &[330]),
    (0x2248, &[600]),
    (0x2260, &[600]),
    (0x2264, &[600, 600]),
    (0x25CA, &[600]),
    (0x2713, &[912]),
    (0x274C, &[912]),
    (0x2B0E, &[900, 900, 900, 900]),
    (0xFB01, &[647, 664]),
    (0xFFFD, &[1000]),
];
/// A sign that paper does not hold.
const ANY_OTHER: f64 = 1.0;

fn thousandths(sign: char) -> Option<u16> {
    let code = u32::from(sign);
    let at = HELD.partition_point(|(first, _)| *first <= code);
    let (first, widths) = HELD.get(at.checked_sub(1)?)?;
    widths.get(usize::try_from(code - first).ok()?).copied()
}

/// Whether paper shows this character.
#[must_use]
pub fn held(sign: char) -> bool {
    thousandths(sign).is_some()
}

/// How far a character moves on at most, in parts of the size of type.
#[must_use]
pub fn advance(sign: char) -> f64 {
    thousandths(sign).map_or(ANY_OTHER, |width| f64::from(width) / 1000.0)
}

/// How wide a text runs at most on one line, in the unit of the size of type.
#[must_use]
pub fn width(text: &str, size: f64) -> f64 {
    text.chars().map(advance).sum::<f64>() * size
}

/// First and last of each row of characters that paper shows, in order.
#[must_use]
pub fn all_held() -> Vec<(u32, u32)> {
    let last =
        |first: u32, many: usize| u32::try_from(many).map_or(first, |many| first + many.saturating_sub(1));
    HELD.iter()
        .map(|&(first, widths)| (first, last(first, widths.len())))
        .collect()
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
