//! The trade's words, each declared once with all that the program asks of it. What a row leaves out does not compile.
//! Knows no plan.

pub mod acts;
pub mod drives;
pub mod hazards;
pub mod joint_kinds;
pub mod other_words;
