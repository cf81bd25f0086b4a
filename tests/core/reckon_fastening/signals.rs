//! Signal words, panels and contrast against ANSI Z535, ISO 3864 and WCAG.

use boltfolio_core::reckon::contrast::{self, Srgb, contrast as ratio};
use boltfolio_core::reckon::signal::{Chance, Harm, PanelColour, Word};

use super::agrees;

/// W3C WCAG 2.1: SG-01 to SG-07.
#[test]
fn contrast_of_wcag() {
    let code = |text| Srgb::read(text).expect(text);
    agrees("SG-01", ratio(contrast::BLACK, contrast::WHITE), 21.0, 1e-9);
    agrees("SG-02", ratio(code("#767676"), contrast::WHITE), 4.54, 0.005);
    assert!(contrast::passes_aa(
        ratio(code("#767676"), contrast::WHITE),
        false
    ));
    agrees("SG-04", ratio(code("#0000FF"), contrast::WHITE), 8.59, 0.005);
    agrees("SG-04", ratio(code("#0000FF"), code("#FF0000")), 2.15, 0.005);
    agrees("SG-07", ratio(code("#FFFF00"), contrast::WHITE), 1.07, 0.005);
    // The paper: white on D05D29 is only 3.98.
    agrees(
        "orange",
        ratio(contrast::SAFETY_ORANGE, contrast::WHITE),
        3.98,
        0.005,
    );
    for wrong in ["", "#12345", "#1234567", "#12345g", "é23456"] {
        assert!(Srgb::read(wrong).is_err(), "{wrong}");
    }
}

/// ISO 3864-4:2011 with its RAL references, approximate codes (SG-09); panels of ISO 3864-2, ratios recomputed (SG-10); ANSI Z535.4
/// 4.14 (SG-11).
#[test]
fn signal_words_and_panels() {
    for (colour, code) in [
        (contrast::SAFETY_YELLOW, "F9A800"),
        (contrast::SAFETY_RED, "9B2423"),
        (contrast::SAFETY_BLUE, "005387"),
        (contrast::SAFETY_GREEN, "237F52"),
    ] {
        assert_eq!(Ok(colour), Srgb::read(code));
    }
    for (word, printed) in [
        (Word::Danger, 7.86),
        (Word::Warning, 5.28),
        (Word::Caution, 10.63),
    ] {
        let panel = word.panel();
        agrees("SG-10", ratio(panel.fill, panel.ink), printed, 0.01);
    }
    for (word, harm, chance, colour) in [
        (Word::Danger, Harm::Serious, Chance::Will, PanelColour::Red),
        (Word::Warning, Harm::Serious, Chance::Could, PanelColour::Orange),
        (Word::Caution, Harm::Minor, Chance::Could, PanelColour::Yellow),
        (Word::Notice, Harm::Property, Chance::Could, PanelColour::Blue),
    ] {
        assert_eq!(Word::of(harm, chance), word);
        assert_eq!((word.panel().colour, word.harm()), (colour, harm));
        assert_eq!(word.panel().triangle, word != Word::Notice);
        assert_eq!(word.in_iso_3864_2(), word != Word::Notice);
        // WCAG 1.4.3 on every panel that we print.
        let panel = word.printed_panel();
        assert!(
            contrast::passes_aa(ratio(panel.fill, panel.ink), false),
            "{word:?}"
        );
    }
}
