//! The few words that the press itself sets: heads of fields and parts that the neutral document leaves to it.
//! Paper and Markdown take them from here. Must not know any plan, nor how a page is laid out.

pub const PAGE: &str = "page ";
pub const OF: &str = " of ";
pub const AFTER_PAGE: &str = "after ";
pub const BEFORE_PAGE: &str = "before ";
pub const CONTINUED: &str = ", continued";
pub const TOOK: &str = "took";
pub const MINUTES: &str = "min";
pub const DONE_ON: &str = "done on";
pub const AT_HAND: &str = "At hand";
pub const FIRST: &str = "First";
pub const WHERE: &str = "Where";
pub const SECOND_CHECK: &str = "Second check";
pub const AFTER: &str = "After";
pub const SIGNED: &str = "signed by another person";
pub const DATE: &str = "date";
pub const NAME: &str = "name";
pub const WHEN: &str = "When";
pub const HELD_BY: &str = "Held by";
pub const WHO: &str = "Who";
pub const ONE_READS: &str = "One reads, the other looks and says the word.";
pub const NOT_IN_PLAN: &str = "found, not in the plan";
pub const ALL_LOOKED_AT: &str = "All looked at. Now move.";
pub const READS: &str = "signed: reads";
pub const LOOKS: &str = "signed: looks";
pub const NUMBER: &str = "No.";
pub const WHAT: &str = "What";
pub const BETWEEN: &str = "Between";
pub const SCALE_READS: &str = "Scale reads";
pub const OF_IT: &str = "Of it, tray or sling";
pub const FORWARD_UP: &str = "Forward is up.";
pub const FRONT_LEFT: &str = "front left";
pub const FRONT_RIGHT: &str = "front right";
pub const REAR_LEFT: &str = "rear left";
pub const REAR_RIGHT: &str = "rear right";
