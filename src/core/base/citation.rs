//! Where a figure or a formula comes from.

/// A source that a reader could look up: standard, edition, clause or page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Citation {
    /// Title of the standard or book, with its edition.
    pub work: &'static str,
    /// Clause, table or page.
    pub place: &'static str,
}

/// The conversion factors: all follow from exact definitions.
pub const NIST_SP_811: Citation = Citation {
    work: "NIST Special Publication 811 (2008), Guide for the Use of the International System of Units",
    place: "Appendix B.8",
};

/// Signal words and what each promises about the harm.
pub const ANSI_Z535_6: Citation = Citation {
    work: "ANSI Z535.6, product safety information in manuals; ISO 3864-2, safety labels",
    place: "signal words DANGER, WARNING, CAUTION, NOTICE",
};
