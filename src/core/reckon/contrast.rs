//! Contrast of two colours as WCAG defines it, and the safety colours of ISO 3864-4 as they look on a screen. Knows no signal word.

use crate::base::citation::Citation;

/// Relative luminance and contrast ratio.
pub const WCAG_2_1: Citation = Citation {
    work: "W3C, Web Content Accessibility Guidelines 2.1",
    place: "definitions of relative luminance and contrast ratio; 1.4.3 and 1.4.6",
};
/// Safety colours. The codes are approximations of the RAL colours that it names, and bind nobody.
pub const ISO_3864_4: Citation = Citation {
    work: "ISO 3864-4:2011, colorimetric properties of safety sign materials",
    place: "RAL references 1003, 3001, 5005, 6032",
};

/// A colour of the sRGB space, 0 to 255 a channel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Srgb {
    /// 0 to 255.
    pub red: u8,
    /// 0 to 255.
    pub green: u8,
    /// 0 to 255.
    pub blue: u8,
}

/// A text that is no colour code.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NoColour;

/// The ink of type.
pub const BLACK: Srgb = Srgb::new(0, 0, 0);
/// The paper.
pub const WHITE: Srgb = Srgb::new(255, 255, 255);
/// RAL 1003.
pub const SAFETY_YELLOW: Srgb = Srgb::new(0xF9, 0xA8, 0x00);
/// RAL 3001.
pub const SAFETY_RED: Srgb = Srgb::new(0x9B, 0x24, 0x23);
/// RAL 5005.
pub const SAFETY_BLUE: Srgb = Srgb::new(0x00, 0x53, 0x87);
/// RAL 6032.
pub const SAFETY_GREEN: Srgb = Srgb::new(0x23, 0x7F, 0x52);
/// RAL 2010, the usual approximation.
pub const SAFETY_ORANGE: Srgb = Srgb::new(0xD0, 0x5D, 0x29);
/// The orange that our pages print: lighter, since the usual one goes to mud under black on a grey printer.
pub const PRINTED_ORANGE: Srgb = Srgb::new(0xF0, 0x78, 0x00);

impl Srgb {
    /// Of its three channels.
    #[must_use]
    pub const fn new(red: u8, green: u8, blue: u8) -> Self {
        Self { red, green, blue }
    }

    /// Reads `#767676` or `767676`.
    ///
    /// # Errors
    /// Anything but six hexadecimal digits.
    pub fn read(code: &str) -> Result<Self, NoColour> {
        let digits = code.strip_prefix('#').unwrap_or(code);
        if digits.len() != 6 || !digits.bytes().all(|byte| byte.is_ascii_hexdigit()) {
            return Err(NoColour);
        }
        let all = u32::from_str_radix(digits, 16).map_err(|_| NoColour)?;
        let [_, red, green, blue] = all.to_be_bytes();
        Ok(Self { red, green, blue })
    }

    /// Relative luminance, 0 black to 1 white: 0.2126 R + 0.7152 G + 0.0722 B of the linear channels.
    #[must_use]
    pub fn luminance(self) -> f64 {
        0.2126 * linear(self.red) + 0.7152 * linear(self.green) + 0.0722 * linear(self.blue)
    }
}

fn linear(channel: u8) -> f64 {
    let share = f64::from(channel) / 255.0;
    // 0.03928 and 0.04045 are both in print, and part no two of 256 steps.
    if share <= 0.03928 {
        share / 12.92
    } else {
        ((share + 0.055) / 1.055).powf(2.4)
    }
}

/// Contrast ratio, 1 to 21: (L1 + 0.05) / (L2 + 0.05), the lighter first whichever way round they are given.
#[must_use]
pub fn contrast(one: Srgb, other: Srgb) -> f64 {
    let (one, other) = (one.luminance(), other.luminance());
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

/// Level AA: 4.5 for text, 3 for text from 18 pt, or from 14 pt bold (WCAG 1.4.3).
#[must_use]
pub fn passes_aa(ratio: f64, large: bool) -> bool {
    ratio >= if large { 3.0 } else { 4.5 }
}

/// Level AAA: 7 for text, 4.5 for large text (WCAG 1.4.6).
#[must_use]
pub fn passes_aaa(ratio: f64, large: bool) -> bool {
    ratio >= if large { 4.5 } else { 7.0 }
}
