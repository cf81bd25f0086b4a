//! The few words that the press itself sets: heads of fields and parts that the neutral document leaves to it.
//! Paper and Markdown take them from here. Must not know any plan, nor how a page is laid out.

pub const PAGE: &str = "page ";
pub const OF: &str = " of ";
pub const AFTER_PAGE: &str = "Previous ";
pub const BEFORE_PAGE: &str = "Next ";
pub const CONTINUED: &str = ", continued";
pub const TOOK: &str = "Time taken";
pub const MINUTES: &str = "min";
pub const DONE_ON: &str = "Date";
pub const AT_HAND: &str = "You need";
pub const FIRST: &str = "Before this";
pub const WHERE: &str = "Where";
pub const SECOND_CHECK: &str = "Second check";
pub const AFTER: &str = "Left like this";
pub const SIGNED: &str = "Checked by";
pub const DATE: &str = "Date";
pub const NAME: &str = "Name";
pub const WHEN: &str = "When";
pub const HELD_BY: &str = "Held by";
pub const WHO: &str = "Who";
pub const ONE_READS: &str = "One reads; one looks and answers.";
pub const NOT_IN_PLAN: &str = "Found another?";
pub const ALL_LOOKED_AT: &str = "All checked. Clear to move.";
pub const READS: &str = "Reader";
pub const LOOKS: &str = "Checker";
pub const NUMBER: &str = "No.";
pub const WHAT: &str = "What";
pub const BETWEEN: &str = "Between";
pub const SCALE_READS: &str = "Scale reads";
pub const OF_IT: &str = "Less tray or sling (tare)";
pub const FORWARD_UP: &str = "Forward is up.";
pub const FRONT_LEFT: &str = "front left";
pub const FRONT_RIGHT: &str = "front right";
pub const REAR_LEFT: &str = "rear left";
pub const REAR_RIGHT: &str = "rear right";
