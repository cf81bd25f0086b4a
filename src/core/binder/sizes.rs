//! Sizes of the printed page that more than one place goes by: what is fitted to a page before it is laid out, and the template, which is given
//! them by name. What only the template uses stands in its `constants.typ`. Knows no page.

use super::document::PaperSize;

/// One point, in mm.
pub const POINT: f64 = 0.3528;

/// A size of type.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Type {
    /// Of 1/72 in.
    pub points: f64,
    /// From line to line, in mm.
    pub pitch: f64,
}

impl Type {
    /// Its size in mm, to the hundredth.
    #[must_use]
    pub const fn mm(self) -> f64 {
        (self.points * POINT * 100.0).round() / 100.0
    }
}

macro_rules! sizes {
    ($($(#[$doc:meta])* $name:ident = $value:expr;)*) => {
        $($(#[$doc])* pub const $name: f64 = $value;)*
        /// All lengths by name, in mm.
        pub const LENGTHS: &[(&str, f64)] = &[$((stringify!($name), $name)),*];
    };
}

macro_rules! types {
    ($($name:ident = $points:literal, $pitch:literal;)*) => {
        $(#[doc = concat!("Type of ", stringify!($points), " pt, a line of it ", stringify!($pitch), " mm high.")] pub const $name: Type = Type { points: $points, pitch: $pitch };)*
        /// All sizes of type.
        pub const TYPES: &[Type] = &[$($name),*];
    };
}

types! {
    T9 = 9.0, 4.0;
    T11 = 11.0, 5.0;
    T12 = 12.0, 5.5;
    T14 = 14.0, 6.25;
    T16 = 16.0, 7.0;
    T18 = 18.0, 7.0;
    T19 = 19.0, 8.5;
    T24 = 24.0, 10.0;
    T36 = 36.0, 14.0;
}

sizes! {
    /// What a page is wide between its margins: the same on both papers, so that it reads alike on either.
    LIVE = 174.0;
    /// One of two columns.
    HALF = 84.0;
    /// Between the two.
    HALF_GAP = LIVE - 2.0 * HALF;
    /// From the paper's top to where a page's text begins.
    BODY_TOP = 20.0;
    /// From the paper's top to where it ends on A4.
    A4_END = 281.0;
    /// The same on Letter.
    LETTER_END = 263.0;
    /// The band NOT PROVED.
    BAND_HEIGHT = 7.0;
    /// Between that band and the text.
    BAND_GAP = 2.0;
    /// Above the title of a section that begins in mid-page.
    ABOVE_SECTION = 8.0;
    /// Beside a panel's word, and beside a mark that is explained.
    COL_MARK = 18.0;
    /// Number of a card, left of its head.
    COL_NUMBER = 21.0;
    /// Letters of acts, on a card.
    COL_ACT = 12.0;
    /// Words of acts.
    COL_WORDS = 106.0;
    /// Marks of their fixings.
    COL_FIX = 44.0;
    /// Squares to tick: what the others leave.
    COL_TICK = LIVE - COL_ACT - COL_WORDS - COL_FIX;
    /// What an act's words have of their column.
    WORDS_ROOM = COL_WORDS - 2.0;
    /// The same where there are no marks of fixings.
    WORDS_ROOM_WIDE = COL_WORDS + COL_FIX - 2.0;
    /// Line on a card for how long it took.
    DONE_TOOK = 32.0;
    /// Line on a card for when it was done.
    DONE_ON = 26.0;
    /// Between these lines, and before them.
    DONE_GAP = 3.0;
    /// Panel of a message that has its hazard beside it.
    PANEL_BESIDE = 48.0;
    /// Panel of a message that is told in a line.
    PANEL_LINE = 36.0;
}

/// The text of a card, without its column of ticks.
pub const IN_CARD: f64 = LIVE - COL_MARK;
/// What a card's head says, right of its number.
pub const IN_HEAD: f64 = LIVE - COL_NUMBER;

/// A length in whole millimetres, as the document says widths.
#[must_use]
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a page is some hundred mm wide"
)]
pub const fn whole(length: f64) -> u16 {
    length.ceil().clamp(1.0, LIVE) as u16
}

/// Height of a page's text, without a band.
#[must_use]
pub fn body(paper: PaperSize) -> f64 {
    body_end(paper) - BODY_TOP
}

/// From the paper's top to where a page's text ends.
#[must_use]
pub fn body_end(paper: PaperSize) -> f64 {
    match paper {
        PaperSize::A4 => A4_END,
        PaperSize::Letter => LETTER_END,
    }
}

/// What the band takes of each page of a binder that is not proved.
pub const BAND: f64 = BAND_HEIGHT + BAND_GAP;
